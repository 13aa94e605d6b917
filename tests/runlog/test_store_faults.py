"""The store when the disk fails: a sentence, nothing half kept, and usable afterwards."""

import os
import resource
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

from benchcalc.runlog.beside import Log
from benchcalc.runlog.store import Store, StoreError

WHEN = "2031-05-04T09:30:00+00:00"
NOBODY = 65534


@contextmanager
def as_ordinary_user() -> Iterator[None]:
    """Rights bind nobody who is root."""
    root = os.geteuid() == 0
    if root:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder whose parents every user may pass."""
    with tempfile.TemporaryDirectory(dir="/tmp") as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder


def test_a_folder_that_may_not_be_made_is_told(open_folder: Path) -> None:
    open_folder.chmod(0o555)
    with as_ordinary_user(), pytest.raises(StoreError, match="permission denied"):
        Store.open(open_folder / "bench", "b")


def test_a_folder_that_may_not_be_written_is_told(open_folder: Path) -> None:
    Store.open(open_folder, "b").close()
    open_folder.chmod(0o555)
    for path in open_folder.iterdir():
        path.chmod(0o444)
    with as_ordinary_user(), pytest.raises(StoreError, match="permission denied"):
        Store.open(open_folder, "b")
    open_folder.chmod(0o755)
    with Store.open(open_folder, "b") as opened:
        assert opened.set_aside is None


@pytest.mark.parametrize("dead_link", [False, True])
def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path, dead_link: bool) -> None:
    """By the panel, which waits for it to go, and by every command that reads."""
    folder = tmp_path / "state"
    folder.symlink_to("nowhere") if dead_link else folder.touch()
    for opened in (lambda: Store.open(folder, "boot-a"), lambda: Log.of(folder)):
        with pytest.raises(StoreError, match="has the folder's name: move that away"):
            opened()


def test_a_database_that_may_only_be_read_is_told_and_kept(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        opened.append("piece", {"n": 1}, WHEN, False, work={"n": 1})
        # SQLITE_READONLY, as a read-only disk gives
        opened._writing.execute("PRAGMA query_only = ON")
        with pytest.raises(StoreError, match="read-only"):
            opened.append("piece", {"n": 2}, WHEN, False, work={"n": 2})
        opened._writing.execute("PRAGMA query_only = OFF")
        assert opened.append("piece", {"n": 3}, WHEN, False) == 2
        assert opened.load_work() == {"n": 1}


def test_a_full_disk_is_told_and_room_made_helps(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        opened.append("piece", {"n": 1}, WHEN, False, work={"n": 1})
        pages = opened._writing.execute("PRAGMA page_count").fetchone()[0]
        opened._writing.execute(f"PRAGMA max_page_count = {pages + 1}")
        big = {"n": 2, "pad": "x" * 40_000}
        with pytest.raises(StoreError, match="the disk is full: make room"):
            opened.append("piece", big, WHEN, False, work={"n": 2})
        with pytest.raises(StoreError, match="the disk is full"):
            opened.append("piece", {"n": 2}, WHEN, False, work=big)  # the record alone would fit
        with pytest.raises(StoreError, match="the disk is full"):
            opened.save_work("panel", big)
        assert (opened.count(), opened.load_work()) == (1, {"n": 1})
        opened._writing.execute("PRAGMA max_page_count = 100000")
        assert opened.append("piece", big, WHEN, False, work={"n": 2}) == 2
    with Store.open(tmp_path, "b") as again:
        assert [e.body["n"] for e in again.records()] == [1, 2]
        assert again.load_work() == {"n": 2}


def test_a_write_that_fails_for_real_is_told_and_the_next_one_works(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        opened.append("piece", {"n": 1}, WHEN, False, work={"n": 1})
        soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
        log = (tmp_path / "records.db-wal").stat().st_size
        resource.setrlimit(resource.RLIMIT_FSIZE, (log + 5000, hard))
        try:
            with pytest.raises(StoreError, match="the disk failed"):
                opened.append("piece", {"pad": "x" * 60_000}, WHEN, False, work={"n": 2})
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        assert opened.append("piece", {"n": 3}, WHEN, False, work={"n": 3}) == 2
    with Store.open(tmp_path, "b") as again:
        assert [e.body for e in again.records()] == [{"n": 1}, {"n": 3}]
        assert again.load_work() == {"n": 3}


def test_a_record_is_not_kept_without_its_work(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        opened.append("piece", {"n": 1}, WHEN, False, work={"n": 1})
        opened._writing.execute(
            "CREATE TEMP TRIGGER broken BEFORE UPDATE ON work BEGIN SELECT RAISE(ABORT, 'no'); END"
        )
        with pytest.raises(StoreError, match="fault of the program"):
            opened.append("piece", {"n": 2}, WHEN, False, work={"n": 2})
        assert (opened.count(), opened.load_work()) == (1, {"n": 1})
        opened._writing.execute("DROP TRIGGER broken")
        assert opened.append("piece", {"n": 3}, WHEN, False) == 2


def test_a_closed_store_says_so_as_a_store_error(tmp_path: Path) -> None:
    opened = Store.open(tmp_path, "b")
    opened.close()
    with pytest.raises(StoreError, match="closed database"):
        opened.append("piece", {}, WHEN, False)


def test_a_disk_that_is_full_at_the_start_is_told(tmp_path: Path) -> None:
    place = tmp_path / "disk"
    place.mkdir()
    if os.geteuid() != 0 or os.system(f"mount -t tmpfs -o size=1m none {place} 2>/dev/null"):
        pytest.skip("only root may mount a small disk")
    try:
        with Store.open(place / "state", "b") as opened:
            opened.append("piece", {"n": 1}, WHEN, False)
        filler = place / "filler"
        with filler.open("wb", buffering=0) as file, suppress(OSError):
            while file.write(bytes(4096)):
                pass
        with pytest.raises(StoreError, match="the disk is full: make room"):
            Store.open(place / "state", "b")
        filler.unlink()
        with Store.open(place / "state", "b") as again:
            assert (again.set_aside, again.count()) == (None, 1)
    finally:
        os.system(f"umount -l {place}")
