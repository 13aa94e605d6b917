"""Scenes into pixels, on a surface that may or may not be a screen.

Shapes that are slanted or round are drawn on a finer grid and averaged down, once, and kept; text
and keys are kept too, so that a repaint only copies. Keeps to what pygame 2.1.2 has.
"""

import os
from functools import lru_cache
from io import BytesIO
from itertools import pairwise
from math import ceil, hypot
from pathlib import Path
from typing import NamedTuple

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

from benchcalc.report.scene import (
    Box,
    Disc,
    Fill,
    Label,
    Picture,
    Point,
    Polygon,
    Role,
    Scene,
    Shape,
    Stroke,
)
from benchcalc.report.text_fit import fit
from benchcalc.report.theme import Rgb, Theme
from benchcalc.shell.repaint import differing
from benchcalc.shell.unneeded import without

with without("numpy", "pkg_resources"):
    import pygame
    import pygame.font

FINEST_PX = 40_000
"""Pictures up to this many pixels are averaged from 4 x 4, larger ones from 2 x 2."""


SMALL_PX = 48
"""Text smaller than this is set at twice its size and averaged down: at its own, whole-pixel steps
space its letters unevenly."""


class _Brush:
    """Draws plain shapes. A scene pixel is ``scale`` device pixels, each ``fine`` pixels here."""

    def __init__(
        self, surface: pygame.Surface, theme: Theme, scale: int, fine: int, origin: tuple[int, int]
    ) -> None:
        self.surface, self.theme = surface, theme
        self.scale, self.fine, self.origin = scale, fine, origin

    def draw(self, shape: Shape) -> None:
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
                pass  # text is drawn at its real size, over the finished picture

    def _at(self, point: Point) -> Point:
        k = self.scale * self.fine
        x0, y0 = self.origin
        return (point[0] * k - x0 * self.fine, point[1] * k - y0 * self.fine)

    def _fill(self, shape: Fill) -> None:
        rect = _device_rect(shape.box, self.scale).move(-self.origin[0], -self.origin[1])
        rect = pygame.Rect(*(v * self.fine for v in rect))
        radius = round(shape.radius * self.scale * self.fine)
        if shape.edge is not None:
            pygame.draw.rect(self.surface, self.theme[shape.edge], rect, border_radius=radius)
            edge = max(1, round(shape.edge_width * self.scale)) * self.fine
            rect, radius = rect.inflate(-2 * edge, -2 * edge), max(0, radius - edge)
        pygame.draw.rect(self.surface, self.theme[shape.role], rect, border_radius=radius)

    def _stroke(self, shape: Stroke) -> None:
        if (box := _straight_box(shape)) is not None:
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


def _device_rect(box: Box, scale: int) -> pygame.Rect:
    """Whole pixels by rounding the edges, so that boxes that touch still touch."""
    left, top = round(box.x * scale), round(box.y * scale)
    width, height = round(box.right * scale) - left, round(box.bottom * scale) - top
    return pygame.Rect(left, top, max(0, width), max(0, height))


def _straight_box(shape: Stroke) -> Box | None:
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


def _bounds(shape: Fill | Stroke | Polygon | Disc) -> Box:
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


@lru_cache(maxsize=48)
def _font(size_px: int) -> pygame.font.Font:
    """pygame's own bold sans, the same on every machine. Digits stand 0.73 of the size high.

    pygame takes 0.6875 of the size asked for when it opens its default font; this undoes it.
    """
    return pygame.font.Font(None, ceil(size_px / 0.6875))


def _drawable(text: str) -> str:
    """pygame 2.1.2 refuses characters above U+FFFF with an error."""
    return "".join(c if c <= "\uffff" else "?" for c in text)


def _text_fine(size_px: int) -> int:
    return 2 if size_px < SMALL_PX else 1


@lru_cache(maxsize=4096)
def _width(text: str, size_px: int) -> float:
    fine = _text_fine(size_px)
    return _font(size_px * fine).size(_drawable(text))[0] / fine


class _Words(NamedTuple):
    """A label as it is drawn: each row of text and where it lies; the place of all of them."""

    rows: tuple[tuple[pygame.Surface, tuple[int, int]], ...]
    place: pygame.Rect
    fits: bool


class Painter:
    """Draws scenes in one theme, whole or what changed since the scene that is there."""

    def __init__(self, theme: Theme, scale: int = 1) -> None:
        pygame.font.init()
        self.theme, self.scale = theme, scale
        self._words = lru_cache(maxsize=256)(self._make_words)
        self._text = lru_cache(maxsize=160)(self._make_text)
        self._cap = lru_cache(maxsize=128)(self._make_cap)
        self._piece = lru_cache(maxsize=64)(self._make_piece)
        self._picture = lru_cache(maxsize=6)(self._make_picture)
        self._place = lru_cache(maxsize=1024)(self._make_place)
        self._behind: dict[Fill, Rgb] = {}

    def draw(self, surface: pygame.Surface, scene: Scene) -> None:
        """Draw the whole scene."""
        self._behind.clear()
        self._draw(surface, scene, surface.get_rect())

    def redraw(self, surface: pygame.Surface, before: Scene, scene: Scene) -> list[pygame.Rect]:
        """Draw over ``before``, which this painter drew here last, what differs; where it did.

        The pixels are those that ``draw`` makes.
        """
        changed = differing(before, scene)
        if changed is None:
            self.draw(surface, scene)
            return [surface.get_rect()]
        regions = _joined([self._place(shape).clip(surface.get_rect()) for shape in changed])
        for region in regions:
            surface.set_clip(region)
            self._draw(surface, scene, region)
        surface.set_clip(None)
        return regions

    def misfits(self, scene: Scene) -> list[Label]:
        """The labels of a scene that do not fit their boxes."""
        within = [s for shape in scene.shapes if isinstance(shape, Picture) for s in shape.shapes]
        labels = [s for s in (*scene.shapes, *within) if isinstance(s, Label)]
        return [label for label in labels if not self._words(label).fits]

    def _draw(self, surface: pygame.Surface, scene: Scene, region: pygame.Rect) -> None:
        surface.fill(self.theme[scene.ground], region)
        brush = _Brush(surface, self.theme, self.scale, 1, (0, 0))
        for shape in scene.shapes:
            place = self._place(shape)
            if not place.colliderect(region):
                continue
            match shape:
                case Picture():
                    surface.blit(self._picture(shape), _device_rect(shape.box, self.scale))
                    for label in shape.shapes:
                        if isinstance(label, Label):
                            self._label(surface, label)
                case Label():
                    self._label(surface, shape)
                case Fill() if shape.radius > 0:
                    self._rounded(surface, shape, region)
                case Stroke() | Polygon() | Disc() if not _crisp(shape):
                    surface.blit(self._piece(shape), place)
                case _:
                    brush.draw(shape)

    def _make_place(self, shape: Shape | Picture) -> pygame.Rect:
        """Where a shape's pixels are."""
        match shape:
            case Label():
                return self._words(shape).place
            case Picture():
                words = [self._place(s) for s in shape.shapes if isinstance(s, Label)]
                return _device_rect(shape.box, self.scale).unionall(words)
            case Fill():
                return _device_rect(shape.box, self.scale)
            case Stroke() if (box := _straight_box(shape)) is not None:
                return _device_rect(box, self.scale)
            case _:
                return _device_rect(_bounds(shape), self.scale)

    def _rounded(self, surface: pygame.Surface, shape: Fill, region: pygame.Rect) -> None:
        """A kept, opaque cap; its corners take the colour they will lie on."""
        place = _device_rect(shape.box, self.scale)
        if region.collidepoint(place.topleft):
            red, green, blue, _ = surface.get_at(place.topleft)
            self._behind[shape] = (red, green, blue)
        size = Box(0, 0, place.w / self.scale, place.h / self.scale)
        behind = self._behind.get(shape, self.theme["ground"])
        surface.blit(self._cap(shape._replace(box=size), behind), place)

    def _make_cap(self, shape: Fill, behind: Rgb) -> pygame.Surface:
        return self._averaged(shape.box, (shape,), behind, 0)

    def _make_piece(self, shape: Stroke | Polygon | Disc) -> pygame.Surface:
        colour = (*self.theme[shape.role], 0)
        return self._averaged(_bounds(shape), (shape,), colour, pygame.SRCALPHA)

    def _make_picture(self, picture: Picture) -> pygame.Surface:
        """Averaged only where something is drawn: that is what costs time."""
        place, ground = _device_rect(picture.box, self.scale), self.theme[picture.ground]
        drawn = [_bounds(shape) for shape in picture.shapes if not isinstance(shape, Label)]
        whole = pygame.Surface(place.size, 0, 32)
        whole.fill(ground)
        if drawn:
            first, *others = (_device_rect(box, self.scale) for box in drawn)
            part = first.unionall(others).clip(place)
            box = Box(*(side / self.scale for side in part))
            fine = self._averaged(box, picture.shapes, ground, 0)
            whole.blit(fine, part.move(-place.x, -place.y))
        return whole

    def _averaged(
        self,
        box: Box,
        shapes: tuple[Shape, ...],
        ground: Rgb | tuple[int, int, int, int],
        flag: int,
    ) -> pygame.Surface:
        place = _device_rect(box, self.scale)
        # powers of two: smoothscale darkens every colour by a step or two at other factors
        fine = 4 if place.w * place.h <= FINEST_PX else 2
        canvas = pygame.Surface((place.w * fine, place.h * fine), flag, 32)
        canvas.fill(ground)
        brush = _Brush(canvas, self.theme, self.scale, fine, place.topleft)
        for shape in shapes:
            brush.draw(shape)
        return pygame.transform.smoothscale(canvas, place.size)

    def _label(self, surface: pygame.Surface, label: Label) -> None:
        for text, at in self._words(label).rows:
            surface.blit(text, at)

    def _make_words(self, label: Label) -> _Words:
        k = self.scale
        box = Box(*(v * k for v in label.box))
        fitted = fit(label._replace(box=box, size=label.size * k), _width)
        rows = []
        for row, baseline in zip(fitted.rows, fitted.baselines, strict=True):
            if not row:
                continue
            text, rise = self._text(row, fitted.size_px, label.role)
            spare = box.w - text.get_width()
            x = box.x + {"left": 0.0, "centre": spare / 2, "right": spare}[label.align]
            rows.append((text, (round(x), round(baseline) - rise)))
        places = [text.get_rect(topleft=at) for text, at in rows]
        place = places[0].unionall(places[1:]) if places else pygame.Rect(0, 0, 0, 0)
        return _Words(tuple(rows), place, fitted.fits)

    def _make_text(self, text: str, size_px: int, role: Role) -> tuple[pygame.Surface, int]:
        """The text, and how far its baseline lies under the top of the surface.

        An accent pushes the baseline down in some versions of the font library; the pixels tell.
        """
        fine = _text_fine(size_px)
        font, drawn, colour = _font(size_px * fine), _drawable(text), self.theme[role]
        large = font.render(drawn, True, colour)
        tallest = max((m[3] for m in font.metrics(drawn) if m), default=0)
        rise = large.get_bounding_rect().top + tallest
        if fine == 1:
            return large, rise
        above = -rise % fine  # puts the baseline between two pixels of the smaller text
        size = (ceil(large.get_width() / fine), ceil((large.get_height() + above) / fine))
        canvas = pygame.Surface((size[0] * fine, size[1] * fine), pygame.SRCALPHA, 32)
        canvas.fill((*colour, 0))
        canvas.blit(large, (0, above))
        return pygame.transform.smoothscale(canvas, size), (rise + above) // fine


def _joined(regions: list[pygame.Rect]) -> list[pygame.Rect]:
    """The same area in rectangles of which none overlaps another."""
    apart: list[pygame.Rect] = []
    for region in regions:
        if not region.size[0] or not region.size[1]:
            continue
        while (hit := region.collidelist(apart)) >= 0:
            region = region.union(apart.pop(hit))
        apart.append(region)
    return apart


def _crisp(shape: Stroke | Polygon | Disc) -> bool:
    return isinstance(shape, Stroke) and _straight_box(shape) is not None


def to_png(scene: Scene, theme: Theme, scale: int = 1) -> bytes:
    """A scene as a PNG file, ``scale`` pixels for each of its own; needs no display."""
    surface = pygame.Surface((scene.size[0] * scale, scene.size[1] * scale), 0, 32)
    Painter(theme, scale).draw(surface, scene)
    file = BytesIO()
    pygame.image.save(surface, file, "scene.png")
    return file.getvalue()


def save_png(scene: Scene, path: Path, theme: Theme, scale: int = 1) -> None:
    """Write a scene to a PNG file. OSError when the file cannot be written."""
    path.write_bytes(to_png(scene, theme, scale))
