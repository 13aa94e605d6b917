"""What one bend writes to the disk and how often it waits for it, by the program's own calls.

A bend pulled twice, each time measured by typing and judged. The file system's own journal is not
in it; ``python -m tests.device bend-writes`` counts what reaches an emulated disk.
"""

import os
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.table import Figure
from tests.crash.trace import recorded
from tests.device.dry_machine import dry_rehearsal
from tests.device.steps import first_bend, to_first_pull


def figures() -> list[Figure]:
    """Bytes, writes and syncs of the bend, by strace."""
    with TemporaryDirectory() as place:
        folder, log = Path(place) / "state", Path(place) / "log"
        done = recorded("bend", folder, log, Path(place) / "strace", "tests.bench.writes")
        taps = int(log.read_text().split()[-1])
    begun, ended = (at for at, act in enumerate(done) if act.doing == "told")
    bend = done[begun:ended]
    writes = [len(act.data) for act in bend if act.doing == "write"]
    syncs = sum(act.doing == "sync" for act in bend)
    return [
        Figure(
            f"one bend pulled twice, {taps} taps",
            f"{sum(writes) / 1000:.0f} kB in {len(writes)} writes, {syncs} syncs",
            f"{taps} syncs, one a tap",
        )
    ]


def main(folder: Path, log: Path) -> None:
    """The session that is watched: says when the bend begins, and when it is judged."""
    r = dry_rehearsal(folder)
    taps = to_first_pull(r)
    handle = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
    os.write(handle, b"begun\n")
    count = first_bend(r, taps)
    os.write(handle, f"{count}\n".encode())
    r.machine.pull_plug()


if __name__ == "__main__":
    main(Path(sys.argv[2]), Path(sys.argv[3]))
