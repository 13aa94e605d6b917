"""One person with one device at the panel's window: a mouse, a numeric keypad, or a knob alone.

A panel without a window (``Hands``) goes along, and says where its keys are.
"""

import time
from collections.abc import Callable, Iterator
from typing import NamedTuple

from benchcalc.panel.input import ring
from benchcalc.panel.input.keyboard import target_of
from benchcalc.panel.state.model import ScreenName
from benchcalc.report.scene import Scene
from tests.panel.driver import Hands
from tests.panel.faces import name_of, toward
from tests.shell.window import Program

SAME_KEY_S = 0.13
"""Nobody strikes one key faster."""

KEYPAD = {
    **{str(n): f"KP_{n}" for n in range(10)},
    **{".": "KP_Decimal", "-": "KP_Subtract", "/": "KP_Divide"},
    **{"enter": "KP_Enter", "right": "KP_Add", "left": "KP_Multiply"},
}
"""The keys of a numeric keypad, by what they mean to the panel, as X calls them."""

KNOB = {"right": "Right", "left": "Left", "enter": "Return"}
"""A knob that is turned either way and pressed."""


class Click(NamedTuple):
    """The mouse on a target."""

    name: str


class Strokes(NamedTuple):
    """Keys, one after the other."""

    keys: tuple[str, ...]


Acts = Iterator[Click | Strokes]
Device = Callable[[Hands, str], Acts]


def by_mouse(hands: Hands, name: str) -> Acts:
    """A click on the target."""
    yield Click(name)


def by_knob(hands: Hands, name: str) -> Acts:
    """The shorter way round to the target, and a press."""
    if hands.model.ring is None:
        yield Strokes(("right",))
    names, seat = ring.in_order(hands.scene), ring.seat(hands.model, hands.scene)
    assert seat is not None
    ahead = (names.index(name) - names.index(seat)) % len(names)
    way = ("right",) * ahead if 2 * ahead <= len(names) else ("left",) * (len(names) - ahead)
    if way:
        yield Strokes(way)
    yield Strokes(("enter",))


def named(scene: Scene, screen: ScreenName, key: str) -> str:
    """The name of what a keyboard's key presses."""
    return name_of(target_of(scene, key))


def by_keypad(hands: Hands, name: str) -> Acts:
    """The digit or the Enter that means the target; else round to it, as a knob goes."""
    scene, screen = hands.scene, hands.work.screen
    characters = [key for key in KEYPAD if len(key) == 1]
    meant = next((key for key in characters if named(scene, screen, key) == name), None)
    if meant is not None:
        yield Strokes((meant,))
    elif hands.model.ring is None and named(scene, screen, "enter") == name:
        yield Strokes(("enter",))
    else:
        yield from by_knob(hands, name)


class Worker:
    """Presses keys of the panel by their names; ``count`` has clicks, or strokes and detents."""

    def __init__(self, program: Program, hands: Hands, device: Device) -> None:
        self.program, self.hands, self.device = program, hands, device
        self.count = 0
        self._struck: dict[str, float] = {}
        program.display.hand("mousemove", "400", "2")  # keys go where the pointer is

    def press(self, name: str) -> None:
        """One key of the panel, by the device; the panel that goes along takes it too."""
        assert self.hands.scene.target(name) is not None, f"no {name!r} on:\n{self.hands.text}"
        for act in self.device(self.hands, name):
            if isinstance(act, Click):
                self._click(act.name)
            else:
                self._strike(act.keys)

    def work_through(self, names: tuple[str, ...]) -> None:
        """Press key after key, and see each time that the window shows what it should."""
        for name in names:
            while (way := toward(self.hands.scene, name)) is not None:
                self.press(way)
                self.program.wait_for(self.hands.scene)
            self.press(name)
            self.program.wait_for(self.hands.scene)

    def _click(self, name: str) -> None:
        target = self.hands.scene.target(name)
        assert target is not None
        self.program.down(*target.box.centre)
        self.program.up()
        self.hands.tap(name)
        self.count += 1

    def _strike(self, keys: tuple[str, ...]) -> None:
        names = KNOB if self.device is by_knob else KEYPAD
        wait_s = self._struck.get(keys[0], 0.0) + SAME_KEY_S - time.monotonic()
        if keys[0] not in ring.ARROWS and wait_s > 0:
            time.sleep(wait_s)
        self.program.display.hand("key", "--delay", "8", *(names[key] for key in keys))
        self._struck[keys[-1]] = time.monotonic()
        self.hands.key(*keys)
        self.count += len(keys)
