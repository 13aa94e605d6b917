"""Copies of any number of benches made into one: each record once, by device and number.

A copy that is not whole is left out and named. Copies of one device may overlap, and may be given
in any order and more than once: the result is the same. Where two of them carry different records
under one number, as after a machine was cloned, the first keeps its place and the other is named.

The layout: ``records/device=ID/month=YYYY-MM/records.jsonl`` holds the chained records whole,
``bends/device=ID/month=YYYY-MM/bends.jsonl`` one flat row a bend, and runs.csv, bends.csv,
remarks.csv and report.html stand beside them. A collection is verified like a copy, and can be
collected again.
"""

import json
import re
from collections.abc import Generator, Iterable, Iterator
from dataclasses import replace
from itertools import groupby
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from benchcalc.runlog.chain import Stored, export_line
from benchcalc.runlog.csv_text import BEND_COLUMNS, Row
from benchcalc.runlog.export import Enclosed, Progress, enclose, when_text
from benchcalc.runlog.manifest import HEAD, MANIFEST, HeadFile, Span, head_of
from benchcalc.runlog.media import Media, NewFile, NewFolder, told
from benchcalc.runlog.report import report_html
from benchcalc.runlog.tables import Tables
from benchcalc.runlog.verify import Line, lines_of, verify

_MONTH = re.compile(r"[0-9]{4}-(?:0[1-9]|1[0-2])", re.ASCII)
_DEPTH = 3
_LINES_A_STEP = 200


class Learner(Protocol):
    """What makes the learnt springback of records, shown in the order of device and number."""

    def take(self, device: str, sequence: int, kind: str, body: dict[str, Any]) -> None:
        """One record."""

    def state(self) -> dict[str, Any]:
        """What was learnt of them all, as it is written to springback.json."""


class Collected(NamedTuple):
    """A finished collection: its folder, how many records of how many devices, and what to tell."""

    folder: Path
    devices: int
    records: int
    notes: tuple[str, ...]


class _Part(NamedTuple):
    """A stretch of one device's chain in one copy."""

    folder: Path
    head: HeadFile
    span: Span


def copies_in(folders: Iterable[Path]) -> list[Path]:
    """The copies among these folders and a few folders below them, each once.

    Raises FileNotFoundError for a folder that neither is nor holds a copy.
    """
    found: dict[Path, None] = {}
    for folder in folders:
        below = list(_copies(folder.resolve(), _DEPTH))
        if not below:
            raise FileNotFoundError(f"{folder}: neither a copy nor a folder with copies in it")
        found |= dict.fromkeys(below)
    return list(found)


def _copies(folder: Path, depth: int) -> Iterator[Path]:
    if any((folder / name).is_file() for name in (MANIFEST, HEAD)):
        yield folder
    elif depth and folder.is_dir():
        for below in sorted(folder.iterdir()):
            if below.is_dir() and not below.is_symlink():
                yield from _copies(below, depth - 1)


def collect(
    copies: Iterable[Path],
    parent: Path,
    media: Media,
    enclosed: Enclosed,
    learner: Learner | None = None,
) -> Generator[Progress, None, Collected]:
    """Merge copies (see ``copies_in``) into a new folder in ``parent``.

    Raises CopyFailed when the result cannot be written, OSError when a copy cannot be read.
    """
    notes: list[str] = []
    parts = sorted(_parts(copies, notes), key=_order)
    folder = None
    try:
        folder = NewFolder(media, parent, "benchcalc-collected")
        collected = yield from _written(folder, parts, notes, enclosed, learner)
        return collected
    except BaseException as error:
        if folder is not None:
            folder.discard()
        if isinstance(error, OSError):
            raise told(parent, error) from error
        raise


def _order(part: _Part) -> tuple[str, int, int, str]:
    return (part.span.device, part.span.after, -part.span.last, str(part.folder))


def _parts(copies: Iterable[Path], notes: list[str]) -> Iterator[_Part]:
    """The stretches of every copy that is whole; the others are noted."""
    for folder in copies:
        checked = verify(folder)
        if checked.verdict != "whole" or checked.head is None:
            first = checked.faults[0]
            notes.append(f"{folder.name} left out, {checked.verdict}: {first.file}: {first.says}.")
            continue
        for span in checked.head.spans:
            if span.last > span.after:
                yield _Part(folder, checked.head, span)


def _written(
    folder: NewFolder,
    parts: list[_Part],
    notes: list[str],
    enclosed: Enclosed,
    learner: Learner | None,
) -> Generator[Progress, None, Collected]:
    filling = _Filling(folder, learner)
    total = sum(part.span.last - part.span.after for part in parts) or 1
    spans: list[Span] = []
    for device, own in groupby(parts, key=lambda part: part.span.device):
        device_merge = _Device(device, list(own), notes)
        for line in device_merge.lines():
            filling.take(line)
            if filling.records % _LINES_A_STEP == 0:
                yield Progress(min(0.7, 0.7 * filling.records / total))
        filling.next_device()
        spans += device_merge.spans
    filling.tables.flush()
    if learner is not None:
        enclosed = replace(enclosed, springback=learner.state())
    enclose(folder, enclosed)
    devices = len({span.device for span in spans})
    title = f"{devices} bench{'' if devices == 1 else 'es'}, {filling.records} records"
    told_of = (*notes, *filling.tables.notes())
    report = report_html(filling.tables.tally, title, when_text(enclosed), told_of)
    folder.put("report.html", report.encode())
    when = (enclosed.wall_time, enclosed.clock_trusted)
    for done, size in folder.seal(head_of("collection", enclosed.software, when, spans, told_of)):
        yield Progress(1 - 0.3 * (1 - done / size))
    return Collected(folder.path, devices, filling.records, told_of)


class _Device:
    """The parts of one device, merged: each number once, in order."""

    def __init__(self, device: str, parts: list[_Part], notes: list[str]) -> None:
        self._device = device
        self._parts = parts
        self._notes = notes
        self._ends = {end for p in parts for end in (p.span.after, p.span.last)}
        self._hashes: dict[int, str] = {}
        self.spans: list[Span] = []

    def lines(self) -> Iterator[Line]:
        """The records that are in any part, where the parts agree."""
        for part in self._parts:
            if not self._agrees(part.span):
                self._differs(part)
                continue
            last = self.spans[-1].last if self.spans else 0
            if part.span.last <= last:
                continue
            if part.span.after > last or not self.spans:
                self._begin(part.span, last)
            yield from self._of(part)

    def _agrees(self, span: Span) -> bool:
        """Chains with one hash at one number are the same up to there."""
        own = ((span.after, span.after_hash), (span.last, span.last_hash))
        return all(h is None or self._hashes.get(number, h) == h for number, h in own)

    def _differs(self, part: _Part) -> None:
        span = f"records {part.span.after + 1} to {part.span.last} of device {self._device}"
        self._notes.append(f"{part.folder.name}: {span} left out: they differ from another copy.")

    def _begin(self, span: Span, last: int) -> None:
        if span.after > last:
            which = f"{last + 1} to {span.after}"
            self._notes.append(f"Records {which} of device {self._device} are in no copy.")
        self.spans.append(span._replace(last=span.after, last_hash=span.after_hash or ""))

    def _of(self, part: _Part) -> Iterator[Line]:
        now = self.spans[-1]
        for line in lines_of(part.folder, part.head, self._device):
            if line.sequence == now.last and line.hash != now.last_hash:
                self._differs(part)
                return
            if now.last < line.sequence <= part.span.last:
                now = now._replace(last=line.sequence, last_hash=line.hash)
                self.spans[-1] = now
                if line.sequence in self._ends:
                    self._hashes[line.sequence] = line.hash
                yield line


class _Filling:
    """The files of a collection, filled line by line."""

    def __init__(self, folder: NewFolder, learner: Learner | None) -> None:
        self.tables = Tables(folder)
        self.records = 0
        self._folder = folder
        self._learner = learner
        self._files: dict[str, NewFile] = {}

    def take(self, line: Line) -> None:
        """One record into its month, and its rows into the tables."""
        plain = json.loads(line.text)
        when, body = plain["wall_time"], plain["body"]
        month = when[:7] if _MONTH.match(when) else "unknown"
        place = f"device={line.device}/month={month}"
        self._file(f"records/{place}/records.jsonl").write(export_line(line.text, line.hash))
        trusted = int(plain["clock_trusted"])
        record = Stored(
            line.sequence, plain["boot_id"], when, trusted, plain["kind"], "", line.hash
        )
        bends = self.tables.take(line.device, record, body)
        if bends:
            self._file(f"bends/{place}/bends.jsonl").write(_bend_lines(bends))
        if self._learner is not None:
            self._learner.take(line.device, line.sequence, record.kind, body)
        self.records += 1

    def _file(self, name: str) -> NewFile:
        if name not in self._files:
            self._files[name] = self._folder.new(name)
        return self._files[name]

    def next_device(self) -> None:
        """Close the files of this one: a shop may have more than can be open at once."""
        for name in self._files:
            self._folder.close(name)
        self._files.clear()


def _bend_lines(rows: list[Row]) -> bytes:
    lines = [_TEXT(dict(zip(BEND_COLUMNS, row, strict=True))) for row in rows]
    return "".join(f"{line}\n" for line in lines).encode()


_TEXT = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode
