"""The panel's resident memory on the largest screen, and what 100,000 taps leave of it.

The panel's own process, from its command to its loop, there with a finger in the loop's place: a
job typed over, each edit taken back, the other screens walked through, and again.
"""

import subprocess
import sys
from tempfile import TemporaryDirectory

from tests.bench.processes import own_display, plain_environment
from tests.bench.table import Figure
from tests.house.sources import ROOT

TAPS, EVERY = 100_000, 10_000
GOAL_KB = 90_000
GROWTH_KB = 500
"""What counts as none: pages that come and go as the interpreter's own stores fill."""

PANEL = f"""
import sys
from benchcalc.cli import main
from benchcalc.shell.loop import Loop
from tests.bench.finger import day, down, presses, up

def resident():
    lines = open("/proc/self/status").read().split("\\n")
    return next(line.split()[1] for line in lines if line.startswith("VmRSS:"))

def tapped(loop):
    loop.window.paint(loop.scene)
    print(resident(), flush=True)
    for number, place in enumerate(presses(loop, day(loop)), 1):
        down(loop, place)
        up(loop, place)
        loop.window.events()
        if number % {EVERY} == 0:
            print(resident(), flush=True)
        if number == {TAPS}:
            return

Loop.run = tapped
sys.argv[1:] = ["--window", "1280x800", "assets/demo.yaml"]
main()
"""

BARE = """
from benchcalc.shell.unneeded import without
with without("numpy", "pkg_resources"):
    import pygame.display
    import pygame.font
pygame.display.init()
pygame.font.init()
pygame.display.set_mode((1280, 800))
pygame.display.flip()
lines = open("/proc/self/status").read().split("\\n")
print(next(line.split()[1] for line in lines if line.startswith("VmRSS:")))
"""


def figures() -> list[Figure]:
    """At the first frame, after 10,000 taps and after 100,000."""
    first, *after = _resident_kb(PANEL)
    (bare,) = _resident_kb(BARE)
    if len(after) != TAPS // EVERY:
        raise RuntimeError("the panel ended before the last tap")
    growth = after[-1] - after[0]
    most = max(first, *after)
    return [
        Figure("resident at the first frame, 1280 x 800", _mb(first), f"{_mb(bare)} bare window"),
        Figure(f"most within {TAPS:,} taps", _mb(most), "", _mb(GOAL_KB), most <= GOAL_KB),
        Figure(
            f"growth from tap {EVERY:,} to {TAPS:,}",
            f"{growth} kB",
            "",
            f"none (under {GROWTH_KB} kB)",
            growth <= GROWTH_KB,
        ),
    ]


def _resident_kb(program: str) -> list[int]:
    with own_display() as display, TemporaryDirectory() as folder:
        environment = plain_environment(DISPLAY=display, BENCHCALC_STATE=folder)
        command = [sys.executable, "-c", program]
        run = subprocess.run(
            command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True, check=True
        )
    return [int(line) for line in run.stdout.split()]


def _mb(kb: int) -> str:
    return f"{kb / 1000:.1f} MB"
