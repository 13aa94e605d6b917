"""A plate to draw on for help: 160 wide and 100 high whatever its pixels, in the panel's signs."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, radians, sin, tan

from benchcalc.panel.widgets.flowing import text_width
from benchcalc.report.drawings import flag, hatch
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

WIDE, HIGH = 160.0, 100.0
BORE = 10.0
"""How thick a tube is drawn on the plate."""


class Plate:
    """Shapes being collected; all places in units of the plate, texts at the size of running text.

    Measures and words are moved inside where they would run over the edge.
    """

    def __init__(self, box: Box, unit: float) -> None:
        self.box, self.unit = box, unit
        self.scale = min(box.w / WIDE, box.h / HIGH)
        cx, cy = box.centre
        self.origin = (cx - WIDE / 2 * self.scale, cy - HIGH / 2 * self.scale)
        self.shapes: list[Shape] = []

    def at(self, point: Point) -> Point:
        """The pixel of a place."""
        return (self.origin[0] + point[0] * self.scale, self.origin[1] + point[1] * self.scale)

    def area(self, x: float, y: float, w: float, h: float) -> Box:
        """A box on the plate, in pixels."""
        return Box(*self.at((x, y)), w * self.scale, h * self.scale)

    def tube(
        self, points: Sequence[Point], role: Role = "tube", bore: float = BORE, flagged: bool = True
    ) -> None:
        """A band with two edges along points, open at neither end; its first end with a flag."""
        line = tuple(self.at(p) for p in points)
        wide = bore * self.scale
        self.shapes.append(Stroke(line, "tube_edge", wide))
        inner = (_short(line[0], line[1]), *line[1:-1], _short(line[-1], line[-2]))
        self.shapes.append(Stroke(inner, role, max(1.0, wide - 5.0)))
        if flagged:
            x, y = line[0]
            self.shapes += flag((x, y - wide / 2), wide)

    def ghost(self, points: Sequence[Point], bore: float = BORE) -> None:
        """A tube's place that is not, or not yet: its edges alone, thin."""
        for side in (-0.5, 0.5):
            self.line(beside(points, side * bore), "rule", 2.0)

    def line(self, points: Sequence[Point], role: Role = "ink", width: float = 2.5) -> None:
        """A line, ``width`` in pixels."""
        self.shapes.append(Stroke(tuple(self.at(p) for p in points), role, width))

    def dashes(self, start: Point, end: Point, role: Role = "quiet") -> None:
        """A centreline."""
        long = hypot(end[0] - start[0], end[1] - start[1])
        count = max(1, int(long / 6.0))
        for n in range(count):
            self.line(
                [_between(start, end, n / count), _between(start, end, (n + 0.6) / count)],
                role,
                2.0,
            )

    def arrow(self, points: Sequence[Point], role: Role = "ink", width: float = 3.0) -> None:
        """A line that ends in a head."""
        self.line(points, role, width)
        self.head(points[-1], points[-2], role)

    def head(self, tip: Point, back: Point, role: Role = "ink") -> None:
        """An arrow's head."""
        (x, y), (bx, by) = self.at(tip), self.at(back)
        long = hypot(x - bx, y - by) or 1.0
        dx, dy = (x - bx) / long, (y - by) / long
        reach = max(8.0, 5.0 * self.scale)
        wings = [
            (x - dx * reach + side * dy * reach * 0.5, y - dy * reach - side * dx * reach * 0.5)
            for side in (1, -1)
        ]
        self.shapes.append(Polygon(((x, y), *wings), role))

    def size(
        self, start: Point, end: Point, text: str, role: Role = "focus", aside: Point = (0, 0)
    ) -> None:
        """A measure from one place to another, a head at both ends, its name in the middle.

        A name too long for a level measure stands above it.
        """
        self.line([start, end], role, 3.0)
        self.head(end, start, role)
        self.head(start, end, role)
        x, y = _between(start, end, 0.5)
        long = abs(end[0] - start[0]) * self.scale
        if start[1] == end[1] and text_width(text, self.unit) > 0.72 * long:
            aside = (aside[0], aside[1] - 0.8 * self.unit / self.scale)
        self.word((x + aside[0], y + aside[1]), text)

    def word(self, middle: Point, text: str, role: Role = "ink") -> None:
        """A word on a ground of its own, so that lines do not cross it."""
        if not text:
            return
        x, y = self.at(middle)
        wide = min(text_width(text, self.unit) + 8.0, self.box.w)
        left = min(max(x - wide / 2, self.box.x), self.box.right - wide)
        top = min(max(y - self.unit / 2, self.box.y), self.box.bottom - self.unit - 2.0)
        box = Box(left, top, wide, self.unit + 2.0)
        self.shapes += (Fill(box, "sheet"), Label(box, text, self.unit, role, "centre"))

    def mark(self, x: float, y: float, bore: float = BORE) -> None:
        """A pen stroke across a level tube whose centreline lies at ``y``."""
        self.line([(x, y - bore * 0.8), (x, y + bore * 0.8)], "pen", 5.0)

    def notch(self, x: float, y: float, reach: float = 6.0) -> None:
        """A line of the bender: a notch whose tip stands at this place."""
        tip = (x, y)
        corners = (tip, (x - reach * 0.6, y - reach * 1.3), (x + reach * 0.6, y - reach * 1.3))
        self.shapes.append(Polygon(tuple(self.at(p) for p in corners), "ink"))

    def held(self, x: float, y: float, wide: float, bore: float = BORE) -> None:
        """Hatching on a level tube where the clamp holds it."""
        self.shapes += hatch(self.area(x, y - bore / 2, wide, bore))

    def ring(self, centre: Point, radius: float, bore: bool = False) -> None:
        """A tube seen from its end; with ``bore`` one can look into it."""
        at, reach = self.at(centre), radius * self.scale
        self.shapes += (Disc(at, reach, "tube"), Disc(at, reach, "tube_edge", 3.0))
        if bore:
            self.shapes += (
                Disc(at, reach * 0.68, "sheet"), Disc(at, reach * 0.68, "tube_edge", 3.0),
            )  # fmt: skip

    def dot(self, centre: Point, radius: float = 3.0, role: Role = "ink", wide: float = 0) -> None:
        """A spot, or a small ring of ``wide`` pixels."""
        self.shapes.append(Disc(self.at(centre), radius * self.scale, role, wide))

    def solid(self, points: Sequence[Point], role: Role) -> None:
        """A filled polygon."""
        self.shapes.append(Polygon(tuple(self.at(p) for p in points), role))

    def oval(self, centre: Point, wide: float, high: float, role: Role) -> None:
        """A filled ellipse by its two half axes."""
        turns = [radians(6.0 * n) for n in range(60)]
        self.solid([(centre[0] + wide * cos(a), centre[1] + high * sin(a)) for a in turns], role)

    def block(self, x: float, y: float, w: float, h: float, role: Role = "key") -> None:
        """A block with an edge: a wall, a bench, a nut."""
        self.shapes.append(Fill(self.area(x, y, w, h), role, 0.0, "tube_edge", 2.0))

    def cross(self, centre: Point, reach: float = 7.0) -> None:
        """Not so."""
        x, y = centre
        for way in (1, -1):
            self.line([(x - reach, y - way * reach), (x + reach, y + way * reach)], "alarm", 5.0)

    def add(self, *shapes: Shape) -> None:
        """Shapes that are in pixels already."""
        self.shapes += shapes

    def picture(self) -> Picture:
        """What was drawn."""
        return Picture(self.box, tuple(self.shapes), "sheet")


def _short(end: Point, towards: Point, by: float = 2.5) -> Point:
    """A little before an end, so that the edge closes the tube."""
    long = hypot(end[0] - towards[0], end[1] - towards[1]) or 1.0
    return _between(end, towards, min(1.0, by / long))


def _between(start: Point, end: Point, part: float) -> Point:
    return (start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part)


def beside(points: Sequence[Point], by: float) -> list[Point]:
    """A line that runs beside another."""
    found: list[Point] = []
    for n, (x, y) in enumerate(points):
        ahead, behind = points[min(n + 1, len(points) - 1)], points[max(n - 1, 0)]
        dx, dy = ahead[0] - behind[0], ahead[1] - behind[1]
        long = hypot(dx, dy) or 1.0
        found.append((x - dy / long * by, y + dx / long * by))
    return found


def arc(centre: Point, radius: float, start_deg: float, end_deg: float) -> list[Point]:
    """Points of an arc by clock angles: 0 at the top, clockwise."""
    steps = max(2, int(abs(end_deg - start_deg) / 6.0))
    turns = [radians(start_deg + (end_deg - start_deg) * n / steps) for n in range(steps + 1)]
    return [(centre[0] + radius * sin(a), centre[1] - radius * cos(a)) for a in turns]


def rounded(corners: Iterable[Point], radius: float) -> list[Point]:
    """A way through corners as a tube is bent along it, each corner an arc of the radius."""
    points = list(corners)
    found = [points[0]]
    for (before, corner), (_, after) in pairwise(pairwise(points)):
        come = atan2(corner[1] - before[1], corner[0] - before[0])
        go = atan2(after[1] - corner[1], after[0] - corner[0])
        turn = (go - come + pi) % (2 * pi) - pi
        back = radius * tan(abs(turn) / 2)
        start = (corner[0] - back * cos(come), corner[1] - back * sin(come))
        side = 1.0 if turn > 0 else -1.0
        middle = (start[0] - side * radius * sin(come), start[1] + side * radius * cos(come))
        steps = max(2, int(abs(degrees(turn)) / 6.0))
        for n in range(steps + 1):
            a = come + turn * n / steps
            found.append((middle[0] + side * radius * sin(a), middle[1] - side * radius * cos(a)))
    return [*found, points[-1]]
