"""Every state on every size, as the painter fits it: all text readable, every key large enough."""

from itertools import combinations
from typing import NamedTuple

import pygame
import pytest

from benchcalc.panel.scene import Box, Label, Scene, Target, flatten
from benchcalc.panel.settings import Settings, ThemeName
from benchcalc.panel.theme import DAY, THEMES
from benchcalc.panel.update import view
from benchcalc.shell.fit import fit
from benchcalc.shell.paint import Painter, _width
from tests.screens.measures import seen
from tests.screens.states import STATES, Size, state
from tests.screens.table import dressed


class Least(NamedTuple):
    """The least height of a key and of a letter, in pixels."""

    key_px: float
    text_px: int


LEAST: dict[Size, Least] = {
    (480, 320): Least(34.0, 10),
    (800, 480): Least(40.0, 12),
    (1024, 600): Least(40.0, 12),
    (1280, 800): Least(40.0, 14),
    (480, 800): Least(40.0, 12),
    (720, 1280): Least(60.0, 18),
}
PAINTER = Painter(DAY)
HAIR_PX = 0.01
"""Rounding of boxes that are divided and divided again."""


def outside(box: Box, size: Size) -> bool:
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


def faults(scene: Scene) -> list[str]:
    """Everything that is wrong with a screen, in words."""
    least = LEAST[scene.size]
    PAINTER.draw(pygame.Surface(scene.size, 0, 32), scene)
    found = [f"does not fit: {label.text!r}" for label in PAINTER.misfits]
    for shape in flatten(scene.shapes):
        if not isinstance(shape, Label) or not shape.text.strip():
            continue
        size_px = fit(shape, _width).size_px
        if size_px < least.text_px:
            found.append(f"{size_px} px small: {shape.text!r}")
        if outside(shape.box, scene.size):
            found.append(f"past the edge: {shape.text!r}")
    for target in scene.targets:
        if target.box.h < least.key_px or target.box.w < least.key_px:
            found.append(f"{target.box.w:.0f} x {target.box.h:.0f} px key: {target.name}")
        if outside(target.box, scene.size):
            found.append(f"past the edge: {target.name}")
    pairs = combinations(scene.targets, 2)
    return found + [f"{a.name} lies over {b.name}" for a, b in pairs if overlap(a, b)]


@pytest.mark.parametrize("size", LEAST, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", STATES)
def test_a_screen_can_be_read_and_tapped(name: str, size: Size) -> None:
    assert faults(view(state(name, size))) == []


@pytest.mark.parametrize("size", [(800, 480), (1280, 800)], ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", STATES)
def test_a_screen_for_the_left_hand_fits_as_well(name: str, size: Size) -> None:
    assert faults(view(dressed(name, size, Settings(hand="left")))) == []


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("name", STATES)
def test_text_stands_out_by_day_and_by_night(name: str, theme: ThemeName) -> None:
    found = seen(dressed(name, (800, 480), Settings(theme=theme)), THEMES[theme])
    assert found.contrast >= 7.0


DIGIT_MM = {(480, 320): 5.5, (800, 480): 20, (1024, 600): 20, (1280, 800): 20, (480, 800): 20}
"""The keypad's keys; on 3.5 in they are still far from the 12 mm that a glove wants."""


@pytest.mark.parametrize("size", DIGIT_MM, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", ["plan leg", "write wall", "make check typed", "trial typed"])
def test_the_keypad_has_keys_for_a_glove(name: str, size: Size) -> None:
    assert seen(state(name, size), THEMES["day"]).pad_mm >= DIGIT_MM[size] - 0.1


def test_a_name_is_tapped_once_only_on_a_screen() -> None:
    for name in STATES:
        names = [target.name for target in view(state(name, (800, 480))).targets]
        assert len(names) == len(set(names)), name


def test_the_check_sees_faults() -> None:
    shapes = (
        Label(Box(0, 0, 30, 14), "far too long for its box", 14.0),
        Label(Box(-5, 0, 300, 11), "small and past the edge", 11.0),
    )
    targets = (
        Target("low", Box(0, 0, 100, 30)),
        Target("over it", Box(50, 0, 100, 50)),
        Target("off", Box(790, 0, 100, 50)),
    )
    found = faults(Scene((800, 480), shapes, targets))
    for part in ("does not fit", "11 px small", "past the edge: 'small", "100 x 30 px key: low",
                 "low lies over over it", "past the edge: off"):  # fmt: skip
        assert any(part in fault for fault in found), (part, found)
