"""Points from a drawing to rows and back, and what is said of points that make no run."""

from math import dist

import pytest

from benchcalc.core.geometry.frames import START
from benchcalc.core.job import Run, Segment
from benchcalc.core.shapes.points import (
    BACK_DEG,
    IN_LINE_MM,
    BadPoints,
    points_from_rows,
    rows_from_points,
)
from tests.vectors import rows as vector_rows

STEP = [(0.0, 0.0, 0.0), (80.0, 0.0, 0.0), (80.0, 60.0, 0.0), (140.0, 60.0, 0.0)]


def faults(points: list[tuple[float, float, float]]) -> list[tuple[int, str]]:
    with pytest.raises(BadPoints) as bad:
        rows_from_points(points)
    return [(fault.at, fault.value) for fault in bad.value.faults]


def test_four_points() -> None:
    """Points asked about in public in 2018, from memory; legs, bends and turn derived."""
    points = [(float(r["x"]), float(r["y"]), float(r["z"])) for r in vector_rows("four_points.csv")]
    found = rows_from_points(points)
    first, second = found.run.segments
    legs = (first.leg_mm, second.leg_mm, found.run.last_leg_mm)
    assert legs == pytest.approx((6.794, 3.625882, 3.368), abs=5e-7)
    assert (first.angle_deg, second.angle_deg) == pytest.approx((90.0, 90.0), abs=1e-9)
    assert (first.turn_deg, abs(second.turn_deg)) == pytest.approx((0.0, 180.0), abs=1e-9)
    back = points_from_rows(found.run, found.frame)
    assert all(dist(a, b) < 1e-9 for a, b in zip(points, back, strict=True))


def test_a_step_in_a_plane() -> None:
    found = rows_from_points(STEP)
    assert found.run == Run((Segment(80.0, 90.0), Segment(60.0, 90.0, 180.0)), 60.0)
    assert found.frame == START
    assert found.in_line == ()


def test_a_turn_is_clockwise_for_one_who_travels() -> None:
    """The first bend goes to the left of one who walks along +X with +Z up; the next one up.

    Walking along +Y then, left is -X; from there clockwise by a quarter is up.
    """
    found = rows_from_points([*STEP[:3], (80.0, 60.0, 50.0)])
    assert found.run.segments[1].turn_deg == pytest.approx(90.0)


def test_the_first_turn_is_counted_from_a_given_curve() -> None:
    assert rows_from_points(STEP, (0.0, 0.0, 1.0)).run.segments[0].turn_deg == pytest.approx(-90.0)
    assert rows_from_points(STEP, (0.0, 1.0, 0.0)).run == rows_from_points(STEP).run


@pytest.mark.parametrize("off_mm", [0.0, IN_LINE_MM * 0.99])
def test_points_in_line_are_merged_and_named(off_mm: float) -> None:
    more = [
        STEP[0],
        (30.0, off_mm, 0.0),
        (50.0, 0.0, 0.0),
        *STEP[1:3],
        (99.0, 60.0, 0.0),
        STEP[3],
    ]
    found = rows_from_points(more)
    assert found.in_line == (2, 3, 6)
    assert found.run == rows_from_points(STEP).run


def test_a_point_beside_the_line_is_a_bend() -> None:
    found = rows_from_points([STEP[0], (40.0, 1.01 * IN_LINE_MM, 0.0), *STEP[1:]])
    assert found.in_line == () and len(found.run.segments) == 3


def test_points_that_make_no_run_are_all_named() -> None:
    twice = [STEP[0], STEP[1], STEP[1], STEP[2], STEP[2], STEP[3]]
    assert faults(twice) == [(3, "on point 2"), (5, "on point 4")]
    back = [*STEP[:2], (30.0, 0.0, 0.0), (30.0, 50.0, 0.0)]
    assert faults(back) == [(2, "the run doubles back here")]
    assert faults(STEP[:2]) == [(1, "2 points")]
    assert faults([STEP[0], (40.0, 0.0, 0.0), STEP[1]]) == [(2, "all in one line")]


def test_a_sharp_corner_stays_a_corner() -> None:
    """Points are always corners, so past 150 degrees the segment says so."""
    found = rows_from_points([STEP[0], STEP[1], (20.0, 10.0, 0.0)])
    (only,) = found.run.segments
    assert 150 < only.angle_deg < BACK_DEG and only.to == "corner" and not only.crown
    assert len(points_from_rows(found.run)) == 3


def test_a_crown_has_no_corner_point() -> None:
    with pytest.raises(ValueError, match="bend 1 is measured to its crown"):
        points_from_rows(Run((Segment(80.0, 180.0),), 60.0))
