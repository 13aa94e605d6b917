"""The run from the front, from above and from the right, to one scale, and in space; with sizes.

Front: X to the right, Y up. From above it lies over the front view, from the right beside it. An
overall size is over the outside of the tube; a leg's length stands where the leg is seen whole.
"""

from collections.abc import Callable, Iterable
from itertools import pairwise
from math import hypot, sqrt
from typing import NamedTuple

from benchcalc.core.fit.expected_miss import Miss
from benchcalc.core.geometry.vectors import Vector, dot
from benchcalc.core.job import Units
from benchcalc.core.layout.path import Path
from benchcalc.core.sheet import Sheet
from benchcalc.report.boxes import (
    columns,
    rows,
)
from benchcalc.report.drawings import fitted, miss_ring, run_shapes
from benchcalc.report.figures import length_text
from benchcalc.report.run_marks import axes_sign, clash_marks, clash_of, clash_view
from benchcalc.report.run_views import PLANE, View, X, Y, Z, clearest_isometric, seen
from benchcalc.report.scene import Box, Label, Picture, Point, Shape, Stroke

Place = Callable[[float, float], Point]

ABOVE: View = (X, (0.0, 0.0, -1.0))
RIGHT: View = ((0.0, 0.0, -1.0), Y)

TEXT, ROOM = 20.0, 64.0
"""Height of a figure, and the room for a size beside a view, in pixels."""

LETTERS = 0.6
"""A letter's width as a part of its height, wide of most fonts."""

FLAG_HIGH = 12.0
"""The first leg's figure stands over the flag."""

WHOLE = 0.999
"""A leg is seen whole when no more than this part of its length is lost."""

AXES = 70.0
"""Room for the sign of the axes, pixels."""

FINE_DEG = 0.5


class Reach(NamedTuple):
    """How far the outside of the tube reaches along an axis, mm."""

    low: float
    high: float

    @property
    def size(self) -> float:
        """From one side to the other."""
        return self.high - self.low


def reach(path: Path, axis: Vector, od_mm: float) -> Reach:
    """The reach of the tube's outside along an axis: its centreline and, square to it, its
    radius."""
    low, high = [], []
    for piece in path.pieces:
        steps = 1
        if piece.radius_mm:
            steps = max(2, round(piece.length_mm / piece.radius_mm * 57.3 / FINE_DEG))
        for step in range(steps + 1):
            point, direction = piece.at(piece.length_mm * step / steps)
            aside = od_mm / 2 * sqrt(max(1 - dot(direction, axis) ** 2, 0.0))
            low.append(dot(point, axis) - aside)
            high.append(dot(point, axis) + aside)
    return Reach(min(low), max(high))


def views(box: Box, sheet: Sheet) -> Iterable[Picture]:
    """The four views in a box: from above over the front, from the right beside it, in space."""
    od = sheet.job.tube.od_mm
    wide, high, deep = (reach(sheet.path, axis, od).size for axis in (X, Y, Z))
    left, right = columns(box, 0.5, 0.5)
    share = min(max(deep / (deep + high), 0.4), 0.6)
    over, front = rows(left, share, 1 - share)
    space, beside = rows(right, share, 1 - share)
    scale = min(
        (over.w - 2.6 * ROOM) / max(wide, deep),
        (front.h - 2 * ROOM) / high,
        (over.h - 2 * ROOM) / deep,
    )
    for place, view, name in (
        (over, ABOVE, "from above, X and Z"),
        (front, PLANE, "front, X and Y"),
        (beside, RIGHT, "from the right, Z and Y"),
    ):
        yield Picture(place, tuple(_plain(place, sheet, view, name, scale)))
    yield Picture(space, tuple(_in_space(space, sheet)))


def _plain(box: Box, sheet: Sheet, view: View, name: str, scale: float) -> Iterable[Shape]:
    right, up = view
    od, units = sheet.job.tube.od_mm, sheet.job.units
    across, upward = reach(sheet.path, right, od), reach(sheet.path, up, od)
    cx, cy = box.centre[0] + ROOM * 0.6, box.centre[1]

    def place(x: float, y: float) -> Point:
        mid_x, mid_y = (across.low + across.high) / 2, -(upward.low + upward.high) / 2
        return (cx + (x - mid_x) * scale, cy + (y - mid_y) * scale)

    yield Label(Box(box.x, box.y, box.w, TEXT), name, TEXT, "quiet")
    yield from run_shapes(sheet.path, view, place, max(od * scale, 6.0), None)
    (x0, y1), (x1, y0) = place(across.low, -upward.low), place(across.high, -upward.high)
    yield from _along(x0, x1, y1 + TEXT, length_text(across.size, units))
    yield from _upright(y0, y1, x0 - TEXT, length_text(upward.size, units))
    yield from _legs(sheet, view, place, od * scale, WHOLE)


def _in_space(box: Box, sheet: Sheet) -> Iterable[Shape]:
    miss = sheet.expected_miss() if sheet.layout.bends else None
    clash, view = clash_of(sheet), clearest_isometric(sheet.path)
    if clash is not None:
        view = clash_view(sheet, clash)
    place, scale = fitted(box.inset(TEXT), seen([p for p, _ in sheet.path.points()], view))
    yield Label(Box(box.x, box.y, box.w, TEXT), _space_says(miss, sheet.job.units), TEXT, "quiet")
    width = min(max(sheet.job.tube.od_mm * scale, 7.0), 16.0)
    yield from run_shapes(sheet.path, view, place, width, miss.bend if miss else None)
    if miss is not None:
        yield miss_ring(sheet.path, miss.radius_mm, view, place, scale)
    if clash is not None:
        yield from clash_marks(sheet, clash, view, place, max(width, 10.0), box)
    yield from _legs(sheet, view, place, width, 0.0)
    yield from axes_sign((box.x + AXES, box.bottom - AXES * 0.6), view, AXES * 0.6, TEXT)


def _space_says(miss: Miss | None, units: Units) -> str:
    if miss is None:
        return "isometric"
    far = length_text(miss.radius_mm, units)
    return f"isometric; ring: the end lies within {far}, fed most by bend {miss.bend}, lit"


def _along(x0: float, x1: float, y: float, text: str) -> Iterable[Shape]:
    """A size below a view."""
    yield Stroke(((x0, y), (x1, y)), "quiet", 1.5)
    for x in (x0, x1):
        yield Stroke(((x - 5, y + 5), (x + 5, y - 5)), "quiet", 2.0)
    yield Label(Box((x0 + x1) / 2 - 70, y + 8, 140, TEXT), text, TEXT, "ink", "centre")


def _upright(y0: float, y1: float, x: float, text: str) -> Iterable[Shape]:
    """A size to the left of a view."""
    yield Stroke(((x, y0), (x, y1)), "quiet", 1.5)
    for y in (y0, y1):
        yield Stroke(((x - 5, y + 5), (x + 5, y - 5)), "quiet", 2.0)
    yield Label(Box(x - 112, (y0 + y1) / 2 - TEXT / 2, 104, TEXT), text, TEXT, "ink", "right")


def _legs(sheet: Sheet, view: View, place: Place, width: float, whole: float) -> Iterable[Shape]:
    """The length of each leg beside it, as it was given, on the side that has the room, if any."""
    right, up = view
    run = sheet.job.run
    given = [*(segment.leg_mm for segment in run.segments), run.last_leg_mm]
    drawn = [place(x, y) for x, y in seen([p for p, _ in sheet.path.points()], view)]
    taken: list[Box] = []
    for leg_mm, straight in zip(given, sheet.path.pieces[::2], strict=True):
        along, rise = dot(straight.direction, right), -dot(straight.direction, up)
        ends = [straight.at(at)[0] for at in (0.0, straight.length_mm)]
        a, b = (place(dot(p, right), -dot(p, up)) for p in ends)
        steep = abs(rise) > abs(along)
        long = hypot(b[0] - a[0], b[1] - a[1])
        if hypot(along, rise) < whole or long < (TEXT * 1.5 if steep else TEXT * 3.5):
            continue
        text = length_text(leg_mm, sheet.job.units)
        wide = len(text) * TEXT * LETTERS
        cx, cy = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
        if steep:
            off = width / 2 + 6 + (TEXT + width) / 2 * abs(along / rise)
            sides = [cx + off, cx - off - wide]
            places = [Box(x, cy - TEXT / 2, wide, TEXT) for x in sides]
        else:
            off = width / 2 + 4 + (wide + width) / 2 * abs(rise / along)
            flag = FLAG_HIGH if straight is sheet.path.pieces[0] else 0.0
            tops = [cy - off - TEXT - flag, cy + off]
            places = [Box(cx - wide / 2, y, wide, TEXT) for y in tops]
        free = next((box for box in places if _is_free(box, taken, drawn, width / 2)), None)
        if free is not None:
            taken.append(free)
            yield Label(free, text, TEXT, "quiet")


def _is_free(box: Box, taken: list[Box], drawn: list[Point], aside: float) -> bool:
    """Whether a figure would lie on no other figure and on none of the tube."""
    if any(
        box.x < other.right
        and other.x < box.right
        and box.y < other.bottom
        and other.y < box.bottom
        for other in taken
    ):
        return False
    room = box.inset(-aside)
    return not any(_crosses(room, *pair) for pair in pairwise(drawn))


def _crosses(box: Box, a: Point, b: Point) -> bool:
    """Whether a line from ``a`` to ``b`` goes through a box."""
    low, high = 0.0, 1.0
    for start, end, least, most in (
        (a[0], b[0], box.x, box.right),
        (a[1], b[1], box.y, box.bottom),
    ):
        if start == end:
            if not least < start < most:
                return False
            continue
        first, last = sorted(((least - start) / (end - start), (most - start) / (end - start)))
        low, high = max(low, first), min(high, last)
    return low < high
