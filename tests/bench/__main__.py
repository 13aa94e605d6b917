"""``python -m tests.bench [TOPIC ...]``: what it costs, beside what it could cost at least.

Figures of one machine on one day, to look at and not to pass: no test depends on them.
"""

import argparse
import os
import platform
from collections.abc import Callable

from tests.bench import (
    clearance,
    correction,
    first_tube,
    idle,
    layout,
    learning,
    memory,
    ring,
    runlog,
    sheet,
    soak,
    springback,
    start,
    taps,
    writes,
)
from tests.bench.table import Figure, print_figures

TOPICS: dict[str, Callable[[], list[Figure]]] = {
    "sheet": sheet.figures,
    "start": start.figures,
    "layout": layout.figures,
    "learning": learning.figures,
    "correction": correction.figures,
    "clearance": clearance.figures,
    "taps": taps.figures,
    "idle": idle.figures,
    "writes": writes.figures,
}


ON_REQUEST: dict[str, Callable[[], list[Figure]]] = {
    "runlog": runlog.figures,
    "memory": memory.figures,
    "first_tube": first_tube.figures,
    "soak": soak.figures,
    "springback": springback.figures,
    "ring": ring.figures,
}
"""Topics that take minutes, or gigabytes: measured only when they are named."""


def main() -> None:
    """Measure the topics asked for, or all."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("topic", nargs="*", choices=[[], *TOPICS, *ON_REQUEST], metavar="TOPIC")
    asked = parser.parse_args().topic or list(TOPICS)
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores; {platform.platform()}")
    print(f"Load {os.getloadavg()[0]:.1f} at the start; figures of a busy machine say little.")
    print("Processes use compiled modules (.pyc); runs to compare are taken by turns; medians.\n")
    print_figures([figure for topic in asked for figure in (TOPICS | ON_REQUEST)[topic]()])


main()
