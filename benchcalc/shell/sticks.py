"""Where a stick can be copied to, looked at now and then; and asking for one to be let go."""

import errno
import os
from contextlib import suppress
from itertools import count
from pathlib import Path

from benchcalc.panel.state.messages import RecordingSent, SticksSeen
from benchcalc.panel.state.missing import Missing, StickKind
from benchcalc.report.told import told

FOLDERS = "BENCHCALC_STICKS"
"""Names the folders that sticks appear under; any folder in them then counts as one."""

BENCH = Path("/run/benchcalc/sticks")
"""Where an installed bench mounts them (``systemd/benchcalc-stick``)."""

REFUSED = Path("/run/benchcalc/refused")
"""Where an installed bench has a file for each USB stick that is in and not taken."""

RELEASE = "release"
"""The folder beside theirs that takes requests: an empty file with the name of the stick's folder.

Who mounted the stick unmounts it then. The request is gone afterwards, and so is the stick's folder
unless the stick was still in use.
"""

LOOK_S = 2.0


WHY: dict[str, StickKind] = {
    "other": "stick-other",
    "locked": "stick-locked",
    "blank": "stick-blank",
    "mixed": "stick-mixed",
    "damaged": "stick-damaged",
}


class Sticks:
    """The folders that sticks appear under.

    Without ``any_folder`` only what is mounted counts: a stick that was taken out may leave its
    empty folder behind, and a copy in there would fill this machine's own disk.
    """

    def __init__(self, folders: tuple[Path, ...], any_folder: bool = False) -> None:
        self._folders = folders
        self._any_folder = any_folder
        self._looked_at_s: float | None = None
        self._seen = SticksSeen(())
        self._asked: tuple[Path, ...] = ()

    def look(self, at_s: float) -> SticksSeen | None:
        """What changed since the last look; looks no more often than every two seconds."""
        if self._looked_at_s is not None and at_s - self._looked_at_s < LOOK_S:
            return None
        self._looked_at_s = at_s
        there = sorted(str(place) for folder in self._folders for place in self._in(folder))
        self._asked = tuple(place for place in self._asked if str(place) in there)
        kept = [str(place) for place in self._asked if not _request(place).exists()]
        seen = SticksSeen(tuple(there), tuple(kept))
        if seen == self._seen:
            return None
        self._seen = seen
        return seen

    def places(self, at_s: float) -> tuple[Path, ...]:
        """The folders that can be written to now."""
        self._looked_at_s = None
        self.look(at_s)
        return tuple(map(Path, self._seen.places))

    def put(self, place: Path, stem: str, text: str) -> RecordingSent:
        """Write a file under a name that is free, read it back, and ask to let the stick go."""
        try:
            path = _written(place, stem, text.encode())
        except OSError as error:
            problem = error.strerror or str(error)
            return RecordingSent(told("sensor.record.failed", problem=problem))
        self.let_go(place)
        return RecordingSent(told("sensor.record.done", name=path.name))

    def let_go(self, place: Path) -> bool:
        """Ask for a stick to be unmounted; false where nobody takes such requests."""
        try:
            _request(place).touch()
        except OSError:
            return False
        self._asked = (*(p for p in self._asked if p != place), place)
        return True

    def _in(self, folder: Path) -> list[Path]:
        try:
            return [place for place in folder.iterdir() if self._counts(place)]
        except OSError:
            return []

    def _counts(self, place: Path) -> bool:
        if not place.is_dir() or not os.access(place, os.W_OK | os.X_OK):
            return False
        return self._any_folder or os.path.ismount(place)


def _written(place: Path, stem: str, data: bytes) -> Path:
    """A new file that holds this, on the medium. Raises OSError."""
    from benchcalc.runlog.copies.media import Disk

    disk = Disk()
    path = next(p for n in count(1) if not (p := place / f"{stem}-{n}.jsonl").exists())
    try:
        with disk.create(path) as file:
            file.write(data)
            disk.sync(file)
        disk.sync_folder(place)
        with disk.read(path) as file:
            if file.read() != data:
                raise OSError(errno.EIO, os.strerror(errno.EIO))
    except OSError:
        with suppress(OSError):
            disk.remove(path)
        raise
    return path


def _request(place: Path) -> Path:
    return place.parent.with_name(RELEASE) / place.name


def refused(folder: Path) -> list[tuple[str, Missing]]:
    """What is in and not taken, by its name, as ``systemd/benchcalc-stick`` has written it."""
    found = []
    for path in sorted(folder.glob("[!.]*")):
        try:
            why, _, kind = path.read_text(encoding="utf-8").strip().partition(" ")
        except (OSError, ValueError):
            continue  # pulled while it was looked at
        found.append((path.name, Missing(WHY.get(why, "stick-damaged"), kind)))
    return found


def sticks_of_this_machine() -> Sticks:
    """As the environment names the folders, else where sticks are mounted by custom."""
    if given := os.environ.get(FOLDERS):
        return Sticks(tuple(map(Path, given.split(os.pathsep))), any_folder=True)
    user = os.environ.get("USER")
    own = (Path("/media") / user, Path("/run/media") / user) if user else ()
    return Sticks((BENCH, Path("/media"), *own))
