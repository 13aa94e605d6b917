"""One drawing language for panel, sheet and report: tube, mark, line, bend, turn.

The tube is a band with two edges and its reference end carries a square flag. A mark is a pen
stroke across the band, a held side is hatched, a line of the bender is a notch that meets the
stroke, a bend is lit, a turn is the tube seen from its end with a dot for the heel.
"""

from collections.abc import Callable, Iterable
from itertools import pairwise
from math import cos, hypot, pi, radians, sin

from benchcalc.core.geometry.vectors import Vector, cross, dot
from benchcalc.core.layout.hand_turns import HandTurn
from benchcalc.core.layout.path import Path, Piece
from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.report.figures import angle_text, length_text
from benchcalc.report.run_views import View, seen, view_of_bend
from benchcalc.report.scene import (
    Box,
    Disc,
    Fill,
    Label,
    Picture,
    Point,
    Polygon,
    Role,
    Shape,
    Stroke,
)
from benchcalc.words.language import say

LEAST_RING = 5.0
"""Radius, in pixels, of a ring that would be too small to see to scale."""


def strip(box: Box, sheet: Sheet, current: int | None) -> Picture:
    """The straight tube to scale with its marks; the current bend lit, its mark with its distance.

    What lies on the held side of the current bend is hatched.
    """
    layout = sheet.layout
    whole = max(layout.cut_length_mm, 1.0)
    left, right = box.x + 0.03 * box.w, box.right - 0.03 * box.w
    thick = min(26.0, box.h * 0.3)
    top = box.bottom - thick - box.h * 0.08

    def x_of(at_mm: float) -> float:
        return left + (right - left) * min(max(at_mm / whole, 0.0), 1.0)

    shapes: list[Shape] = [Fill(Box(left, top, right - left, thick), "tube")]
    for bend in layout.bends:
        if bend.number == current:
            span = Box(x_of(bend.start_mm), top, x_of(bend.end_mm) - x_of(bend.start_mm), thick)
            shapes.append(Fill(span, "lit"))
            shapes += _held_hatch(bend, sheet, x_of, top, thick)
    for edge in (top, top + thick):
        shapes.append(Stroke(((left, edge), (right, edge)), "tube_edge", 2.5))
    shapes.append(Stroke(((right, top), (right, top + thick)), "tube_edge", 2.5))
    shapes += flag((left, top), thick)
    for bend in layout.bends:
        if bend.mark is not None:
            shapes += _pen_mark(sheet, bend, x_of(bend.mark.at_mm), box, top, thick, current)
    return Picture(box, tuple(shapes))


def _held_hatch(
    bend: BendLayout, sheet: Sheet, x_of: Callable[[float], float], top: float, thick: float
) -> Iterable[Shape]:
    grip = max(sheet.job.bender.grip_mm, sheet.job.tube.od_mm * 2)
    if bend.held == "reference":
        low, high = x_of(bend.start_mm - grip), x_of(bend.start_mm)
    else:
        low, high = x_of(bend.end_mm), x_of(bend.end_mm + grip)
    yield from hatch(Box(low, top, high - low, thick))


def hatch(box: Box, step: float = 9.0) -> Iterable[Shape]:
    """Slanted lines over the side of the tube that the clamp holds."""
    x = box.x
    while x < box.right:
        end = min(x + box.h * 0.6, box.right)
        rise = (end - x) / 0.6
        yield Stroke(((x, box.bottom), (end, box.bottom - rise)), "tube_edge", 1.6)
        x += step


def flag(corner: Point, thick: float) -> Iterable[Shape]:
    """The square flag of the reference end; ``corner`` is the upper corner of the tube's end."""
    x, top = corner
    size = max(9.0, thick * 0.7)
    yield Stroke(((x, top - size * 1.25), (x, top + thick)), "ink", 3.0)
    yield Fill(Box(x, top - size * 1.25, size, size), "ink")


def _pen_mark(
    sheet: Sheet,
    bend: BendLayout,
    x: float,
    box: Box,
    top: float,
    thick: float,
    current: int | None,
) -> Iterable[Shape]:
    mine = bend.number == current
    rise = box.h * (0.16 if mine else 0.1)
    yield Stroke(((x, top - rise), (x, top + thick + 3)), "pen", 4.0 if mine else 2.5)
    if not mine or bend.mark is None:
        return
    size = min(24.0, box.h * 0.3)
    width = size * 5.5
    at = min(max(x - width / 2, box.x), box.right - width)
    text = length_text(bend.mark.at_mm, sheet.job.units)
    yield Label(Box(at, top - rise - size, width, size), text, size, "pen", "centre", heavy=True)


def run_picture(box: Box, sheet: Sheet, current: int | None, ground: Role = "ground") -> Picture:
    """The finished run in space, turned to show the current bend best, which is lit.

    Where no bend is in hand, from the side that shows most of it, with the ring about its end and
    what may be missed there.
    """
    view = view_of_bend(sheet.path, current)
    right, up = view
    points = [p for piece in sheet.path.pieces for p in piece_points(piece)]
    ringed = bool(sheet.layout.bends) and (current is None or current > len(sheet.layout.bends))
    size = min(max(20.0, box.w * 0.055), 32.0, box.h * 0.16)
    run = box._replace(h=box.h - (size if ringed else 0.0))
    place, scale = fitted(run, [(dot(p, right), -dot(p, up)) for p in points])
    width = min(max(sheet.job.tube.od_mm * scale, 7.0), 16.0)
    shapes = [*run_shapes(sheet.path, view, place, width, current)]
    if ringed:
        miss_mm = sheet.expected_miss().radius_mm
        shapes.append(miss_ring(sheet.path, miss_mm, view, place, scale))
        says = say("run.miss", far=length_text(miss_mm, sheet.job.units))
        foot = Box(box.x, box.bottom - size * 1.2, box.w, size)
        shapes.append(Label(foot, says, size, "quiet", "centre"))
    return Picture(box, tuple(shapes), ground)


def miss_ring(
    path: Path, miss_mm: float, view: View, place: Callable[[float, float], Point], scale: float
) -> Disc:
    """A ring about the far end, to scale: inside it the end arrives 95 times of 100."""
    (point,) = seen([path.end_point], view)
    return Disc(place(*point), max(miss_mm * scale, LEAST_RING), "ink", 2.5)


def run_shapes(
    path: Path,
    view: View,
    place: Callable[[float, float], Point],
    width: float,
    current: int | None,
) -> Iterable[Shape]:
    """The run seen along a view, what lies behind drawn first; ``place`` puts plane points."""
    right, up = view
    ahead = cross(right, up)
    pieces = [piece_points(piece) for piece in path.pieces]
    drawn = [tuple(place(dot(p, right), -dot(p, up)) for p in points) for points in pieces]
    depths = [sum(dot(p, ahead) for p in points) / len(points) for points in pieces]
    lit = [piece.bend is not None and piece.bend == current for piece in path.pieces]
    for i in sorted(range(len(drawn)), key=lambda i: depths[i]):
        if path.pieces[i].bend is None and _span(drawn[i]) < 1.0:
            yield from _end_on(drawn[i][0], width)
            continue
        yield Stroke(drawn[i], "tube_edge", width)
        inner = _open_ended(drawn[i], i == 0, i == len(drawn) - 1)
        yield Stroke(inner, "lit" if lit[i] else "tube", width - 4.0)
    for i, (before, after) in enumerate(pairwise(drawn)):
        patch = (_towards(before[-1], before[-2], width), after[0])
        yield Stroke(patch, "lit" if lit[i] else "tube", width - 4.0)
        patch = (after[0], _towards(after[0], after[1], width))
        yield Stroke(patch, "lit" if lit[i + 1] else "tube", width - 4.0)
    x, y = drawn[0][0]
    yield from flag((x, y - width / 2), width)


def _span(points: tuple[Point, ...]) -> float:
    return hypot(points[-1][0] - points[0][0], points[-1][1] - points[0][1])


def _end_on(centre: Point, width: float) -> Iterable[Shape]:
    """A straight that is seen along itself."""
    yield Disc(centre, width / 2, "tube_edge")
    yield Disc(centre, width / 2 - 2.0, "tube")


def piece_points(piece: Piece, step_deg: float = 7.5) -> list[Vector]:
    """A straight's two ends, or points along an arc."""
    steps = 1
    if piece.radius_mm:
        steps = max(2, round(piece.length_mm / piece.radius_mm / radians(step_deg)))
    return [piece.at(piece.length_mm * i / steps)[0] for i in range(steps + 1)]


def fitted(box: Box, points: list[Point]) -> tuple[Callable[[float, float], Point], float]:
    """How plane points are moved and scaled to lie centred in a box, and the scale."""
    low_x, high_x = min(x for x, _ in points), max(x for x, _ in points)
    low_y, high_y = min(y for _, y in points), max(y for _, y in points)
    inner = box.inset(min(box.w, box.h) * 0.14)
    scale = min(inner.w / max(high_x - low_x, 1e-6), inner.h / max(high_y - low_y, 1e-6))
    off_x = inner.x + (inner.w - (high_x - low_x) * scale) / 2
    off_y = inner.y + (inner.h - (high_y - low_y) * scale) / 2
    return lambda x, y: (off_x + (x - low_x) * scale, off_y + (y - low_y) * scale), scale


def _towards(start: Point, end: Point, by: float) -> Point:
    """A point on the way from one to another, at most there."""
    long = hypot(end[0] - start[0], end[1] - start[1])
    part = min(1.0, by / long) if long else 0.0
    return (start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part)


def _open_ended(points: tuple[Point, ...], first: bool, last: bool) -> tuple[Point, ...]:
    """The fill of a tube piece; at the tube's own ends it stops short, so the edge closes it."""
    if first:
        points = (_towards(points[0], points[1], 2.0), *points[1:])
    if last:
        points = (*points[:-1], _towards(points[-1], points[-2], 2.0))
    return points


def turn_ring(box: Box, turn: HandTurn, now_deg: float | None = None) -> Picture:
    """The tube seen from the held end: the heel of the last bend, and the way the hands carry it.

    An open dot where the bender left it, at the foot; a full one where it goes; the needle where a
    sensor sees it by ``now_deg``, clockwise.
    """
    cx, cy = box.centre
    radius = min(box.w, box.h) * 0.33
    shapes: list[Shape] = [
        Disc((cx, cy), radius, "tube"),
        Disc((cx, cy), radius, "tube_edge", 3.0),
    ]
    sweep = turn.by_deg if turn.way == "clockwise" else -turn.by_deg
    outer = radius * 1.28
    path = [_clock(cx, cy, outer, 180.0 + sweep * i / 24) for i in range(25)]
    if turn.by_deg:
        shapes.append(Stroke(tuple(path), "ink", 3.5))
        shapes.append(_arrow_head(path[-1], 180.0 + sweep, sweep > 0, radius * 0.3))
        shapes.append(Disc(_clock(cx, cy, radius, 180.0), radius * 0.15, "sheet"))
        shapes.append(Disc(_clock(cx, cy, radius, 180.0), radius * 0.15, "tube_edge", 2.5))
    shapes.append(Disc(_clock(cx, cy, radius, 180.0 + sweep), radius * 0.17, "ink"))
    if now_deg is not None:
        shapes.append(Stroke(((cx, cy), _clock(cx, cy, radius, 180.0 + now_deg)), "focus", 5.0))
    return Picture(box, tuple(shapes), "sheet")


def _clock(cx: float, cy: float, radius: float, degrees: float) -> Point:
    """A point by its clock angle: 0 at the top, clockwise."""
    return (cx + radius * sin(radians(degrees)), cy - radius * cos(radians(degrees)))


def _arrow_head(tip: Point, degrees: float, clockwise: bool, size: float) -> Polygon:
    way = radians(degrees + (90.0 if clockwise else -90.0))
    dx, dy = sin(way), -cos(way)
    x, y = tip
    return Polygon(
        (
            (x + dx * size * 0.8, y + dy * size * 0.8),
            (x - dy * size * 0.55, y + dx * size * 0.55),
            (x + dy * size * 0.55, y - dx * size * 0.55),
        ),
        "ink",
    )


def seat_picture(box: Box, bend: BendLayout, clamp: str) -> Picture:
    """The tube in the bender: what holds it, die, the mark on its line, which end is flagged."""
    thick = box.h * 0.17
    top = box.y + box.h * 0.38
    left, right = box.x + box.w * 0.06, box.right - box.w * 0.06
    start = box.x + box.w * 0.46
    radius = box.h * 0.36
    die = [(start + radius * sin(a), top - radius + radius * cos(a)) for a in _quarter()]
    shapes: list[Shape] = [
        Polygon(((start - radius * 0.5, top), *die, (start - radius * 0.5, box.y + 4)), "key"),
        Fill(Box(left, top, right - left, thick), "tube"),
        *hatch(Box(left + box.w * 0.1, top, box.w * 0.2, thick)),
    ]
    for edge in (top, top + thick):
        shapes.append(Stroke(((left, edge), (right, edge)), "tube_edge", 2.5))
    x = start + min(box.w * 0.2, radius * 0.8)
    shapes.append(Stroke(((x, top - 2), (x, top + thick + 4)), "pen", 5.0))
    notch = box.h * 0.08
    shapes.append(
        Polygon(((x, top), (x - notch, top - 2 * notch), (x + notch, top - 2 * notch)), "ink")
    )
    end = left if bend.held == "reference" else right
    pole = end if bend.held == "reference" else end - 2
    shapes += flag((pole, top), thick)
    size = box.h * 0.16
    below = top + thick + box.h * 0.06
    holds = Box(left, below, box.w * 0.4, size)
    shapes.append(Label(holds, clamp, size, "quiet", "centre"))
    if bend.mark is not None:
        text = say("make.line", line=bend.mark.line.name)
        place = Box(x - box.w * 0.2, below, box.w * 0.4, size)
        shapes.append(Label(place, text, size, "pen", "centre", heavy=True))
    return Picture(box, tuple(shapes), "sheet")


def _quarter() -> list[float]:
    return [pi / 2 * i / 12 for i in range(13)]


DIAL_DEG = 40.0
"""How far the dial's arc goes to either side of the target, as it is drawn."""


def dial(
    box: Box,
    target_deg: float,
    reading_deg: float,
    tolerance_deg: float,
    now_deg: float | None = None,
) -> Picture:
    """The bender's scale near the target, drawn wide: the band that counts as good, and a reading.

    A fixed tick stands at the target and a longer one at the reading; degrees lie as on the bender,
    growing to the right. ``now_deg`` is where a sensor sees the tube: a needle from within.
    """
    span = max(3.0, 1.6 * abs(reading_deg - target_deg), 2.0 * tolerance_deg)
    size = min(box.h * 0.2, box.w * 0.13)
    bow = 1.0 - cos(radians(DIAL_DEG))  # how far the ends of the arc hang, as a part of its radius
    radius = min(box.w * 0.66, (box.h - 3.4 * size) / bow)
    cx = box.x + box.w / 2
    cy = box.y + (box.h - 3.4 * size - bow * radius) / 2 + 1.9 * size + radius

    def at(degrees: float, out: float) -> Point:
        turn = radians((degrees - target_deg) / span * DIAL_DEG)
        return (cx + (radius + out) * sin(turn), cy - (radius + out) * cos(turn))

    def arc(low: float, high: float) -> tuple[Point, ...]:
        return tuple(at(low + (high - low) * i / 32, 0.0) for i in range(33))

    low, high = target_deg - span, target_deg + span
    shapes: list[Shape] = [
        Stroke(arc(low, high), "rule", 4.0),
        Stroke(arc(low, min(reading_deg, high)), "tube_edge", 12.0),
        Stroke(arc(low, min(reading_deg, high)), "lit", 7.0),
        Stroke(arc(target_deg - tolerance_deg, target_deg + tolerance_deg), "good", 16.0),
        Stroke((at(target_deg, -0.5 * size), at(target_deg, 0.3 * size)), "ink", 4.0),
        Stroke((at(reading_deg, -0.4 * size), at(reading_deg, 0.7 * size)), "ink", 8.0),
    ]
    for degrees, out in ((target_deg, -1.1 * size), (reading_deg, 1.35 * size)):
        x, y = at(degrees, out)
        edge = min(max(x - size * 2, box.x), box.right - size * 4)
        place = Box(edge, y - size / 2, size * 4, size)
        shapes.append(Label(place, angle_text(round(degrees, 1)), size, "ink", "centre"))
    if now_deg is not None:
        needle = min(max(now_deg, low), high)
        tip, left, right = (
            at(needle, -0.1 * size),
            at(needle - span * 0.06, -1.1 * size),
            at(needle + span * 0.06, -1.1 * size),
        )
        shapes.append(Polygon((tip, left, right), "ink"))
    return Picture(box, tuple(shapes), "sheet")
