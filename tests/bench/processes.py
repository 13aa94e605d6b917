"""Other processes: a display of our own for them, and how long a whole one takes."""

import os
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager

from tests.house.sources import ROOT

Environment = dict[str, str]


def plain_environment(**more: str) -> Environment:
    """Ours, but compiled modules are kept and used, and no video driver is asked for."""
    left_out = ("PYTHONDONTWRITEBYTECODE", "SDL_VIDEODRIVER", "WAYLAND_DISPLAY")
    kept = {name: value for name, value in os.environ.items() if name not in left_out}
    return {**kept, "PYGAME_HIDE_SUPPORT_PROMPT": "1", **more}


@contextmanager
def own_display() -> Iterator[str]:
    """The name of an X server in memory, as large as any panel, that ends with the block."""
    reading, writing = os.pipe()
    command = ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1280x1280x24"]
    server = subprocess.Popen(
        [*command, "-nolisten", "tcp"], pass_fds=(writing,), stderr=subprocess.DEVNULL
    )
    os.close(writing)
    try:
        with os.fdopen(reading) as answer:
            number = answer.readline().strip()
        if not number:
            raise RuntimeError("Xvfb did not start: install it, or see why by starting it alone")
        yield f":{number}"
    finally:
        server.terminate()
        server.wait()


def interleaved(
    commands: list[list[str]], environment: Environment, rounds: int
) -> list[list[float]]:
    """Whole-process times in seconds of each command, taken by turns; a first round is left out."""
    times: list[list[float]] = [[] for _ in commands]
    for turn in range(rounds + 1):
        for command, taken in zip(commands, times, strict=True):
            start = time.perf_counter()
            subprocess.run(
                command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, check=True
            )
            if turn:
                taken.append(time.perf_counter() - start)
    return times
