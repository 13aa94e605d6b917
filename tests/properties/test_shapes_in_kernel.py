"""What shapes promise, measured by a solid-geometry kernel."""

from math import cos, radians, sin
from random import Random

import pytest

from benchcalc.core.job import Run, Segment
from benchcalc.core.shapes.named_shapes import (
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
from tests.properties.bendable_jobs import BENDER, LAW
from tests.properties.kernel_centreline import (
    apart,
    block,
    centreline,
    corners,
    dot_at,
    moved,
    together,
)

RADIUS = radius_of(BENDER, LAW)
OD_MM = 8.0
CLOSE_MM = 1e-6
LAST_MM = 120.0
RUNS = 60


def end_of(shape: Shape) -> tuple[float, float, float]:
    far = corners(draw_up([shape], LAST_MM, RADIUS), RADIUS)[-1]
    return far.X(), far.Y(), far.Z()


@pytest.mark.parametrize("seed", range(RUNS))
def test_an_offset_ends_where_it_must(seed: int) -> None:
    rng = Random(seed)
    rise, roll, angle = rng.uniform(20, 90), rng.uniform(-90, 90), rng.uniform(15, 75)
    turn_deg = rng.uniform(-180, 180)
    x, y, z = end_of(RollingOffset(150.0, rise, roll, angle, turn_deg))
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    assert (y, z) == pytest.approx((rise * c - roll * s, rise * s + roll * c), abs=CLOSE_MM)
    height = (rise * rise + roll * roll) ** 0.5
    on = 150.0 + height * cos(radians(angle)) / sin(radians(angle)) + LAST_MM
    assert x == pytest.approx(on, abs=CLOSE_MM)


@pytest.mark.parametrize("seed", range(RUNS))
def test_a_saddle_passes_an_obstacle_by_what_it_promises(seed: int) -> None:
    """A wall as high as the underside promises is only touched, at its middle."""
    rng = Random(seed)
    height, angle = rng.uniform(30, 90), rng.uniform(30, 90)
    saddle = Saddle(400.0, height, angle)
    tube = together(centreline(draw_up([saddle], 400.0, RADIUS), RADIUS))
    top = height - OD_MM / 2
    wall = block((400.0 - 0.01, -50.0, -30.0), (400.0 + 0.01, top, 30.0))
    assert apart(tube, wall) == pytest.approx(OD_MM / 2, abs=1e-4)
    assert apart(tube, dot_at((400.0, height, 0.0))) == pytest.approx(0.0, abs=CLOSE_MM)


@pytest.mark.parametrize("seed", range(RUNS))
def test_a_flat_saddle_clears_an_obstacle_as_wide_as_its_flat(seed: int) -> None:
    rng = Random(seed)
    height, flat = rng.uniform(40, 90), rng.uniform(12, 80)
    saddle = FlatSaddle(400.0, height, rng.uniform(30, 75), flat)
    tube = together(centreline(draw_up([saddle], 400.0, RADIUS), RADIUS))
    top, half = height - OD_MM / 2, flat / 2
    box = block((400.0 - half, -50.0, -30.0), (400.0 + half, top, 30.0))
    assert apart(tube, box) == pytest.approx(OD_MM / 2, abs=CLOSE_MM)
    wider = block((400.0 - half - 20.0, -50.0, -30.0), (400.0 + half + 20.0, top, 30.0))
    assert apart(tube, wider) < OD_MM / 2 - 0.01


@pytest.mark.parametrize("width_mm", [2 * RADIUS(180.0), 90.0, 160.0])
def test_a_u_comes_back_its_width_apart(width_mm: float) -> None:
    x, y, z = end_of(UBend(LAST_MM, width_mm))
    assert (x, y, z) == pytest.approx((0.0, width_mm, 0.0), abs=CLOSE_MM)


@pytest.mark.parametrize("seed", range(RUNS))
def test_shapes_in_a_run_do_not_turn_what_follows(seed: int) -> None:
    """Corners after an offset lie where they lie without it, moved by height and advance."""
    rng = Random(seed)
    offset = Offset(150.0, rng.uniform(20, 60), rng.uniform(20, 60), 0.0)
    before, after = (
        Segment(150.0, rng.uniform(20, 100)),
        Segment(120.0, 80.0, rng.uniform(-180, 180)),
    )
    plain = draw_up(
        [before, Segment(150.0 + offset.advance_mm + 120.0, 80.0, after.turn_deg)], 90.0, RADIUS
    )
    made = draw_up([before, offset, after], 90.0, RADIUS)
    own, other = corners(made, RADIUS), corners(plain, RADIUS)
    assert own[-1].Distance(other[-1]) == pytest.approx(offset.height_mm, abs=CLOSE_MM)
    assert own[-2].Distance(other[-2]) == pytest.approx(offset.height_mm, abs=CLOSE_MM)


@pytest.mark.parametrize("seed", range(RUNS))
def test_nested_tubes_lie_their_spacing_apart(seed: int) -> None:
    """p on the straights; between p and p sec(angle/2) in bends of one radius."""
    rng = Random(seed)
    angles = [rng.uniform(20, 58) for _ in range(3)] if seed % 2 else [rng.uniform(20, 140)]
    turns = [0.0, rng.choice((0.0, 180.0)), rng.choice((0.0, 180.0))]
    legs = [rng.uniform(200, 260) for _ in angles]
    bends = tuple(Segment(*bend) for bend in zip(legs, angles, turns, strict=False))
    run, spacing, side = Run(bends, 220.0), rng.uniform(12, 30), rng.choice((0.0, 180.0))
    own = centreline(run, RADIUS)
    aside = (0.0, spacing if side == 0.0 else -spacing, 0.0)
    beside = [moved(one, aside) for one in centreline(Parallel(spacing, side).run(run), RADIUS)]
    assert apart(together(own), together(beside)) == pytest.approx(spacing, abs=CLOSE_MM)
    for place in range(0, len(own), 2):
        assert apart(own[place], beside[place]) == pytest.approx(spacing, abs=CLOSE_MM)
    for place, angle in zip((1, 3, 5), angles, strict=False):
        most = spacing / cos(radians(angle) / 2)
        assert spacing - CLOSE_MM <= apart(own[place], beside[place]) <= most + CLOSE_MM
