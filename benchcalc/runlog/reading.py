"""The records of a database that may be damaged: all that are whole, and which are not.

Damage stays in its record. Where SQLite cannot lead to a record, or leads past one, the bytes of
the file are looked through (``carve``). Nothing here writes.
"""

from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.runlog import schema
from benchcalc.runlog.body import read_body, read_value
from benchcalc.runlog.chain import (
    FIRST,
    WRONG,
    ChainCheck,
    Entry,
    Head,
    Stored,
    checked,
    is_hash,
    linked,
)
from benchcalc.runlog.database import Connection
from benchcalc.runlog.marks import COPIED_FILE, LogMark, mark_copied, read_mark
from benchcalc.runlog.records import KINDS
from benchcalc.runlog.rows import CHUNK, LAST, RecordRows

PANEL_SLOT = "panel"
"""The slot of the panel's work in progress."""


class Damage(NamedTuple):
    """Records that cannot be given, from the first to the last, and why."""

    first: int
    last: int
    why: str

    @property
    def says(self) -> str:
        """A sentence."""
        if self.first == self.last:
            return f"Record {self.first} {self.why}."
        return f"Records {self.first} to {self.last} {_PLURAL.get(self.why, self.why)}."


MISSING = "is missing"
_PLURAL = {WRONG: "do not match their hashes", MISSING: "are missing"}


def numbers_text(damage: list[Damage]) -> str:
    """The numbers of all of them: ``5, 17 to 19``."""
    spans = [str(d.first) if d.first == d.last else f"{d.first} to {d.last}" for d in damage]
    return ", ".join(spans)


def work_sum(slot: str, text: str) -> str:
    """What is kept beside the text of work in hand, so that damage in it shows."""
    return sha256(f"{slot}\n{text}".encode("utf-8", "replace")).hexdigest()[:16]


class Records(RecordRows):
    """What a database holds. ``damage`` grows as records are met that cannot be given.

    ``spoilt`` are the slots whose work could not be given.
    """

    def __init__(self, db: Connection | None, path: Path, folder: Path) -> None:
        self._found: dict[tuple[int, int], Damage] = {}
        self._index: bool | None = None
        self.spoilt: set[str] = set()
        super().__init__(db, path, folder)

    @property
    def damage(self) -> list[Damage]:
        """What was met so far, in the order of numbers."""
        return [self._found[key] for key in sorted(self._found)]

    @property
    def folder(self) -> Path:
        """Where it lies."""
        return self._folder

    def head(self) -> Head:
        """Where the chain ends: the last record's number and hash, at the cost of one look."""
        rows = self._ask(LAST if self._chained else LAST.replace("hash", "''"))
        if rows is None:
            return self._carved_head()
        if not rows:
            return Head(0, FIRST)
        last, *before = map(self._row, rows)
        if is_hash(last.hash):
            return Head(last.sequence, last.hash)
        previous = before[0].hash if before else FIRST
        return Head(last.sequence, linked(previous, self._text(last)))

    def checked(self, after: int = 0) -> Iterator[ChainCheck]:
        """The records past ``after`` in order, each held against the chain, damaged ones too."""
        before = self._before(after)
        last = after
        rows = self._rows(after, before)
        told = {mark.sequence: mark.hash for mark in self._marks() if mark.sequence}
        chain = checked(rows, self.device, before, told) if self._chained else self._linked(rows)
        for one in chain:
            self._miss(last + 1, one.record.sequence - 1)
            last = one.record.sequence
            if one.wrong:
                self._note(Damage(last, last, one.wrong))
            yield one
        for mark in self._marks():
            self._miss(last + 1, mark.sequence)

    def copied_to(self) -> int:
        """The number of the last record that was copied off, 0 when none was."""
        mark = read_mark(self._folder / COPIED_FILE)  # whoever copies may not be who has it open
        return mark.sequence if mark and mark.device == self.device else 0

    def mark_copied(self, head: Head) -> None:
        """Remember, outside the log, that all up to here was copied off. Raises OSError."""
        mark_copied(self._folder, LogMark(self.device, *head))

    def stored(self, after: int = 0, kind: str | None = None) -> Iterator[Stored]:
        """The whole records past ``after``, in order; of one kind or of all."""
        if kind is not None and self._chained and self.index_is_right():
            yield from self._of_kind(kind, after)
            return
        for one in self.checked(after):
            if not one.wrong and kind in (None, one.record.kind):
                yield one.record

    def records(self, kind: str | None = None, after: int = 0) -> Iterator[Entry]:
        """The same, read."""
        for record in self.stored(after, kind):
            try:
                body = read_body(record.body)
            except ValueError as error:
                self._note(Damage(record.sequence, record.sequence, f"cannot be read: {error}"))
                continue
            trusted = bool(record.clock_trusted)
            yield Entry(*record[:3], trusted, record.kind, body, record.hash)

    def count(self, kind: str | None = None) -> int:
        """How many records there are, of one kind or of all."""
        only, wanted = ("", ()) if kind is None else (" WHERE kind = ?", (kind,))
        rows = self._ask(f"SELECT count(*) FROM records{only}", *wanted)
        return int(rows[0][0]) if rows else 0

    def load_work(self, slot: str = PANEL_SLOT) -> Any | None:
        """The work kept in a slot, None when there is none or it is ``spoilt``."""
        hashed = "hash" if self._steps >= schema.SUMMED else "''"
        rows = self._ask(f"SELECT body, {hashed} FROM work WHERE slot = ?", slot)
        if rows == []:
            return None
        with suppress(ValueError, TypeError):
            for text, own in rows or ():
                if own in ("", work_sum(slot, text)):
                    return read_value(text)
        self.spoilt.add(slot)
        return None

    def slots(self) -> list[str] | None:
        """The slots that hold work; None when that cannot be told."""
        rows = self._ask("SELECT slot FROM work")
        return None if rows is None else [str(row[0]) for row in rows]

    def _carved_head(self) -> Head:
        head = Head(0, FIRST)
        for record in self.stored():
            head = Head(record.sequence, record.hash)
        return head

    def _linked(self, rows: Iterator[Stored]) -> Iterator[ChainCheck]:
        """Records from before the chain get the hashes that it would give them."""
        previous = FIRST
        for row in rows:
            text = self._text(row)
            own = linked(previous, text)
            yield ChainCheck(row._replace(hash=own), text, previous, "")
            previous = own

    def _of_kind(self, kind: str, after: int) -> Iterator[Stored]:
        query = (
            "SELECT sequence FROM records WHERE kind = ? AND sequence > ? "
            f"ORDER BY sequence LIMIT {CHUNK}"
        )
        while True:
            numbers = self._ask(query, kind, after) or []
            for (number,) in numbers:
                one = self.one(number)
                if one is not None and not one.wrong:
                    yield one.record
            if len(numbers) < CHUNK:
                return
            after = numbers[-1][0]

    def one(self, number: int) -> ChainCheck | None:
        """One record held against the chain; None when it cannot be had."""
        query = f"SELECT {self._columns} FROM records WHERE sequence BETWEEN ? AND ?"
        found = self._ask(query, number - 2, number + 1)
        if found is None:
            return next((c for c in self.checked(number - 1) if c.record.sequence >= number), None)
        rows = sorted(map(self._row, found))
        before = Head(0, FIRST) if number <= 2 else Head(number - 3, "")
        for one in checked(rows, self.device, before):
            if one.record.sequence == number:
                if one.wrong:
                    self._note(Damage(number, number, one.wrong))
                return one
        self._miss(number, number)
        return None

    def _before(self, after: int) -> Head:
        if after <= 0:
            return Head(0, FIRST)
        if not self._chained:
            return Head(after, "")
        one = self.one(after)
        return Head(after, one.record.hash if one and not one.wrong else "")

    def index_is_right(self) -> bool:
        """Whether the list of kinds leads to every record: by their number and sum."""
        if self._index is None:
            rows = self._ask(
                "SELECT kind, count(*), total(sequence) FROM records INDEXED BY records_by_kind "
                "GROUP BY kind"
            )
            last = self.head().sequence
            missing = [(d.first, d.last) for d in self.damage if d.why == MISSING]
            gaps = [(first, end) for first, end in (*self._lost, *missing) if end <= last]
            gone = sum(end - first + 1 for first, end in gaps)
            total = sum((first + end) * (end - first + 1) / 2 for first, end in gaps)
            self._index = (
                rows is not None
                and len({row[0] for row in rows}) == len(rows)
                and all(row[0] in KINDS for row in rows)
                and sum(row[1] for row in rows) == last - gone
                and sum(row[2] for row in rows) == last * (last + 1) / 2 - total
            )
        return self._index

    def _miss(self, first: int, last: int) -> None:
        if first <= last and not self._is_lost(first, last):
            self._note(Damage(first, last, MISSING))

    def _note(self, damage: Damage) -> None:
        self._found.setdefault((damage.first, damage.last), damage)
