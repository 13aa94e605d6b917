"""What a finger and an eye find on a screen: keys in mm, text in minutes of arc, contrast.

And what a screen owes them: a key with room for a gloved finger, words that are read from 70 cm.
"""

from functools import cache
from itertools import combinations
from typing import NamedTuple

import pygame.font

from benchcalc.panel.widgets.sizes import Physical
from benchcalc.report.scene import Box, Fill, Label, Picture, Polygon, Role, Scene, Shape, Target
from benchcalc.report.text_fit import Fitted
from benchcalc.report.theme import THEMES, Theme
from benchcalc.shell.display.lettering import fitted
from tests.panel.test_theme import contrast

pygame.font.init()

CAPTION_PART = 0.7
"""The word or the value on a key may be that much smaller than running text: its place is known."""

WORD_LETTERS = 40
"""What is longer on a key is a sentence there."""

PICTURE_ARCMIN = 8.0
"""Figures inside a picture: the one that matters stands large beside it."""

LESS_ARCMIN = 1.0
"""On screens under 7 in a sentence may be a minute of arc less where it just does not fit."""

HAIR_MM, HAIR_ARCMIN, HAIR_PX = 0.1, 0.25, 0.01
"""Rounding to whole pixels, and of boxes that are divided and divided again."""


class Seen(NamedTuple):
    """The least of one or more screens: side of a digit's key, of any key (mm), text, contrast."""

    pad_mm: float
    key_mm: float
    key: str
    text_arcmin: float
    text: str
    picture_arcmin: float
    contrast: float

    def with_(self, other: "Seen") -> "Seen":
        """The least of both."""
        key, text = min(self[1:3], other[1:3]), min(self[3:5], other[3:5])
        return Seen(
            min(self.pad_mm, other.pad_mm), *key, *text,
            min(self.picture_arcmin, other.picture_arcmin), min(self.contrast, other.contrast),
        )  # fmt: skip


NOTHING = Seen(99.0, 99.0, "", 99.0, "", 99.0, 21.0)


def looked_at(scene: Scene, size: Physical) -> tuple[Seen, list[str]]:
    """The least that a screen asks of a finger and of an eye, and everything wrong with it."""
    texts, wrong = _texts(scene, size)
    keys = [(key_side_mm(t.box, size), t.name) for t in scene.targets]
    letters = _has_letters(scene)
    pad = [side for side, name in keys if is_digit(name) and not letters]
    key_mm, key = min(keys, default=NOTHING[1:3])
    arcmin, text = min(texts[False], default=NOTHING[3:5])
    seen = Seen(
        min(pad, default=99.0), key_mm, key, arcmin, text,
        min(texts[True], default=(99.0, ""))[0],
        min(least_contrast(scene, theme) for theme in THEMES.values()),
    )  # fmt: skip
    return seen, wrong + _keys_wrong(scene, size)


def _texts(scene: Scene, size: Physical) -> tuple[dict[bool, list[tuple[float, str]]], list[str]]:
    """The size of every text, outside pictures and inside, and those that are no good."""
    seen: dict[bool, list[tuple[float, str]]] = {False: [], True: []}
    wrong = []
    for inside, label in _labels(scene):
        fitted = _fitted(label)
        arcmin = size.seen_arcmin(fitted.size_px)
        least = _least_arcmin(scene, label, size, inside)
        seen[inside].append((arcmin, label.text))
        if not fitted.fits:
            wrong.append(f"does not fit: {label.text!r}")
        if arcmin < least - (HAIR_ARCMIN if size.arcmin >= 20.0 else LESS_ARCMIN):
            wrong.append(f"text {label.text!r}: {arcmin:.1f}', not {least:.0f}'")
        if outside(label.box, scene.size):
            wrong.append(f"past the edge: {label.text!r}")
    return seen, wrong


@cache
def _fitted(label: Label) -> Fitted:
    return fitted(label)


def _labels(scene: Scene) -> list[tuple[bool, Label]]:
    """Every text that says something, and whether it stands in a picture; no drawn signs."""
    found: list[tuple[bool, Label]] = []
    for shape in scene.shapes:
        inside = isinstance(shape, Picture)
        for one in shape.shapes if isinstance(shape, Picture) else (shape,):
            if isinstance(one, Label) and one.text.strip("! "):
                found.append((inside, one))
    return found


def _least_arcmin(scene: Scene, label: Label, size: Physical, inside: bool) -> float:
    if inside:
        return PICTURE_ARCMIN
    on_key = scene.target_at(*label.box.centre) is not None and len(label.text) <= WORD_LETTERS
    return size.arcmin * (CAPTION_PART if on_key else 1.0)


def _keys_wrong(scene: Scene, size: Physical) -> list[str]:
    wrong = []
    for target in scene.targets:
        side, least = key_side_mm(target.box, size), _least_mm(scene, target, size)
        if side < least - HAIR_MM:
            wrong.append(f"key {target.name}: {side:.1f} mm, not {least:.1f} mm")
        if outside(target.box, scene.size):
            wrong.append(f"past the edge: {target.name}")
    pairs = combinations(scene.targets, 2)
    return wrong + [f"{a.name} lies over {b.name}" for a, b in pairs if overlap(a, b)]


def _least_mm(scene: Scene, target: Target, size: Physical) -> float:
    """Letters and the keys of the status line are pressed seldom."""
    letter = _has_letters(scene) and target.name.startswith("key ")
    return size.least_mm if letter or target.box.y == 0.0 else size.key_mm


def _has_letters(scene: Scene) -> bool:
    return any(f"key {letter}" in {t.name for t in scene.targets} for letter in "ABCZ")


def is_digit(name: str) -> bool:
    return name in [f"key {digit}" for digit in range(10)]


def key_side_mm(box: Box, size: Physical) -> float:
    """The shorter side of a target."""
    return min(box.w / size.across, box.h / size.down)


def outside(box: Box, size: tuple[int, int]) -> bool:
    return (
        box.x < -HAIR_PX
        or box.y < -HAIR_PX
        or box.right > size[0] + HAIR_PX
        or box.bottom > size[1] + HAIR_PX
    )


def overlap(one: Target, other: Target) -> bool:
    a, b = one.box, other.box
    across = min(a.right, b.right) - max(a.x, b.x)
    down = min(a.bottom, b.bottom) - max(a.y, b.y)
    return across > HAIR_PX and down > HAIR_PX


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
            least = min(least, _contrast(theme[shape.role], theme[role]))
    return least


_contrast = cache(contrast)


def bounds(shape: Polygon) -> Box:
    """The box around a polygon."""
    xs, ys = [x for x, _ in shape.points], [y for _, y in shape.points]
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
