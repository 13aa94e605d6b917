"""The store: records that are only ever added, and the work in progress, in one SQLite file.

One connection and one opener at a time. A call that has returned is on the disk: write-ahead log
with a full sync at each commit. Sequence numbers order the records; wall time is only a remark.
"""

import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, NamedTuple, Self

from benchcalc.runlog import faults, schema
from benchcalc.runlog import folder as files
from benchcalc.runlog.faults import StoreBusy, StoreError, StoreNewer

__all__ = ["PANEL_SLOT", "Entry", "Store", "StoreBusy", "StoreError", "StoreNewer"]

PANEL_SLOT = "panel"
"""The slot of the panel's work in progress."""

_CHUNK = 100
_WAIT_S = 0.5  # for a tool that looks into the file; longer would freeze the panel
_PRAGMAS: dict[str, str | int] = {
    "journal_mode": "wal",
    "synchronous": 2,  # FULL
    "recursive_triggers": 1,  # else INSERT OR REPLACE deletes a record past its trigger
    "foreign_keys": 1,
    "cell_size_check": 1,  # notice a damaged page when it is read
    "mmap_size": 0,
}
_DAMAGE_CODES = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_TOOBIG)
# In a damaged file SQLite's own error text may be no UTF-8, and Python stumbles over that instead.
_FILE_ERRORS = (sqlite3.Error, UnicodeDecodeError)
_ENTRY = "SELECT sequence, boot_id, wall_time, clock_trusted, kind, body FROM records "
_PUT_WORK = (
    "INSERT INTO work (slot, body) VALUES (?, ?) "
    "ON CONFLICT (slot) DO UPDATE SET body = excluded.body"
)


class _Damaged(Exception):
    """The database file cannot be what this program wrote."""


class Entry(NamedTuple):
    """One stored record. ``wall_time`` counts only when ``clock_trusted``."""

    sequence: int
    boot_id: str
    wall_time: str
    clock_trusted: bool
    kind: str
    body: dict[str, Any]


class Store:
    """The open store of one folder. ``set_aside`` names the damaged file that opening renamed.

    Every method raises StoreError, with a sentence for the operator, when the disk or the file
    fails; what was asked is then not kept, and the store can be used again.
    """

    def __init__(
        self, db: sqlite3.Connection, lock: int, folder: Path, boot_id: str, aside: Path | None
    ) -> None:
        self._db = db
        self._lock: int | None = lock
        self._folder = folder
        self._boot_id = boot_id
        self.set_aside = aside

    @classmethod
    def open(cls, folder: Path, boot_id: str) -> Self:
        """Open the store in ``folder``, making what is missing and setting aside what is damaged.

        Work in progress that can still be read in a damaged file is carried into the new one.
        Raises StoreBusy when it is open elsewhere, StoreNewer when a newer program wrote it.
        """
        with faults.telling_os_errors(folder):
            files.make_folder(folder)
            lock = files.take_lock(folder)
            try:
                db, aside = _open_database(folder, boot_id)
            except BaseException:
                os.close(lock)
                raise
        return cls(db, lock, folder, boot_id, aside)

    def append(
        self,
        kind: str,
        body: dict[str, Any],
        wall_time: str,
        clock_trusted: bool,
        work: Any = None,
        slot: str = PANEL_SLOT,
    ) -> int:
        """Add a record and, when ``work`` is given, keep it in ``slot``: both or neither.

        Returns the record's sequence number. Raises ValueError when a body is no JSON value.
        """
        row = (self._boot_id, wall_time, int(clock_trusted), kind, _text(body))
        work_text = None if work is None else _text(work)
        with self._telling(), _transaction(self._db):
            done = self._db.execute(
                "INSERT INTO records (boot_id, wall_time, clock_trusted, kind, body) "
                "VALUES (?, ?, ?, ?, ?)",
                row,
            )
            if work_text is not None:
                self._db.execute(_PUT_WORK, (slot, work_text))
        return int(done.lastrowid or 0)

    def save_work(self, slot: str, body: Any) -> None:
        """Keep the work in progress of a slot in place of what it held."""
        text = _text(body)
        with self._telling(), _transaction(self._db):
            self._db.execute(_PUT_WORK, (slot, text))

    def load_work(self, slot: str = PANEL_SLOT) -> Any | None:
        """The work kept in a slot, None when there is none."""
        with self._telling():
            row = self._db.execute("SELECT body FROM work WHERE slot = ?", (slot,)).fetchone()
            return None if row is None else _value(row[0])

    def records(self, kind: str | None = None, after: int = 0) -> Iterator[Entry]:
        """The records past sequence number ``after``, in order, a few in memory at a time."""
        only, wanted = ("", ()) if kind is None else ("AND kind = ? ", (kind,))
        query = f"{_ENTRY}WHERE sequence > ? {only}ORDER BY sequence LIMIT {_CHUNK}"
        while True:
            with self._telling():
                # Fetched whole: a half-read query would keep the log from being folded in.
                chunk = [_entry(row) for row in self._db.execute(query, (after, *wanted))]
            yield from chunk
            if len(chunk) < _CHUNK:
                return
            after = chunk[-1].sequence

    def count(self, kind: str | None = None) -> int:
        """How many records there are, of one kind or of all."""
        only, wanted = ("", ()) if kind is None else (" WHERE kind = ?", (kind,))
        with self._telling():
            row = self._db.execute(f"SELECT count(*) FROM records{only}", wanted).fetchone()
        return int(row[0])

    def close(self) -> None:
        """Close the file and let go of the lock; closing twice does no harm."""
        self._db.close()
        if self._lock is not None:
            os.close(self._lock)
            self._lock = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextmanager
    def _telling(self) -> Iterator[None]:
        try:
            yield
        except (*_FILE_ERRORS, _Damaged) as error:
            raise self._fault(error) from error

    def _fault(self, error: Exception) -> StoreError:
        code = getattr(error, "sqlite_errorcode", None)
        told = faults.told_by_code(self._folder, code)
        if told is not None:
            return told
        if _is_damage(error, code):
            with suppress(OSError):
                (self._folder / files.SUSPECT).touch()
            return faults.damaged(self._folder)
        return StoreError(f"The record file refused ({error}): this is a fault of the program.")


def _is_damage(error: Exception, code: int | None) -> bool:
    if code is None:
        # An OperationalError without a code is Python's: a stored text that is no UTF-8.
        return isinstance(error, (_Damaged, UnicodeDecodeError, sqlite3.OperationalError))
    return code & 0xFF in _DAMAGE_CODES


def _text(value: Any) -> str:
    return json.dumps(
        value, allow_nan=False, ensure_ascii=False, separators=(",", ":"), sort_keys=True
    )


def _value(text: Any) -> Any:
    try:
        return json.loads(text)
    except (ValueError, TypeError) as error:
        raise _Damaged(str(error)) from error


def _entry(row: tuple[Any, ...]) -> Entry:
    sequence, boot_id, wall_time, trusted, kind, body = row
    value = _value(body)
    if not isinstance(value, dict):
        raise _Damaged(f"record {sequence} is no mapping")
    return Entry(sequence, boot_id, wall_time, bool(trusted), kind, value)


@contextmanager
def _transaction(db: sqlite3.Connection) -> Iterator[None]:
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
        db.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):  # some failures have rolled back already
            db.execute("ROLLBACK")
        raise


def _connect(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None)


def _open_database(folder: Path, boot_id: str) -> tuple[sqlite3.Connection, Path | None]:
    """The checked connection, and the file that had to be set aside for it."""
    aside = None
    try:
        if (folder / files.DATABASE).exists():
            try:
                return _open_checked(folder, boot_id), None
            except _Damaged:
                pass
        aside = files.set_aside(folder)
        _make_database(folder, boot_id, _work_in(aside) if aside else [])
        return _open_checked(folder, boot_id), aside
    except _Damaged as error:
        raise faults.damaged(folder) from error
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", None)
        told = faults.told_by_code(folder, code)
        raise told or StoreError(f"Records cannot be kept in {folder}: {error}.") from error


def _open_checked(folder: Path, boot_id: str) -> sqlite3.Connection:
    """Connect to the database and see that it is ours, whole as far as a short look can tell."""
    db = _connect(folder / files.DATABASE)
    try:
        _look(db, folder, boot_id)
    except _FILE_ERRORS as error:
        db.close()
        if faults.told_by_code(folder, getattr(error, "sqlite_errorcode", None)):
            raise
        raise _Damaged(str(error)) from error
    except BaseException:
        db.close()
        raise
    return db


def _look(db: sqlite3.Connection, folder: Path, boot_id: str) -> None:
    _look_at_length(folder)
    steps = [step for (step,) in db.execute("SELECT step FROM schema_steps ORDER BY step")]
    if steps != list(range(1, len(steps) + 1)):
        raise _Damaged("its schema steps have gaps")
    if len(steps) > len(schema.STEPS):
        raise faults.newer(folder, len(steps), len(schema.STEPS))
    _set_pragmas(db, folder)
    _look_at_every_page_if_suspect(db, folder)
    _apply_steps(db, boot_id, after=len(steps))
    if _shape(db) != _wanted_shape():
        raise _Damaged("its tables are not those of this program")
    for row in db.execute(f"{_ENTRY}ORDER BY sequence DESC LIMIT 1"):
        _entry(row)
    for (body,) in db.execute("SELECT body FROM work"):
        _value(body)


def _look_at_length(folder: Path) -> None:
    """SQLite reads a page that is cut short as if zeros followed; only a log explains one."""
    path = folder / files.DATABASE
    log = path.with_name(path.name + "-wal")
    if log.exists() and log.stat().st_size:
        return
    with path.open("rb") as file:
        head = file.read(18)
    # Bytes 16 and 17 are the page size, 1 standing for 65536: https://www.sqlite.org/fileformat2.html
    page = int.from_bytes(head[16:18], "big")
    page = 65536 if page == 1 else page
    if page < 512 or path.stat().st_size % page:
        raise _Damaged("the file does not end with a page")


def _look_at_every_page_if_suspect(db: sqlite3.Connection, folder: Path) -> None:
    mark = folder / files.SUSPECT
    if not mark.exists():
        return
    if db.execute("PRAGMA quick_check(1)").fetchone() != ("ok",):
        raise _Damaged("a page is damaged")
    mark.unlink()


def _set_pragmas(db: sqlite3.Connection, folder: Path) -> None:
    for name, wanted in _PRAGMAS.items():
        db.execute(f"PRAGMA {name} = {wanted}").fetchall()
        row = db.execute(f"PRAGMA {name}").fetchone()
        # A library built without memory mapping answers with no row: it maps nothing.
        if row is not None and row[0] != wanted:
            raise faults.pragma_refused(folder, name, row[0], wanted)


def _apply_steps(db: sqlite3.Connection, boot_id: str, after: int) -> None:
    for number, statements in enumerate(schema.STEPS[after:], start=after + 1):
        with _transaction(db):
            for statement in statements:
                db.execute(statement)
            db.execute("INSERT INTO schema_steps (step, boot_id) VALUES (?, ?)", (number, boot_id))


def _shape(db: sqlite3.Connection) -> list[tuple[Any, ...]]:
    return db.execute("SELECT type, name, sql FROM sqlite_schema ORDER BY name").fetchall()


def _wanted_shape() -> list[tuple[Any, ...]]:
    db = _connect(Path(":memory:"))
    try:
        db.execute(schema.LEDGER)
        _apply_steps(db, "", after=0)
        return _shape(db)
    finally:
        db.close()


def _make_database(folder: Path, boot_id: str, work: list[tuple[str, str]]) -> None:
    """Make a whole database under another name first: a power cut leaves none or all of it."""
    files.clear_new(folder)
    db = _connect(folder / files.NEW_DATABASE)
    try:
        db.execute(schema.LEDGER)
        _apply_steps(db, boot_id, after=0)
        with _transaction(db):
            db.executemany(_PUT_WORK, work)
    finally:
        db.close()
    files.put_new_in_place(folder)


def _work_in(damaged: Path) -> list[tuple[str, str]]:
    """The work in progress that a damaged database still gives, nothing when it gives none."""
    db = _connect(damaged)
    try:
        rows = db.execute("SELECT slot, body FROM work").fetchall()
        for _, body in rows:
            _value(body)
    except (*_FILE_ERRORS, _Damaged):
        return []
    finally:
        db.close()
    return rows
