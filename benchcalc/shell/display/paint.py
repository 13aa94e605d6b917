"""Scenes into pixels, on a surface that may or may not be a screen.

Shapes that are slanted or round are drawn on a finer grid and averaged down, once, and kept; text
and keys are kept too, so that a repaint only copies. Keeps to what pygame 2.1.2 has.
"""

import os
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

from benchcalc.report.scene import (
    Box,
    Disc,
    Fill,
    Label,
    Picture,
    Polygon,
    Role,
    Scene,
    Shape,
    Stroke,
)
from benchcalc.report.scene_changes import differing
from benchcalc.report.theme import Rgb, Theme
from benchcalc.shell.display.brush import Brush, bounds, device_rect, straight_box
from benchcalc.shell.display.lettering import fitted, lettered
from benchcalc.shell.unneeded import without

with without("numpy", "pkg_resources"):
    import pygame
    import pygame.font

FINEST_PX = 40_000
"""Pictures up to this many pixels are averaged from 4 x 4, larger ones from 2 x 2."""


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
        brush = Brush(surface, self.theme, self.scale, 1, (0, 0))
        for shape in scene.shapes:
            place = self._place(shape)
            if not place.colliderect(region):
                continue
            match shape:
                case Picture():
                    surface.blit(self._picture(shape), device_rect(shape.box, self.scale))
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
                return device_rect(shape.box, self.scale).unionall(words)
            case Fill():
                return device_rect(shape.box, self.scale)
            case Stroke() if (box := straight_box(shape)) is not None:
                return device_rect(box, self.scale)
            case _:
                return device_rect(bounds(shape), self.scale)

    def _rounded(self, surface: pygame.Surface, shape: Fill, region: pygame.Rect) -> None:
        """A kept, opaque cap; its corners take the colour they will lie on."""
        place = device_rect(shape.box, self.scale)
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
        return self._averaged(bounds(shape), (shape,), colour, pygame.SRCALPHA)

    def _make_picture(self, picture: Picture) -> pygame.Surface:
        """Averaged only where something is drawn: that is what costs time."""
        place, ground = device_rect(picture.box, self.scale), self.theme[picture.ground]
        drawn = [bounds(shape) for shape in picture.shapes if not isinstance(shape, Label)]
        whole = pygame.Surface(place.size, 0, 32)
        whole.fill(ground)
        if drawn:
            first, *others = (device_rect(box, self.scale) for box in drawn)
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
        place = device_rect(box, self.scale)
        # powers of two: smoothscale darkens every colour by a step or two at other factors
        fine = 4 if place.w * place.h <= FINEST_PX else 2
        canvas = pygame.Surface((place.w * fine, place.h * fine), flag, 32)
        canvas.fill(ground)
        brush = Brush(canvas, self.theme, self.scale, fine, place.topleft)
        for shape in shapes:
            brush.draw(shape)
        return pygame.transform.smoothscale(canvas, place.size)

    def _label(self, surface: pygame.Surface, label: Label) -> None:
        for text, at in self._words(label).rows:
            surface.blit(text, at)

    def _make_words(self, label: Label) -> _Words:
        k = self.scale
        box = Box(*(v * k for v in label.box))
        found = fitted(label._replace(box=box, size=label.size * k))
        rows = []
        for row, baseline in zip(found.rows, found.baselines, strict=True):
            if not row:
                continue
            text, rise = self._text(row, found.size_px, label.heavy, label.role)
            spare = box.w - text.get_width()
            x = box.x + {"left": 0.0, "centre": spare / 2, "right": spare}[label.align]
            rows.append((text, (round(x), round(baseline) - rise)))
        places = [text.get_rect(topleft=at) for text, at in rows]
        place = places[0].unionall(places[1:]) if places else pygame.Rect(0, 0, 0, 0)
        return _Words(tuple(rows), place, found.fits)

    def _make_text(
        self, text: str, size_px: int, heavy: bool, role: Role
    ) -> tuple[pygame.Surface, int]:
        return lettered(text, size_px, heavy, self.theme[role])


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
    return isinstance(shape, Stroke) and straight_box(shape) is not None


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
