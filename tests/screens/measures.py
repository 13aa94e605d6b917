"""What a finger and an eye find on a screen: keys in mm, text in minutes of arc, contrast."""

from typing import NamedTuple

import pygame.font

from benchcalc.panel.model import Model
from benchcalc.panel.scene import Box, Fill, Label, Picture, Polygon, Role, Scene, Shape
from benchcalc.panel.sizes import Physical, physical
from benchcalc.panel.theme import Theme
from benchcalc.panel.update import view
from benchcalc.shell.fit import fit
from benchcalc.shell.paint import _width
from tests.panel.test_theme import contrast

pygame.font.init()


class Seen(NamedTuple):
    """The least of a screen: side of a key that is typed with, of any key (mm), text, contrast."""

    pad_mm: float
    key_mm: float
    key: str
    text_arcmin: float
    text: str
    contrast: float


def seen(model: Model, theme: Theme) -> Seen:
    """The least that a screen asks of a finger and of an eye."""
    scene, size = view(model), physical(model.size, model.settings, model.told)
    keys = [(key_side_mm(t.box, size), t.name) for t in scene.targets]
    board = scene.target("key Q") is not None
    pad = [side for side, name in keys if is_digit(name) and not board]
    texts = [
        (size.seen_arcmin(fit(label, _width).size_px), label.text)
        for label in labels(scene)
        if label.text.strip()
    ]
    key_mm, key = min(keys, default=(99.0, ""))
    arcmin, text = min(texts, default=(99.0, ""))
    return Seen(min(pad, default=99.0), key_mm, key, arcmin, text, least_contrast(scene, theme))


def is_digit(name: str) -> bool:
    return name in [f"key {digit}" for digit in range(10)]


def key_side_mm(box: Box, size: Physical) -> float:
    """The shorter side of a target."""
    return min(box.w / size.across, box.h / size.down)


def labels(scene: Scene) -> list[Label]:
    return [shape for shape in flat(scene) if isinstance(shape, Label)]


def flat(scene: Scene) -> list[Shape]:
    """All shapes in the order in which they are drawn, a picture's ground among them."""
    shapes: list[Shape] = []
    for shape in scene.shapes:
        if isinstance(shape, Picture):
            shapes += [Fill(shape.box, shape.ground), *shape.shapes]
        else:
            shapes.append(shape)
    return shapes


def least_contrast(scene: Scene, theme: Theme) -> float:
    """Of every text against what lies under its middle when it is drawn."""
    under: list[tuple[Box, Role]] = [(Box(0, 0, *scene.size), scene.ground)]
    least = 21.0
    for shape in flat(scene):
        if isinstance(shape, Fill):
            under.append((shape.box, shape.role))
        elif isinstance(shape, Polygon):
            under.append((bounds(shape), shape.role))
        elif isinstance(shape, Label) and shape.text.strip():
            x, y = shape.box.centre
            role = next(role for box, role in reversed(under) if box.holds(x, y))
            least = min(least, contrast(theme[shape.role], theme[role]))
    return least


def bounds(shape: Polygon) -> Box:
    """The box around a polygon."""
    xs, ys = [x for x, _ in shape.points], [y for _, y in shape.points]
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
