"""Is a copy whole, altered, cut off or incomplete, and where: read once, front to back.

Three things are held against each other: each file against the hashes in MANIFEST and HEAD.json,
the records against their own chain, and the tables against what the records come to. An edit that
somebody made and then ran ``sha256sum`` over again still shows.

A folder may be anybody's: links, names that leave it, and what is no ordinary file are refused by
name, and nothing in it can end more than its own checking.
"""

import os
import stat
from collections.abc import Iterator
from hashlib import sha256
from heapq import merge
from itertools import chain
from pathlib import Path
from typing import BinaryIO, Literal, NamedTuple

from benchcalc.runlog.body import MOST_BYTES as MOST_LINE
from benchcalc.runlog.body import read_body
from benchcalc.runlog.chain import ChainLine, linked, parse_line
from benchcalc.runlog.copies.filling import Filling, Sums, expected
from benchcalc.runlog.copies.manifest import (
    HEAD,
    MANIFEST,
    MOST_BYTES,
    TABLES,
    ChainSpan,
    Facts,
    HeadFile,
    read_head,
    read_manifest,
)
from benchcalc.runlog.signing import SIGNATURE, NoLibrary, is_signed, read_signature

CopyVerdict = Literal["whole", "altered", "cut off", "incomplete"]
_RANK: dict[CopyVerdict, int] = {"whole": 0, "altered": 1, "cut off": 2, "incomplete": 3}
_BLOCK = 1 << 20
_MOST_TOLD = 20
_MOST_FOUND = 100_000
_DEPTH = 5
RECORDS = "records.jsonl"


class CopyFault(NamedTuple):
    """One thing that is wrong: what kind, in which file, and where in it."""

    verdict: CopyVerdict
    file: str
    says: str


class Verified(NamedTuple):
    """What became of checking a copy.

    ``added`` are files that are no part of it, ``unproved`` those that only their own hashes
    tell of, so that whoever works the hashes out again can change them. ``signed_by`` is the
    fingerprint of the key that signed it, empty for one that nobody did; ``unchecked`` says that
    the signature could not be held against it here.
    """

    folder: Path
    verdict: CopyVerdict
    faults: tuple[CopyFault, ...]
    head: HeadFile | None
    added: tuple[str, ...]
    unproved: tuple[str, ...] = ()
    signed_by: str = ""
    unchecked: bool = False


def verify(folder: Path) -> Verified:
    """Check a copy. Raises OSError when there is no such folder, or it may not be read."""
    faults: list[CopyFault] = []
    found = _listing(folder)
    head = _head(folder, found, faults)
    listed: set[str] = {MANIFEST, HEAD, SIGNATURE}
    proved: set[str] = set()
    if head is not None:
        listed |= head.files.keys()
        for name, facts in head.files.items():
            faults += _file_fault(folder, found, name, facts)
        if not any(fault.verdict == "incomplete" for fault in faults):
            faults += _content_faults(folder, head, proved)
    signed = _signature(folder, found, head, faults)
    verdicts: list[CopyVerdict] = ["whole", *(fault.verdict for fault in faults)]
    worst = max(verdicts, key=_RANK.__getitem__)
    added = tuple(sorted(found.keys() - listed))
    unproved = tuple(sorted(listed - proved - {MANIFEST, HEAD, SIGNATURE}))
    told = tuple(faults[:_MOST_TOLD])
    return Verified(folder, worst, told, head, added, unproved, *signed)


def _listing(folder: Path) -> dict[str, str]:
    """What lies in a folder and the few below it, by name: file, link or other."""
    if not folder.is_dir():
        raise NotADirectoryError(f"{folder} is no folder")
    found: dict[str, str] = {}
    waiting = [(folder, "", 0)]
    while waiting and len(found) < _MOST_FOUND:
        place, before, depth = waiting.pop()
        with os.scandir(place) as entries:
            for entry in entries:
                name = f"{before}{entry.name}"
                if entry.is_symlink():
                    found[name] = "link"
                elif entry.is_dir(follow_symlinks=False) and depth < _DEPTH:
                    waiting.append((Path(entry.path), f"{name}/", depth + 1))
                else:
                    found[name] = "file" if entry.is_file(follow_symlinks=False) else "other"
    return found


def _opened(folder: Path, name: str) -> BinaryIO:
    """A file of a copy, if it is an ordinary one now. Raises OSError."""
    handle = os.open(folder / name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise OSError(f"{name} is no ordinary file")
    return os.fdopen(handle, "rb")


def _missing(found: dict[str, str], name: str) -> Iterator[CopyFault]:
    """A file that is not there, or is something else."""
    kind = found.get(name)
    if kind is None:
        says = "missing: the copy was never finished" if name == MANIFEST else "missing"
        yield CopyFault("incomplete", name, says)
    elif kind != "file":
        is_what = "a link, which could lead anywhere" if kind == "link" else "no ordinary file"
        yield CopyFault("altered", name, f"it is {is_what}")


def _signature(
    folder: Path, found: dict[str, str], head: HeadFile | None, faults: list[CopyFault]
) -> tuple[str, bool]:
    """By which key a copy is signed, and whether that could not be checked here."""
    named = head.signed_by if head else ""
    if SIGNATURE not in found:
        if named:
            faults.append(CopyFault("incomplete", SIGNATURE, "missing, and the copy was signed"))
        return "", False
    if wrong := list(_missing(found, SIGNATURE)):
        faults += wrong
        return "", False
    try:
        signed = read_signature(_small(folder, SIGNATURE))
        if named != signed.fingerprint:
            raise ValueError(f"it is by another key than {HEAD} names")
        if not is_signed(signed, _small(folder, MANIFEST)):
            raise ValueError(f"it is not that of this {MANIFEST} by the key it names")
    except NoLibrary:
        return signed.fingerprint, True
    except (OSError, ValueError) as error:
        says = getattr(error, "strerror", None) or str(error)
        faults.append(CopyFault("altered", SIGNATURE, says))
        return "", False
    return signed.fingerprint, False


def _small(folder: Path, name: str) -> bytes:
    with _opened(folder, name) as file:
        data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise OSError(f"{name} is longer than any")
    return data


def _head(folder: Path, found: dict[str, str], faults: list[CopyFault]) -> HeadFile | None:
    """HEAD.json, once MANIFEST and it agree as far as they can be read."""
    head, own = None, b""
    for name in (HEAD, MANIFEST):
        if wrong := list(_missing(found, name)):
            faults += wrong
            continue
        try:
            data = _small(folder, name)
            if name == HEAD:
                head, own = read_head(data), data
                continue
        except (OSError, ValueError) as error:
            faults.append(CopyFault("altered", name, f"cannot be read: {error}"))
            continue
        read = read_manifest(data)
        if read.wrong:
            verdict: CopyVerdict = "cut off" if read.wrong.startswith("cut off") else "altered"
            faults.append(CopyFault(verdict, MANIFEST, read.wrong))
        elif head is not None:
            wanted = {name: facts.sha256 for name, facts in head.files.items()}
            faults += _disagreements(read.files, wanted | {HEAD: sha256(own).hexdigest()})
    return head


def _disagreements(manifest: dict[str, str], wanted: dict[str, str]) -> Iterator[CopyFault]:
    for name in sorted(manifest.keys() ^ wanted.keys()):
        where = MANIFEST if name in manifest else HEAD
        yield CopyFault("altered", where, f"{name} is named here and not in the other")
    for name in sorted(manifest.keys() & wanted.keys()):
        if manifest[name] != wanted[name]:
            says = "altered" if name == HEAD else f"another hash for {name} than {HEAD} has"
            yield CopyFault("altered", HEAD if name == HEAD else MANIFEST, says)


def _file_fault(
    folder: Path, there: dict[str, str], name: str, facts: Facts
) -> Iterator[CopyFault]:
    """A file against its length and hash."""
    if wrong := list(_missing(there, name)):
        yield from wrong
        return
    size, found = 0, sha256()
    try:
        with _opened(folder, name) as file:
            while block := file.read(_BLOCK):
                size += len(block)
                found.update(block)
    except OSError as error:
        yield CopyFault("incomplete", name, f"cannot be read: {error.strerror or error}")
        return
    if size < facts.bytes:
        yield CopyFault("cut off", name, f"{size} bytes of {facts.bytes}")
    elif found.hexdigest() != facts.sha256:
        longer = f", {size - facts.bytes} bytes longer" if size > facts.bytes else ""
        yield CopyFault("altered", name, f"its content does not match its hash{longer}")


def _content_faults(folder: Path, head: HeadFile, proved: set[str]) -> Iterator[CopyFault]:
    """The records against the chain, device by device; then what follows from them."""
    sums = Sums()
    filling = Filling(sums, by_month=head.kind != "export")
    wrong = False
    for device in sorted({span.device for span in head.spans}):
        spans = [span for span in head.spans if span.device == device]
        try:
            for fault in _device_faults(lines_of(folder, head, device), spans, filling):
                wrong = True
                yield fault
        except OSError as error:
            wrong = True
            yield CopyFault("incomplete", device, f"cannot be read: {error.strerror or error}")
        filling.next_device()
    if wrong:
        return
    proved |= {name for span in head.spans for name in record_files(head, span.device)}
    if head.tables == TABLES:
        for name, facts in expected(filling, sums, head).items():
            proved.add(name)
            if name not in head.files:
                yield CopyFault("incomplete", name, "missing")
            elif head.files[name] != facts:
                yield CopyFault("altered", name, "it is not what the records come to")


def _device_faults(
    lines: Iterator[ChainLine | str], spans: list[ChainSpan], filling: Filling
) -> Iterator[CopyFault]:
    where = ""
    for span in spans:
        number, previous = span.after, span.after_hash
        while number < span.last:
            line = next(lines, None)
            if line is None:
                yield CopyFault(
                    "cut off", where, f"record {number + 1} and all after it are missing"
                )
                return
            where = line if isinstance(line, str) else line.where
            if isinstance(line, str) or not _is(line, span.device, number + 1):
                says = f"record {number + 1} of {span.device} should stand here"
                yield CopyFault("altered", where, says)
                return
            record = line.record
            if previous is not None and linked(previous, line.text) != record.hash:
                yield CopyFault("altered", where, f"record {number + 1} does not match its hash")
                return
            try:
                filling.take(line, read_body(record.body))
            except ValueError as error:
                yield CopyFault("altered", where, f"record {number + 1} cannot be read: {error}")
                return
            number, previous = record.sequence, record.hash
        if previous is not None and previous != span.last_hash:
            yield CopyFault("altered", where or HEAD, f"the chain does not end as {HEAD} says")
            return
    line = next(lines, None)
    if line is not None:
        what = "no record" if isinstance(line, str) else f"record {line.record.sequence}"
        where = line if isinstance(line, str) else line.where
        yield CopyFault("altered", where, f"{what} is one too many")


def _is(line: ChainLine, device: str, number: int) -> bool:
    return (line.device, line.record.sequence) == (device, number)


def record_files(head: HeadFile, device: str) -> list[str]:
    """The JSON Lines files of a device's records in a copy or a collection."""
    if head.kind == "export":
        return [name for name in head.files if name == RECORDS]
    place = f"records/device={device}/"
    return [n for n in head.files if n.startswith(place) and n.endswith(f"/{RECORDS}")]


def lines_of(folder: Path, head: HeadFile, device: str) -> Iterator[ChainLine | str]:
    """A device's records in order, whatever files they lie in.

    A bad line ends its file; in its place stands where it is. Raises OSError.
    """
    files = [_lines(folder, name) for name in record_files(head, device)]
    return merge(*files, key=_number) if len(files) > 1 else chain(*files)


def _number(line: ChainLine | str) -> int:
    return -1 if isinstance(line, str) else line.record.sequence


def _lines(folder: Path, name: str) -> Iterator[ChainLine | str]:
    with _opened(folder, name) as file:
        number = 0
        while line := file.readline(MOST_LINE):
            number += 1
            where = f"{name}, line {number}"
            try:
                yield parse_line(line, where)
            except ValueError:
                yield where
                return
