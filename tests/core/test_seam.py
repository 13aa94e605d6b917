"""Where to lay a weld seam: no other place is farther from heels and throats."""

from math import atan2, cos, degrees, radians, sin
from random import Random

import pytest

from benchcalc.core.checks.seam import seam_findings, seam_place
from benchcalc.core.job import Segment
from benchcalc.core.layout.straight_tube import lay_out
from tests.core.bench_jobs import STIFF, job


def nearest(seam_deg: float, turns: tuple[float, ...]) -> float:
    """How near a seam comes to some heel or throat, by vectors round the tube's section."""
    at, least = 0.0, 90.0
    for turn in (0.0, *turns[1:]):
        at += turn
        across = abs(
            cos(radians(seam_deg)) * sin(radians(at)) - sin(radians(seam_deg)) * cos(radians(at))
        )
        along = abs(
            cos(radians(seam_deg)) * cos(radians(at)) + sin(radians(seam_deg)) * sin(radians(at))
        )
        least = min(least, degrees(atan2(across, along)))
    return least


@pytest.mark.parametrize("seed", range(30))
def test_no_other_place_is_better(seed: int) -> None:
    rng = Random(seed)
    turns = tuple(
        rng.choice((0.0, 90.0, -90.0, 180.0, rng.uniform(-180, 180)))
        for _ in range(rng.randint(1, 7))
    )
    found = seam_place(turns)
    assert nearest(found.from_heel_deg, turns) == pytest.approx(found.worst_deg, abs=1e-6)
    assert found.worst_deg >= max(nearest(float(deg), turns) for deg in range(180)) - 1e-6


def test_all_bends_in_a_plane_have_the_seam_to_the_side() -> None:
    assert seam_place((0.0, 180.0, 0.0, 180.0))[1::2] == (90.0, 90.0)


def test_turns_of_90_leave_45() -> None:
    """The heel of one bend is the side of the next: no place is to the side of both."""
    found = seam_place((0.0, 90.0))
    assert found.worst_deg == 45.0 and found.from_heel_deg in (45.0, 135.0)


def test_it_is_told_at_the_bend_that_is_made_first() -> None:
    """Turned by 30 degrees clockwise, the second bend has the same place 30 degrees less from its
    heel."""
    turns = (0.0, 30.0)
    first, second = seam_place(turns, 1), seam_place(turns, 2)
    assert (first.from_heel_deg - second.from_heel_deg) % 180 == pytest.approx(30.0)
    with pytest.raises(ValueError, match="without bends"):
        seam_place(())


def test_the_finding_names_the_worst_bend() -> None:
    of = job(Segment(100.0, 90.0), Segment(100.0, 90.0, 90.0), Segment(100.0, 45.0, 20.0))
    (note,) = seam_findings(lay_out(of, STIFF))
    assert (note.level, note.rule, note.bend) == ("note", "seam", 1)
    values = dict(note.values)
    turns = (0.0, 90.0, 20.0)
    assert values["worst_deg"] == pytest.approx(nearest(float(values["from_heel_deg"]), turns))
