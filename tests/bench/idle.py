"""A panel nobody touches: frames it shows and processor time it takes, against a bare window."""

import os
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from tests.bench.processes import Environment, own_display, plain_environment
from tests.bench.table import Figure

SETTLING_S, WATCHED_S = 5.0, 20.0
GOAL = 0.003

COUNTED = """
import pygame.display
flip = pygame.display.flip
def counted():
    flip()
    print("frame", flush=True)
pygame.display.flip = counted
"""

PANEL = f"""{COUNTED}
import sys
from benchcalc.cli import main
sys.argv[1:] = ["--window", "800x480"]
main()
"""

BARE = f"""{COUNTED}
import time
pygame.display.init()
pygame.display.set_mode((800, 480))
pygame.display.flip()
while not pygame.event.get(pygame.QUIT):
    time.sleep(0.05)
"""


class Watched(NamedTuple):
    """Frames at the start; then frames, share of a core, wake-ups a second and MB resident."""

    first: int
    frames: int
    core: float
    wakes: float
    resident_mb: float


def figures() -> list[Figure]:
    """The panel's own process and a bare one that looks for events 20 times a second."""
    with own_display() as display, TemporaryDirectory() as folder:
        environment = plain_environment(DISPLAY=display, BENCHCALC_STATE=folder)
        bare = _watched(BARE, environment, Path(folder) / "bare")
        panel = _watched(PANEL, environment, Path(folder) / "panel")
    what = f"idle for {WATCHED_S:g} s"
    return [
        Figure(f"{what}: frames", f"{panel.frames}", f"{bare.frames}", "0", not panel.frames),
        Figure(
            f"{what}: share of a core",
            f"{panel.core:.2%}",
            f"{bare.core:.2%} bare window, 20 looks a second",
            f"{GOAL:.1%}",
            panel.core <= GOAL,
        ),
        Figure(f"{what}: wake-ups a second", f"{panel.wakes:.1f}", f"{bare.wakes:.1f}"),
        Figure(f"{what}: resident", f"{panel.resident_mb:.0f} MB", f"{bare.resident_mb:.0f} MB"),
    ]


def _watched(program: str, environment: Environment, told: Path) -> Watched:
    with told.open("w") as out:
        command = [sys.executable, "-c", program]
        process = subprocess.Popen(command, env=environment, stdout=out)
    try:
        time.sleep(SETTLING_S)
        first, busy_s, woken = _frames(told), _busy_s(process.pid), _woken(process.pid)
        time.sleep(WATCHED_S)
        busy_s = _busy_s(process.pid) - busy_s
        woken = _woken(process.pid) - woken
        frames = _frames(told) - first
        resident_mb = _resident_mb(process.pid)
    finally:
        process.terminate()
        process.wait()
    if not first:
        raise RuntimeError("nothing was shown in the first seconds: there is nothing to watch")
    return Watched(first, frames, busy_s / WATCHED_S, woken / WATCHED_S, resident_mb)


def _frames(told: Path) -> int:
    return told.read_text().count("frame")


def _woken(pid: int) -> int:
    """How often its threads were put on a processor, all together."""
    tasks = Path(f"/proc/{pid}/task").glob("*/schedstat")
    return sum(int(task.read_text().split()[2]) for task in tasks)


def _resident_mb(pid: int) -> float:
    """What it holds of the machine's memory, what it shares with others included."""
    pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def _busy_s(pid: int) -> float:
    """Processor time a process has taken, all its threads, by the scheduler's own nanoseconds.

    The ticks of ``stat`` are a hundredth of a second: too coarse for what an idle panel takes.
    Source: Documentation/scheduler/sched-stats.rst of the kernel, first field of schedstat.
    """
    tasks = Path(f"/proc/{pid}/task").glob("*/schedstat")
    return sum(int(task.read_text().split()[0]) for task in tasks) / 1e9
