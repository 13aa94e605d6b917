"""What a start pays for its imports, worked out from lines as Python prints them."""

import subprocess
import sys

import pytest

from tests.bench.imports import in_words, paid

SAID = """import time: self [us] | cumulative | imported package
import time:      1500 |       1500 |   pygame.rect
import time:      2500 |       4000 | pygame
a line of the program's own
import time:      3000 |       3000 |     benchcalc.core.layout.straight_tube
import time:      1000 |       4000 |   benchcalc.panel
import time:      2000 |       2000 | _sqlite3
import time:        40 |         40 | zlib
"""


def test_each_module_counts_once_for_whom_it_belongs_to() -> None:
    assert paid(SAID) == pytest.approx(
        {
            "pygame": 0.004,
            "benchcalc.core": 0.003,
            "benchcalc.panel": 0.001,
            "sqlite3": 0.002,
            "Python's own": 4e-5,
        }
    )
    assert in_words(paid(SAID)) == (
        "10 ms: pygame 4, benchcalc.core 3, sqlite3 2, benchcalc.panel 1"
    )


def test_this_python_prints_such_lines() -> None:
    command = [
        sys.executable,
        "-X",
        "importtime",
        "-c",
        "import benchcalc.core.layout.straight_tube",
    ]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stderr
    assert {"benchcalc.core", "Python's own"} <= set(paid(said))
