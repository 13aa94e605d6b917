"""``python -m tests.crash``: every state of the recorded sessions, and ``--kills 500`` kills."""

import argparse
import sys
import tempfile
import time
from pathlib import Path

from tests.crash.kills import kill_many
from tests.crash.replay import KINDS, replay


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.crash", description=__doc__)
    parser.add_argument("--kills", type=int, default=500, help="sessions of taps killed (kill -9)")
    given = parser.parse_args()
    faults: list[str] = []
    states = different = 0
    for kind in KINDS:
        began = time.monotonic()
        with tempfile.TemporaryDirectory(dir="/dev/shm") as place:
            result = replay(kind, Path(place))
        states, different = states + result.states, different + result.different
        faults += result.faults
        took = f"{time.monotonic() - began:.0f} s"
        print(f"{kind}: {result.states} states, {result.different} different, {took}", flush=True)
    print(f"{states} states, {different} different, {len(faults)} faults")
    with tempfile.TemporaryDirectory() as place:
        told = kill_many(Path(place), given.kills)
    print(f"{told.kills} kills, {told.at_work} of them at work, {len(told.faults)} faults")
    print("\n".join((faults + told.faults)[:50]))
    return 1 if faults or told.faults else 0


if __name__ == "__main__":
    sys.exit(main())
