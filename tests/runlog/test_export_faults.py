"""A stick that is full, read-only, pulled out at any step, or does not keep what it is given."""

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO, cast

import pytest

from benchcalc.runlog.copies.export import Enclosed
from benchcalc.runlog.copies.manifest import MANIFEST
from benchcalc.runlog.copies.media import CopyFailed, Disk
from benchcalc.runlog.copies.verify import verify
from tests.runlog.bench_log import bench_log
from tests.runlog.copying import copied

FULL, GONE, BROKEN, LOCKED = errno.ENOSPC, errno.ENODEV, errno.EIO, errno.EROFS


class Stick(Disk):
    """A stick that fails from act ``fails_at`` on, for a while or for good; counts its acts."""

    def __init__(self, fails_at: int = -1, code: int = GONE, for_good: bool = True) -> None:
        self.acts = 0
        self._fails_at, self._code, self._for_good = fails_at, code, for_good

    def act(self) -> None:
        at, self.acts = self.acts, self.acts + 1
        if 0 <= self._fails_at <= at and (self._for_good or at == self._fails_at):
            raise OSError(self._code, os.strerror(self._code))

    def make_folder(self, path: Path) -> None:
        self.act()
        super().make_folder(path)

    def create(self, path: Path) -> BinaryIO:
        self.act()
        return cast(BinaryIO, Watched(super().create(path), self.act))

    def sync(self, file: BinaryIO) -> None:
        self.act()
        super().sync(file)

    def sync_folder(self, path: Path) -> None:
        self.act()
        super().sync_folder(path)

    def read(self, path: Path) -> BinaryIO:
        self.act()
        return super().read(path)

    def remove(self, path: Path) -> None:
        if self._for_good:
            self.act()  # what is full can still remove; what is gone cannot
        super().remove(path)


class Watched:
    """A file whose every write is an act; one that fails has written half."""

    def __init__(self, file: BinaryIO, act: Callable[[], None]) -> None:
        self._file, self._act = file, act

    def write(self, data: bytes) -> int:
        try:
            self._act()
        except OSError:
            self._file.write(data[: len(data) // 2])
            raise
        return self._file.write(data)

    def flush(self) -> None:
        self._file.flush()

    def fileno(self) -> int:
        return self._file.fileno()

    def close(self) -> None:
        self._file.close()


def acts_of_a_copy(memory: Path) -> int:
    stick = Stick()
    with bench_log(memory / "counted", pieces=3) as store:
        (memory / "count").mkdir()
        copied(store, memory / "count", Enclosed({"benders.yaml": b"x"}), media=stick)
    return stick.acts


@pytest.mark.parametrize("code", [FULL, GONE, BROKEN, LOCKED], ids=["full", "gone", "EIO", "ro"])
@pytest.mark.parametrize("for_good", [True, False], ids=["for good", "once"])
def test_a_fault_at_any_step_leaves_no_copy_that_is_trusted(
    memory: Path, code: int, for_good: bool
) -> None:
    """Whatever is left is not whole, unless nothing failed before the manifest lay there."""
    steps = acts_of_a_copy(memory)
    assert steps >= 40
    trusted = 0
    with bench_log(memory / "state", pieces=3) as store:
        before, head = list(store.stored()), store.head()
        for step in range(steps):
            into = memory / f"stick-{step}"
            into.mkdir()
            (into / "holiday.txt").write_text("already here")
            with pytest.raises(CopyFailed, match=r"Nothing was copied .* untouched"):
                stick = Stick(step, code, for_good)
                copied(store, into, Enclosed({"benders.yaml": b"x"}), media=stick)
            assert (into / "holiday.txt").read_text() == "already here"
            left = [p for p in into.iterdir() if p.is_dir()]
            assert for_good or left == []
            for folder in left:
                trusted += verify(folder).verdict == "whole"
                assert step >= steps - 5 or not (folder / MANIFEST).exists()
        assert (list(store.stored()), store.head()) == (before, head)
    # Pulled out while the manifest is synced it may hold all of it, and all is right then.
    assert trusted <= 4 * for_good


class Forgetful(Disk):
    """A stick that says it has written and gives something else back."""

    def __init__(self, name: str, change: Callable[[bytes], bytes]) -> None:
        self._name, self._change = name, change

    def read(self, path: Path) -> BinaryIO:
        if path.name == self._name:
            path.write_bytes(self._change(path.read_bytes()))
        return super().read(path)


@pytest.mark.parametrize("name", ["runs.csv", "records.jsonl", "HEAD.json", MANIFEST])
@pytest.mark.parametrize(
    "change",
    [lambda d: d[:-1], lambda d: d[:-1] + b"x", lambda d: b"", lambda d: d + b"\0"],
    ids=["short", "another byte", "empty", "long"],
)
def test_what_is_read_back_must_be_what_was_written(
    memory: Path, name: str, change: Callable[[bytes], bytes]
) -> None:
    with bench_log(memory / "state", pieces=3) as store:
        into = memory / "stick"
        into.mkdir()
        with pytest.raises(CopyFailed, match="take another stick"):
            copied(store, into, media=Forgetful(name, change))
        assert list(into.iterdir()) == []


@pytest.mark.skipif(os.geteuid() != 0, reason="only root may mount a small disk")
def test_a_disk_that_is_really_full(tmp_path: Path) -> None:
    into = tmp_path / "small"
    into.mkdir()
    if os.system(f"mount -t tmpfs -o size=64k none {into}"):
        pytest.skip("nothing can be mounted here")
    try:
        with bench_log(tmp_path / "state", pieces=60) as store:
            with pytest.raises(CopyFailed, match="it is full: make room"):
                copied(store, into)
            assert list(into.iterdir()) == []
            os.system(f"mount -o remount,ro {into}")
            with pytest.raises(CopyFailed, match="only be read"):
                copied(store, into)
            os.system(f"mount -o remount,rw,size=4m {into}")
            assert verify(copied(store, into).folder).verdict == "whole"
    finally:
        os.system(f"umount {into}")
