"""What is left of a damaged store, read record by record for a copy; the file is not changed."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from benchcalc.runlog.chain import FIRST, Head, Stored, linked
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.store import FILE_ERRORS, connect

_CHUNK = 100
_GIVE_UP = 20_000
"""So many numbers in a row that cannot be read are the end: a page holds far fewer records."""

_NAME = re.compile("[0-9a-f]{16}")
_COLUMNS = "sequence, boot_id, wall_time, clock_trusted, kind, body"


class Salvage:
    """The readable records of a store's file, under the device id that it has or a stand-in.

    Records of a store from before the chain get their hashes here. Raises StoreError, with a
    sentence, for a file that gives nothing at all.
    """

    def __init__(self, path: Path) -> None:
        if not path.is_file():
            raise StoreError(f"{path}: there is no such file: name a records file.")
        self._path = path
        self._db = self._opened(path)
        self._chained = self._ask("SELECT hash FROM records LIMIT 1") is not None
        named = self._ask("SELECT id FROM device")
        self.device = str(named[0][0]) if named else ""
        if not _NAME.fullmatch(self.device):
            self.device = self._stand_in()
        self._head: Head | None = None

    def _opened(self, path: Path) -> Any:
        """Read-only, with its log when that can be read, else without."""
        for how in ("mode=ro", "mode=ro&immutable=1"):
            db = connect(f"{path.absolute().as_uri()}?{how}", uri=True)
            try:
                if db.execute("SELECT 1 FROM sqlite_schema WHERE name = 'records'").fetchone():
                    return db
            except FILE_ERRORS:
                pass
            db.close()
        raise StoreError(
            f"{path}: nothing in it can be read as records: keep the file, and name another."
        )

    def _stand_in(self) -> str:
        """A name for a file that has none: of its first record, so that it is always the same."""
        self.device = ""
        first = next(self.stored(), None)
        return linked(FIRST, first.text("").encode())[:16] if first else "0" * 16

    def _ask(self, query: str, *values: int) -> list[tuple[Any, ...]] | None:
        """The rows of a query; None where the file does not give them."""
        try:
            rows: list[tuple[Any, ...]] = self._db.execute(query, values).fetchall()
            return rows
        except FILE_ERRORS:
            return None

    def head(self) -> Head:
        """The last record that can be read."""
        if self._head is None:
            self._head = Head(0, FIRST)
            for record in self.stored():
                self._head = Head(record.sequence, record.hash)
        return self._head

    def stored(self, after: int = 0) -> Iterator[Stored]:
        """The records past ``after`` that can be read, in order."""
        previous, failed = FIRST, 0
        while failed < _GIVE_UP:
            rows = self._rows(after, _CHUNK)
            if rows is None:
                rows = self._rows(after, 1)
            if rows is None:
                after, failed = after + 1, failed + 1
                continue
            if not rows:
                return
            for record in map(self._record, rows):
                after, failed = record.sequence, 0
                if _whole(record):
                    own = record.hash or linked(previous, record.text(self.device).encode())
                    previous = own
                    yield record._replace(hash=own)

    def _rows(self, after: int, count: int) -> list[tuple[Any, ...]] | None:
        """The next records; for one alone only the very next number, so that others can follow."""
        columns = f"{_COLUMNS}, hash" if self._chained else _COLUMNS
        query = f"SELECT {columns} FROM records WHERE "
        if count == 1:
            found = self._ask(f"{query}sequence = ?", after + 1)
            return found or None
        return self._ask(f"{query}sequence > ? ORDER BY sequence LIMIT {count}", after)

    def _record(self, row: tuple[Any, ...]) -> Stored:
        return Stored._make(row if self._chained else (*row, ""))

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()


def _whole(record: Stored) -> bool:
    """Whether a record's columns are of their kinds and its body is JSON on one line."""
    texts = (record.boot_id, record.wall_time, record.kind, record.body, record.hash)
    if not all(isinstance(text, str) for text in texts) or "\n" in record.body:
        return False
    try:
        return isinstance(json.loads(record.body), dict)
    except ValueError:
        return False
