"""The store: records that are only ever added, and the work in progress, in one SQLite file.

One connection that writes, and one opener at a time. A call that has returned is on the disk:
write-ahead log with a full sync at each commit; and a record that was added lies in the database
itself, not in its log alone, before the call returns. Sequence numbers order the records; wall time
is only a remark. Each record is linked to the one before it (see ``chain``); device and sequence
number name a record for good.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Self

from benchcalc.runlog import faults
from benchcalc.runlog import folder as files
from benchcalc.runlog.body import write_body
from benchcalc.runlog.carve import torn
from benchcalc.runlog.chain import Entry, Head, Stored, linked
from benchcalc.runlog.database import FILE_ERRORS, Connection, Damaged, code_of, is_damage
from benchcalc.runlog.faults import StoreBusy, StoreError, StoreNewer
from benchcalc.runlog.marks import (
    HEAD_FILE,
    LogMark,
    add_notice,
    clear_notices,
    keep_mark,
    read_notices,
)
from benchcalc.runlog.opening import PUT_RECORD, PUT_WORK, When, open_database, put_lost
from benchcalc.runlog.reading import PANEL_SLOT, Records, work_sum
from benchcalc.runlog.rows import LAST
from benchcalc.runlog.schema import transaction

__all__ = ["PANEL_SLOT", "Entry", "Head", "Store", "StoreBusy", "StoreError", "StoreNewer"]


class Store(Records):
    """The open store of one folder. ``set_aside`` names the damaged file that opening renamed.

    ``device`` is the store's own name: random, made once.

    Every method raises StoreError, with a sentence for the operator, when the disk or the file
    fails; what was asked is then not kept, and the store can be used again.
    """

    carves = False

    def __init__(
        self, db: Connection, lock: int, folder: Path, boot_id: str, aside: Path | None
    ) -> None:
        self._lock: int | None = lock
        self._boot_id = boot_id
        self.set_aside = aside
        super().__init__(db, folder / files.DATABASE, folder)

    @classmethod
    def open(cls, folder: Path, boot_id: str, mend: bool = True) -> Self:
        """Open the store in ``folder``, making what is missing and setting aside what is damaged.

        What is whole in a damaged file, work in progress too, is carried into the new one; without
        ``mend`` a damaged file stays as it is and is refused. Raises StoreBusy when it is open
        elsewhere, StoreNewer when a newer program wrote it.
        """
        with faults.telling_os_errors(folder):
            files.make_folder(folder)
            lock = files.take_lock(folder)
            try:
                behind = torn(folder / files.DATABASE)
                db, aside = open_database(folder, When(boot_id), mend)
                store = cls(db, lock, folder, boot_id, aside)
                store._compare(behind, mend)
            except BaseException:
                os.close(lock)
                raise
        return store

    def _compare(self, behind: bool, mend: bool) -> None:
        """What a log that lags behind its mark has lost is said; its numbers are not used again."""
        if behind:
            add_notice(self._folder, what="work-behind")
        last, mark = self.head(), self.mark
        if mark is not None and mark.device != self.device and mark.sequence:
            add_notice(self._folder, what="other-log", device=mark.device, last=mark.sequence)
        elif mark is not None and mark.sequence > last.sequence:
            if not mend:
                why = f"it ends at record {last.sequence} and once ended at {mark.sequence}"
                raise faults.unusable(self._folder, why)
            lost = (last.sequence + 1, mark.sequence)
            add_notice(self._folder, what="lost", first=lost[0], last=lost[1])
            with self._telling(), transaction(self._writing):
                put_lost(self._writing, self, last, When(self._boot_id), [lost])
            self._lost.append(lost)
            self.settle()
        elif mark is not None and mark.sequence == last.sequence and mark.hash != last.hash:
            add_notice(self._folder, what="altered", last=last.sequence)
        if mark is None or mark.sequence < self.head().sequence:
            self.settle()

    def index_is_right(self) -> bool:
        """The list of kinds holds nothing of its own: a damaged one is made anew."""
        if not super().index_is_right():
            with suppress(*FILE_ERRORS):
                self._writing.execute("REINDEX records_by_kind")
                self._index = None
        return super().index_is_right()

    def notices(self) -> list[dict[str, Any]]:
        """What happened to the log and nobody has pressed away yet."""
        return read_notices(self._folder)

    def forget_notices(self) -> None:
        """Someone has pressed it away."""
        with faults.telling_os_errors(self._folder):
            clear_notices(self._folder)

    def put_aside_spoilt(self, slot: str, other: str) -> None:
        """Keep what lies in a slot and cannot be read in another one, and say so."""
        with suppress(OSError):
            add_notice(self._folder, what="work-spoilt")
        rows = self._ask("SELECT body FROM work WHERE slot = ?", slot) or []
        self.save_work(other, {"cannot be read": [repr(row[0]) for row in rows]})
        with self._telling(), transaction(self._writing):
            self._writing.execute("DELETE FROM work WHERE slot = ?", (slot,))
        self.spoilt.discard(slot)

    @property
    def _writing(self) -> Connection:
        assert self._db is not None
        return self._db

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

        Returns the new record's sequence number. Raises ValueError when a body is no JSON value.
        """
        row = (self._boot_id, wall_time, int(clock_trusted), kind, write_body(body))
        work_text = None if work is None else write_body(work)
        with self._telling(), transaction(self._writing):
            head = self._end()
            record = Stored(head.sequence + 1, *row, "")
            own = linked(head.hash, record.text(self.device).encode())
            self._writing.execute(PUT_RECORD, record._replace(hash=own))
            if work_text is not None:
                self._put_work(slot, work_text)
        self.settle()
        return record.sequence

    def _end(self) -> Head:
        """Where a new record is linked to: the chain's end, and never before its mark."""
        self._writing.execute(LAST).fetchall()  # what cannot be read is a reason to refuse
        head, mark = self.head(), self.mark
        return mark.head if mark and mark.sequence > head.sequence else head

    def settle(self) -> None:
        """Bring what was acknowledged into the database itself, and keep the chain's end beside it.

        A disk that refuses is no loss: the record is in the log, and the next one tries again.
        """
        with suppress(*FILE_ERRORS, StoreError, OSError):
            self._writing.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
            self.mark = LogMark(self.device, *self.head())
            keep_mark(self._folder / HEAD_FILE, self.mark)

    def save_work(self, slot: str, body: Any) -> None:
        """Keep the work in progress of a slot in place of what it held."""
        text = write_body(body)
        with self._telling(), transaction(self._writing):
            self._put_work(slot, text)

    def _put_work(self, slot: str, text: str) -> None:
        self._writing.execute(PUT_WORK, (slot, text, work_sum(slot, text)))

    def close(self) -> None:
        """Close the file and let go of the lock; closing twice does no harm."""
        if self._db is not None:
            self._db.close()
        if self._lock is not None:
            os.close(self._lock)
            self._lock = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _met_damage(self) -> None:
        with suppress(OSError):
            (self._folder / files.SUSPECT).touch()

    @contextmanager
    def _telling(self) -> Iterator[None]:
        try:
            yield
        except (*FILE_ERRORS, Damaged) as error:
            raise self._fault(error) from error

    def _fault(self, error: Exception) -> StoreError:
        told = faults.told_by_code(self._folder, code_of(error))
        if told is not None:
            return told
        if is_damage(error):
            self._met_damage()
            return faults.damaged(self._folder)
        return StoreError(f"The record file refused ({error}): this is a fault of the program.")
