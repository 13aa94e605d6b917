"""Opening a store to write: look at it, bring it up, and rebuild what cannot be used.

A file that cannot be used is set aside under a name of its own, whole as it is, and a new one is
made of every record in it that proves itself, under the same numbers and the same name. What is
lost is said in a record of its own, and as a notice until someone has pressed it away.
"""

from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.runlog import faults, schema
from benchcalc.runlog import folder as files
from benchcalc.runlog.beside import Log
from benchcalc.runlog.body import write_body
from benchcalc.runlog.carve import Carved
from benchcalc.runlog.chain import FIRST, Head, Stored, linked
from benchcalc.runlog.database import (
    FILE_ERRORS,
    Connection,
    Damaged,
    code_of,
    connect,
    is_damage,
)
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.marks import HEAD_FILE, add_notice, read_mark
from benchcalc.runlog.reading import Records, numbers_text, work_sum
from benchcalc.runlog.records import LOST, SCHEMA_VERSION
from benchcalc.runlog.rows import LAST
from benchcalc.runlog.schema import apply_steps, shape, transaction

PUT_RECORD = (
    "INSERT INTO records (sequence, boot_id, wall_time, clock_trusted, kind, body, hash) "
    "VALUES (?, ?, ?, ?, ?, ?, ?)"
)
PUT_WORK = (
    "INSERT INTO work (slot, body, hash) VALUES (?, ?, ?) "
    "ON CONFLICT (slot) DO UPDATE SET body = excluded.body, hash = excluded.hash"
)
_PRAGMAS: dict[str, str | int] = {
    "journal_mode": "wal",
    "synchronous": 2,  # FULL
    "recursive_triggers": 1,  # else INSERT OR REPLACE deletes a record past its trigger
    "foreign_keys": 1,
    "cell_size_check": 1,  # notice a damaged page when it is read
    "mmap_size": 0,
}

_SMALL_BYTES = 8 << 20


class When(NamedTuple):
    """What a record says of its time."""

    boot_id: str
    wall_time: str = ""
    clock_trusted: bool = False


def open_database(folder: Path, when: When, mend: bool) -> tuple[Connection, Path | None]:
    """The checked connection, and the file that had to be set aside for it.

    Without ``mend`` a file that cannot be used is left as it is: StoreError.
    """
    try:
        if mend and (folder / files.NEW_DATABASE).exists():
            _end_rebuilding(folder)
        if not (folder / files.DATABASE).exists():
            return _begin(folder, when, mend)
        try:
            return _open_checked(folder, when), None
        except Damaged as damage:
            if not mend:
                raise faults.unusable(folder, str(damage)) from damage
        aside = _rebuild(folder, when)
        return _open_checked(folder, when), aside
    except Damaged as error:
        raise faults.damaged(folder) from error
    except FILE_ERRORS as error:
        told = faults.told_by_code(folder, code_of(error))
        raise told or StoreError(f"Records cannot be kept in {folder}: {error}.") from error


def _begin(folder: Path, when: When, mend: bool) -> tuple[Connection, Path | None]:
    """A folder without a database: a new one, or what is left of one that is gone."""
    mark = read_mark(folder / HEAD_FILE)
    left = any((folder / f"{files.DATABASE}{suffix}").exists() for suffix in ("-wal", "-journal"))
    if (left or (mark and mark.sequence)) and not mend:
        raise faults.unusable(folder, "its file is gone")
    if left or (mark and mark.sequence):
        aside = _rebuild(folder, when)
        return _open_checked(folder, when), aside
    _make(folder, when, None)
    files.put_new_in_place(folder)
    return _open_checked(folder, when), None


def _open_checked(folder: Path, when: When) -> Connection:
    """Connect to the database and see that it is ours, and that records can be added to it."""
    db = connect(folder / files.DATABASE)
    try:
        _look(db, folder, when)
    except (*FILE_ERRORS, Damaged) as error:
        db.close()
        if faults.told_by_code(folder, code_of(error)):
            raise
        raise Damaged(str(error)) from error
    except BaseException:
        db.close()
        raise
    return db


def _look(db: Connection, folder: Path, when: When) -> None:
    _look_at_length(folder)
    steps = [step for (step,) in db.execute("SELECT step FROM schema_steps ORDER BY step")]
    if steps != list(range(1, len(steps) + 1)):
        raise Damaged("its schema steps have gaps")
    if len(steps) > len(schema.STEPS):
        raise faults.newer(folder, len(steps), len(schema.STEPS))
    _set_pragmas(db, folder)
    _look_at_every_page(db, folder)
    if len(steps) < len(schema.STEPS):
        _try_on_a_copy(db, folder, when, after=len(steps))
        apply_steps(db, when.boot_id, after=len(steps))
    if shape(db) != wanted_shape():
        raise Damaged("its tables are not those of this program")
    _look_at_end(db, folder)


def _look_at_end(db: Connection, folder: Path) -> None:
    """The log's name and its end: where there is more in the bytes, SQLite was led past it."""
    rows = db.execute("SELECT id FROM device").fetchall()
    records = Records(db, folder / files.DATABASE, folder)
    if rows != [(records.device,)]:
        raise Damaged("it has lost its name")
    db.execute(LAST).fetchall()
    last, mark = records.head().sequence, records.mark
    behind = mark is not None and mark.device == records.device and mark.sequence > last
    if behind and Carved(folder / files.DATABASE).last() > last:
        raise Damaged("it ends before its last record")


def _try_on_a_copy(db: Connection, folder: Path, when: When, after: int) -> None:
    """Bring a copy up first: what a step fails on, of a store that is whole, stays as it was."""
    copy = connect("")  # a file of SQLite's own, gone with the connection
    try:
        db.backup(copy)
        apply_steps(copy, when.boot_id, after)
        if shape(copy) != wanted_shape():
            raise Damaged("its tables are not those of any program")
    except FILE_ERRORS as error:
        if is_damage(error) or faults.told_by_code(folder, code_of(error)):
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
        raise Damaged("the file does not end with a page")


def _look_at_every_page(db: Connection, folder: Path) -> None:
    """Of a small file, or one in which damage was met; a large one takes too long at each start."""
    suspect = folder / files.SUSPECT
    if not suspect.exists() and (folder / files.DATABASE).stat().st_size > _SMALL_BYTES:
        return
    if db.execute("PRAGMA quick_check(1)").fetchone() != ("ok",):
        raise Damaged("a page is damaged")
    suspect.unlink(missing_ok=True)


def _set_pragmas(db: Connection, folder: Path) -> None:
    for name, wanted in _PRAGMAS.items():
        db.execute(f"PRAGMA {name} = {wanted}").fetchall()
        row = db.execute(f"PRAGMA {name}").fetchone()
        # A library built without memory mapping answers with no row: it maps nothing.
        if row is not None and row[0] != wanted:
            raise faults.pragma_refused(folder, name, row[0], wanted)


def wanted_shape() -> list[tuple[Any, ...]]:
    """The tables, indexes and triggers of a store of this program."""
    db = connect(Path(":memory:"))
    try:
        db.execute(schema.LEDGER)
        apply_steps(db, "", after=0)
        return shape(db)
    finally:
        db.close()


def _rebuild(folder: Path, when: When) -> Path:
    """Set the file aside, and make a new one of what is whole in it."""
    path = folder / files.DATABASE
    if not path.exists():
        path.touch()  # its write-ahead log alone may hold records
    with Log(path, folder) as old:
        carried = _make(folder, when, old)
        lost = numbers_text(old.damage) or ("" if carried or old.mark else "?")
        work = bool(old.spoilt) or old.slots() is None
    name = files.free_name(folder)
    with suppress(OSError):
        add_notice(folder, what="set-aside", name=name, carried=carried, lost=lost, work=work)
    files.set_aside(folder, name)
    files.put_new_in_place(folder)
    return folder / name


def _end_rebuilding(folder: Path) -> None:
    """The power went when the new file was whole and the old one not yet out of the way."""
    files.set_aside(folder, files.free_name(folder))
    files.put_new_in_place(folder)


def _make(folder: Path, when: When, old: Log | None) -> int:
    """Make a whole database under another name first: a power cut leaves none or all of it.

    Returns how many records of the old one it holds.
    """
    files.clear_making(folder)
    db = connect(folder / files.MAKING)
    carried = 0
    try:
        db.execute(schema.LEDGER)
        apply_steps(db, when.boot_id, after=0)
        if old is not None:
            with transaction(db):
                carried = _carry_over(db, old, when)
    finally:
        db.close()
    files.making_done(folder)
    return carried


def _carry_over(db: Connection, old: Log, when: When) -> int:
    carried, end = 0, Head(0, FIRST)
    for one in old.checked():
        end = Head(one.record.sequence, one.record.hash)
        if not one.wrong:
            db.execute(PUT_RECORD, one.record)
            carried += 1
    if carried or old.mark is not None:
        db.execute("DROP TRIGGER device_no_update")
        db.execute("UPDATE device SET id = ?", (old.device,))
        db.execute(schema.KEEPS_DEVICE)
    if old.damage:
        put_lost(db, old, end, when, [(d.first, d.last) for d in old.damage])
    for slot in old.slots() or ():
        value = old.load_work(slot)
        if value is not None:
            text = write_body(value)
            db.execute(PUT_WORK, (slot, text, work_sum(slot, text)))
    return carried


def put_lost(
    db: Connection, records: Records, end: Head, when: When, lost: list[tuple[int, int]]
) -> Head:
    """Say in the log which numbers it does not hold any more; the chain goes on from its mark."""
    marks = [m.head for m in (records.mark, records.copied) if m and m.device == records.device]
    last = max([end, *marks], key=lambda head: head.sequence)
    body = write_body({"form": SCHEMA_VERSION, "lost": lost})
    trusted = int(when.clock_trusted)
    row = Stored(last.sequence + 1, when.boot_id, when.wall_time, trusted, LOST, body, "")
    own = linked(last.hash, row.text(records.device).encode())
    db.execute(PUT_RECORD, row._replace(hash=own))
    return Head(row.sequence, own)
