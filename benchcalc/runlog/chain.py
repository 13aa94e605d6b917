"""The chain over the records: each one's SHA-256 covers its text and the hash before it.

An accidental or careless edit, removal or cut-off shows. It stops accidents, not a forger: the
chain has no key, and whoever changes a record can work the rest of it out again.
"""

from functools import lru_cache
from hashlib import sha256
from json import dumps
from typing import Any, NamedTuple

FIRST = "0" * 64
"""What stands for the hash before the first record."""

_TAIL = len(',"hash":""}') + 64


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


@lru_cache(1000)
def _json(text: str) -> str:
    return dumps(text, ensure_ascii=False)


def linked(previous: str, text: bytes) -> str:
    """The hash of a record: of the hash before it, a line feed, and the record's text."""
    return sha256(b"%s\n%s" % (previous.encode(), text)).hexdigest()


def export_line(text: bytes, record_hash: str) -> bytes:
    """A record's line in an export: its text with the hash as one more key, and a line feed."""
    return b'%s,"hash":"%s"}\n' % (text[:-1], record_hash.encode())


def split_line(line: bytes) -> tuple[bytes, str]:
    """The text and the hash that a line of an export was made of.

    Raises ValueError for a line that no export wrote.
    """
    tail = line[-_TAIL - 1 :]
    if not (tail.startswith(b',"hash":"') and tail.endswith(b'"}\n')):
        raise ValueError("this is no line of an export")
    return line[: -_TAIL - 1] + b"}", tail[9:73].decode("ascii", "replace")
