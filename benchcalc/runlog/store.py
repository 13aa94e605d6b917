"""The store: records that are only ever added, and the work in progress, in one SQLite file.

One connection and one opener at a time. A call that has returned is on the disk: write-ahead log
with a full sync at each commit. Sequence numbers order the records; wall time is only a remark.
Each record is linked to the one before it (see ``chain``); a store that replaces a damaged one has
a device id of its own, so that device and sequence number name a record for good.
"""

import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Self

from benchcalc.runlog import faults, schema
from benchcalc.runlog import folder as files
from benchcalc.runlog.chain import FIRST, Entry, Head, Stored, linked
from benchcalc.runlog.faults import StoreBusy, StoreError, StoreNewer
from benchcalc.runlog.schema import apply_steps, shape, transaction

__all__ = ["PANEL_SLOT", "Entry", "Head", "Store", "StoreBusy", "StoreError", "StoreNewer"]

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
FILE_ERRORS = (sqlite3.Error, UnicodeDecodeError)
_COLUMNS = "sequence, boot_id, wall_time, clock_trusted, kind, body, hash"
_LAST = (
    f"SELECT {_COLUMNS}, (SELECT hash FROM records WHERE sequence = r.sequence - 1) "
    "FROM records AS r ORDER BY sequence DESC LIMIT 1"
)
_PUT_WORK = (
    "INSERT INTO work (slot, body) VALUES (?, ?) "
    "ON CONFLICT (slot) DO UPDATE SET body = excluded.body"
)


class _Damaged(Exception):
    """The database file cannot be what this program wrote."""


class Store:
    """The open store of one folder. ``set_aside`` names the damaged file that opening renamed.

    ``device`` is the store's own name: random, made once.

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
        self.device = _device(db)

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

        The record before it is held against its hash first. Returns the new record's sequence
        number. Raises ValueError when a body is no JSON value.
        """
        row = (self._boot_id, wall_time, int(clock_trusted), kind, _text(body))
        work_text = None if work is None else _text(work)
        with self._telling(), transaction(self._db):
            head = _checked_head(self._db, self.device)
            record = Stored(head.sequence + 1, *row, "")
            own = linked(head.hash, record.text(self.device).encode())
            self._db.execute(
                f"INSERT INTO records ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?)",
                record._replace(hash=own),
            )
            if work_text is not None:
                self._db.execute(_PUT_WORK, (slot, work_text))
        return record.sequence

    def head(self) -> Head:
        """Where the chain ends: the last record's number and hash, at the cost of one look."""
        query = "SELECT sequence, hash FROM records ORDER BY sequence DESC LIMIT 1"
        with self._telling():
            row = self._db.execute(query).fetchone()
        return Head(*row) if row else Head(0, FIRST)

    def save_work(self, slot: str, body: Any) -> None:
        """Keep the work in progress of a slot in place of what it held."""
        text = _text(body)
        with self._telling(), transaction(self._db):
            self._db.execute(_PUT_WORK, (slot, text))

    def load_work(self, slot: str = PANEL_SLOT) -> Any | None:
        """The work kept in a slot, None when there is none."""
        with self._telling():
            row = self._db.execute("SELECT body FROM work WHERE slot = ?", (slot,)).fetchone()
            return None if row is None else _value(row[0])

    def records(self, kind: str | None = None, after: int = 0) -> Iterator[Entry]:
        """The records past sequence number ``after``, in order, a few in memory at a time."""
        for record in self.stored(after, kind):
            with self._telling():
                entry = _entry(record)
            yield entry

    def stored(self, after: int = 0, kind: str | None = None) -> Iterator[Stored]:
        """The same, unread: each with the text of its body and its hash."""
        only, wanted = ("", ()) if kind is None else ("AND kind = ? ", (kind,))
        query = (
            f"SELECT {_COLUMNS} FROM records WHERE sequence > ? {only}"
            f"ORDER BY sequence LIMIT {_CHUNK}"
        )
        while True:
            with self._telling():
                # Fetched whole: a half-read query would keep the log from being folded in.
                chunk = [Stored(*row) for row in self._db.execute(query, (after, *wanted))]
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
        except (*FILE_ERRORS, _Damaged) as error:
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


def _entry(record: Stored) -> Entry:
    value = _value(record.body)
    if not isinstance(value, dict):
        raise _Damaged(f"record {record.sequence} is no mapping")
    return Entry(*record[:3], bool(record.clock_trusted), record.kind, value, record.hash)


def _device(db: sqlite3.Connection) -> str:
    row = db.execute("SELECT id FROM device").fetchone()
    if row is None:
        raise _Damaged("it has lost its name")
    return str(row[0])


def _checked_head(db: sqlite3.Connection, device: str) -> Head:
    """The last record, held against its hash; the ones before it were, each when it was last."""
    row = db.execute(_LAST).fetchone()
    if row is None:
        return Head(0, FIRST)
    record, previous = Stored(*row[:-1]), row[-1] if row[0] > 1 else FIRST
    _entry(record)
    if previous is None or linked(previous, record.text(device).encode()) != record.hash:
        raise _Damaged(f"record {record.sequence} does not match its hash")
    return Head(record.sequence, record.hash)


def _record_hash(previous: str, device: str, *columns: Any) -> str:
    """The hash of a record, for a schema step."""
    return linked(previous, Stored._make((*columns, "")).text(device).encode())


def connect(path: Path | str, uri: bool = False) -> sqlite3.Connection:
    """A connection that knows ``record_hash``; transactions are begun and ended by hand."""
    db = sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None, uri=uri)
    db.create_function("record_hash", 8, _record_hash, deterministic=True)
    return db


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
    db = connect(folder / files.DATABASE)
    try:
        _look(db, folder, boot_id)
    except FILE_ERRORS as error:
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
    if len(steps) < len(schema.STEPS):
        _try_on_a_copy(db, folder, boot_id, after=len(steps))
        apply_steps(db, boot_id, after=len(steps))
    if shape(db) != _wanted_shape():
        raise _Damaged("its tables are not those of this program")
    _checked_head(db, _device(db))
    for (body,) in db.execute("SELECT body FROM work"):
        _value(body)


def _try_on_a_copy(db: sqlite3.Connection, folder: Path, boot_id: str, after: int) -> None:
    """Bring a copy up first: what a step fails on, of a store that is whole, stays as it was."""
    copy = connect("")  # a file of SQLite's own, gone with the connection
    try:
        db.backup(copy)
        apply_steps(copy, boot_id, after)
        if shape(copy) != _wanted_shape():
            raise _Damaged("its tables are not those of any program")
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", None)
        if _is_damage(error, code) or faults.told_by_code(folder, code):
            raise
        raise faults.not_brought_up(folder, after, len(schema.STEPS), error) from error
    finally:
        copy.close()


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


def _wanted_shape() -> list[tuple[Any, ...]]:
    db = connect(Path(":memory:"))
    try:
        db.execute(schema.LEDGER)
        apply_steps(db, "", after=0)
        return shape(db)
    finally:
        db.close()


def _make_database(folder: Path, boot_id: str, work: list[tuple[str, str]]) -> None:
    """Make a whole database under another name first: a power cut leaves none or all of it."""
    files.clear_new(folder)
    db = connect(folder / files.NEW_DATABASE)
    try:
        db.execute(schema.LEDGER)
        apply_steps(db, boot_id, after=0)
        with transaction(db):
            db.executemany(_PUT_WORK, work)
    finally:
        db.close()
    files.put_new_in_place(folder)


def _work_in(damaged: Path) -> list[tuple[str, str]]:
    """The work in progress that a damaged database still gives, nothing when it gives none."""
    db = connect(damaged)
    try:
        rows = db.execute("SELECT slot, body FROM work").fetchall()
        for _, body in rows:
            _value(body)
    except (*FILE_ERRORS, _Damaged):
        return []
    finally:
        db.close()
    return rows
