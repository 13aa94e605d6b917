"""Copies of any number of benches made into one: each record once, by device and number.

A copy that is not whole is left out and named. Copies of one device may overlap, and may be given
in any order and more than once: the result is the same. Where two of them carry different records
under one number, as after a machine was cloned, the first keeps its place; the other is named, and
its records are set apart under ``differing/``, in no table.

The layout: ``records/device=ID/month=YYYY-MM/records.jsonl`` holds the chained records whole,
``bends/device=ID/month=YYYY-MM/bends.jsonl`` one flat row a bend, and runs.csv, bends.csv,
points.csv, remarks.csv and report.html stand beside them. A collection is verified like a copy, and
can be collected again.
"""

from collections.abc import Generator, Iterable, Iterator
from itertools import groupby
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from benchcalc.core.frozen import replace
from benchcalc.core.one_line import one_line
from benchcalc.runlog.body import read_body
from benchcalc.runlog.chain import ChainLine, export_line
from benchcalc.runlog.copies.export import Enclosed, Progress, enclose, when_text
from benchcalc.runlog.copies.filling import REPORT, Filling
from benchcalc.runlog.copies.known import Known, is_known, signed_text
from benchcalc.runlog.copies.manifest import HEAD, MANIFEST, ChainSpan, HeadFile, head_of
from benchcalc.runlog.copies.media import Media, NewFolder, told
from benchcalc.runlog.copies.report import report_html
from benchcalc.runlog.copies.verify import RECORDS, lines_of, verify

_DEPTH = 3
_LINES_A_STEP = 200


class Learner(Protocol):
    """What makes the learnt springback of records, shown in the order of device and number."""

    def take(self, device: str, sequence: int, kind: str, body: dict[str, Any], day: str) -> None:
        """One record, and the day it was made."""

    def state(self) -> dict[str, Any]:
        """What was learnt of them all, as it is written to springback.json."""


class Collected(NamedTuple):
    """A finished collection: its folder, how many records of how many devices, and what to tell.

    ``signed`` says of each copy in it by whom it is signed.
    """

    folder: Path
    devices: int
    records: int
    notes: tuple[str, ...]
    signed: tuple[str, ...] = ()


class _Part(NamedTuple):
    """A stretch of one device's chain in one copy."""

    folder: Path
    head: HeadFile
    span: ChainSpan


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
    """A copy, and also what was begun to be one and never finished."""
    if any((folder / name).is_file() for name in (MANIFEST, HEAD, RECORDS)) or _begun(folder):
        yield folder
    elif depth and folder.is_dir():
        try:
            inside = sorted(folder.iterdir())
        except OSError:
            return  # a folder of somebody else's beside the copies
        for below in inside:
            if below.is_dir() and not below.is_symlink():
                yield from _copies(below, depth - 1)


def _begun(folder: Path) -> bool:
    return folder.name.startswith("benchcalc-collected") and (folder / "records").is_dir()


def collect(
    copies: Iterable[Path],
    parent: Path,
    media: Media,
    enclosed: Enclosed,
    learner: Learner | None = None,
    known: Known | None = None,
) -> Generator[Progress, None, Collected]:
    """Merge copies (see ``copies_in``) into a new folder in ``parent``.

    Where the benches are ``known``, a copy that none of them signed is left out and named.
    Raises CopyFailed when the result cannot be written, OSError when a copy cannot be read.
    """
    notes: list[str] = []
    signed: list[str] = []
    parts = sorted(_parts(copies, notes, signed, known), key=_order)
    folder = None
    try:
        folder = NewFolder(media, parent, "benchcalc-collected")
        collected = yield from _written(folder, parts, notes, enclosed, learner)
        return collected._replace(signed=tuple(signed))
    except BaseException as error:
        if folder is not None:
            folder.discard()
        if isinstance(error, OSError):
            raise told(parent, error) from error
        raise


def _order(part: _Part) -> tuple[str, int, int, str]:
    return (part.span.device, part.span.after, -part.span.last, str(part.folder))


def _parts(
    copies: Iterable[Path], notes: list[str], signed: list[str], known: Known | None
) -> Iterator[_Part]:
    """The stretches of every copy that is whole; the others are noted, each by itself."""
    for folder in copies:
        name = one_line(folder.name)
        try:
            checked = verify(folder)
        except (OSError, ValueError, RecursionError, ArithmeticError) as error:
            notes.append(f"{name} left out, it cannot be read: {one_line(str(error))}.")
            continue
        if checked.verdict != "whole" or checked.head is None:
            first = checked.faults[0]
            says = one_line(f"{first.file}: {first.says}")
            notes.append(f"{name} left out, {checked.verdict}: {says}.")
            continue
        says = signed_text(checked, known)
        if known is not None and not is_known(checked, known):
            notes.append(f"{name} left out, {says}.")
            continue
        signed.append(f"{name}: {says}")
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
    filling = Filling(folder, by_month=True)
    total = sum(part.span.last - part.span.after for part in parts) or 1
    spans: list[ChainSpan] = []
    for device, own in groupby(parts, key=lambda part: part.span.device):
        device_merge = _Device(device, list(own), notes)
        for line in device_merge.lines():
            body = read_body(line.record.body)
            filling.take(line, body)
            if learner is not None:
                made = line.record
                learner.take(device, made.sequence, made.kind, body, made.day)
            if filling.records % _LINES_A_STEP == 0:
                yield Progress(min(0.7, 0.7 * filling.records / total))
        filling.next_device()
        spans += device_merge.spans
        for number, part in enumerate(device_merge.differing, 1):
            _set_apart(folder, part, number)
    filling.tables.flush()
    if learner is not None:
        enclosed = replace(enclosed, springback=learner.state())
    enclose(folder, enclosed)
    devices = len({span.device for span in spans})
    title = f"{devices} bench{'' if devices == 1 else 'es'}, {filling.records} records"
    told_of = (*notes, *filling.tables.notes())
    report = report_html(filling.tables.tally, title, when_text(enclosed), told_of)
    folder.put(REPORT, report.encode())
    when = (enclosed.wall_time, enclosed.clock_trusted)
    closing = head_of("collection", title, enclosed.software, when, spans, told_of)
    for done, size in folder.seal(closing):
        yield Progress(1 - 0.3 * (1 - done / size))
    return Collected(folder.path, devices, filling.records, told_of)


def _set_apart(folder: NewFolder, part: _Part, number: int) -> None:
    """The records of a copy that differs from another one: which is right nobody here can say."""
    name = f"differing/device={part.span.device}/{number}/{RECORDS}"
    file = folder.new(name)
    for line in lines_of(part.folder, part.head, part.span.device):
        if isinstance(line, ChainLine) and part.span.after < line.record.sequence <= part.span.last:
            file.write(export_line(line.text, line.record.hash))
    folder.close(name)


class _Device:
    """The parts of one device, merged: each number once, in order."""

    def __init__(self, device: str, parts: list[_Part], notes: list[str]) -> None:
        self._device = device
        self._parts = parts
        self._notes = notes
        self._ends = {end for p in parts for end in (p.span.after, p.span.last)}
        self._hashes: dict[int, str] = {}
        self.spans: list[ChainSpan] = []
        self.differing: list[_Part] = []

    def lines(self) -> Iterator[ChainLine]:
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

    def _agrees(self, span: ChainSpan) -> bool:
        """Chains with one hash at one number are the same up to there."""
        own = ((span.after, span.after_hash), (span.last, span.last_hash))
        return all(h is None or self._hashes.get(number, h) == h for number, h in own)

    def _differs(self, part: _Part) -> None:
        span = f"records {part.span.after + 1} to {part.span.last} of device {self._device}"
        name = one_line(part.folder.name)
        self.differing.append(part)
        self._notes.append(f"{name}: {span} set apart: they differ from another copy.")

    def _begin(self, span: ChainSpan, last: int) -> None:
        if span.after > last:
            which = f"{last + 1} to {span.after}"
            self._notes.append(f"Records {which} of device {self._device} are in no copy.")
        self.spans.append(span._replace(last=span.after, last_hash=span.after_hash or ""))

    def _of(self, part: _Part) -> Iterator[ChainLine]:
        now = self.spans[-1]
        for line in lines_of(part.folder, part.head, self._device):
            if isinstance(line, str):
                return  # it was whole a moment ago
            number, own = line.record.sequence, line.record.hash
            if number == now.last and own != now.last_hash:
                self._differs(part)
                return
            if now.last < number <= part.span.last:
                now = now._replace(last=number, last_hash=own)
                self.spans[-1] = now
                if number in self._ends:
                    self._hashes[number] = own
                yield line
