"""A display of its own, the program on it, and a hand with a mouse: for tests in a real window."""

import math
import os
import shutil
import signal
import subprocess
import time
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pygame
import pytest

from benchcalc.panel.input.touches import FRESH_S, NEAR
from benchcalc.report.scene import Scene
from benchcalc.report.theme import DAY
from benchcalc.shell.display.paint import Painter
from tests.shell.starts import PATIENCE_S, Start, newly

SIZE = (800, 480)
POLL_S = 0.005
AGAIN_S = FRESH_S + 0.03
"""Nobody reads a new key where the old one was and taps it faster."""

WIDTH_AT, COLOURS_AT = 4 * 4, 19 * 4
"""Places in the head of an X window dump, four bytes a number. Source: X11/XWDFile.h, XWDheader."""

Pixels = npt.NDArray[np.uint8]
NEEDED = ("Xvfb", "xdotool")


def need_a_display() -> None:
    """Skip where the machine has no virtual display or no hand for it."""
    missing = [name for name in NEEDED if shutil.which(name) is None]
    if missing:
        pytest.skip(f"not installed: {', '.join(missing)}; apt-get install xvfb xdotool")


class Display:
    """Xvfb on a free display; its frame lies in a file."""

    def __init__(self, folder: Path) -> None:
        read, write = os.pipe()
        size = f"{SIZE[0]}x{SIZE[1]}x24"
        self._server = subprocess.Popen(
            ["Xvfb", "-displayfd", str(write), "-screen", "0", size, "-fbdir", str(folder),
             "-nolisten", "tcp", "-nocursor", "-noreset"],
            pass_fds=(write,), stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(write)
        with os.fdopen(read) as told:
            self.name = f":{told.readline().strip()}"
        self.folder = folder
        self._frame = folder / "Xvfb_screen0"

    def close(self) -> None:
        self._server.terminate()
        self._server.wait(10)

    def hand(self, *words: str) -> None:
        """One command to xdotool."""
        environment = {**os.environ, "DISPLAY": self.name}
        subprocess.run(["xdotool", *words], env=environment, check=True)

    def pixels(self) -> Pixels:
        """Blue, green and red of every pixel as the screen shows them now."""
        dump = self._frame.read_bytes()
        assert int.from_bytes(dump[WIDTH_AT : WIDTH_AT + 4], "big") == SIZE[0]
        colours = int.from_bytes(dump[COLOURS_AT : COLOURS_AT + 4], "big")
        start = int.from_bytes(dump[0:4], "big") + 12 * colours
        frame = np.frombuffer(dump, np.uint8, SIZE[0] * SIZE[1] * 4, start)
        return frame.reshape(SIZE[1], SIZE[0], 4)[:, :, :3]


PAINTER = Painter(DAY)


def drawn(scene: Scene) -> Pixels:
    """The pixels of a scene as the program's painter draws it without a display."""
    surface = pygame.Surface(scene.size, 0, 32)
    PAINTER.draw(surface, scene)
    data = pygame.image.tostring(surface, "RGB")
    return np.frombuffer(data, dtype=np.uint8).reshape(SIZE[1], SIZE[0], 3)[:, :, ::-1]


class Program:
    """The panel in a window of the display, with its state in a folder."""

    def __init__(self, display: Display, state: Path, start: Start = newly) -> None:
        self.display = display
        environment = {**os.environ, "DISPLAY": display.name, "BENCHCALC_STATE": str(state)}
        environment["BENCHCALC_CONFIG"] = environment["BENCHCALC_STICKS"] = str(state / "none")
        for name in ("SDL_VIDEODRIVER", "WAYLAND_DISPLAY"):
            environment.pop(name, None)
        self._lifted_at, self._lifted_s, self._seen_s = (-1, -1), 0.0, 0.0
        self._errors = display.folder / "errors"
        with self._errors.open("wb") as errors:
            self.process = start(environment, ["--window", f"{SIZE[0]}x{SIZE[1]}"], errors)

    def wait_for(self, scene: Scene) -> None:
        """Until the screen shows exactly this."""
        wanted = drawn(scene)
        until = time.monotonic() + PATIENCE_S
        while not np.array_equal(shown := self.display.pixels(), wanted):
            assert self.process.poll() is None, f"the program ended: {self.errors()}"
            unlike = int(np.any(shown != wanted, axis=2).sum())
            assert time.monotonic() < until, f"{unlike} pixels are not as they should be"
            time.sleep(POLL_S)
        self._seen_s = time.monotonic()

    def down(self, x: float, y: float) -> None:
        """The button goes down; near the last tap's place not before a person could be there."""
        place = (int(x), int(y))
        if math.dist(place, self._lifted_at) <= NEAR * min(SIZE):
            since_s = max(self._lifted_s, self._seen_s)  # what appeared there is dead for a while
            time.sleep(max(0.0, since_s + AGAIN_S - time.monotonic()))
        self._lifted_at = place
        self.display.hand("mousemove", str(place[0]), str(place[1]), "mousedown", "1")

    def up(self) -> None:
        self.display.hand("mouseup", "1")
        self._lifted_s = time.monotonic()

    def kill(self) -> None:
        """The power goes: no signal that the program could hear."""
        self.process.send_signal(signal.SIGKILL)
        self.end()

    def end(self) -> int:
        return self.process.wait(PATIENCE_S)

    def errors(self) -> str:
        return self._errors.read_text(encoding="utf-8")
