"""What a finger taps on and on: segments typed anew, put in, taken out, taken back; by name."""

from collections.abc import Iterable, Iterator
from itertools import cycle
from random import Random

from benchcalc.panel.input.touches import Down, Up
from benchcalc.shell.loop import Loop
from tests.panel.faces import toward
from tests.shell.hand import touch

ROUND = (
    "digit", "digit", "digit", "next", "digit", "digit", "next", "digit", "digit", "back", "digit",
    "digit", "next", "digit", "digit", "next", "insert", "digit", "digit", "digit", "next", "digit",
    "digit", "next", "digit", "digit", "remove", "undo", "remove", "earlier",
)  # fmt: skip
"""Two segments typed anew and a third put in, taken out, fetched back and taken out again: the
cursor and the number of bends end as they began."""

AROUND = (
    "findings", "plan", "help", "cancel", "bench", "set lot", "digit", "digit", "next",
    "set bender", "cancel", "settings", "bench", "plan",
)  # fmt: skip
"""By way of the other screens and back to the run."""

FACES = 6
"""Keys from any face of a screen to any other, at most."""


def rounds() -> Iterator[str]:
    """Names for ever, the digits by chance."""
    digits = Random(1)
    return (named(name, digits) for name in cycle(ROUND))


def day(loop: Loop) -> Iterator[str]:
    """Names for ever: a round, each of its edits taken back, and a walk by the other screens."""
    digits = Random(1)
    while True:
        yield from (named(name, digits) for name in ROUND)
        while loop.model.work.undo:
            yield "undo"
        yield from (named(name, digits) for name in AROUND)
        while loop.model.work.undo:
            yield "undo"


def named(name: str, digits: Random) -> str:
    return f"key {digits.randint(1, 9)}" if name == "digit" else name


def presses(loop: Loop, names: Iterable[str]) -> Iterator[tuple[int, int]]:
    """Where the finger goes for each name, the keys to another face of the screen among them."""
    for name in names:
        for _ in range(FACES):
            if (way := toward(loop.scene, name)) is None:
                break
            yield _place(loop, way)
        yield _place(loop, name)


def _place(loop: Loop, name: str) -> tuple[int, int]:
    target = loop.scene.target(name)
    if target is None:
        raise LookupError(f"no {name} on the screen: the taps no longer fit the panel")
    x, y = target.box.centre
    return int(x), int(y)


def down(loop: Loop, place: tuple[int, int]) -> None:
    """The finger touches the panel."""
    touch(loop, Down(*place))


def up(loop: Loop, place: tuple[int, int]) -> None:
    """And leaves it."""
    touch(loop, Up(*place))
