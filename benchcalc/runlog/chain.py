"""The chain over the records: each one's SHA-256 covers its text and the hash before it.

An accidental or careless edit, removal or cut-off shows. It stops accidents, not a forger: the
chain has no key, and whoever changes a record can work the rest of it out again.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from hashlib import sha256
from json import dumps, loads
from typing import Any, NamedTuple

from benchcalc.runlog.body import reads

FIRST = "0" * 64
"""What stands for the hash before the first record."""


def day_of(wall_time: str, clock_trusted: bool | int, boot_id: str) -> str:
    """The day of a moment; where the clock was not set, this start of the machine stands for it.

    It is what tells bundles of tube without a name apart.
    """
    return wall_time[:10] if clock_trusted else boot_id


class Head(NamedTuple):
    """The last record's sequence number and hash; 0 and FIRST where there is none."""

    sequence: int
    hash: str


class Stored(NamedTuple):
    """A record as it is stored: ``body`` is its JSON text, unread."""

    sequence: int
    boot_id: str
    wall_time: str
    clock_trusted: int
    kind: str
    body: str
    hash: str

    @property
    def day(self) -> str:
        """The day it was made."""
        return day_of(self.wall_time, self.clock_trusted, self.boot_id)

    def text(self, device: str) -> str:
        """The text that the hash covers: one line of JSON, its keys always in this order."""
        trusted = "true" if self.clock_trusted else "false"
        return (
            f'{{"device":"{device}","sequence":{self.sequence},"boot_id":{_json(self.boot_id)},'
            f'"wall_time":{_json(self.wall_time)},"clock_trusted":{trusted},'
            f'"kind":{_json(self.kind)},"body":{self.body}}}'
        )


class Entry(NamedTuple):
    """One record, read. ``wall_time`` counts only when ``clock_trusted``."""

    sequence: int
    boot_id: str
    wall_time: str
    clock_trusted: bool
    kind: str
    body: dict[str, Any]
    hash: str

    @property
    def day(self) -> str:
        """The day it was made."""
        return day_of(self.wall_time, self.clock_trusted, self.boot_id)


@lru_cache(1000)
def _json(text: str) -> str:
    return dumps(text, ensure_ascii=False)


def linked(previous: str, text: bytes) -> str:
    """The hash of a record: of the hash before it, a line feed, and the record's text."""
    return sha256(b"%s\n%s" % (previous.encode(), text)).hexdigest()


def export_line(text: bytes, record_hash: str) -> bytes:
    """A record's line in an export: its text with the hash as one more key, and a line feed."""
    return b'%s,"hash":"%s"}\n' % (text[:-1], record_hash.encode())


@lru_cache(1000)
def _read(text: bytes) -> str:
    """A JSON text; most come again and again."""
    return str(loads(text.decode()))


class ChainLine(NamedTuple):
    """A record's line in a copy: whose record, the record, the text its hash covers, and where."""

    device: str
    record: Stored
    text: bytes
    where: str


_STRING = rb'("(?:[^"\\]|\\.)*+")'
_PARTS = re.compile(
    rb'(\{"device":"([0-9a-f]{16})","sequence":([0-9]{1,15}),"boot_id":%s,"wall_time":%s,'
    rb'"clock_trusted":(true|false),"kind":%s,"body":([^\n]*)),"hash":"([0-9a-f]{64})"\}\n'
    % ((_STRING,) * 3)
)


def parse_line(line: bytes, where: str = "") -> ChainLine:
    """A line of an export, back again. Raises ValueError for a line that no export wrote."""
    found = _PARTS.fullmatch(line)
    if found is None:
        raise ValueError("no record")
    boot_id, wall_time, kind = (_read(found[n]) for n in (4, 5, 7))
    record = Stored(
        int(found[3]),
        boot_id,
        wall_time,
        int(found[6] == b"true"),
        kind,
        found[8].decode(),
        found[9].decode(),
    )
    device, text = found[2].decode(), found[1] + b"}"
    if record.text(device).encode() != text:
        raise ValueError("no record as it is written")
    return ChainLine(device, record, text, where)


class ChainCheck(NamedTuple):
    """A record held against the chain: the text its hash covers, and what is wrong with it.

    ``link`` is the hash before it that proves it, empty after a gap.
    """

    record: Stored
    text: bytes
    link: str
    wrong: str


_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)


def is_device(name: str) -> bool:
    """Whether a text is a store's name as stores are named."""
    return len(name) == 16 and all(letter in "0123456789abcdef" for letter in name)


def is_hash(text: str) -> bool:
    """Whether a text has the form of a hash."""
    return bool(_HASH.fullmatch(text))


_Hashes = tuple[str, ...]
_NOTHING_TOLD: Mapping[int, str] = {}
WRONG = "does not match its hash"
"""What is wrong with a record, as the end of a sentence."""


def checked(
    rows: Iterable[Stored], device: str, before: Head, told: Mapping[int, str] = _NOTHING_TOLD
) -> Iterator[ChainCheck]:
    """Each record held against the hash before it; ``before`` with an empty hash is not known.

    ``told`` are hashes that are known from elsewhere, by number.

    Damage stays in its record: the one after it is linked to the hash that was stored, or to the
    one that should have been. Where only a record's hash was damaged, the next record proves that
    its text is right, and it gets its own hash back. A record after a gap has nothing before it
    that could prove it; its body is read instead.
    """
    last = before.sequence
    links: _Hashes = (before.hash,) if before.hash else ()
    doubted: ChainCheck | None = None
    due: _Hashes = ()
    for row in rows:
        if row.sequence != last + 1:
            links = ()
        text = row.text(device).encode("utf-8", "replace")
        wanted = tuple(linked(link, text) for link in links)
        if doubted is not None:
            yield _judged(doubted, due, links, wanted, row.hash)
            doubted = None
        right = row.hash in wanted if wanted else _reads(row)
        if (known := told.get(row.sequence)) and row.hash != known:
            right = known in wanted
            row = row._replace(hash=known) if right else row
        if right:
            yield ChainCheck(row, text, links[wanted.index(row.hash)] if wanted else "", "")
            links = (row.hash,)
        else:
            doubted, due = ChainCheck(row, text, "".join(links[:1]), WRONG), wanted
            links = tuple(dict.fromkeys((row.hash, *wanted)))
        last = row.sequence
    if doubted is not None:
        yield doubted


def _judged(
    doubted: ChainCheck, due: _Hashes, links: _Hashes, wanted: _Hashes, own: str
) -> ChainCheck:
    """A record that did not match its hash, once the record after it is seen."""
    proved = [link for link, hash_ in zip(links, wanted, strict=True) if hash_ == own]
    if proved and proved[0] in due and reads(doubted.record.body):
        return doubted._replace(record=doubted.record._replace(hash=proved[0]), wrong="")
    return doubted


def _reads(row: Stored) -> bool:
    return is_hash(row.hash) and reads(row.body)
