"""A sample of what ``python -m tests.crash`` does whole, and that it would see a loss."""

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.crash.disk import Disk, all_there, only_synced
from tests.crash.kills import kill_many
from tests.crash.replay import KINDS, crashes, record
from tests.crash.trace import Act, acts

STRACE = pytest.mark.skipif(
    shutil.which("strace") is None or not Path("/dev/shm").is_dir(),
    reason="strace records the session: apt install strace",
)
SAMPLES = {"taps": 0.02, "older": 0.06, "damaged": 0.06}


@pytest.fixture
def place() -> Iterator[Path]:
    """In memory: what a sync promises is recorded, it need not be waited for."""
    with tempfile.TemporaryDirectory(dir="/dev/shm") as name:
        yield Path(name)


@STRACE
@pytest.mark.parametrize("kind", KINDS)
def test_a_crash_at_any_moment_loses_nothing_that_was_acknowledged(kind: str, place: Path) -> None:
    result = crashes(kind, *record(kind, place), seed=3, share=SAMPLES[kind])
    assert result.faults == []
    assert result.different > 100 and len(result.ways) == 10


@STRACE
def test_a_store_that_does_not_sync_would_be_found(place: Path) -> None:
    """The same session on a disk that is never told to sync the log."""
    disk, done = record("older", place)
    unsynced = [a for a in done if not (a.doing == "sync" and a.name.endswith("-wal"))]
    assert crashes("older", disk, unsynced, seed=3, share=0.03).faults


def test_kills_in_a_session_of_taps_lose_nothing(tmp_path: Path) -> None:
    told = kill_many(tmp_path, 12)
    assert told.faults == []
    assert told.at_work > 6


def test_the_disk_keeps_what_was_synced_and_may_lose_the_rest() -> None:
    disk = Disk()
    for act in (
        Act("create", "a"),
        Act("write", "a", 0, b"one"),
        Act("sync", "a"),
        Act("write", "a", 1, b"xx"),
    ):
        disk.apply(act)
    assert all_there(disk) == {"a": b"oxx"}
    assert only_synced(disk) == {}  # the folder was not synced: the name may be gone
    disk.apply(Act("sync", ""))
    assert only_synced(disk) == {"a": b"one"}
    disk.apply(Act("rename", "a", other="b"))
    disk.apply(Act("truncate", "b", 1))
    assert (all_there(disk), only_synced(disk)) == ({"b": b"o"}, {"a": b"one"})


def hexed(text: str) -> str:
    return "".join(f"\\x{byte:02x}" for byte in text.encode())


FILE, LOG = hexed("/f/a"), hexed("/log")
OPEN = f"openat(AT_FDCWD<{hexed('/w')}>,"


def test_system_calls_are_read() -> None:
    lines = [
        f'7 {OPEN} "{FILE}", O_RDWR|O_CREAT, 0644) = 3<{FILE}>',
        f'7 pwrite64(3<{FILE}>, "{hexed("hi")}", 2, 4096) = 2',
        f"7 fdatasync(3<{FILE}>) = 0",
        f'7 write(4<{LOG}>, "{hexed("told")}", 4) = 4',
        f'7 unlink("{hexed("/f/gone")}") = -1 ENOENT (No such file or directory)',
        f'7 rename("{FILE}", "{hexed("/f/b")}") = 0',
        f'7 {OPEN} "{hexed("/elsewhere")}", O_RDWR|O_CREAT, 0644) = 3<x>',
    ]
    assert list(acts(lines, "/f", "/log")) == [
        Act("create", "a"),
        Act("write", "a", 4096, b"hi"),
        Act("sync", "a"),
        Act("told", "", data=b"told"),
        Act("rename", "a", other="b"),
    ]
    with pytest.raises(ValueError, match="longer than what was recorded"):
        list(acts([f'7 write(4<{LOG}>, "{hexed("to")}"..., 4) = 4'], "/f", "/log"))
