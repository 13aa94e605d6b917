"""The log read beside whoever has it open: never written, moved, mended, locked or folded in.

A database whose write-ahead log is empty is read where it lies, as one that nobody changes; when it
changes all the same, what was asked is asked again. Else both files are copied to a place of our
own and read there. The copy is of one moment: nothing reaches the database but through its log, so
a log that was not begun anew meanwhile holds all that was folded in while the copy was made.
"""

import os
import shutil
import tempfile
import time
from contextlib import ExitStack
from pathlib import Path
from typing import Any, NamedTuple, Self

from benchcalc.runlog import faults
from benchcalc.runlog.database import FILE_ERRORS, Connection, connect, only_to_read
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.folder import DATABASE, aside_in, refuse_file
from benchcalc.runlog.marks import COPIED_FILE, HEAD_FILE, read_mark
from benchcalc.runlog.reading import Records

_TRIES = 40
_WAIT_S = 0.05
_TICK_S = 0.1
"""Two changes within one tick of a file system's clock look like one."""

_LOG_HEAD = 32
_ROOM = 1 << 20


class _State(NamedTuple):
    """How the two files stand: when and how long the database, the head and length of its log."""

    database: tuple[int, int, int]
    log: bytes
    log_bytes: int


def _state(path: Path) -> _State:
    seen = path.stat()
    log, length = b"", 0
    with ExitStack() as opened:
        try:
            file = opened.enter_context(path.with_name(f"{path.name}-wal").open("rb"))
            log, length = file.read(_LOG_HEAD), os.fstat(file.fileno()).st_size
        except FileNotFoundError:
            pass
    return _State((seen.st_mtime_ns, seen.st_size, seen.st_ino), log, length)


class Log(Records):
    """A log as it stands. Raises StoreError, with a sentence, where none can be read."""

    def __init__(self, path: Path, folder: Path) -> None:
        self._original = path
        self._own: tempfile.TemporaryDirectory[str] | None = None
        self._as_read: _State | None = None
        with faults.telling_os_errors(folder, "read"):
            where = self._take()
            super().__init__(_connected(where, self._own is not None), where, folder)

    @classmethod
    def of(cls, folder: Path) -> "Log | None":
        """The log of a bench; None where there never was one.

        Raises StoreError when it is gone or cannot be read.
        """
        with faults.telling_os_errors(folder, "read"):
            refuse_file(folder)
            if (folder / DATABASE).exists():
                return cls(folder / DATABASE, folder)
            marks = [read_mark(folder / name) for name in (HEAD_FILE, COPIED_FILE)]
            last = max((mark.sequence for mark in marks if mark), default=0)
            aside = aside_in(folder)
        if last or aside:
            raise faults.gone(folder, last, [path.name for path in aside])
        return None

    @classmethod
    def of_file(cls, path: Path) -> Self:
        """What a records file of any name holds."""
        if not path.is_file():
            raise StoreError(f"{path}: there is no such file: name a records file.")
        log = cls(path, path.parent / ".none")  # the marks are about another file
        if not log.head().sequence and next(log.checked(), None) is None:
            log.close()
            raise StoreError(
                f"{path}: nothing in it can be read as records: keep the file, and name another."
            )
        return log

    def close(self) -> None:
        """Let go of it, and of our own copy."""
        if self._db is not None:
            self._db.close()
        if self._own is not None:
            self._own.cleanup()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _ask(self, query: str, *values: Any) -> list[tuple[Any, ...]] | None:
        while True:
            rows = super()._ask(query, *values)
            if self._as_read is None or _state(self._original) == self._as_read:
                return rows
            self._again()

    def _again(self) -> None:
        """It changed while it was read."""
        if self._db is not None:
            self._db.close()
        self._carved = None
        self._path = self._take()
        self._db = _connected(self._path, self._own is not None)

    def _take(self) -> Path:
        """The file to read: the log itself where it is at rest, else a copy of this moment."""
        for _ in range(_TRIES):
            before = _state(self._original)
            if not before.log_bytes:
                age_s = time.time() - before.database[0] / 1e9
                if not 0 <= age_s < _TICK_S:
                    self._as_read = before
                    return self._original
            elif (copy := self._copied(before)) is not None:
                self._as_read = None
                return copy
            time.sleep(_WAIT_S)
        raise StoreError(f"The log {self._original} is being written all the time: try again.")

    def _copied(self, before: _State) -> Path | None:
        """A copy of both files, None when the log was begun anew while it was made."""
        if self._own is None:
            self._own = _own_folder(before)
        copy = Path(self._own.name) / DATABASE
        pairs = [(self._original.with_name(f"{self._original.name}{s}"), s) for s in ("", "-wal")]
        for path, suffix in pairs:
            copy.with_name(f"{copy.name}{suffix}").unlink(missing_ok=True)
            try:
                shutil.copyfile(path, copy.with_name(f"{copy.name}{suffix}"))
            except FileNotFoundError:
                return None
        after = _state(self._original)
        same = after.log == before.log and after.log_bytes and len(before.log) == _LOG_HEAD
        return copy if same or after == before else None


def _connected(path: Path, own: bool) -> Connection | None:
    """A connection, None when the file is none that SQLite can open."""
    try:
        return connect(path) if own else only_to_read(path)
    except FILE_ERRORS:
        return None


def _own_folder(state: _State) -> "tempfile.TemporaryDirectory[str]":
    """A folder that nobody else may look into, on a disk with room for the copy."""
    need = state.database[1] + 2 * state.log_bytes + _ROOM
    for place in (tempfile.gettempdir(), "/var/tmp"):
        if Path(place).is_dir() and shutil.disk_usage(place).free > need:
            return tempfile.TemporaryDirectory(prefix="benchcalc-read-", dir=place)
    raise StoreError(
        f"There is no room to read the log beside the open panel: {need / 1e6:.0f} MB are needed "
        "for a while: make room for temporary files, or close the panel."
    )
