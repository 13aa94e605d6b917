"""What the installed program would draw, drawn by the installed program itself.

The machine has Debian's pygame and its fonts; pictures drawn by any other would differ by a hair,
and a wrong digit is not much more than a hair.
"""

import pickle
import subprocess
from pathlib import Path
from typing import Any

import numpy as np

from benchcalc.report.scene import Scene
from tests.device.machine import Pixels
from tests.device.root import PLAIN

PROGRAM = """
import os, pickle, sys
os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["PYGAME_HIDE_SUPPORT_PROMPT"] = "1"
import pygame
from benchcalc.report.theme import DAY
from benchcalc.shell.display.paint import Painter
painter = Painter(DAY)
while True:
    try:
        scene = pickle.load(sys.stdin.buffer)
    except EOFError:
        break
    surface = pygame.Surface(scene.size, 0, 32)
    painter.draw(surface, scene)
    sys.stdout.buffer.write(pygame.image.tostring(surface, "RGB"))
    sys.stdout.buffer.flush()
"""


class InstalledPainter:
    """The painter of a root's own program."""

    def __init__(self, root: Path) -> None:
        command = ["chroot", str(root), "/opt/benchcalc/current/bin/python", "-c", PROGRAM]
        self._process: subprocess.Popen[bytes] = subprocess.Popen(
            command, env=PLAIN, stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        self._drawn: dict[Any, Pixels] = {}

    def draw(self, scene: Scene) -> Pixels:
        """The pixels of a scene."""
        data = pickle.dumps(scene, protocol=4)
        if data not in self._drawn:
            assert self._process.stdin is not None and self._process.stdout is not None
            self._process.stdin.write(data)
            self._process.stdin.flush()
            width, height = scene.size
            raw = self._process.stdout.read(width * height * 3)
            if len(raw) != width * height * 3:
                raise RuntimeError("the installed painter ended")
            self._drawn[data] = np.frombuffer(raw, np.uint8).reshape(height, width, 3)
        return self._drawn[data]

    def close(self) -> None:
        """Let it end."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        self._process.wait()
