"""A screen painted by what changed has the very pixels of one painted whole.

BENCHCALC_REPAINTS asks for more taps than the suite's own.
"""

import os
from dataclasses import replace

import pygame
import pytest

from benchcalc.report.scene import Box, Disc, Fill, Label, Picture, Scene, Shape, Stroke
from benchcalc.report.scene_changes import differing
from benchcalc.report.theme import DAY, THEMES, Theme
from benchcalc.shell.display.paint import Painter
from tests.panel.test_random_taps import Chance

TAPS = int(os.environ.get("BENCHCALC_REPAINTS", "120"))
SIZES = ((480, 320), (800, 480), (1280, 800))


class Twice:
    """Each scene on one surface by what changed, on another whole."""

    def __init__(self, size: tuple[int, int], theme: Theme) -> None:
        self.by_part, self.whole = pygame.Surface(size, 0, 32), pygame.Surface(size, 0, 32)
        self.painter, self.other = Painter(theme), Painter(theme)
        self.last: Scene | None = None
        self.painted_px = self.scenes = 0

    def show(self, scene: Scene) -> None:
        if self.last is None:
            self.painter.draw(self.by_part, scene)
        else:
            regions = self.painter.redraw(self.by_part, self.last, scene)
            self.painted_px += sum(region.w * region.h for region in regions)
            self.scenes += 1
        self.last = scene
        self.other.draw(self.whole, scene)
        assert self.by_part.get_buffer().raw == self.whole.get_buffer().raw


@pytest.mark.parametrize("number", range(len(SIZES)), ids=["480x320", "800x480", "1280x800"])
def test_by_random_taps(number: int) -> None:
    chance, themes = Chance(3 * number + 1), list(THEMES.values())
    chance.model = replace(chance.model, size=SIZES[number])
    twice = Twice(SIZES[number], themes[number % len(themes)])
    for _ in range(TAPS):
        chance.turn()
        twice.show(chance.scene)
    width, height = SIZES[number]
    assert 0 < twice.painted_px < twice.scenes * width * height


def scene(*shapes: Shape | Picture, ground: str = "ground") -> Scene:
    return Scene((200, 100), shapes, (), ground)  # type: ignore[arg-type]


UNDER = Fill(Box(0, 0, 120, 100), "sheet")
KEY = Fill(Box(20, 20, 60, 40), "key", 10, "rule")
WORD = Label(Box(30, 30, 40, 20), "far too long a word", 20)
LINE = Stroke(((10, 10), (150, 90)), "pen", 5)
DIAL = Picture(
    Box(120, 10, 70, 70), (Disc((155, 45), 30, "tube"), Label(Box(150, 5, 50, 20), "9", 30))
)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (scene(UNDER, KEY, WORD), scene(UNDER, KEY._replace(role="pressed"), WORD)),
        (scene(UNDER, KEY), scene(UNDER._replace(role="alarm"), KEY)),
        (scene(UNDER, KEY), scene(KEY)),
        (scene(UNDER, KEY, WORD), scene(UNDER, KEY, WORD._replace(text="short"))),
        (scene(UNDER, LINE, KEY), scene(UNDER, KEY)),
        (scene(LINE, KEY), scene(KEY, LINE)),
        (scene(DIAL, LINE), scene(DIAL._replace(shapes=DIAL.shapes[:1]), LINE)),
        (scene(KEY, KEY), scene(KEY)),
        (scene(KEY), scene(KEY, ground="dark")),
        (scene(), scene(UNDER, LINE, WORD, DIAL, KEY)),
    ],
)
def test_of_shapes_that_overlap(before: Scene, after: Scene) -> None:
    twice = Twice(before.size, DAY)
    for one in (before, after, before):
        twice.show(one)


def test_what_stays_is_not_told() -> None:
    pressed = KEY._replace(role="pressed")
    assert differing(scene(UNDER, KEY, WORD), scene(UNDER, pressed, WORD)) == [KEY, pressed]
    assert differing(scene(UNDER, KEY), scene(UNDER, KEY)) == []
    assert differing(scene(UNDER, KEY), scene(KEY, UNDER)) is None
