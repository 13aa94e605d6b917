"""Shapes against trigonometry, published figures, and what a turn after them must mean."""

from dataclasses import replace
from math import cos, pi, radians, sin, sqrt, tan

import pytest

from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Measured, Run, Segment
from benchcalc.core.layout.path import Path, trace
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.shapes.named_shapes import (
    U_SAME_MM,
    FlatSaddle,
    Offset,
    Parallel,
    RollingOffset,
    Saddle,
    Shape,
    UBend,
    draw_up,
    radius_of,
)
from benchcalc.core.springback.first_guess import Springback
from tests.core.bench_jobs import RADIUS_MM, bender, job
from tests.vectors import last_digit, rows, values

OPENING = Springback(0.8, 0.03, 0.01, 1e-4, source="measured")
OPENS = radius_of(bender(), OPENING)
SHAPES: list[Shape] = [
    Offset(90.0, 40.0, 45.0, 30.0),
    RollingOffset(90.0, 30.0, -40.0, 30.0, 15.0),
    Saddle(200.0, 40.0, 60.0, -20.0),
    FlatSaddle(260.0, 40.0, 45.0, 30.0, 70.0),
    UBend(100.0, 2 * OPENS(180.0), 50.0),
    UBend(100.0, 120.0, 50.0),
]


def traced(run: Run, springback: Springback = OPENING) -> Path:
    return trace(lay_out(replace(job(), run=run), springback))


def drawn(*items: Segment | Shape, last_mm: float = 150.0) -> Path:
    return traced(draw_up(items, last_mm, OPENS))


@pytest.mark.parametrize("row", rows("offsets_published.csv"))
def test_published_multipliers(row: dict[str, str]) -> None:
    """Modern Plumbing (2010) p. 94, read; the other rows are common practice."""
    angle = float(row["angle_deg"])
    shape = Offset(200.0, 1000.0, angle)
    found = {
        "travel": shape.between_corners_mm / 1000.0,
        "run": shape.advance_mm / 1000.0,
        "tangent": 1000.0 / shape.advance_mm,
    }
    assert abs(found[row["quantity"]] - float(row["printed"])) <= last_digit(row["printed"]) / 2


@pytest.mark.parametrize("row", rows("offsets_derived.csv"), ids=lambda row: row["angle_deg"])
def test_travel_and_shrink(row: dict[str, str]) -> None:
    """Derived, not published."""
    shape = Offset(200.0, 1000.0, float(row["angle_deg"]))
    assert shape.between_corners_mm / 1000 == pytest.approx(float(row["travel"]), abs=5e-7)
    assert shape.shrink_mm / 1000 == pytest.approx(float(row["shrink"]), abs=5e-7)
    shrunk = shape.between_corners_mm - shape.advance_mm
    assert shape.shrink_mm == pytest.approx(shrunk, abs=1e-9)


def test_the_class_example_of_a_rolling_offset_but_for_its_rounding() -> None:
    """A steamfitters' class example, from memory; its travel is rounded early."""
    v = values("class_example_rolling_offset.txt")
    plain = RollingOffset(20.0, v["rise"], v["roll"], 45.0).offset
    assert plain.height_mm == pytest.approx(v["true_offset_printed"], abs=5e-12)
    assert plain.between_corners_mm == pytest.approx(v["travel_exact_derived"], abs=5e-6)
    assert abs(plain.between_corners_mm - v["travel_printed_rounded_early"]) > 0.04


def test_an_offset_sets_over_by_its_height_whatever_the_radius() -> None:
    x, y, z = drawn(Offset(120.0, 60.0, 30.0)).end_point
    assert (y, z) == pytest.approx((60.0, 0.0), abs=1e-9)
    assert x == pytest.approx(120.0 + 60.0 / tan(pi / 6) + 150.0, abs=1e-9)


def test_a_rolling_offset_rises_and_rolls() -> None:
    """It rises the way of its turn and rolls clockwise of it: a quarter on from +Y is +Z."""
    _, y, z = drawn(RollingOffset(120.0, 30.0, 40.0, 45.0)).end_point
    assert (y, z) == pytest.approx((30.0, 40.0), abs=1e-9)
    _, y, z = drawn(RollingOffset(120.0, 30.0, -40.0, 45.0, 90.0)).end_point
    assert (y, z) == pytest.approx((40.0, 30.0), abs=1e-9)


def middle_of(path: Path, bend: int) -> tuple[float, float, float]:
    arc = path.pieces[2 * bend - 1]
    return arc.at(arc.length_mm / 2)[0]


@pytest.mark.parametrize("angle_deg", [30.0, 45.0, 60.0, 90.0, 120.0])
def test_the_crown_of_a_saddle_stands_over_the_obstacle(angle_deg: float) -> None:
    path = drawn(Saddle(300.0, 55.0, angle_deg))
    assert middle_of(path, 2) == pytest.approx((300.0, 55.0, 0.0), abs=1e-9)
    assert path.end_point[1:] == pytest.approx((0.0, 0.0), abs=1e-9)
    assert path.end_direction == pytest.approx((1.0, 0.0, 0.0), abs=1e-12)


@pytest.mark.parametrize("how", ["centre", "outside", "inside"])
def test_a_saddle_stands_over_its_obstacle_however_legs_are_measured(how: Measured) -> None:
    """From the end of the tube, and from the corner of a bend before it."""
    for shape in (Saddle(300.0, 55.0, 60.0), FlatSaddle(300.0, 55.0, 45.0, 30.0)):
        middles = []
        for before in ((), (Segment(120.0, 90.0, measured="centre"),)):
            run = draw_up((*before, shape), 150.0, OPENS)
            path = trace(lay_out(replace(job(), run=run, measured=how), OPENING))
            over = [middle_of(path, len(before) + n) for n in (2, 3)]
            middles.append(over[0] if isinstance(shape, Saddle) else mean_of(*over))
        assert middles[0][0] == pytest.approx(300.0, abs=1e-6)
        assert middles[1][1] == pytest.approx(300.0, abs=1e-6)


def mean_of(a: Vector, b: Vector) -> Vector:
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2)


def test_a_saddle_by_hand() -> None:
    """60 degrees at R = 25: the sharp corner stands 25 (sec 30 - 1) = 3.867513 higher."""
    first, second, third = Saddle(300.0, 50.0, 60.0).segments(lambda _: 25.0)
    corner = 50.0 + 25.0 * (2 / sqrt(3) - 1)
    assert second.leg_mm == third.leg_mm == pytest.approx(2 * corner)
    assert first.leg_mm == pytest.approx(300.0 - corner * sqrt(3))
    assert [s.angle_deg for s in (first, second, third)] == [30.0, 60.0, 30.0]
    assert [s.turn_deg for s in (first, second, third)] == [0.0, 180.0, 180.0]


@pytest.mark.parametrize("angle_deg", [22.5, 45.0, 60.0, 90.0])
def test_the_flat_of_a_saddle_lies_over_the_obstacle(angle_deg: float) -> None:
    path = drawn(FlatSaddle(300.0, 80.0, angle_deg, 36.0))
    flat = path.pieces[4]
    assert flat.length_mm == pytest.approx(36.0)
    assert flat.point == pytest.approx((282.0, 80.0, 0.0), abs=1e-9)
    assert flat.direction == pytest.approx((1.0, 0.0, 0.0), abs=1e-12)
    assert path.end_point[1:] == pytest.approx((0.0, 0.0), abs=1e-9)


@pytest.mark.parametrize("width_mm", [2 * OPENS(180.0), 95.0, 200.0])
def test_the_legs_of_a_u_lie_its_width_apart(width_mm: float) -> None:
    path = drawn(UBend(140.0, width_mm), last_mm=140.0)
    assert path.end_point == pytest.approx((0.0, width_mm, 0.0), abs=1e-9)
    assert path.end_direction == pytest.approx((-1.0, 0.0, 0.0), abs=1e-12)
    reach = max(x for (x, _, _), _ in path.points(1.0))
    assert reach == pytest.approx(140.0, abs=0.01)


@pytest.mark.parametrize(
    ("width_mm", "made"),
    [
        (2 * RADIUS_MM, True),
        (2 * RADIUS_MM - U_SAME_MM, True),
        (2 * RADIUS_MM - U_SAME_MM - 0.01, False),
        (2 * RADIUS_MM + U_SAME_MM + 0.01, False),
        (2 * RADIUS_MM + 11.99, False),
        (2 * RADIUS_MM + 12.0, True),
    ],
)
def test_a_u_that_cannot_be_made_is_told(width_mm: float, made: bool) -> None:
    misfit = UBend(100.0, width_mm).misfit(lambda _: RADIUS_MM, 12.0)
    assert (misfit is None) == made
    if misfit is not None:
        assert misfit == pytest.approx((width_mm, 2 * RADIUS_MM, 2 * RADIUS_MM + 12.0))


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
@pytest.mark.parametrize("turn_deg", [0.0, 90.0, -35.0])
def test_a_shape_leaves_the_plane_as_it_found_it(shape: Shape, turn_deg: float) -> None:
    """The bend after it curves as it would without it, but for the U, which goes back."""
    before, after = Segment(150.0, 50.0), Segment(150.0, 70.0, turn_deg)
    with_it, without = drawn(before, shape, after), drawn(before, after)
    same = -1.0 if isinstance(shape, UBend) else 1.0
    bend, plain = with_it.pieces[-2], without.pieces[-2]
    assert bend.direction == pytest.approx([same * x for x in plain.direction], abs=1e-9)
    if not isinstance(shape, UBend):
        assert bend.normal == pytest.approx(plain.normal, abs=1e-9)
        assert with_it.end_direction == pytest.approx(without.end_direction, abs=1e-9)


def test_two_shapes_in_a_row_set_out_from_the_same_plane() -> None:
    path = drawn(Offset(120.0, 30.0, 45.0, 90.0), Offset(120.0, 40.0, 45.0, 0.0))
    assert path.end_point[1:] == pytest.approx((40.0, 30.0), abs=1e-9)


def test_the_radius_of_a_shape_is_the_finished_one() -> None:
    """R = R_d/(1 - b) at every angle while the profile has none measured; then that."""
    for angle in (22.5, 90.0, 180.0):
        assert OPENS(angle) == pytest.approx(RADIUS_MM / 0.97)
    measured = replace(bender(), finished_radius_mm=26.0)
    assert radius_of(measured, OPENING)(45.0) == 26.0


def test_legs_to_a_shape_are_measured_as_the_job_says_and_those_to_an_obstacle_on_the_centre() -> (
    None
):
    for shape in SHAPES:
        first, *inner = shape.segments(OPENS)
        to_obstacle = isinstance(shape, (Saddle, FlatSaddle))
        assert first.measured == ("centre" if to_obstacle else None)
        assert all(segment.measured == "centre" for segment in inner)


def test_a_parallel_tube_moves_its_corners() -> None:
    """Two bends the same way in one plane: each corner p tan(angle/2) nearer, or farther."""
    run = Run((Segment(150.0, 90.0), Segment(200.0, 60.0, 0.0)), 150.0)
    more = 20.0 * tan(pi / 4), 20.0 * tan(radians(30))
    inner, outer = Parallel(20.0, 0.0).run(run), Parallel(20.0).run(run)
    legs = [150.0 - more[0], 200.0 - sum(more), 150.0 - more[1]]
    assert [s.leg_mm for s in inner.segments] + [inner.last_leg_mm] == pytest.approx(legs)
    legs = [150.0 + more[0], 200.0 + sum(more), 150.0 + more[1]]
    assert [s.leg_mm for s in outer.segments] + [outer.last_leg_mm] == pytest.approx(legs)
    assert Parallel(20.0, 90.0).run(run).segments[0].leg_mm == pytest.approx(150.0)


@pytest.mark.parametrize("side_deg", [0.0, 180.0, 90.0, 37.0])
def test_a_parallel_tube_in_space_ends_beside_the_other(side_deg: float) -> None:
    run = Run(
        (Segment(150.0, 90.0), Segment(200.0, 60.0, 75.0), Segment(180.0, 45.0, -130.0)), 150.0
    )
    side = radians(side_deg)
    aside = (0.0, 20.0 * cos(side), 20.0 * sin(side))
    own, other = traced(run), traced(Parallel(20.0, side_deg).run(run))
    gap = [b + o - a for a, b, o in zip(own.end_point, other.end_point, aside, strict=True)]
    assert sum(g * g for g in gap) == pytest.approx(400.0)
    square = sum(g * d for g, d in zip(gap, own.end_direction, strict=True))
    assert square == pytest.approx(0.0, abs=1e-9)


def test_no_tube_lies_inside_a_u_of_the_same_die() -> None:
    run = Run((Segment(150.0, 180.0),), 150.0)
    with pytest.raises(ValueError, match="bend 1 is a U"):
        Parallel(20.0).run(run)
    assert Parallel(20.0, 90.0).run(run) == run
