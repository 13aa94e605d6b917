"""Corner points of runs between two ports: along given directions, or of any two angles.

Their bends keep the room that the bender needs; whether a finding stops them is not looked at yet.
Lengths are millimetres, angles degrees.
"""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import dist, radians
from typing import NamedTuple

from benchcalc.core.geometry.directions import ORDINARY_DEG, Way
from benchcalc.core.geometry.frames import angle_between, unit
from benchcalc.core.geometry.vectors import Vector, dot, subtract, translate
from benchcalc.core.job import CROWN_FROM_DEG, Job
from benchcalc.core.layout.straight_tube import set_back
from benchcalc.core.shapes.least_lengths import least_lengths
from benchcalc.core.shapes.named_shapes import Radius, radius_of
from benchcalc.core.springback.first_guess import Springback, springback_at

STEPS_MM = (256.0, 64.0, 16.0, 4.0, 1.0, 0.25)
"""Steps by which the legs of a run of any two angles are tried longer and shorter."""

NEARLY_DEG = 1e-6
"""Rounding of an ordinary angle."""

LEAST_DEG = 0.5
"""Less than this is no bend."""


class Course(NamedTuple):
    """Corner points not yet laid out: how good they are, and the points."""

    ordinary: bool
    bends: int
    tube_mm: float
    points: tuple[Vector, ...]


class Bench(NamedTuple):
    """What a course must keep to: radii, the travel, and the straights the bender needs."""

    radius: Radius
    most_deg: float
    first_mm: float
    between_mm: float
    last_mm: float

    def rooms(self, angles: tuple[float, ...]) -> tuple[float, ...] | None:
        """The least centre legs for bends of these angles; None when one cannot be made."""
        if not all(LEAST_DEG < angle <= self.most_deg for angle in angles):
            return None
        backs = [set_back(self.radius(angle), angle, crown=False) for angle in angles]
        inner = (a + b + self.between_mm for a, b in pairwise(backs))
        return (backs[0] + self.first_mm, *inner, backs[-1] + self.last_mm)

    def gain(self, angle_deg: float) -> float:
        """What one bend saves of the legs."""
        radius = self.radius(angle_deg)
        return 2 * set_back(radius, angle_deg, crown=False) - radius * radians(angle_deg)


def rank(course: Course) -> tuple[bool, int, float]:
    """Ordinary angles first, then the fewest bends, then the least tube."""
    return (not course.ordinary, course.bends, course.tube_mm)


def all_ordinary(angles: Iterable[float]) -> bool:
    """Whether benders have lines for all of these angles."""
    return all(min(abs(angle - o) for o in ORDINARY_DEG) < NEARLY_DEG for angle in angles)


def bench_of(job: Job, springback: Springback) -> Bench:
    """What a job's bender, held end and fittings ask of a course that is its whole run."""
    bender, ends, need = job.bender, job.ends, job.straight
    reference_held = job.held == "reference"
    first = bender.grip_mm if reference_held else bender.free_mm
    last = bender.free_mm if reference_held else bender.grip_mm
    most = bender.max_angle_deg - springback_at(bender.max_angle_deg, springback)
    return Bench(
        radius_of(bender, springback),
        min(most, CROWN_FROM_DEG - 0.5),
        max(first - ends.start_mm, need.start_mm, 0.0),
        bender.between_mm,
        max(last - ends.finish_mm, need.finish_mm, 0.0),
    )


def courses_along(
    ways: Iterable[Way], bench: Bench, start: Vector, gap: Vector
) -> Iterator[Course]:
    """The shortest run along each way that reaches across the gap."""
    rooms_of: dict[tuple[float, ...], tuple[float, ...] | None] = {}
    for heads, angles in ways:
        if angles not in rooms_of:
            rooms_of[angles] = bench.rooms(angles)
        rooms = rooms_of[angles]
        if rooms is None:
            continue
        reach = gap
        for head, room in zip(heads, rooms, strict=True):
            reach = translate(reach, head, -room)
        more = least_lengths(heads, reach)
        if more is not None:
            legs = [room + by for room, by in zip(rooms, more, strict=True)]
            yield _course(start, heads, legs, angles, bench)


def _course(
    start: Vector,
    heads: tuple[Vector, ...],
    legs: list[float],
    angles: tuple[float, ...],
    bench: Bench,
) -> Course:
    points = [start]
    for head, leg in zip(heads, legs, strict=True):
        points.append(translate(points[-1], head, leg))
    tube = sum(legs) - sum(map(bench.gain, angles))
    return Course(all_ordinary(angles), len(angles), tube, tuple(points))


def any_two(bench: Bench, start: Vector, end: Vector, u: Vector, v: Vector) -> tuple[Course, ...]:
    """The run of two bends with the least tube, their angles what they come to."""

    def course(first: float, last: float) -> Course | None:
        corners = translate(start, u, first), translate(end, v, -last)
        middle = subtract(corners[1], corners[0])
        if first <= 0 or last <= 0 or dot(middle, middle) < 1.0:
            return None
        w = unit(middle)
        angles = angle_between(u, w), angle_between(w, v)
        rooms, legs = bench.rooms(angles), [first, dist(*corners), last]
        if rooms is None or any(leg < room for leg, room in zip(legs, rooms, strict=True)):
            return None
        return _course(start, (u, w, v), legs, angles, bench)

    size = dist(start, end) + bench.first_mm + bench.last_mm + 8 * bench.radius(90.0)
    tries = [size * part / 8 for part in range(1, 9)]
    best = min(filter(None, (course(x, y) for x in tries for y in tries)), key=rank, default=None)
    if best is None:
        return ()
    for step in STEPS_MM:
        better: Course | None = best
        while better is not None:
            best = better
            x, y = dist(best.points[0], best.points[1]), dist(best.points[2], best.points[3])
            beside = [(x - step, y), (x + step, y), (x, y - step), (x, y + step)]
            near = min(filter(None, (course(*at) for at in beside)), key=rank, default=None)
            better = near if near is not None and near.tube_mm < best.tube_mm - 1e-6 else None
    return (best,)
