"""Copies to real small file systems: full, read-only, holding files, and pulled out at any step."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

import pytest

from benchcalc.runlog.copies.export import Enclosed
from benchcalc.runlog.copies.media import CopyFailed, Disk
from benchcalc.runlog.copies.verify import verify
from benchcalc.runlog.store import Store
from tests.runlog.bench_log import bench_log
from tests.runlog.copying import copied
from tests.runlog.images import image, mounted

KINDS = ("vfat", "ext4")
SIZE_KB = 1024
WITH = Enclosed({"benders.yaml": b"x" * 100})


@pytest.fixture(params=KINDS)
def stick(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """An image of each kind of file system."""
    return image(tmp_path / "image", request.param, SIZE_KB)


@pytest.fixture
def store(memory: Path) -> Iterator[Store]:
    with bench_log(memory / "state", pieces=30) as opened:
        yield opened


def test_a_copy_is_whole_after_the_stick_was_taken_out_and_put_in(
    stick: Path, store: Store, tmp_path: Path
) -> None:
    with mounted(stick, tmp_path / "m") as place:
        (place / "holiday.txt").write_text("already here")
        name = copied(store, place, WITH).folder.name
        again = copied(store, place, WITH).folder.name
        assert name != again
    with mounted(stick, tmp_path / "m", "ro") as place:
        assert [verify(place / n).verdict for n in (name, again)] == ["whole", "whole"]
        assert (place / "holiday.txt").read_text() == "already here"
        with pytest.raises(CopyFailed, match="it may only be read"):
            copied(store, place)


def test_with_any_little_room_there_is_a_whole_copy_or_none(
    stick: Path, store: Store, tmp_path: Path
) -> None:
    """Filled up but for a little more each time, until a copy fits."""
    head, failed = store.head(), 0
    with mounted(stick, tmp_path / "m") as place:
        for room_kb in range(0, SIZE_KB, 16):
            filler = _fill_but(place, room_kb)
            with suppress(CopyFailed):
                done = copied(store, place, WITH)
                assert verify(done.folder).verdict == "whole"
                break
            failed += 1
            left = [p for p in place.iterdir() if p.name not in ("filler", "lost+found")]
            assert left == [] and store.head() == head
            filler.unlink()
        else:
            raise AssertionError("no copy ever fitted")
    assert failed >= 4


def _fill_but(place: Path, room_kb: int) -> Path:
    filler = place / "filler"
    with suppress(OSError), filler.open("wb", buffering=0) as file:
        while file.write(bytes(1024)):
            pass
    os.truncate(filler, max(filler.stat().st_size - (room_kb << 10), 0))
    return filler


class Pulled(Disk):
    """Takes a picture of the medium as it lies at act ``at``: what a stick pulled then holds."""

    def __init__(self, medium: Path, picture: Path, at: int) -> None:
        self._medium, self._picture, self._at = medium, picture, at
        self.acts = 0

    def _act(self) -> None:
        if self.acts == self._at:
            shutil.copyfile(self._medium, self._picture)
        self.acts += 1

    def make_folder(self, path: Path) -> None:
        super().make_folder(path)
        self._act()

    def create(self, path: Path) -> BinaryIO:
        file = super().create(path)
        self._act()
        return file

    def sync(self, file: BinaryIO) -> None:
        self._act()
        super().sync(file)
        self._act()

    def sync_folder(self, path: Path) -> None:
        super().sync_folder(path)
        self._act()


def test_pulled_out_at_any_step_what_lies_on_the_stick_is_never_wrongly_trusted(
    stick: Path, store: Store, tmp_path: Path
) -> None:
    """The picture holds what had reached the medium by then, and nothing of what had not."""
    at, acts = 0, 1
    while at < acts:
        picture = tmp_path / "pulled"
        with mounted(stick, tmp_path / "m") as place:
            medium = Pulled(stick, picture, at)
            folder = copied(store, place, WITH, media=medium).folder
            shutil.rmtree(folder)
        acts, at = medium.acts, at + 1
        with mounted(picture, tmp_path / "m") as place:
            left = [_verdict(found) for found in place.glob("benchcalc-*")]
        # Only what came after the last sync of the manifest may be trusted, and then must be.
        assert (left == ["whole"]) or at <= acts - 2, f"after act {at} of {acts}: {left}"
        assert "whole" not in left or at >= acts - 4, f"after act {at} of {acts}: {left}"
    assert acts >= 20


def _verdict(folder: Path) -> str:
    """As ``verify`` says; a file system that was torn may refuse to show a folder at all."""
    try:
        return verify(folder).verdict
    except OSError:
        return "unreadable"


def test_every_name_of_a_copy_can_lie_on_vfat(memory: Path, store: Store) -> None:
    """Needs no mount: the names go through a program that writes vfat by itself, and back."""
    if shutil.which("mcopy") is None:
        pytest.skip("there is no mcopy here")
    stick, back = image(memory / "image", "vfat", 2 * SIZE_KB), memory / "back"
    into = memory / "into"
    into.mkdir()
    back.mkdir()
    name = copied(store, into, WITH).folder.name
    subprocess.run(["mcopy", "-s", "-i", stick, into / name, "::"], check=True)
    subprocess.run(["mcopy", "-s", "-n", "-i", stick, f"::{name}", back], check=True)
    assert verify(back / name).verdict == "whole"
    assert {p.name for p in (back / name).iterdir()} == {p.name for p in (into / name).iterdir()}
