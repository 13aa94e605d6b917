"""What follows from the records of a copy: tables, bends by month, the report.

The same code fills them when a copy is made and works them out again when it is checked.
"""

import json
import re
from hashlib import sha256
from typing import Any, Protocol

from benchcalc.runlog.chain import ChainLine, export_line
from benchcalc.runlog.copies.csv_text import BEND_COLUMNS, Row
from benchcalc.runlog.copies.export import when_text
from benchcalc.runlog.copies.manifest import Facts, HeadFile
from benchcalc.runlog.copies.report import report_html
from benchcalc.runlog.copies.tables import NewText, Tables

REPORT = "report.html"
_MONTH = re.compile(r"[0-9]{4}-(?:0[1-9]|1[0-2])", re.ASCII)


class Folder(Protocol):
    """Where files are written, or only summed."""

    def new(self, name: str) -> NewText:
        """A file to write."""

    def close(self, name: str) -> None:
        """It is whole."""


class Filling:
    """The files of a collection, or only those that follow from its records."""

    def __init__(self, folder: Folder, by_month: bool) -> None:
        self.tables = Tables(folder)
        self.records = 0
        self._folder, self._by_month = folder, by_month
        self._files: dict[str, NewText] = {}

    def take(self, line: ChainLine, body: dict[str, Any] | None = None) -> None:
        """One record into its month, and its rows into the tables."""
        bends = self.tables.take(line.device, line.record, body)
        self.records += 1
        if self._by_month:
            when = line.record.wall_time
            month = when[:7] if _MONTH.match(when) else "unknown"
            place = f"device={line.device}/month={month}"
            own = export_line(line.text, line.record.hash)
            self._file(f"records/{place}/records.jsonl").write(own)
            if bends:
                self._file(f"bends/{place}/bends.jsonl").write(_bend_lines(bends))

    def _file(self, name: str) -> NewText:
        if name not in self._files:
            self._files[name] = self._folder.new(name)
        return self._files[name]

    def next_device(self) -> None:
        """Close the files of this one: a shop may have more than can be open at once."""
        for name in self._files:
            self._folder.close(name)
        self._files.clear()


class Sums:
    """A folder of which only lengths and hashes are wanted."""

    def __init__(self) -> None:
        self._files: dict[str, _Sum] = {}

    def new(self, name: str) -> "_Sum":
        """A file to write."""
        return self._files.setdefault(name, _Sum())

    def close(self, name: str) -> None:
        """It is whole."""

    def facts(self) -> dict[str, Facts]:
        """Of every file."""
        return {name: Facts(f.bytes, f.hash.hexdigest()) for name, f in self._files.items()}


class _Sum:
    def __init__(self) -> None:
        self.bytes, self.hash = 0, sha256()

    def write(self, data: bytes) -> None:
        """Add to it."""
        self.bytes += len(data)
        self.hash.update(data)


def expected(filling: Filling, sums: Sums, head: HeadFile) -> dict[str, Facts]:
    """What the files that follow from the records must be, ``filling`` having taken them all."""
    filling.tables.flush()
    page = report_html(filling.tables.tally, head.title, when_text(head), head.notes)
    sums.new(REPORT).write(page.encode())
    return sums.facts()


def _bend_lines(rows: list[Row]) -> bytes:
    lines = [_TEXT(dict(zip(BEND_COLUMNS, row, strict=True))) for row in rows]
    return "".join(f"{line}\n" for line in lines).encode()


_TEXT = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode
