"""What an emulated disk was told to write, in order, and what of it a power cut leaves.

QEMU's blklogwrites driver notes every write and every flush, in the form of the kernel's
dm-log-writes target (Documentation/admin-guide/device-mapper/log-writes.rst). What came before the
last flush is on the disk. Of what came after it a disk may have kept anything: here each block of
4 KiB by chance.
"""

import os
import struct
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import NamedTuple

SECTOR = 512
BLOCK = 4096
MAGIC = 0x6A736677736872
SUPER, ENTRY = struct.Struct("<QQQI"), struct.Struct("<QQQQ")
FLUSH, FUA, DISCARD = 1, 2, 4


class Write(NamedTuple):
    """One entry: where it goes on the disk, how long it is, where its bytes lie in the log."""

    at: int
    size: int
    data_at: int
    flags: int


class Cut(NamedTuple):
    """What a power cut left: what was flushed, and how many blocks after that were kept or lost."""

    flushes: int
    writes: int
    bytes: int
    lost: int
    kept: int


def entries(log: Path) -> Iterator[Write]:
    """Every whole entry. Raises ValueError for a file that is no such log."""
    size = log.stat().st_size
    if not size:
        return  # the power went before anything was written
    with log.open("rb") as file:
        magic, version, _, sector = SUPER.unpack(file.read(SUPER.size))
        if (magic, version, sector) != (MAGIC, 1, SECTOR):
            raise ValueError(f"{log} is no log of writes")
        at = SECTOR
        while at + SECTOR <= size:
            file.seek(at)
            where, sectors, flags, _ = ENTRY.unpack(file.read(ENTRY.size))
            if (where, sectors, flags) == (0, 0, 0):
                return
            length = 0 if flags & DISCARD else sectors * SECTOR
            if at + SECTOR + length > size:
                return
            yield Write(where * SECTOR, length, at + SECTOR, flags)
            at += SECTOR + length


def cut(log: Path, disk: Path, dice: Random) -> Cut:
    """Bring a disk to what a power cut at the end of the log leaves of it."""
    written = list(entries(log))
    flushed = max((n for n, w in enumerate(written) if w.flags & FLUSH), default=-1)
    lost = kept = 0
    source, target = os.open(log, os.O_RDONLY), os.open(disk, os.O_WRONLY)
    try:
        for number, write in enumerate(written):
            for offset in range(0, write.size, BLOCK):
                if number > flushed and not write.flags & FUA:
                    if dice.random() < 0.5:
                        lost += 1
                        continue
                    kept += 1
                length = min(BLOCK, write.size - offset)
                data = os.pread(source, length, write.data_at + offset)
                os.pwrite(target, data, write.at + offset)
        os.fsync(target)
    finally:
        os.close(source)
        os.close(target)
    sure = written[: flushed + 1]
    flushes = sum(bool(write.flags & FLUSH) for write in written)
    return Cut(flushes, sum(w.size > 0 for w in sure), sum(w.size for w in sure), lost, kept)


def tally(log: Path) -> tuple[int, int, int]:
    """Writes, bytes and flushes so far."""
    written = list(entries(log))
    flushes = sum(bool(write.flags & FLUSH) for write in written)
    return sum(w.size > 0 for w in written), sum(w.size for w in written), flushes
