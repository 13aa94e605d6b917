"""What a start pays for its imports, by Python's own clock (``-X importtime``)."""

import re
from collections import defaultdict

LINE = re.compile(r"import time:\s+(\d+) \|\s+\d+ \|\s+([\w.]+)")
"""Microseconds for the module by itself, then with all it imports, then its name.

Source: Python documentation, Command line and environment, -X importtime.
"""

OURS, OTHERS = "benchcalc", "Python's own"
LIBRARIES = ("pygame", "yaml", "sqlite3", "serial", "pint", "numpy")
SWITCH = "PYTHONPROFILEIMPORTTIME"


def paid(said: str) -> dict[str, float]:
    """Seconds for each of our rooms, each library, and the rest, of what a start printed."""
    spent: dict[str, float] = defaultdict(float)
    for micros, module in LINE.findall(said):
        spent[_owner(module)] += int(micros) / 1e6
    return spent


def _owner(module: str) -> str:
    top, _, below = module.partition(".")
    if top == OURS:
        return f"{OURS}.{below.partition('.')[0]}" if below else OURS
    name = top.lstrip("_")
    return name if name in LIBRARIES else OTHERS


def in_words(spent: dict[str, float]) -> str:
    """Longest first; what takes less than a hundredth of all is left out."""
    whole = sum(spent.values())
    longest = sorted(spent.items(), key=lambda entry: -entry[1])
    named = [f"{owner} {s * 1000:.0f}" for owner, s in longest if s > whole / 100]
    return f"{whole * 1000:.0f} ms: {', '.join(named)}"
