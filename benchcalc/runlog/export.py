"""Copying the log off: a new folder each time, in steps, so that whoever asked can stop it.

``export`` is a generator of Progress. Closed before its end, or stopped by a fault, it removes what
it wrote and leaves nothing that ``verify`` would take for a copy.
"""

import json
from collections.abc import Generator, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from benchcalc.runlog.chain import FIRST, Head, Stored, export_line, linked
from benchcalc.runlog.manifest import Span, head_of
from benchcalc.runlog.media import CopyFailed, Media, NewFolder, told
from benchcalc.runlog.report import report_html
from benchcalc.runlog.tables import TABLED, Tables

RECORDS = "records.jsonl"
COPIED_SLOT = "copied"
"""The store's slot that remembers how far the last copy went."""

_RECORDS_A_STEP = 200


class Source(Protocol):
    """Where the records come from: the store, or what is left of a damaged one."""

    @property
    def device(self) -> str:
        """The store's own name."""

    def head(self) -> Head:
        """Where its chain ends."""

    def stored(self, after: int = 0) -> Iterator[Stored]:
        """Its records past ``after``, in order."""


class Keeper(Protocol):
    """The store as it is asked how far it was copied."""

    @property
    def device(self) -> str:
        """The store's own name."""

    def load_work(self, slot: str) -> Any:
        """What is kept in a slot."""

    def save_work(self, slot: str, body: Any) -> None:
        """Keep it in a slot."""


class Progress(NamedTuple):
    """How far a copy has come, from 0 to 1."""

    share: float


class Exported(NamedTuple):
    """A finished copy: its folder, its records' numbers, and what is to be told about it."""

    folder: Path
    after: int
    head: Head
    records: int
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Enclosed:
    """What goes along with the records: files by name, the learnt springback, the time."""

    files: Mapping[str, bytes] = field(default_factory=dict, hash=False)
    springback: Mapping[str, Any] | None = field(default=None, hash=False)
    wall_time: str = ""
    clock_trusted: bool = False
    software: str = ""


class Spans:
    """The stretches of chain that a copy holds, each record held against its hash."""

    def __init__(self, device: str, after: int, after_hash: str | None) -> None:
        self.altered: list[int] = []
        self.done: list[Span] = []
        self._now = Span(device, after, after_hash, after, after_hash or "")

    def take(self, record: Stored, text: bytes) -> None:
        """The next record that is copied."""
        now = self._now
        if record.sequence != now.last + 1:
            self._end()
            self._now = now = Span(now.device, record.sequence - 1, None, record.sequence - 1, "")
        if now.last_hash and linked(now.last_hash, text) != record.hash:
            self.altered.append(record.sequence)
        self._now = now._replace(last=record.sequence, last_hash=record.hash)

    def _end(self) -> None:
        if self._now.last > self._now.after:
            self.done.append(self._now)

    def close(self) -> tuple[Span, ...]:
        """Every stretch, once all records were taken; an empty one when there was none."""
        self._end()
        return tuple(self.done or [self._now])


def copied_to(store: Keeper) -> int:
    """The number of the last record that was copied off, 0 when none was."""
    mark = store.load_work(COPIED_SLOT)
    # A mark that was carried over from a damaged store is about other records.
    return int(mark["sequence"]) if mark and mark["device"] == store.device else 0


def mark_copied(store: Keeper, exported: Exported) -> None:
    """Remember that all up to here was copied off; to be called once the copy is whole."""
    mark = {"device": store.device, "sequence": max(exported.head.sequence, copied_to(store))}
    store.save_work(COPIED_SLOT, mark)


def export(
    source: Source, parent: Path, media: Media, enclosed: Enclosed, after: int = 0
) -> Generator[Progress, None, Exported]:
    """Copy the records past ``after`` into a new folder in ``parent``.

    Raises CopyFailed, with a sentence, when the medium does not take it; StoreError when the source
    cannot be read.
    """
    folder = None
    try:
        head = source.head()
        name = f"benchcalc-{source.device[:8]}-{after + 1:06}-{head.sequence:06}"
        folder = NewFolder(media, parent, name)
        exported = yield from _written(source, folder, enclosed, Head(after, ""), head)
        return exported
    except BaseException as error:
        if folder is not None:
            folder.discard()
        if isinstance(error, OSError):
            raise told(parent, error) from error
        raise


def _written(
    source: Source, folder: NewFolder, enclosed: Enclosed, after: Head, head: Head
) -> Generator[Progress, None, Exported]:
    spans = Spans(source.device, after.sequence, _hash_at(source, after.sequence))
    tables, lines = Tables(folder), folder.new(RECORDS)
    total, count = max(head.sequence - after.sequence, 1), 0
    for record in source.stored(after.sequence):
        if record.sequence > head.sequence:
            break
        text = record.text(source.device).encode()
        spans.take(record, text)
        lines.write(export_line(text, record.hash))
        if record.kind in TABLED:
            tables.take(source.device, record, json.loads(record.body))
        count += 1
        if count % _RECORDS_A_STEP == 0:
            yield Progress(0.7 * count / total)
    tables.flush()
    chains = spans.close()
    notes = _notes(spans, tables)
    enclose(folder, enclosed)
    title = f"Bench {source.device[:8]}, records {after.sequence + 1} to {head.sequence}"
    folder.put("report.html", report_html(tables.tally, title, when_text(enclosed), notes).encode())
    when = (enclosed.wall_time, enclosed.clock_trusted)
    closing = head_of("export", enclosed.software, when, chains, notes)
    for done, size in folder.seal(closing):
        yield Progress(1 - 0.3 * (1 - done / size))
    return Exported(folder.path, after.sequence, head, count, notes)


def _hash_at(source: Source, sequence: int) -> str | None:
    """The hash of a record, None when it cannot be had."""
    if sequence == 0:
        return FIRST
    found = next(source.stored(sequence - 1), None)
    return found.hash if found is not None and found.sequence == sequence else None


def enclose(folder: NewFolder, enclosed: Enclosed) -> None:
    """Put the files that go along into a copy."""
    for name, data in enclosed.files.items():
        folder.put(name, data)
    if enclosed.springback is not None:
        text = json.dumps(enclosed.springback, ensure_ascii=False, indent=1)
        folder.put("springback.json", f"{text}\n".encode())


def when_text(enclosed: Enclosed) -> str:
    """The time of a copy, with its doubt."""
    doubt = "" if enclosed.clock_trusted else " (clock not confirmed)"
    return f"{enclosed.wall_time}{doubt}"


def _notes(spans: Spans, tables: Tables) -> tuple[str, ...]:
    """What is to be told of the source itself, a sentence each."""
    notes = []
    for one, two in pairwise(spans.done):
        which = f"{one.last + 1} to {two.after}"
        notes.append(f"These records could not be read and are missing here: {which}.")
    if spans.altered:
        numbers = ", ".join(map(str, spans.altered[:20]))
        notes.append(f"In the store itself these records do not match their hash: {numbers}.")
    return (*notes, *tables.notes())


__all__ = ["CopyFailed", "Enclosed", "Exported", "Progress", "Source", "export"]
