"""Port to port: two places and two directions, and the runs this bender can make between them.

A run leaves the first port along its direction and arrives travelling along the second's. Its
directions between are looked for among those that ordinary angles allow; the legs then follow
exactly, so that every answer arrives to the last digit. Lengths are millimetres, angles degrees.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from heapq import nsmallest
from itertools import pairwise
from math import dist, inf, radians
from typing import NamedTuple

from benchcalc.core.directions import ORDINARY_DEG, Way, directions
from benchcalc.core.findings import find_all
from benchcalc.core.frames import START, Frame, angle_between, unit, wrapped
from benchcalc.core.layout import Layout, lay_out, set_back
from benchcalc.core.legs import least_lengths
from benchcalc.core.parts import CROWN_FROM_DEG, Job, Run, Segment
from benchcalc.core.path import Path, trace
from benchcalc.core.points import BadPoints, rows_from_points
from benchcalc.core.shapes import Radius, radius_of
from benchcalc.core.springback import Springback
from benchcalc.core.vectors import Vector, along, dot, less

ANSWERS = 4
PLACES = 9
"""Decimals of a millimetre and a degree that an answer keeps: no bench sees a millionth of them."""

STEPS_MM = (256.0, 64.0, 16.0, 4.0, 1.0, 0.25)
"""Steps by which the legs of a run of any two angles are tried longer and shorter."""

OF_THE_PLACE = {
    "od-die", "wall-die", "strain", "radius-ratio", "hardness", "wall-after", "out-of-round",
    "pressure",
}  # fmt: skip
"""Findings that tube and bender bring with them, whatever way the run goes."""


class Port(NamedTuple):
    """A place and the direction in which the tube travels there: out of the first, into the last.

    ``travel`` need not be of unit length.
    """

    point: Vector
    travel: Vector


class Answer(NamedTuple):
    """One way from port to port, bendable, with what it takes.

    ``frame`` is the start of the run in the space of the ports. ``ordinary`` tells whether all
    bends are of ordinary angles.
    """

    run: Run
    frame: Frame
    ordinary: bool
    layout: Layout
    path: Path

    @property
    def end(self) -> Port:
        """Where the run arrives, in the space of the ports."""
        far = self.frame.place(self.path.end_point)
        return Port(far, self.frame.out(self.path.end_direction))


class _Course(NamedTuple):
    """Corner points not yet laid out: how good they are, and the points."""

    ordinary: bool
    bends: int
    tube_mm: float
    points: tuple[Vector, ...]


class _Bench(NamedTuple):
    """What a course must keep to: radii, the travel, and the straights the bender needs."""

    radius: Radius
    most_deg: float
    first_mm: float
    between_mm: float
    last_mm: float

    def rooms(self, angles: tuple[float, ...]) -> tuple[float, ...] | None:
        """The least centre legs for bends of these angles; None when one cannot be made."""
        if not all(0.5 < angle <= self.most_deg for angle in angles):
            return None
        backs = [set_back(self.radius(angle), angle, crown=False) for angle in angles]
        inner = (a + b + self.between_mm for a, b in pairwise(backs))
        return (backs[0] + self.first_mm, *inner, backs[-1] + self.last_mm)

    def gain(self, angle_deg: float) -> float:
        """What one bend saves of the legs."""
        radius = self.radius(angle_deg)
        return 2 * set_back(radius, angle_deg, crown=False) - radius * radians(angle_deg)


class _Task(NamedTuple):
    """What to look for: on this bench, from here to there, after these segments."""

    job: Job
    springback: Springback
    bench: _Bench
    start: Port
    end: Port
    curve: Vector | None
    before: tuple[Segment, ...] = ()
    back_mm: float = 0.0

    def whole(self, run: Run) -> Run:
        """The run with what stands before it; its first leg grows to the last bend's corner."""
        if not self.before:
            return run
        first, *rest = run.segments
        first = replace(first, leg_mm=first.leg_mm + self.back_mm)
        return replace(run, segments=(*self.before, first, *rest))


def port_to_port(
    job: Job, springback: Springback, start: Port, end: Port, most: int = ANSWERS
) -> tuple[Answer, ...]:
    """Bendable runs from one port to the other, the best first; the job's own run is not looked at.

    Ordinary angles come before others, then the fewest bends, then the least tube; the best run of
    each number of bends stands among the answers, and so does the best of any two angles. Legs are
    centre legs between corners. Empty when there is none. Raises ValueError for a direction of no
    length.
    """
    return _sought(_Task(job, springback, _bench(job, springback), start, end, None), most)


def closing_runs(
    job: Job,
    springback: Springback,
    before: tuple[Segment, ...],
    end: Port,
    most: int = ANSWERS,
) -> tuple[Answer, ...]:
    """The same from where a run has got to: its last legs and bends up to a port.

    ``before`` are the segments so far, one at least; ``end`` stands in the run's own space, and the
    answers are whole runs.
    """
    so_far = replace(job, run=Run(before, 0.0), order=())
    layout = lay_out(so_far, springback)
    last, bend = trace(layout).pieces[-1], layout.bends[-1]
    bench = _bench(job, springback)._replace(first_mm=job.bender.between_mm)
    start = Port(last.point, last.direction)
    task = _Task(
        job, springback, bench, start, end, last.normal, before, bend.set_back_mm
    )  # fmt: skip
    return _sought(task, most)


def _sought(task: _Task, most: int) -> tuple[Answer, ...]:
    u, v = unit(task.start.travel), unit(task.end.travel)
    gap = less(task.end.point, task.start.point)
    found: list[_Course] = []
    for bends in (1, 2, 3, 4):
        if bends < 4 or not any(course.ordinary for course in found):
            ways = directions(bends, u, v, gap)
            courses = _courses(ways, task.bench, task.start.point, gap)
            found += nsmallest(3 * most, courses, key=_rank)
    found += _any_two(task.bench, task.start.point, task.end.point, u, v)
    return _answers(sorted(found, key=_rank), task, most)


def _rank(course: _Course) -> tuple[bool, int, float]:
    return (not course.ordinary, course.bends, course.tube_mm)


def _bench(job: Job, springback: Springback) -> _Bench:
    bender, ends, need = job.bender, job.ends, job.straight
    reference_held = job.held == "reference"
    first = bender.grip_mm if reference_held else bender.free_mm
    last = bender.free_mm if reference_held else bender.grip_mm
    most = bender.max_angle_deg * (1 - springback.b) - springback.a_deg
    return _Bench(
        radius_of(bender, springback),
        min(most, CROWN_FROM_DEG - 0.5),
        max(first - ends.start_mm, need.start_mm, 0.0),
        bender.between_mm,
        max(last - ends.finish_mm, need.finish_mm, 0.0),
    )


def _courses(ways: Iterable[Way], bench: _Bench, start: Vector, gap: Vector) -> Iterator[_Course]:
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
            reach = along(reach, head, -room)
        more = least_lengths(heads, reach)
        if more is not None:
            legs = [room + by for room, by in zip(rooms, more, strict=True)]
            yield _course(start, heads, legs, angles, bench)


def _course(
    start: Vector,
    heads: tuple[Vector, ...],
    legs: list[float],
    angles: tuple[float, ...],
    bench: _Bench,
) -> _Course:
    points = [start]
    for head, leg in zip(heads, legs, strict=True):
        points.append(along(points[-1], head, leg))
    tube = sum(legs) - sum(map(bench.gain, angles))
    ordinary = all(min(abs(angle - o) for o in ORDINARY_DEG) < 1e-6 for angle in angles)
    return _Course(ordinary, len(angles), tube, tuple(points))


def _any_two(
    bench: _Bench, start: Vector, end: Vector, u: Vector, v: Vector
) -> tuple[_Course, ...]:
    """The run of two bends with the least tube, their angles what they come to."""

    def course(first: float, last: float) -> _Course | None:
        corners = along(start, u, first), along(end, v, -last)
        middle = less(corners[1], corners[0])
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
    best = min(filter(None, (course(x, y) for x in tries for y in tries)), key=_rank, default=None)
    if best is None:
        return ()
    for step in STEPS_MM:
        better: _Course | None = best
        while better is not None:
            best = better
            x, y = dist(best.points[0], best.points[1]), dist(best.points[2], best.points[3])
            beside = [(x - step, y), (x + step, y), (x, y - step), (x, y + step)]
            near = min(filter(None, (course(*at) for at in beside)), key=_rank, default=None)
            better = near if near is not None and near.tube_mm < best.tube_mm - 1e-6 else None
    return (best,)


def _answers(courses: list[_Course], task: _Task, most: int) -> tuple[Answer, ...]:
    """The first bendable course of each kind, then the next best, in their order."""
    taken: dict[int, Answer] = {}
    kinds: set[tuple[bool, int]] = set()
    for every in (False, True):
        for place, course in enumerate(courses):
            kind = (course.ordinary, course.bends)
            if len(taken) == most or place in taken or (kind in kinds and not every):
                continue
            answer = _answer(course, task)
            if answer is not None and all(answer.run != other.run for other in taken.values()):
                taken[place] = answer
                kinds.add(kind)
    return tuple(taken[place] for place in sorted(taken))


def _answer(course: _Course, task: _Task) -> Answer | None:
    """A course laid out; None when a finding stops it."""
    try:
        rows = rows_from_points(course.points, task.curve)
    except BadPoints:
        return None
    run = task.whole(_tidy(rows.run))
    job = replace(task.job, run=run, order=())
    layout = lay_out(job, task.springback)
    stops = [f for f in find_all(job, layout, task.springback) if f.level == "stop"]
    if any(f.rule not in OF_THE_PLACE and (f.bend or inf) > len(task.before) for f in stops):
        return None
    frame = START if task.before else rows.frame
    return Answer(run, frame, course.ordinary, layout, trace(layout))


def _tidy(run: Run) -> Run:
    """The run without the rounding of its making: a 45 is 45 and no turn is -180."""
    segments = tuple(
        replace(
            segment,
            leg_mm=round(segment.leg_mm, PLACES),
            angle_deg=round(segment.angle_deg, PLACES),
            turn_deg=wrapped(round(segment.turn_deg, PLACES)) + 0.0,
            measured="centre",
        )
        for segment in run.segments
    )
    return Run(segments, round(run.last_leg_mm, PLACES), "centre")
