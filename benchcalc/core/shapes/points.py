"""Corner points to rows (leg, bend, turn) and back, exact both ways but for the first turn.

A run's corner points are its two ends and, between them, the corners where two leg centrelines
cross. They know no radius. Points and legs are millimetres, angles degrees.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, degrees, dist
from typing import NamedTuple

from benchcalc.core.frozen import replace
from benchcalc.core.geometry.frames import START, Frame, angle_between, length, unit
from benchcalc.core.geometry.vectors import Vector, cross, dot, subtract, translate
from benchcalc.core.job import Run, Segment

IN_LINE_MM = 0.01
"""A point this near the straight line between its neighbours lies on it: a fiftieth of a pen line,
the last digit of most drawings."""

BACK_DEG = 179.9
"""From here on a corner is so far off that the run doubles back on itself."""


class Fault(NamedTuple):
    """What is wrong with one point: its line in a text or its number, and what to do about it."""

    at: int
    what: str
    value: str
    limit: str
    todo: str


class BadPoints(ValueError):
    """Points that make no run; ``faults`` holds all that is wrong with them."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(": ".join((f"point {f.at}", *f[1:])) for f in faults))
        self.faults = faults


class Rows(NamedTuple):
    """A run made from points, and the frame of its start in the space of the points.

    ``in_line`` names the points, counted from 1, that lay on a straight leg and were merged.
    """

    run: Run
    frame: Frame
    in_line: tuple[int, ...]


def rows_from_points(points: Sequence[Vector], curve: Vector | None = None) -> Rows:
    """The run through corner points, from the first to the last.

    The first bend's turn is 0 and the frame's curve is the way it bends; with ``curve``, square to
    the first leg, its turn is counted from there. Every bend is measured to its corner.
    Raises BadPoints, with every fault, for fewer than three points, two points in one place, a
    run that doubles back on itself, and points that lie on one straight line.
    """
    if len(points) < 3:
        count = f"{len(points)} points"
        raise BadPoints(
            (Fault(1, "points", count, "3 or more", "write both ends and the corners"),)
        )
    if faults := tuple(_coincident(points)):
        raise BadPoints(faults)
    kept = _corners(points)
    if faults := tuple(_doubled_back(points, kept)):
        raise BadPoints(faults)
    if len(kept) == 2:
        raise BadPoints((Fault(2, "points", "all in one line", "a bend", "a straight needs none"),))
    in_line = tuple(n + 1 for n in range(len(points)) if n not in set(kept))
    return _rows([points[n] for n in kept], curve, in_line)


def _coincident(points: Sequence[Vector]) -> Iterator[Fault]:
    for number, (a, b) in enumerate(pairwise(points), 2):
        if dist(a, b) <= IN_LINE_MM:
            where = f"on point {number - 1}"
            limit = f"over {IN_LINE_MM:g} mm from the point before"
            yield Fault(number, "point", where, limit, "remove one of the two")


def _corners(points: Sequence[Vector]) -> list[int]:
    """The points where the run bends, with both ends, counted from 0."""
    kept = [0]
    for at in range(1, len(points) - 1):
        travel = (
            unit(subtract(points[at + 1], points[kept[-1]]))
            if _ahead(points, kept[-1], at)
            else None
        )
        to = subtract(points[at], points[kept[-1]])
        if travel is None or length(cross(to, travel)) > IN_LINE_MM:
            kept.append(at)
    return [*kept, len(points) - 1]


def _ahead(points: Sequence[Vector], before: int, at: int) -> bool:
    """Whether the run goes on from a point rather than back."""
    return dot(subtract(points[at], points[before]), subtract(points[at + 1], points[at])) > 0


def _doubled_back(points: Sequence[Vector], kept: list[int]) -> Iterator[Fault]:
    for a, b, c in zip(kept, kept[1:], kept[2:], strict=False):
        angle = angle_between(subtract(points[b], points[a]), subtract(points[c], points[b]))
        if angle > BACK_DEG:
            limit = f"a bend under {BACK_DEG:g} deg"
            yield Fault(b + 1, "point", "the run doubles back here", limit, "write its corners")


def _rows(corners: list[Vector], curve: Vector | None, in_line: tuple[int, ...]) -> Rows:
    legs = [subtract(b, a) for a, b in pairwise(corners)]
    axes = [unit(cross(a, b)) for a, b in pairwise(legs)]
    travel = unit(legs[0])
    first = cross(axes[0], travel) if curve is None else curve
    last_axis = axes[0] if curve is None else cross(travel, curve)
    segments: list[Segment] = []
    for leg, after, axis in zip(legs, legs[1:], axes, strict=False):
        turn = degrees(atan2(dot(cross(last_axis, axis), unit(leg)), dot(last_axis, axis)))
        segment = Segment(length(leg), angle_between(leg, after), turn)
        segments.append(replace(segment, to="corner") if segment.crown else segment)
        last_axis = axis
    if curve is None:
        segments[0] = replace(segments[0], turn_deg=0.0)
    return Rows(Run(tuple(segments), length(legs[-1])), Frame(corners[0], travel, first), in_line)


def points_from_rows(run: Run, frame: Frame = START) -> tuple[Vector, ...]:
    """The corner points of a run whose legs are centre legs between corners.

    Raises ValueError for a bend measured to its crown, which has no corner to give.
    """
    points = [frame.point]
    for number, segment in enumerate(run.segments, 1):
        if segment.crown:
            raise ValueError(f"bend {number} is measured to its crown: it has no corner point")
        frame = frame.ahead(segment.leg_mm).bent(segment.turn_deg, segment.angle_deg)
        points.append(frame.point)
    return (*points, translate(frame.point, frame.travel, run.last_leg_mm))
