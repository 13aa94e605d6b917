"""Records found in the bytes of a damaged database, wherever in it they lie.

What leads to a record (its page, the pages above, the list of tables) may be damaged while the
record itself is whole; its hash proves it whichever way it was found. So every page is looked
through for what a record begins with, and none of what leads there is believed.

*Source* of the layout: https://www.sqlite.org/fileformat2.html, sections 1.5, 1.6, 2.1 and 4.
"""

import re
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from benchcalc.runlog.body import reads
from benchcalc.runlog.chain import Head, Stored, is_hash, linked
from benchcalc.runlog.database import PAGE

_LOG_HEAD, _FRAME_HEAD = 32, 24
_BLOCK_PAGES = 256
_MOST_PAYLOAD = 1 << 24

# The head of a record's payload: its length; nothing for the sequence, which is the row's number;
# boot id, wall time; 0 or 1; kind, body; and, since there is a chain, a hash of 64 letters.
_VARINT = rb"[\x80-\xff]{0,3}[\x00-\x7f]"
_HEAD = re.compile(
    rb"[\x07-\x12]\x00(%s)(%s)[\x01\x08\x09](%s)(%s)(\x81\x0d)?" % ((_VARINT,) * 4), re.DOTALL
)
_NAME = re.compile(rb"\x03\x00\x2d([0-9a-f]{16})")
"""The row with a store's name: a head of three bytes, and sixteen letters."""

_TEXT_0 = 13
"""A text of n bytes has the serial type 13 + 2 n."""


class _Place(NamedTuple):
    """Where a payload begins: in which file, on which page there, and how far into it."""

    log: bool
    page: int
    at: int


class Carved:
    """The records that a database and its write-ahead log hold, by number.

    The numbers are known at once; the records are read again when they are asked for.
    """

    def __init__(self, path: Path) -> None:
        self._path, self._log = path, path.with_name(f"{path.name}-wal")
        self._size = _page_size(path)
        self._frames = _frames(self._log, self._size)
        self._found: dict[int, list[_Place]] = {}
        self._stray: list[_Place] = []
        self.names: list[str] = []
        """What may be the store's own name, wherever a row of the table for it lies."""
        for log in (False, True):
            for place, page in self._pages(log):
                self._look_through(place, page)

    def rows(self, after: int = 0) -> Iterator[Stored]:
        """The records past ``after`` in the order of their numbers, as they lie there."""
        for number in sorted(n for n in self._found if n > after):
            best = self._best(number)
            if best is not None:
                yield best

    def last(self) -> int:
        """The greatest number that a record reads under, 0 without any."""
        return max(self._found, default=0)

    def strays(self, device: str, before: Head) -> Iterator[Stored]:
        """Records whose own number was damaged, put where their hash proves they belong."""
        while True:
            for place in self._stray:
                row = self._read(place, before.sequence + 1)
                if row and linked(before.hash, row.text(device).encode()) == row.hash:
                    yield row
                    before = Head(row.sequence, row.hash)
                    break
            else:
                return

    def _best(self, number: int) -> Stored | None:
        """Of what was found under a number, what reads as a record before what does not."""
        rows = [row for place in self._found[number] if (row := self._read(place, number))]
        rows.sort(key=lambda row: is_hash(row.hash) and reads(row.body), reverse=True)
        return rows[0] if rows else None

    def _pages(self, log: bool) -> Iterator[tuple[_Place, bytes]]:
        head, step = (_LOG_HEAD, _FRAME_HEAD + self._size) if log else (0, self._size)
        path = self._log if log else self._path
        if not path.is_file():
            return
        with path.open("rb") as file:
            file.seek(head)
            number = 0
            while block := file.read(step * _BLOCK_PAGES):
                for at in range(0, len(block), step):
                    number += 1
                    page = block[at + step - self._size : at + step]
                    yield _Place(log, number, 0), page

    def _look_through(self, place: _Place, page: bytes) -> None:
        self.names += [found[1].decode() for found in _NAME.finditer(page)]
        for found in _HEAD.finditer(page):
            sizes = _sizes(found)
            if sizes is None:
                continue
            payload = found.end() - found.start() + sum(sizes)
            here = place._replace(at=found.start())
            number = _number_before(page, found.start(), payload)
            if number is None:
                self._stray.append(here)
            else:
                self._found.setdefault(number, []).append(here)

    def _read(self, place: _Place, number: int) -> Stored | None:
        """The record whose payload begins there, its texts as well as they can be read."""
        page = self._page(place.log, place.page)
        found = _HEAD.match(page, place.at)
        sizes = _sizes(found) if found else None
        if found is None or sizes is None:
            return None
        payload = self._payload(page, place.at, found.end() - place.at + sum(sizes))
        at, texts = found.end() - place.at, []
        for size in sizes:
            texts.append(payload[at : at + size].decode("utf-8", "replace"))
            at += size
        trusted = _trusted(found, payload)
        boot_id, wall_time, _, kind, body, hash_ = texts
        return Stored(number, boot_id, wall_time, trusted, kind, body, hash_)

    def _payload(self, page: bytes, at: int, size: int) -> bytes:
        """A payload whole: what lies on its page, and the pages that it goes on to."""
        local = _local(size, self._size)
        data = page[at : at + local]
        following = page[at + local : at + local + 4] if local < size else b""
        while following and len(data) < size:
            number = int.from_bytes(following, "big")
            more = self._newest(number)
            if not more:
                break
            data, following = data + more[4:], more[:4]
        return data[:size]

    def _newest(self, number: int) -> bytes:
        """A page as its last commit left it."""
        if number in self._frames:
            return self._page(True, self._frames[number])
        return self._page(False, number) if number else b""

    def _page(self, log: bool, number: int) -> bytes:
        step = _FRAME_HEAD + self._size if log else self._size
        start = _LOG_HEAD + (number - 1) * step + _FRAME_HEAD if log else (number - 1) * step
        path = self._log if log else self._path
        with path.open("rb") as file:
            file.seek(start)
            return file.read(self._size)


def _page_size(path: Path) -> int:
    """As the file's head says (bytes 16 and 17, 1 for 65536), or as a store's always is."""
    with path.open("rb") as file:
        head = file.read(18)
    size = int.from_bytes(head[16:18], "big")
    size = 65536 if size == 1 else size
    return size if size >= 512 and size & (size - 1) == 0 else PAGE


def _frames(log: Path, size: int) -> dict[int, int]:
    """The newest frame of each page in a log, by its salts; the sums are not asked."""
    found: dict[int, int] = {}
    if not log.is_file():
        return found
    with log.open("rb") as file:
        salts = file.read(_LOG_HEAD)[16:24]
        number = 0
        while head := file.read(_FRAME_HEAD):
            number += 1
            if head[8:16] == salts:
                found[int.from_bytes(head[:4], "big")] = number
            file.seek(size, 1)
    return found


def _varint(data: bytes) -> int:
    value = 0
    for byte in data:
        value = value << 7 | byte & 0x7F
    return value


def _sizes(found: re.Match[bytes]) -> tuple[int, ...] | None:
    """The lengths of boot id, wall time, the truth, kind, body and hash; None for no record."""
    if found[0][0] != len(found[0]):
        return None
    types = [_varint(found[n]) for n in (1, 2, 3, 4)]
    if any(kind < _TEXT_0 or kind % 2 == 0 for kind in types):
        return None
    boot_id, wall_time, kind, body = ((value - _TEXT_0) // 2 for value in types)
    truth = 1 if found[0][found.end(2) - found.start()] == 1 else 0
    sizes = (boot_id, wall_time, truth, kind, body, 64 if found[5] else 0)
    return sizes if sum(sizes) < _MOST_PAYLOAD else None


def _trusted(found: re.Match[bytes], payload: bytes) -> int:
    """0 and 1 have serial types of their own, 8 and 9; type 1 is a byte that follows."""
    kind = found[0][found.end(2) - found.start()]
    if kind in (8, 9):
        return kind - 8
    before = found.end() - found.start()
    before += sum((_varint(found[n]) - _TEXT_0) // 2 for n in (1, 2))
    return payload[before] if before < len(payload) else 0


def _local(payload: int, page: int) -> int:
    """How much of a payload lies on its own page."""
    most, least = page - 35, (page - 12) * 32 // 255 - 23
    if payload <= most:
        return payload
    some = least + (payload - least) % (page - 4)
    return some if some <= most else least


def _number_before(page: bytes, at: int, payload: int) -> int | None:
    """The row's number, between the payload and its length; None where the two do not fit."""
    for digits in range(1, 10):
        start = at - digits
        if start < 1 or (digits > 1 and page[start] < 0x80):
            continue
        if page[at - 1] >= 0x80 or not all(byte >= 0x80 for byte in page[start : at - 1]):
            return None
        for length in (1, 2, 3, 4):
            data = page[start - length : start]
            fits = len(data) == length and data[-1] < 0x80 and all(b >= 0x80 for b in data[:-1])
            if fits and _varint(data) == payload:
                return _varint(page[start:at])
    return None


def torn(path: Path) -> bool:
    """Whether the write-ahead log beside a database holds something that does not match its sum.

    SQLite leaves out such a part, and all after it, without a word.
    """
    log = path.with_name(f"{path.name}-wal")
    if not log.is_file():
        return False
    with log.open("rb") as file:
        head = file.read(_LOG_HEAD)
        order = ">" if head[3:4] == b"\x83" else "<"
        size = int.from_bytes(head[8:12], "big")
        if len(head) < _LOG_HEAD:
            return bool(head)
        sums = _summed(head[:24], (0, 0), order)
        if struct.pack(">2I", *sums) != head[24:32] or size < 512:
            return True
        while len(frame := file.read(_FRAME_HEAD + size)) == _FRAME_HEAD + size:
            if frame[8:16] != head[16:24]:
                return False  # left over from before the log was begun anew
            sums = _summed(frame[:8] + frame[_FRAME_HEAD:], sums, order)
            if struct.pack(">2I", *sums) != frame[16:24]:
                return True
    return False


def _summed(data: bytes, sums: tuple[int, int], order: str) -> tuple[int, int]:
    """The log's running sums. *Source*: https://www.sqlite.org/fileformat2.html, section 4.2."""
    one, two = sums
    words = struct.unpack(f"{order}{len(data) // 4}I", data)
    for first, second in zip(words[::2], words[1::2], strict=True):
        one = one + first + two & 0xFFFFFFFF
        two = two + second + one & 0xFFFFFFFF
    return one, two
