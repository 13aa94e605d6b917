"""The panel from nothing to its first frame, against a bare window."""

import subprocess
import sys
import tempfile

from tests.bench.imports import SWITCH, in_words, paid
from tests.bench.processes import Environment, interleaved, own_display, plain_environment
from tests.bench.table import Figure, middle, ms
from tests.house.sources import ROOT

ROUNDS = 20
GOAL = 1.5

PANEL = """
import os
import sys
from benchcalc.cli import main
from benchcalc.shell.display.screen import Screen
paint = Screen.paint
def first_paint(screen, scene):
    paint(screen, scene)
    os._exit(0)
Screen.paint = first_paint
sys.argv[1:] = ["--window", "800x480"]
main()
sys.exit("the panel ended before it showed a frame")
"""

BARE = """
import os
import pygame.display
pygame.display.init()
pygame.display.set_mode((800, 480)).fill((255, 255, 255))
pygame.display.flip()
os._exit(0)
"""


def figures() -> list[Figure]:
    """From the start of the process until the first flip has returned."""
    with own_display() as display, tempfile.TemporaryDirectory() as state:
        environment = plain_environment(DISPLAY=display, BENCHCALC_STATE=state)
        commands = [[sys.executable, "-c", program] for program in (BARE, PANEL)]
        floor, whole = interleaved(commands, environment, ROUNDS)
        bare, panel = (_imports(command, environment) for command in commands)
    times = middle(whole) / middle(floor)
    return [
        Figure(
            "benchcalc --window 800x480, start to first frame",
            f"{ms(middle(whole))}, {times:.2f} floors",
            f"{ms(middle(floor))} bare pygame window",
            f"{GOAL} floors",
            times <= GOAL,
        ),
        Figure("its imports, one start", panel, bare),
    ]


def _imports(command: list[str], environment: Environment) -> str:
    """What a start pays for imports, in words; the clock itself makes them a little longer."""
    clocked = {**environment, SWITCH: "1"}
    done = subprocess.run(command, cwd=ROOT, env=clocked, stderr=subprocess.PIPE, text=True)
    return in_words(paid(done.stderr))
