"""``python -m tests.shell.quick_bench``: the panel with the demo's simulated bench, its hand quick.

As ``benchcalc demo``, but with no job, and what is kept stays in ``$BENCHCALC_STATE``.
"""

import os
import subprocess
import sys
from pathlib import Path
from typing import IO

from benchcalc.app import DEMO_FLAWS, DEMO_SPRINGINESS, run_panel
from benchcalc.files.loading import load_shop
from benchcalc.shell import clock
from benchcalc.shell.sensing import DemoSensor
from benchcalc.shell.simulated_bench import Habits
from benchcalc.shell.simulator import Simulator, simulated_profile
from tests.shell.starts import Process

SIZE = (800, 480)
QUICK = Habits(speed_deg_s=90, pauses=0, overshoots=0, hold_s=0.4)


def start(environment: dict[str, str], words: list[str], errors: IO[bytes]) -> Process:
    """This module as the program of a window."""
    command = [sys.executable, "-m", "tests.shell.quick_bench", *words]
    return subprocess.Popen(command, env=environment, stderr=errors)


if __name__ == "__main__":
    with Simulator(simulated_profile(), DEMO_SPRINGINESS, DEMO_FLAWS, habits=QUICK) as bench:
        sensor = DemoSensor(bench, clock.now_s())
        state = Path(os.environ["BENCHCALC_STATE"])
        run_panel(load_shop(None), None, SIZE, state, sensor=sensor)
