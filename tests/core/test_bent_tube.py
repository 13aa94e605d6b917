"""A tube with bends along it: the same tube as the layout's, and how its far end moves."""

from dataclasses import replace

import pytest

from benchcalc.core.fit.bent_tube import BentTube, Unknown, What
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.fit.tube_job import job_of, tube_of
from benchcalc.core.job import Job
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.properties.bendable_jobs import LAW, bendable_job

STEP = 1e-5


def jobs() -> list[Job]:
    """Runs held at either end, of a measured radius and of one that follows the springback."""
    found = [bendable_job(seed) for seed in range(12)]
    measured = [replace(job.bender, finished_radius_mm=25.3) for job in found[::2]]
    found[::2] = [replace(j, bender=b) for j, b in zip(found[::2], measured, strict=True)]
    return found


def tube(job: Job) -> BentTube:
    return tube_of(job, lay_out(job, LAW), LAW, SoFar())


@pytest.mark.parametrize("job", jobs(), ids=lambda job: job.name)
def test_it_is_the_layouts_tube_there_and_back(job: Job) -> None:
    layout = lay_out(job, LAW)
    path, (end, heads) = trace(layout), tube(job).far_end()
    assert end == pytest.approx(path.end_point, abs=1e-9)
    assert heads == pytest.approx(path.end_direction, abs=1e-12)
    for bend, laid in zip(tube(job).bends, layout.bends, strict=True):
        assert (bend.start_mm, bend.end_mm) == pytest.approx((laid.start_mm, laid.end_mm))
        assert bend.radius_mm == pytest.approx(laid.radius_mm)
    back = job_of(job, LAW, tube(job)).run
    for own, other in zip(back.segments, job.run.segments, strict=True):
        assert own.leg_mm == pytest.approx(other.leg_mm)
    assert back.last_leg_mm == pytest.approx(job.run.last_leg_mm)


@pytest.mark.parametrize("job", jobs(), ids=lambda job: job.name)
def test_its_moves_are_the_differences_of_two_tubes(job: Job) -> None:
    whole = tube(job)
    kinds: tuple[What, ...] = ("mark", "angle", "turn")
    unknowns = [Unknown(what, n) for n in range(1, len(whole.bends) + 1) for what in kinds]
    unknowns.append(Unknown("end", None))
    _, _, moves = whole.moves(unknowns)
    for unknown, move in zip(unknowns, moves, strict=True):
        more, less = (whole.changed([unknown], [by]).far_end() for by in (STEP, -STEP))
        for own, high, low in zip(move, more, less, strict=True):
            slope = [(a - b) / (2 * STEP) for a, b in zip(high, low, strict=True)]
            assert own == pytest.approx(slope, abs=1e-6), unknown
