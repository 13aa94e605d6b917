"""The pieces after one that missed, and what its miss may come from."""

from dataclasses import replace
from math import dist

import pytest

from benchcalc.core.checks.findings import find_all
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.first_piece import first_piece, miss_in_run, suspects_of
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.fit.tube_job import remaining_of
from benchcalc.core.geometry.vectors import Vector, subtract
from benchcalc.core.job import Line
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.properties.bendable_jobs import LAW, bendable_job

MISSES: list[Vector] = [(2.0, 0.0, 0.0), (0.0, -3.0, 0.0), (1.0, 2.0, -2.5)]


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("missed", MISSES)
def test_the_next_piece_aims_as_far_to_the_other_side(seed: int, missed: Vector) -> None:
    job = bendable_job(seed)
    planned = trace(lay_out(job, LAW))
    found = first_piece(job, LAW, missed).correction
    aim = subtract(planned.end_point, missed)
    assert dist(found.path.end_point, aim) == pytest.approx(found.after.by_mm, abs=1e-6)
    assert found.after.by_mm < 0.05 and found.after.by_deg < 0.5
    assert found.now.by_mm == pytest.approx(dist(missed, (0, 0, 0)), abs=1e-6)
    # whether the tube then meets itself is a finding of its own, told beside the correction
    stops = [f for f in find_all(found.job, found.layout, LAW) if f.level == "stop"]
    assert not [f for f in stops if f.rule != "clash-self"]
    assert len(found.shifts) == len(job.run.segments)


def test_a_bench_whose_line_is_off_is_suspected_of_it() -> None:
    """Tubes bent with the line 0.8 mm out of place, laid out by the sheet as if it were right."""
    for seed in range(10):
        job = bendable_job(seed)
        drawn = remaining_of(job, lay_out(job, LAW), LAW, SoFar(), Tolerances()).tube
        ways = [0.8 if bend.held == "reference" else -0.8 for bend in drawn.bends]
        bends = tuple(
            replace(bend, hold_mm=bend.hold_mm + by)
            for bend, by in zip(drawn.bends, ways, strict=True)
        )
        missed = subtract(replace(drawn, bends=bends).far_end()[0], drawn.far_end()[0])
        causes = {s.cause: s for s in first_piece(job, LAW, missed).suspects}
        assert causes["line"].by_mm == pytest.approx(0.8, abs=0.01)
        assert causes["line"].leaves_mm < 0.01


def test_a_die_of_another_radius_is_suspected_of_it() -> None:
    """Bent on a die 0.5 mm larger than the profile says, at the marks of the profile."""
    for seed in range(10):
        job = bendable_job(seed)
        true = replace(
            job.bender, radius_mm=job.bender.radius_mm + 0.5, lines=(Line("start", 0.0),)
        )
        drawn = remaining_of(job, lay_out(job, LAW), LAW, SoFar(), Tolerances()).tube
        as_bent = remaining_of(
            replace(job, bender=true), lay_out(job, LAW), LAW, SoFar(), Tolerances()
        ).tube
        missed = subtract(as_bent.far_end()[0], drawn.far_end()[0])
        causes = {s.cause: s for s in suspects_of(drawn, missed)}
        assert causes["radius"].by_mm == pytest.approx(0.5, abs=0.05)
        assert causes["radius"].leaves_mm < 0.1 * dist(missed, (0, 0, 0)) + 0.02


def test_a_miss_that_no_single_cause_explains_has_no_suspect() -> None:
    job = bendable_job(2)
    tube = remaining_of(job, lay_out(job, LAW), LAW, SoFar(), Tolerances()).tube
    assert suspects_of(tube, (0.0, 0.0, 0.0)) == ()
    shown = [bool(suspects_of(tube, miss)) for miss in ((3.0, 0, 0), (0, 3.0, 0), (0, 0, 3.0))]
    assert not all(shown)


def test_a_miss_told_at_the_port() -> None:
    """Ahead along the end, aside the way the last bend curves, across square to both."""
    path = trace(lay_out(bendable_job(4), LAW))
    ahead, aside, across = (miss_in_run(path, *row) for row in ((1, 0, 0), (0, 1, 0), (0, 0, 1)))
    assert ahead == pytest.approx(path.end_direction)
    assert aside == pytest.approx(path.pieces[-1].normal)
    crossed = (
        ahead[1] * aside[2] - ahead[2] * aside[1],
        ahead[2] * aside[0] - ahead[0] * aside[2],
        ahead[0] * aside[1] - ahead[1] * aside[0],
    )
    assert across == pytest.approx(crossed)
