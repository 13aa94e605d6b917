"""What help there is for every screen, step and field: its picture, mistakes, cautions."""

from collections.abc import Callable
from typing import NamedTuple

from benchcalc.panel import help_pictures as pictures
from benchcalc.panel.model import Model
from benchcalc.panel.scene import Box, Picture

Drawn = Callable[[Box, float, Model], Picture]


class Help(NamedTuple):
    """One thing that is helped with: a picture, mistakes and cautions by their phrases."""

    picture: Drawn
    wrong: tuple[str, ...] = ("first", "second")
    mind: tuple[str, ...] = ()


HELP: dict[str, Help] = {
    "signs": Help(pictures.signs, mind=("caution.1", "caution.2")),
}


def topic_of(model: Model) -> str:
    """What help is asked for: the screen, step or field in hand."""
    return "signs"
