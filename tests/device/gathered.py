"""``python -m tests.device.gathered PLACE``: one bench gathers, another installs without a network.

``PLACE`` is the folder of a rehearsal on Debian 12 whose root has the bench installed: it gathers,
lacking nothing, for one that has nothing. Neither is booted.
"""

import subprocess
import sys
from pathlib import Path

from tests.device.root import copy_tree, run_inside, unpack
from tests.house.sources import ROOT

PINNED = ("requirements.txt", "build.txt")
"""What pip fetches; a folder stands for the package index."""

GATHER = "PIP_NO_INDEX=1 PIP_FIND_LINKS=/tmp/pypi /tmp/tree/systemd/install --gather /tmp/files"


def gathered(place: Path) -> None:
    """Gather in the root, install from it in a new one whose network is cut."""
    suite = place.name.partition("-")[0]
    here, there = place / "root", place / "other"
    copy_tree(here / "tmp/tree")
    pip = [sys.executable, "-m", "pip", "wheel", "--quiet", "--wheel-dir", str(here / "tmp/pypi")]
    for name in PINNED:
        file = str(ROOT / "systemd" / name)
        subprocess.run([*pip, "--require-hashes", "-r", file], check=True)
    print(run_inside(here, "sh", "-c", GATHER))
    unpack(there, place.parent / f"{place.name}.tar", suite)
    for name in ("tree", "files"):
        (here / "tmp" / name).rename(there / "tmp" / name)
    print(run_inside(there, "/tmp/tree/systemd/install", "--from", "/tmp/files", network=False))
    print(run_inside(there, "/usr/local/bin/benchcalc", "--version", network=False))


gathered(Path(sys.argv[1]))
