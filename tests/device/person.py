"""Somebody at the panel of an emulated machine: taps, looks, and knows what should be there.

A panel without a window (``Hands``) goes along tap by tap. Only what the screen shows counts as
taken; then it must be there after any power cut.
"""

import base64
import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pygame

from benchcalc.panel.input.touches import NEAR
from benchcalc.panel.state.messages import MachineLooked
from benchcalc.panel.state.missing import Missing
from benchcalc.panel.state.model import Model
from benchcalc.panel.update import update
from benchcalc.report.settings import Ruled
from benchcalc.shell.display.edid import screen_mm
from tests.device.machine import SIZE, Machine, Pixels
from tests.device.painter import InstalledPainter
from tests.panel.driver import Hands
from tests.panel.faces import toward
from tests.panel.journeys import SHOP

LACKS = (Missing("clock"),)
"""An emulated machine has no network: nobody sets its clock."""

EDID = "printf 'ED''ID='; cat /sys/class/drm/card*-*/edid 2>/dev/null | base64 --wrap=0"

FIRST_S, TAP_S, FINGER_S, ASKED_S = 600.0, 60.0, 0.15, 20.0
MOST_FACES = 8
SAME_PLACE_S = 0.5
"""Before a second tap at one place: the panel goes by emulated seconds, which may be slower."""


class Unlike(Exception):
    """The screen does not show what it should."""


class Person:
    """One person, one machine, and a folder for pictures; ``taken`` counts taps seen as taken."""

    def __init__(self, machine: Machine, painter: InstalledPainter, shots: Path) -> None:
        self.machine, self.painter, self.shots = machine, painter, shots
        self.hands = lacking(Hands(Model(SHOP, SIZE)))
        self._shot = self.taken = 0
        self._last = (-1e6, -1e6)
        shots.mkdir(parents=True, exist_ok=True)

    def ask_screen_size(self) -> None:
        """The screen tells its own size in millimetres, and the panel is laid out by that."""
        until = self.machine.now_s() + FIRST_S
        while not (said := self.asked(EDID).rpartition("EDID=")[2].strip()):
            assert self.machine.now_s() < until, "no screen tells of itself"
            self.machine.pause(0.5)
        sides = screen_mm(base64.b64decode(said))
        told = Ruled(*sides, *SIZE) if sides else None
        self.hands.model = replace(self.hands.model, told=told)

    def asked(self, command: str) -> str:
        """What the shell says; nothing while it starts: Debian 13 drops what came before it."""
        try:
            return self.machine.shell(command, ASKED_S)
        except TimeoutError:
            return ""

    def save(self, name: str, pixels: Pixels | None = None) -> None:
        """Keep a picture of the screen."""
        self._shot += 1
        seen = self.machine.pixels() if pixels is None else pixels
        height, width, _ = seen.shape
        picture = pygame.image.frombuffer(seen.tobytes(), (width, height), "RGB")
        pygame.image.save(picture, str(self.shots / f"{self._shot:02}-{name}.png"))

    def wait_for(self, *wanted: Hands, within_s: float = TAP_S) -> Hands:
        """Until the screen shows exactly what one of these shows; gives that one."""
        pictures = [(hands, self.painter.draw(hands.scene)) for hands in wanted]
        until = self.machine.now_s() + within_s
        while True:
            seen = self.machine.pixels()
            for hands, picture in pictures:
                if seen.shape == picture.shape and np.array_equal(seen, picture):
                    return hands
            if self.machine.now_s() > until:
                self.save("unlike", seen)
                for hands, picture in pictures:
                    self.save(f"wanted-{hands.shown}", picture)
                raise Unlike(f"the screen shows none of {[hands.shown for hands in wanted]}")
            self.machine.pause(0.05)

    def come_up(self, *wanted: Hands) -> Hands:
        """Until a machine that was switched on shows its panel."""
        self.hands = self.wait_for(*(wanted or (self.hands,)), within_s=FIRST_S)
        return self.hands

    def tap(self, *names: str) -> None:
        """Tap and see what it does, one after the other."""
        for name in names:
            self.turn_to(name)
            self._tap_here(name)

    def turn_to(self, name: str) -> None:
        """To the face or page of the screen that has a key, by the keys that lead there."""
        for _ in range(MOST_FACES):
            if (way := toward(self.hands.scene, name)) is not None:
                self._tap_here(way)

    def _tap_here(self, name: str) -> None:
        self.press(name)
        self.hands.tap(name)
        self.taken += 1
        self.wait_for(self.hands)

    def press(self, name: str) -> None:
        """A finger down and up, without a look at what comes of it."""
        target = self.hands.scene.target(name)
        assert target is not None, f"no {name!r} on:\n{self.hands.text}"
        x, y = target.box.centre
        if math.dist((x, y), self._last) <= NEAR * min(SIZE):
            self.machine.pause(SAME_PLACE_S)
        self._last = (x, y)
        self.machine.touch(x, y, down=True)
        self.machine.pause(FINGER_S)
        self.machine.touch(x, y, down=False)


def lacking(hands: Hands, missing: Sequence[Missing] = LACKS) -> Hands:
    """The same, with what an emulated machine lacks."""
    hands.model, _ = update(hands.model, MachineLooked(tuple(missing)))
    return hands


def restarted(hands: Hands) -> Hands:
    """What comes up after the power went."""
    again = lacking(hands.restart())
    again.model = replace(again.model, told=hands.model.told)
    return again


def twin(hands: Hands) -> Hands:
    """Another that has come as far, to go its own way."""
    other = Hands(hands.model, hands.model.size)
    other.saved, other.log = list(hands.saved), list(hands.log)
    return other
