"""The tables of a copy, filled record by record: runs, bends, points, remarks; and the counts."""

from typing import Any, Protocol

from benchcalc.runlog.body import read_body
from benchcalc.runlog.chain import Stored
from benchcalc.runlog.copies.csv_text import (
    BEND_COLUMNS,
    POINT_COLUMNS,
    REMARK_COLUMNS,
    RUN_COLUMNS,
    CsvFile,
    Row,
    bend_rows,
    point_rows,
    remark_row,
    run_row,
)
from benchcalc.runlog.copies.tally import Tally
from benchcalc.runlog.records import PIECE, REMARK, upgraded

TABLED = (PIECE, REMARK)
"""The kinds of records that have a table."""

_MOST_TOLD = 20
_NO_RECORD = (KeyError, TypeError, AttributeError, ValueError, ArithmeticError)


class NewText(Protocol):
    """A file being written."""

    def write(self, data: bytes) -> None:
        """Add to it."""


class Files(Protocol):
    """Where the tables are written: a copy, or what only takes their sums."""

    def new(self, name: str) -> NewText:
        """A file to write to."""


class Tables:
    """``runs.csv``, ``bends.csv``, ``points.csv`` and ``remarks.csv``, and the tally for a report.

    A record that is no piece or remark of a form this program knows is in the JSON Lines all the
    same, and noted.
    """

    def __init__(self, folder: Files) -> None:
        self.tally = Tally()
        self._unread: list[str] = []
        self._runs = CsvFile(RUN_COLUMNS, folder.new("runs.csv").write)
        self._bends = CsvFile(BEND_COLUMNS, folder.new("bends.csv").write)
        self._points = CsvFile(POINT_COLUMNS, folder.new("points.csv").write)
        self._remarks = CsvFile(REMARK_COLUMNS, folder.new("remarks.csv").write)

    def take(self, device: str, record: Stored, body: dict[str, Any] | None = None) -> list[Row]:
        """Put a record where it belongs; returns the rows of its bends. ``body``: already read."""
        if record.kind not in TABLED:
            return []
        try:
            body = read_body(record.body) if body is None else body
            if record.kind == REMARK:
                self._remarks.add([remark_row(device, record, body)])
                self.tally.remarks += 1
                return []
            return self._piece(device, record, upgraded(body))
        except _NO_RECORD:
            self._unread.append(f"{record.sequence} of {device}")
            del self._unread[_MOST_TOLD:]
            return []

    def _piece(self, device: str, record: Stored, piece: dict[str, Any]) -> list[Row]:
        run, bends = run_row(device, record, piece), bend_rows(device, record, piece)
        points = point_rows(device, record, piece)
        self.tally.take(piece)
        self._runs.add([run])
        self._bends.add(bends)
        self._points.add(points)
        return bends

    def notes(self) -> tuple[str, ...]:
        """What is to be told of the records, a sentence each."""
        if not self._unread:
            return ()
        which = ", ".join(self._unread)
        return (f"Not in the tables, of a form this program cannot read: records {which}.",)

    def flush(self) -> None:
        """Write what is held back."""
        for table in (self._runs, self._bends, self._points, self._remarks):
            table.flush()
