"""Points to rows and back on thousands of random runs, wherever in space they lie."""

from math import dist
from random import Random
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from benchcalc.core.geometry.frames import START, wrapped
from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Run, Segment
from benchcalc.core.shapes.points import points_from_rows, rows_from_points

RUNS = 10_000
BATCHES = 5
CLOSE = 1e-9


class Moved(NamedTuple):
    """A run's corner points carried elsewhere by scipy's rotation."""

    points: list[Vector]
    rotation: NDArray[np.float64]
    shift: NDArray[np.float64]


def random_run(rng: Random) -> Run:
    segments = tuple(
        Segment(
            rng.uniform(5, 400),
            rng.choice((rng.uniform(1, 149), 90.0, 45.0)),
            rng.choice((rng.uniform(-180, 180), 0.0, 90.0, 180.0)) if place else 0.0,
        )
        for place in range(rng.randint(1, 12))
    )
    return Run(segments, rng.uniform(5, 400))


def carried(points: tuple[Vector, ...], rng: Random) -> Moved:
    rotation = Rotation.random(random_state=rng.randrange(2**31)).as_matrix()
    shift = np.array([rng.uniform(-1000, 1000) for _ in range(3)])
    placed = np.asarray(points) @ rotation.T + shift
    return Moved([(float(x), float(y), float(z)) for x, y, z in placed], rotation, shift)


def worst(own: Run, other: Run) -> float:
    """The largest difference of two runs: millimetres, degrees, and degrees of turn round about."""
    gaps = [own.last_leg_mm - other.last_leg_mm]
    for a, b in zip(own.segments, other.segments, strict=True):
        gaps += [a.leg_mm - b.leg_mm, a.angle_deg - b.angle_deg, wrapped(a.turn_deg - b.turn_deg)]
    return max(map(abs, gaps))


@pytest.mark.parametrize("batch", range(BATCHES))
def test_rows_come_back_from_their_points_wherever_they_lie(batch: int) -> None:
    for seed in range(batch, RUNS, BATCHES):
        rng = Random(seed)
        run = random_run(rng)
        points = points_from_rows(run)
        found = rows_from_points(points)
        assert found.in_line == () and worst(found.run, run) < CLOSE, f"seed {seed}"
        moved = carried(points, rng)
        there = rows_from_points(moved.points)
        assert worst(there.run, run) < CLOSE, f"seed {seed}"
        back = points_from_rows(there.run, there.frame)
        gaps = [dist(a, b) for a, b in zip(moved.points, back, strict=True)]
        assert max(gaps) < CLOSE * 10, f"seed {seed}"


def test_the_frame_of_a_moved_run_is_the_moved_frame() -> None:
    rng = Random(3)
    run = random_run(rng)
    moved = carried(points_from_rows(run), rng)
    frame = rows_from_points(moved.points).frame
    for own, axis in ((frame.travel, START.travel), (frame.curve, START.curve)):
        assert own == pytest.approx(tuple(moved.rotation @ np.array(axis)), abs=1e-12)
    assert frame.point == pytest.approx(tuple(moved.shift), abs=1e-9)


def test_a_mirror_image_is_another_run() -> None:
    run = Run((Segment(80.0, 90.0), Segment(60.0, 45.0, 70.0)), 90.0)
    mirrored = [(x, y, -z) for x, y, z in points_from_rows(run)]
    assert worst(rows_from_points(mirrored).run, run) > 1.0
