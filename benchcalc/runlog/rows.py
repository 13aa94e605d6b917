"""The rows of a records table as they lie there, by SQLite or, past damage, out of the bytes.

What the log itself says is lost is no damage. Nothing here writes.
"""

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from benchcalc.runlog import faults, schema
from benchcalc.runlog.body import read_body
from benchcalc.runlog.carve import Carved
from benchcalc.runlog.chain import FIRST, Head, Stored, is_device, linked
from benchcalc.runlog.database import FILE_ERRORS, Connection, code_of
from benchcalc.runlog.marks import COPIED_FILE, HEAD_FILE, LogMark, read_mark
from benchcalc.runlog.records import LOST

CHUNK = 100
_MOST_TRIED = 1_000_000
_COLUMNS = "sequence, boot_id, wall_time, clock_trusted, kind, body"
LAST = f"SELECT {_COLUMNS}, hash FROM records ORDER BY sequence DESC LIMIT 2"
"""The last record and the one before it."""


class RecordRows:
    """A records table and the store's own name. ``mark`` and ``copied`` are the files beside it.

    Methods raise StoreError when the disk or the machine fails, never for damage.
    """

    carves = True
    """Whether the bytes are looked through; it takes seconds, which a panel at work has not."""

    def __init__(self, db: Connection | None, path: Path, folder: Path) -> None:
        self._db, self._path, self._folder = db, path, folder
        self._carved: Carved | None = None
        self.mark = read_mark(folder / HEAD_FILE)
        self.copied = read_mark(folder / COPIED_FILE)
        self._steps = self._count_steps()
        self.device = self._device()
        self._lost = self._told_lost()

    def _ask(self, query: str, *values: Any) -> list[tuple[Any, ...]] | None:
        """The rows of a query; None where damage keeps them back."""
        if self._db is None:
            return None
        try:
            rows: list[tuple[Any, ...]] = self._db.execute(query, values).fetchall()
            return rows
        except FILE_ERRORS as error:
            told = faults.told_by_code(self._folder, code_of(error))
            if told is not None:
                raise told from error
            self._met_damage()
            return None

    def _met_damage(self) -> None:
        """What whoever may mend it does about it."""

    @property
    def _chained(self) -> bool:
        return self._steps >= schema.CHAINED

    @property
    def _columns(self) -> str:
        return f"{_COLUMNS}, hash" if self._chained else f"{_COLUMNS}, ''"

    def _count_steps(self) -> int:
        """Which form the tables have; the newest where they do not tell."""
        rows = self._ask("SELECT max(step), count(*) FROM schema_steps")
        step, count = rows[0] if rows else (None, 0)
        if rows is None and self.carves:
            first = next(self._carve().rows(), None)
            return 1 if first is not None and not first.hash else len(schema.STEPS)
        if step == count > len(schema.STEPS):
            raise faults.newer(self._folder, count, len(schema.STEPS))
        # Another number than there are rows is damage, and says nothing of the form.
        return count if step == count and count else len(schema.STEPS)

    def _row(self, row: tuple[Any, ...]) -> Stored:
        """A row, whatever types damage has made of its values; such a one matches no hash."""
        texts = [value if isinstance(value, str) else repr(value) for value in row]
        trusted = row[3] if isinstance(row[3], int) else -1
        sequence = row[0] if isinstance(row[0], int) else 0
        return Stored(sequence, texts[1], texts[2], trusted, texts[4], texts[5], texts[6])

    def _text(self, record: Stored) -> bytes:
        return record.text(self.device).encode("utf-8", "replace")

    def _rows(self, after: int, before: Head) -> Iterator[Stored]:
        query = (
            f"SELECT {self._columns} FROM records WHERE sequence > ? "
            f"ORDER BY sequence LIMIT {CHUNK}"
        )
        while True:
            # Fetched whole: a half-read query would keep the log from being folded in.
            found = self._ask(query, after)
            rows = None if found is None else [self._row(row) for row in found]
            if rows is None or not self._follow(after, rows, len(rows) < CHUNK):
                yield from self._around(after, before)
                return
            yield from rows
            if len(rows) < CHUNK:
                return
            after, before = rows[-1].sequence, Head(rows[-1].sequence, rows[-1].hash)

    def _follow(self, after: int, rows: list[Stored], ends: bool) -> bool:
        """Whether nothing is missing among them but what the log itself says is lost."""
        last = after
        for row in rows:
            if row.sequence != last + 1 and not self._is_lost(last + 1, row.sequence - 1):
                return False
            last = row.sequence
        mark = self.mark
        return not (ends and mark and mark.device == self.device and mark.sequence > last)

    def _around(self, after: int, before: Head) -> Iterator[Stored]:
        """The records past a place where SQLite finds no way on."""
        if not self.carves:
            yield from self._one_by_one(after)
            return
        carved = self._carve()
        for row in carved.rows(after):
            if before.hash and row.sequence > before.sequence + 1:
                for stray in carved.strays(self.device, before):
                    yield stray
                    before = Head(stray.sequence, stray.hash)
            if row.sequence > before.sequence:
                yield row
                before = Head(row.sequence, row.hash)
        if before.hash:
            yield from carved.strays(self.device, before)

    def _one_by_one(self, after: int) -> Iterator[Stored]:
        """The same, as far as SQLite finds each by its number."""
        newest = self._ask("SELECT max(sequence) FROM records")
        last = max(newest[0][0] or 0 if newest else 0, self.mark.sequence if self.mark else 0)
        for number in range(after + 1, min(last, after + _MOST_TRIED) + 1):
            found = self._ask(f"SELECT {self._columns} FROM records WHERE sequence = ?", number)
            yield from map(self._row, found or ())

    def _carve(self) -> Carved:
        if self._carved is None:
            self._carved = Carved(self._path)
        return self._carved

    def _marks(self) -> list[LogMark]:
        """The marks that are about these records."""
        return [m for m in (self.copied, self.mark) if m and m.device == self.device]

    def _told_lost(self) -> list[tuple[int, int]]:
        """The numbers that records of the kind LOST tell of."""
        told: list[tuple[int, int]] = []
        rows = self._ask("SELECT body FROM records WHERE kind = ?", LOST)
        if rows is None and self.carves:
            rows = [(row.body,) for row in self._carve().rows() if row.kind == LOST]
        for (text,) in rows or ():
            with suppress(ValueError, KeyError, TypeError):
                told += [(int(first), int(last)) for first, last in read_body(text)["lost"]]
        merged: list[tuple[int, int]] = []
        for first, last in sorted(told):
            if merged and first <= merged[-1][1] + 1:
                merged[-1] = (merged[-1][0], max(last, merged[-1][1]))
            else:
                merged.append((first, last))
        return merged

    def _is_lost(self, first: int, last: int) -> bool:
        return any(begin <= first and last <= end for begin, end in self._lost)

    def _device(self) -> str:
        """The store's own name; where the log and its marks part, as the records prove it."""
        named = self._ask("SELECT id FROM device") or []
        own = [str(row[0]) for row in named]
        if not own and self.carves:
            own = self._carve().names
        marked = [mark.device for mark in (self.mark, self.copied) if mark]
        candidates = [name for name in dict.fromkeys((*own, *marked)) if is_device(name)]
        if len(candidates) == 1 and (own or not marked):
            return candidates[0]
        first_two = self._first_two()
        for name in candidates:
            if _proves(name, first_two):
                return name
        return candidates[0] if candidates else _stand_in(first_two)

    def _first_two(self) -> list[Stored]:
        query = f"SELECT {self._columns} FROM records ORDER BY sequence LIMIT 2"
        rows = self._ask(query)
        if rows is not None and self._chained:
            return [self._row(row) for row in rows]
        return [row for row, _ in zip(self._carve().rows(), range(2), strict=False)]


def _proves(name: str, rows: list[Stored]) -> bool:
    """Whether records are linked under this name."""
    previous = [FIRST, *(row.hash for row in rows)]
    pairs = zip(previous, rows, strict=False)
    return any(linked(p, r.text(name).encode("utf-8", "replace")) == r.hash for p, r in pairs)


def _stand_in(rows: list[Stored]) -> str:
    """A name for a file that has none: of its first record, so that it is always the same."""
    return linked(FIRST, rows[0].text("").encode("utf-8", "replace"))[:16] if rows else "0" * 16
