"""Copying the log off: a new folder each time, in steps, so that whoever asked can stop it.

``export`` is a generator of Progress. Closed before its end, or stopped by a fault, it removes what
it wrote and leaves nothing that ``verify`` would take for a copy.
"""

import json
from collections.abc import Generator, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from benchcalc.runlog.chain import FIRST, ChainCheck, Head, export_line
from benchcalc.runlog.copies.manifest import ChainSpan, HeadFile, head_of
from benchcalc.runlog.copies.media import CopyFailed, Media, NewFolder, told
from benchcalc.runlog.copies.report import report_html
from benchcalc.runlog.copies.tables import TABLED, Tables
from benchcalc.runlog.reading import Damage
from benchcalc.runlog.signing import Signer

RECORDS = "records.jsonl"
DAMAGED = "damaged.jsonl"
"""What can still be read of records that are damaged in the log itself."""

_RECORDS_A_STEP = 200


class Source(Protocol):
    """Where the records come from: the store, or a log that is only read."""

    @property
    def device(self) -> str:
        """The store's own name."""

    @property
    def damage(self) -> list[Damage]:
        """The records met so far that cannot be given."""

    def head(self) -> Head:
        """Where its chain ends."""

    def checked(self, after: int = 0) -> Iterator[ChainCheck]:
        """Its records past ``after``, in order, each held against the chain."""


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
    """What goes along with the records: files by name, the learnt springback, the time.

    ``signer`` signs the copy; ``unsigned`` says why a bench that has a key cannot use it.
    ``bench`` is what the bench is called, if it has a name.
    """

    files: Mapping[str, bytes] = field(default_factory=dict, hash=False)
    springback: Mapping[str, Any] | None = field(default=None, hash=False)
    wall_time: str = ""
    clock_trusted: bool = False
    software: str = ""
    signer: Signer | None = field(default=None, hash=False)
    unsigned: str = ""
    bench: str = ""


class Spans:
    """The stretches of chain that a copy holds."""

    def __init__(self, device: str, after: int) -> None:
        self.done: list[ChainSpan] = []
        self._now = ChainSpan(device, after, FIRST if after == 0 else None, after, "")

    def take(self, one: ChainCheck) -> None:
        """The next record that is copied."""
        now, number = self._now, one.record.sequence
        if number != now.last + 1 or (now.last == now.after and one.link):
            self._end()
            now = ChainSpan(now.device, number - 1, one.link or None, number - 1, "")
        self._now = now._replace(last=number, last_hash=one.record.hash)

    def _end(self) -> None:
        if self._now.last > self._now.after:
            self.done.append(self._now)

    def close(self) -> tuple[ChainSpan, ...]:
        """Every stretch, once all records were taken; an empty one when there was none."""
        self._end()
        now = self._now
        return tuple(self.done or [now._replace(last_hash=now.after_hash or "")])


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
    spans, damaged = Spans(source.device, after.sequence), b""
    tables, lines = Tables(folder), folder.new(RECORDS)
    total, count = max(head.sequence - after.sequence, 1), 0
    for one in source.checked(after.sequence):
        record = one.record
        if record.sequence > head.sequence:
            break
        if one.wrong:
            damaged += _damaged_line(source.device, one)
            continue
        spans.take(one)
        lines.write(export_line(one.text, record.hash))
        if record.kind in TABLED:
            tables.take(source.device, record)
        count += 1
        if count % _RECORDS_A_STEP == 0:
            yield Progress(0.7 * count / total)
    tables.flush()
    if damaged:
        folder.put(DAMAGED, damaged)
    damage = [one.says for one in source.damage if one.last > after.sequence]
    unsigned = (enclosed.unsigned,) if enclosed.unsigned else ()
    notes = (*damage, *tables.notes(), *unsigned)
    enclose(folder, enclosed)
    device = source.device[:8]
    bench = f"{enclosed.bench}, bench {device}" if enclosed.bench else f"Bench {device}"
    title = f"{bench}, records {after.sequence + 1} to {head.sequence}"
    folder.put("report.html", report_html(tables.tally, title, when_text(enclosed), notes).encode())
    when = (enclosed.wall_time, enclosed.clock_trusted)
    signer = enclosed.signer
    signed_by = signer.fingerprint if signer else ""
    closing = head_of("export", title, enclosed.software, when, spans.close(), notes, signed_by)
    for done, size in folder.seal(closing, signer):
        yield Progress(1 - 0.3 * (1 - done / size))
    return Exported(folder.path, after.sequence, head, count, notes)


def _damaged_line(device: str, one: ChainCheck) -> bytes:
    """A damaged record as far as it can be read; never taken for a record."""
    texts = one.record._asdict()
    told = {"device": device, "wrong": one.wrong, "as_it_lies_there": texts}
    return f"{json.dumps(told)}\n".encode()


def enclose(folder: NewFolder, enclosed: Enclosed) -> None:
    """Put the files that go along into a copy."""
    for name, data in enclosed.files.items():
        folder.put(name, data)
    if enclosed.springback is not None:
        text = json.dumps(enclosed.springback, ensure_ascii=False, indent=1)
        folder.put("springback.json", f"{text}\n".encode())


def when_text(at: "Enclosed | HeadFile") -> str:
    """The time of a copy, with its doubt."""
    doubt = "" if at.clock_trusted else " (clock not confirmed)"
    return f"{at.wall_time}{doubt}"


__all__ = ["CopyFailed", "Enclosed", "Exported", "Progress", "Source", "export"]
