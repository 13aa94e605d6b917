"""Port to port: two places and two directions, and the runs this bender can make between them.

A run leaves the first port along its direction and arrives travelling along the second's. Its
directions between are looked for among those that ordinary angles allow; the legs then follow
exactly, so that every answer arrives to the last digit. Lengths are millimetres, angles degrees.
"""

from collections.abc import Iterator
from heapq import nsmallest
from itertools import accumulate
from math import inf
from typing import NamedTuple

from benchcalc.core.checks.findings import find_all
from benchcalc.core.frozen import replace
from benchcalc.core.geometry.directions import directions, towards
from benchcalc.core.geometry.frames import START, Frame, unit, wrapped
from benchcalc.core.geometry.vectors import Vector, subtract, translate
from benchcalc.core.job import Job, Run, Segment
from benchcalc.core.layout.path import Path, trace
from benchcalc.core.layout.straight_tube import Layout, lay_out
from benchcalc.core.shapes.points import BadPoints, rows_from_points
from benchcalc.core.shapes.port_candidates import (
    LEAST_DEG,
    NEARLY_DEG,
    Bench,
    Course,
    all_ordinary,
    any_two,
    bench_of,
    courses_along,
    rank,
)
from benchcalc.core.springback.first_guess import Springback

ANSWERS = 4
PLACES = 9
"""Decimals of a millimetre and a degree that an answer keeps: no bench sees a millionth of them."""

SAME_DEG = 15.0
"""A bend turned by no more than this is that of the same way: half the step between directions that
are looked at round another."""

LONG_MM = 100.0
"""Legs for looking at the bends alone."""

OF_THE_PLACE = {
    "od-die", "wall-die", "strain", "radius-ratio", "hardness", "wall-after", "out-of-round",
    "pressure", "temper", "service", "seam", "stretch",
}  # fmt: skip
"""Findings that tube and bender bring with them, whatever way the run goes."""


class Port(NamedTuple):
    """A place and the direction in which the tube travels there: out of the first, into the last.

    ``travel`` need not be of unit length.
    """

    point: Vector
    travel: Vector


Pattern = tuple[tuple[float, float], ...]
"""What a way to a port is known by, whatever its legs: the angle of each of its bends, and its turn
from the bend before. The first turn counts from the run that leads up to it; where there is none,
from the way across to the far port."""


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
    pattern: Pattern

    @property
    def end(self) -> Port:
        """Where the run arrives, in the space of the ports."""
        far = self.frame.place(self.path.end_point)
        return Port(far, self.frame.out(self.path.end_direction))


class _Task(NamedTuple):
    """What to look for: on this bench, from here to there, after these segments."""

    job: Job
    springback: Springback
    bench: Bench
    start: Port
    end: Port
    curve: Vector | None
    before: tuple[Segment, ...] = ()
    back_mm: float = 0.0

    @property
    def across(self) -> Vector:
        """Which way the first turn of a pattern is counted from."""
        gap = subtract(self.end.point, self.start.point)
        return self.curve or towards(unit(self.start.travel), gap)

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
    return _sought(_task(job, springback, start, (), end), most)


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
    return _sought(_task(job, springback, None, before, end), most)


def way_again(
    job: Job,
    springback: Springback,
    start: Port | None,
    before: tuple[Segment, ...],
    end: Port,
    pattern: Pattern,
) -> Answer | None:
    """The way of this pattern from a port, or from where a run has got to when ``start`` is None.

    What is known of radius and springback may have changed since, and with it the legs and the
    order of the ways, but not the bends of one. None when it cannot be bent any more.
    """
    task = _task(job, springback, start, before, end)
    near = min(_courses_like(task, pattern), key=lambda found: found[0], default=None)
    return None if near is None or near[1] is None else _answer(near[1], task)


def _courses_like(task: _Task, pattern: Pattern) -> Iterator[tuple[float, Course | None]]:
    """Every way of nearly this pattern, how far it is from it, and its course if it has one."""
    bench, start, end = task.bench, task.start, task.end
    u, v = unit(start.travel), unit(end.travel)
    gap, angles = subtract(end.point, start.point), tuple(angle for angle, _ in pattern)
    ordinary = all_ordinary(angles)
    if len(angles) == 2 and not ordinary:
        for course in any_two(bench, start.point, end.point, u, v):
            off = _apart(_pattern(course.points, task), pattern)
            if off <= SAME_DEG:
                yield off, course
        return
    for heads, made in directions(len(angles), u, v, gap):
        other = max(abs(a - b) for a, b in zip(made, angles, strict=True)) > NEARLY_DEG
        if min(made) <= LEAST_DEG or (ordinary and other):
            continue
        legs = accumulate(heads, lambda at, head: translate(at, head, LONG_MM), initial=start.point)
        off = _apart(_pattern(tuple(legs), task), pattern)
        if off <= SAME_DEG:
            yield off, next(courses_along([(heads, made)], bench, start.point, gap), None)


def _apart(one: Pattern, other: Pattern) -> float:
    """By how many degrees the bends of two patterns differ at most."""
    pairs = zip(one, other, strict=True)
    return max(max(abs(a - b), abs(wrapped(s - t))) for (a, s), (b, t) in pairs)


def _pattern(points: tuple[Vector, ...], task: _Task) -> Pattern:
    segments = rows_from_points(points, task.across).run.segments
    return tuple((round(s.angle_deg, PLACES), round(s.turn_deg, PLACES)) for s in segments)


def _task(
    job: Job,
    springback: Springback,
    start: Port | None,
    before: tuple[Segment, ...],
    end: Port,
) -> _Task:
    """From the start to the end; without a start from where the segments have got to."""
    bench = bench_of(job, springback)
    if start is not None:
        return _Task(job, springback, bench, start, end, None)
    layout = lay_out(replace(job, run=Run(before, 0.0), order=()), springback)
    last, bend = trace(layout).pieces[-1], layout.bends[-1]
    bench = bench._replace(first_mm=job.bender.between_mm)
    start = Port(last.point, last.direction)
    return _Task(job, springback, bench, start, end, last.normal, before, bend.set_back_mm)


def _sought(task: _Task, most: int) -> tuple[Answer, ...]:
    u, v = unit(task.start.travel), unit(task.end.travel)
    gap = subtract(task.end.point, task.start.point)
    found: list[Course] = []
    for bends in (1, 2, 3, 4):
        if bends < 4 or not any(course.ordinary for course in found):
            ways = directions(bends, u, v, gap)
            courses = courses_along(ways, task.bench, task.start.point, gap)
            found += nsmallest(3 * most, courses, key=rank)
    found += any_two(task.bench, task.start.point, task.end.point, u, v)
    return _answers(sorted(found, key=rank), task, most)


def _answers(courses: list[Course], task: _Task, most: int) -> tuple[Answer, ...]:
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


def _answer(course: Course, task: _Task) -> Answer | None:
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
    pattern = _pattern(course.points, task)
    return Answer(run, frame, course.ordinary, layout, trace(layout), pattern)


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
