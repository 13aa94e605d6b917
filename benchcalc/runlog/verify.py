"""Is a copy whole, altered, cut off or incomplete, and where: read once, front to back.

Two things are held against each other: each file against the hashes in MANIFEST and HEAD.json, and
the records against their own chain. An edit that somebody made and then ran ``sha256sum`` over
again still breaks the chain.
"""

import re
from collections.abc import Iterator
from hashlib import sha256
from heapq import merge
from itertools import chain
from pathlib import Path
from typing import Literal, NamedTuple

from benchcalc.runlog.chain import linked, split_line
from benchcalc.runlog.manifest import (
    HEAD,
    MANIFEST,
    Facts,
    HeadFile,
    Span,
    read_head,
    read_manifest,
)

Verdict = Literal["whole", "altered", "cut off", "incomplete"]
_RANK: dict[Verdict, int] = {"whole": 0, "altered": 1, "cut off": 2, "incomplete": 3}
_BLOCK = 1 << 20
_MOST_TOLD = 20
_NUMBER = re.compile(rb'\{"device":"([^"]{1,64})","sequence":([0-9]{1,18}),')


class Fault(NamedTuple):
    """One thing that is wrong: what kind, in which file, and where in it."""

    verdict: Verdict
    file: str
    says: str


class Verified(NamedTuple):
    """What became of checking a copy. ``added`` are files that are no part of it."""

    folder: Path
    verdict: Verdict
    faults: tuple[Fault, ...]
    head: HeadFile | None
    added: tuple[str, ...]


class Line(NamedTuple):
    """A record's line in a copy."""

    sequence: int
    device: str
    text: bytes
    hash: str
    where: str


def verify(folder: Path) -> Verified:
    """Check a copy. Raises OSError when it cannot be read at all."""
    faults: list[Fault] = []
    head = _head(folder, faults)
    listed: set[str] = {MANIFEST, HEAD}
    if head is not None:
        listed |= head.files.keys()
        for name, facts in head.files.items():
            faults += _file_fault(folder, name, facts)
        if not any(fault.verdict == "incomplete" for fault in faults):
            faults += _chain_faults(folder, head)
    verdicts: list[Verdict] = ["whole", *(fault.verdict for fault in faults)]
    worst = max(verdicts, key=_RANK.__getitem__)
    found = {str(p.relative_to(folder).as_posix()) for p in folder.rglob("*") if p.is_file()}
    told = tuple(faults[:_MOST_TOLD])
    return Verified(folder, worst, told, head, tuple(sorted(found - listed)))


def _head(folder: Path, faults: list[Fault]) -> HeadFile | None:
    """HEAD.json, once MANIFEST and it agree as far as they can be read."""
    if not folder.is_dir():
        raise NotADirectoryError(f"{folder} is no folder")
    head = _read_head(folder, faults)
    if not (folder / MANIFEST).is_file():
        faults.append(Fault("incomplete", MANIFEST, "missing: the copy was never finished"))
        return head
    read = read_manifest((folder / MANIFEST).read_bytes())
    if read.wrong:
        verdict: Verdict = "cut off" if read.wrong.startswith("cut off") else "altered"
        faults.append(Fault(verdict, MANIFEST, read.wrong))
        return head
    if head is not None:
        own = sha256((folder / HEAD).read_bytes()).hexdigest()
        wanted = {name: facts.sha256 for name, facts in head.files.items()} | {HEAD: own}
        faults += _disagreements(read.files, wanted)
    return head


def _read_head(folder: Path, faults: list[Fault]) -> HeadFile | None:
    if not (folder / HEAD).is_file():
        faults.append(Fault("incomplete", HEAD, "missing"))
        return None
    try:
        return read_head((folder / HEAD).read_bytes())
    except ValueError as error:
        faults.append(Fault("altered", HEAD, f"cannot be read: {error}"))
        return None


def _disagreements(manifest: dict[str, str], wanted: dict[str, str]) -> Iterator[Fault]:
    for name in sorted(manifest.keys() ^ wanted.keys()):
        where = MANIFEST if name in manifest else HEAD
        yield Fault("altered", where, f"{name} is named here and not in the other")
    for name in sorted(manifest.keys() & wanted.keys()):
        if manifest[name] != wanted[name]:
            says = "altered" if name == HEAD else f"another hash for {name} than {HEAD} has"
            yield Fault("altered", HEAD if name == HEAD else MANIFEST, says)


def _file_fault(folder: Path, name: str, facts: Facts) -> Iterator[Fault]:
    """A file against its length and hash."""
    path = folder / name
    if not path.is_file():
        yield Fault("incomplete", name, "missing")
        return
    size, found = 0, sha256()
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            size += len(block)
            found.update(block)
    if size < facts.bytes:
        yield Fault("cut off", name, f"{size} bytes of {facts.bytes}")
    elif found.hexdigest() != facts.sha256:
        longer = f", {size - facts.bytes} bytes longer" if size > facts.bytes else ""
        yield Fault("altered", name, f"its content does not match its hash{longer}")


def _chain_faults(folder: Path, head: HeadFile) -> Iterator[Fault]:
    """The records of each device against the chain, in the order of their numbers."""
    for device in sorted({span.device for span in head.spans}):
        spans = [span for span in head.spans if span.device == device]
        yield from _device_faults(lines_of(folder, head, device), spans)


def _device_faults(lines: Iterator[Line], spans: list[Span]) -> Iterator[Fault]:
    where = ""
    for span in spans:
        number, previous = span.after, span.after_hash
        while number < span.last:
            line = next(lines, None)
            if line is None:
                yield Fault("cut off", where, f"record {number + 1} and all after it are missing")
                return
            where = line.where
            if (line.sequence, line.device) != (number + 1, span.device):
                says = f"record {number + 1} of {span.device} should stand here"
                yield Fault("altered", where, says)
                return
            if previous is not None and linked(previous, line.text) != line.hash:
                yield Fault("altered", where, f"record {line.sequence} does not match its hash")
                return
            number, previous = line.sequence, line.hash
        if previous is not None and previous != span.last_hash:
            yield Fault("altered", where or HEAD, f"the chain does not end as {HEAD} says")
            return
    line = next(lines, None)
    if line is not None:
        yield Fault("altered", line.where, f"record {line.sequence} is one too many")


def record_files(head: HeadFile, device: str) -> list[str]:
    """The JSON Lines files of a device's records in a copy or a collection."""
    if head.kind == "export":
        return [name for name in head.files if name == "records.jsonl"]
    return [name for name in head.files if name.startswith(f"records/device={device}/")]


def lines_of(folder: Path, head: HeadFile, device: str) -> Iterator[Line]:
    """A device's records in order, whatever files they lie in; a bad line ends its file."""
    files = [_lines(folder / name, name) for name in record_files(head, device)]
    return merge(*files, key=lambda line: line.sequence) if len(files) > 1 else chain(*files)


def _lines(path: Path, name: str) -> Iterator[Line]:
    with path.open("rb") as file:
        for number, line in enumerate(file, 1):
            found = _NUMBER.match(line)
            try:
                text, record_hash = split_line(line)
            except ValueError:
                found = None
            where = f"{name}, line {number}"
            if found is None:
                yield Line(-1, "", b"", "", f"{where}: no record")
                return
            yield Line(int(found[2]), found[1].decode(), text, record_hash, where)
