"""Plain shapes into pixels: rectangles, lines, polygons, discs, on a grid as fine as asked for."""

from itertools import pairwise
from math import hypot

from benchcalc.report.scene import (
    Box,
    Disc,
    Fill,
    Label,
    Point,
    Polygon,
    Shape,
    Stroke,
)
from benchcalc.report.theme import Rgb, Theme
from benchcalc.shell.unneeded import without

with without("numpy", "pkg_resources"):
    import pygame


class Brush:
    """Draws plain shapes. A scene pixel is ``scale`` device pixels, each ``fine`` pixels here."""

    def __init__(
        self, surface: pygame.Surface, theme: Theme, scale: int, fine: int, origin: tuple[int, int]
    ) -> None:
        self.surface, self.theme = surface, theme
        self.scale, self.fine, self.origin = scale, fine, origin

    def draw(self, shape: Shape) -> None:
        """Draw one shape over what is there; text is drawn at its real size, by the painter."""
        match shape:
            case Fill():
                self._fill(shape)
            case Stroke():
                self._stroke(shape)
            case Polygon():
                points = [self._at(p) for p in shape.points]
                pygame.draw.polygon(self.surface, self.theme[shape.role], points)
            case Disc():
                self._disc(shape)
            case Label():
                pass

    def _at(self, point: Point) -> Point:
        k = self.scale * self.fine
        x0, y0 = self.origin
        return (point[0] * k - x0 * self.fine, point[1] * k - y0 * self.fine)

    def _fill(self, shape: Fill) -> None:
        rect = device_rect(shape.box, self.scale).move(-self.origin[0], -self.origin[1])
        rect = pygame.Rect(*(v * self.fine for v in rect))
        radius = round(shape.radius * self.scale * self.fine)
        if shape.edge is not None:
            pygame.draw.rect(self.surface, self.theme[shape.edge], rect, border_radius=radius)
            edge = max(1, round(shape.edge_width * self.scale)) * self.fine
            rect, radius = rect.inflate(-2 * edge, -2 * edge), max(0, radius - edge)
        pygame.draw.rect(self.surface, self.theme[shape.role], rect, border_radius=radius)

    def _stroke(self, shape: Stroke) -> None:
        if (box := straight_box(shape)) is not None:
            self._fill(Fill(box, shape.role))
            return
        colour = self.theme[shape.role]
        width = max(1.0, shape.width * self.scale * self.fine)
        points = [self._at(p) for p in shape.points]
        for start, end in pairwise(points):
            self._segment(colour, start, end, width)
        closed = shape.points[0] == shape.points[-1]
        if width > 2:
            for joint in points[0 if closed else 1 : -1]:
                pygame.draw.circle(self.surface, colour, joint, width / 2)

    def _segment(self, colour: Rgb, start: Point, end: Point, width: float) -> None:
        dx, dy = end[0] - start[0], end[1] - start[1]
        length = hypot(dx, dy)
        if length == 0:
            return
        # pygame's polygon includes the pixels of both its edges: half a pixel less on each side
        across = max(0.5, (width - 1) / 2) / length
        nx, ny = -dy * across, dx * across
        corners = [(start[0] + nx, start[1] + ny), (end[0] + nx, end[1] + ny)]
        corners += [(end[0] - nx, end[1] - ny), (start[0] - nx, start[1] - ny)]
        pygame.draw.polygon(self.surface, colour, corners)

    def _disc(self, shape: Disc) -> None:
        k = self.scale * self.fine
        width = max(1, round(shape.width * k)) if shape.width > 0 else 0
        colour = self.theme[shape.role]
        pygame.draw.circle(self.surface, colour, self._at(shape.centre), shape.radius * k, width)


def device_rect(box: Box, scale: int) -> pygame.Rect:
    """Whole pixels by rounding the edges, so that boxes that touch still touch."""
    left, top = round(box.x * scale), round(box.y * scale)
    width, height = round(box.right * scale) - left, round(box.bottom * scale) - top
    return pygame.Rect(left, top, max(0, width), max(0, height))


def straight_box(shape: Stroke) -> Box | None:
    """The rectangle of a stroke that is one level or upright line; it stays crisp."""
    if len(shape.points) != 2:
        return None
    (x0, y0), (x1, y1) = shape.points
    if x0 != x1 and y0 != y1:
        return None
    width = max(1.0, shape.width)
    if x0 == x1:
        return Box(round(x0 - width / 2), min(y0, y1), width, abs(y1 - y0))
    return Box(min(x0, x1), round(y0 - width / 2), abs(x1 - x0), width)


def bounds(shape: Fill | Stroke | Polygon | Disc) -> Box:
    """A box that holds all of a shape, with a pixel to spare."""
    if isinstance(shape, Fill):
        return shape.box.inset(-1)
    if isinstance(shape, Disc):
        points: tuple[Point, ...] = (shape.centre,)
        margin = shape.radius + 1
    else:
        points = shape.points
        margin = (shape.width / 2 if isinstance(shape, Stroke) else 0) + 1
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    left, top = min(xs) - margin, min(ys) - margin
    return Box(left, top, max(xs) + margin - left, max(ys) + margin - top)
