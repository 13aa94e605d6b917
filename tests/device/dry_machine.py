"""The bench without an emulated machine: the panel's own loop and store, worked as a machine is.

What it shows is not drawn but stands for itself: two pictures are alike when their scenes are.
"""

import base64
import hashlib
import re
from pathlib import Path
from random import Random
from typing import cast

import numpy as np

from benchcalc.app import restored
from benchcalc.panel.state.messages import MachineLooked
from benchcalc.panel.state.model import Model
from benchcalc.report.scene import Scene
from benchcalc.report.settings import Ruled
from benchcalc.runlog.store import Store
from benchcalc.shell.display.edid import HEADER, TIMING, screen_mm
from benchcalc.shell.loop import Loop
from tests.crash.session import NoWindow
from tests.device.machine import SIZE, Machine, Pixels
from tests.device.painter import InstalledPainter
from tests.device.person import LACKS, Person
from tests.device.steps import Rehearsal, first_frame
from tests.device.write_log import Cut
from tests.panel.journeys import SHOP
from tests.shell.hand import tap


def edid(width_mm: int, height_mm: int) -> bytes:
    """What a screen of this size tells of itself, as far as its size goes."""
    block = bytearray(HEADER.ljust(128, b"\0"))
    block[TIMING : TIMING + 2] = b"\x01\x01"
    block[TIMING + 12 : TIMING + 15] = bytes(
        (width_mm & 255, height_mm & 255, width_mm >> 8 << 4 | height_mm >> 8)
    )
    block[127] = -sum(block) % 256
    return bytes(block)


TOLD = edid(203, 122)
"""As QEMU 7.2's virtio-gpu tells of 800x480: 100 dots an inch."""


FINE = re.compile(r"\d+\.\d+(e-?\d+)?")


class ScenePainter:
    """A scene's picture is a number made of all that is in it, to the thousandth of a pixel.

    What the bench was taught is a sum; summed in another order after a start, its last bit differs.
    """

    def draw(self, scene: Scene) -> Pixels:
        """Alike for the same scene, else not."""
        text = FINE.sub(lambda digits: f"{float(digits[0]):.3f}", repr(scene))
        return np.frombuffer(hashlib.sha256(text.encode()).digest(), np.uint8)


class DryMachine:
    """A ``Machine`` as far as a person at its panel can tell."""

    def __init__(self, state: Path) -> None:
        self.state, self.place = state, state.parent
        (self.place / "writes.log").touch()
        self.started_s = 0.0
        self.pid = 100
        self.up_s = 0.0
        self._down: tuple[float, float] = (0.0, 0.0)

    def start(self, counted: bool = False) -> None:
        """The panel comes up with what its store holds."""
        self.store = Store.open(self.state, "boot")
        sides = screen_mm(TOLD)
        assert sides is not None
        model = restored(Model(SHOP, SIZE, told=Ruled(*sides, *SIZE)), self.store)
        self.loop = Loop(NoWindow(), self.store, model)
        self.loop.handle(MachineLooked(LACKS))

    def pull_plug(self) -> None:
        """The panel is gone, and what it kept is there."""
        self.store.close()

    shut_down = pull_plug

    def settle_disk(self, dice: Random) -> Cut:
        """Nothing is lost on a disk of this machine."""
        return Cut(0, 0, 0, 0, 0)

    def pause(self, span_s: float) -> None:
        """Time is told, not spent."""
        self.up_s += span_s

    def now_s(self) -> float:
        """The time that was told."""
        return self.up_s

    def pixels(self) -> Pixels:
        """What stands for the screen."""
        return ScenePainter().draw(self.loop.scene)

    def touch(self, x: float, y: float, down: bool) -> None:
        """A finger that goes down and up."""
        if not down:
            tap(self.loop, x, y)

    def shell(self, command: str, within_s: float = 0.0) -> str:
        """The few answers that a walk asks for; a panel stopped dead is begun anew at once."""
        if command.startswith("kill -STOP"):
            self.pull_plug()
            self.start()
            self.pid += 1
        answers = {
            "edid": f"EDID={base64.b64encode(TOLD).decode()}",
            "MainPID": str(self.pid),
            "uptime": str(self.up_s),
            "journalctl": "watchdog",
        }
        return next((answer for word, answer in answers.items() if word in command), "")


class Quiet(Person):
    """A person who takes no pictures."""

    def save(self, name: str, pixels: object = None) -> None:
        """Nothing to see."""


def dry_rehearsal(state: Path) -> Rehearsal:
    """A rehearsal whose machine is none, come up with what ``state`` holds."""
    machine = cast(Machine, DryMachine(state))
    person = Quiet(machine, cast(InstalledPainter, ScenePainter()), state.parent / "shots")
    r = Rehearsal(machine, person, lambda words: None, cuts=12)
    first_frame(r)
    return r
