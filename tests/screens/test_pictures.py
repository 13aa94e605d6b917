"""Pictures of screens that are mostly drawing, at 800 x 480, under pictures: for people to look at.

BENCHCALC_WRITE_SCREENS=1 paints them anew; look at each that changed before keeping it. Another
font library may set its letters a hair apart, so a few pixels may differ.
"""

import os
from dataclasses import replace
from pathlib import Path

import pygame
import pytest

from benchcalc.panel.update import view
from benchcalc.report.scene import Scene
from benchcalc.report.theme import DAY
from benchcalc.shell.display.paint import Painter, save_png
from tests.screens.states import state

FOLDER = Path(__file__).parent / "pictures"
WRITING = os.environ.get("BENCHCALC_WRITE_SCREENS") == "1"
SIZE = (800, 480)
PICTURED = (
    "bench given", "clash bender", "copy", "gauge 90", "help make pull", "learnt",
    "make check typed", "make correct", "make mark", "make pull", "make seat", "make turn",
    "plan answer", "plan turn", "shape ports ways", "trial results",
)  # fmt: skip
FAR_LEVELS, MOST_FAR = 48, 0.003
"""How far a colour must be off to count, and the part of the pixels that may be."""


def painted(scene: Scene) -> pygame.Surface:
    surface = pygame.Surface(scene.size, 0, 32)
    Painter(DAY).draw(surface, scene)
    return surface


def far_apart(one: pygame.Surface, other: pygame.Surface) -> float:
    """The part of the pixels whose colour is another one."""
    far = pygame.Color(FAR_LEVELS, FAR_LEVELS, FAR_LEVELS)
    near = pygame.mask.from_threshold(one, (0, 0, 0), far, other)
    width, height = one.get_size()
    return 1.0 - near.count() / (width * height)


@pytest.mark.parametrize("name", PICTURED)
def test_a_screen_looks_as_it_was_looked_at(name: str) -> None:
    path, scene = FOLDER / f"{name.replace(' ', '-')}.png", view(state(name, SIZE))
    if WRITING:
        save_png(scene, path, DAY)
    assert path.exists(), f"no picture of {name!r}: run with BENCHCALC_WRITE_SCREENS=1"
    kept = pygame.Surface(SIZE, 0, 32)
    kept.blit(pygame.image.load(path), (0, 0))
    assert far_apart(painted(scene), kept) <= MOST_FAR


def test_every_file_is_looked_at() -> None:
    assert {path.stem for path in FOLDER.glob("*.png")} == {n.replace(" ", "-") for n in PICTURED}


def test_a_word_that_changed_is_seen() -> None:
    model = state("make pull", SIZE)
    other = replace(model, settings=replace(model.settings, language="de"))
    assert far_apart(painted(view(model)), painted(view(other))) > 2 * MOST_FAR
