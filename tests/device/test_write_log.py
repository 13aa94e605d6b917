"""What a power cut leaves of a disk, worked out from logs made by hand and by QEMU itself."""

import json
import shutil
import subprocess
from pathlib import Path
from random import Random

import pytest

from tests.device.write_log import (
    BLOCK,
    ENTRY,
    FLUSH,
    FUA,
    MAGIC,
    SECTOR,
    SUPER,
    Cut,
    cut,
    entries,
    tally,
)

DISK = 64 * BLOCK


def log_of(path: Path, *writes: tuple[int, bytes, int]) -> Path:
    """A log of writes (block, bytes, flags); a flush has no bytes."""
    text = SUPER.pack(MAGIC, 1, len(writes), SECTOR).ljust(SECTOR, b"\0")
    for block, data, flags in writes:
        head = ENTRY.pack(block * BLOCK // SECTOR, len(data) // SECTOR, flags, 0)
        text += head.ljust(SECTOR, b"\0") + data
    path.write_bytes(text)
    return path


def blocks(fill: bytes, count: int = 1) -> bytes:
    return fill * BLOCK * count


@pytest.fixture
def disk(tmp_path: Path) -> Path:
    path = tmp_path / "disk"
    path.write_bytes(b"." * DISK)
    return path


def test_what_was_flushed_is_there_and_the_rest_by_chance(tmp_path: Path, disk: Path) -> None:
    log = log_of(
        tmp_path / "log",
        (3, blocks(b"a", 2), 0),
        (0, b"", FLUSH),
        (3, blocks(b"b"), 0),
        (8, blocks(b"c", 40), 0),
    )
    left = cut(log, disk, Random(1))
    data = disk.read_bytes()
    assert data[4 * BLOCK : 5 * BLOCK] == blocks(b"a")
    assert data[3 * BLOCK : 4 * BLOCK] in (blocks(b"a"), blocks(b"b"))
    late = [data[n * BLOCK : (n + 1) * BLOCK] for n in range(8, 48)]
    assert set(late) == {blocks(b"."), blocks(b"c")}, "each block is lost or there, none is torn"
    assert left == Cut(1, 1, 2 * BLOCK, left.lost, left.kept) and left.lost + left.kept == 41


def test_a_write_that_was_forced_through_is_there(tmp_path: Path, disk: Path) -> None:
    writes = [(n, blocks(b"f"), FUA) for n in range(20)]
    assert cut(log_of(tmp_path / "log", *writes), disk, Random(1)).lost == 0
    assert disk.read_bytes()[: 20 * BLOCK] == blocks(b"f", 20)


def test_a_log_cut_short_ends_with_its_last_whole_entry(tmp_path: Path) -> None:
    log = log_of(tmp_path / "log", (0, blocks(b"a"), 0), (1, blocks(b"b"), 0), (0, b"", FLUSH))
    assert tally(log) == (2, 2 * BLOCK, 1)
    whole = log.read_bytes()
    log.write_bytes(whole[: SECTOR + 2 * (SECTOR + BLOCK) - 1])
    assert len(list(entries(log))) == 1
    log.write_bytes(b"no log" + whole[6:])
    with pytest.raises(ValueError, match="no log of writes"):
        list(entries(log))


def test_as_qemu_writes_it(tmp_path: Path, disk: Path) -> None:
    if not shutil.which("qemu-io"):
        pytest.skip("qemu-io is not installed (Debian: qemu-utils)")
    shutil.copy(disk, tmp_path / "thrown-away")
    (tmp_path / "log").touch()
    options = {
        "driver": "blklogwrites",
        "log-sector-size": 512,
        "log": {"driver": "file", "filename": str(tmp_path / "log")},
        "file": {"driver": "file", "filename": str(tmp_path / "thrown-away")},
    }
    orders = ("write -P 97 8k 4k", "flush", "write -P 98 16k 64k")
    command = ["qemu-io", *(word for order in orders for word in ("-c", order))]
    subprocess.run([*command, f"json:{json.dumps(options)}"], check=True, capture_output=True)
    found = [(w.at, w.size, bool(w.flags & FLUSH)) for w in entries(tmp_path / "log")]
    wrote = [(8192, 4096, False), (0, 0, True), (16384, 65536, False)]
    assert found[:3] == wrote
    cut(tmp_path / "log", disk, Random(1))
    assert disk.read_bytes()[8192:12288] == b"a" * 4096


def test_nothing_written_yet(tmp_path: Path, disk: Path) -> None:
    (tmp_path / "log").touch()
    assert cut(tmp_path / "log", disk, Random(1)) == Cut(0, 0, 0, 0, 0)
    assert disk.read_bytes() == b"." * DISK
