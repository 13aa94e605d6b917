"""The panel on a disk that really fails: it says so, keeps the work, tries again, and goes on."""

import os
import resource
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

from benchcalc.panel.state.model import work_plain
from benchcalc.report.told import in_words
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.shell import loop as loop_module
from benchcalc.shell.display.screen import QuitAsked, RawEvent
from benchcalc.shell.loop import Loop
from tests.crash.session import NoWindow, make_piece, new_loop, tap_all

STORE_KEY = "next"


@contextmanager
def no_file_may_grow() -> Iterator[None]:
    """Writes past a file's end fail, as on a broken disk."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


class Quits(NoWindow):
    """A window that is looked at a few times and then closed."""

    def __init__(self, looks: int) -> None:
        self._looks = looks

    def events(self) -> list[RawEvent]:
        self._looks -= 1
        return [QuitAsked()] if self._looks < 0 else []


def look(loop: Loop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the loop go round, its next try due at once."""
    monkeypatch.setattr(loop_module, "RETRY_S", 0.0)
    loop.window = Quits(3)
    loop.run(rest=lambda _: None)


def kept_work(loop: Loop) -> bool:
    """Whether the disk holds what the screen shows."""
    return bool(loop.store.load_work(PANEL_SLOT) == work_plain(loop.model.work))


def told_now(loop: Loop) -> str:
    """The line of what is wrong."""
    return " ".join(map(in_words, loop.model.trouble))


def goes_through_a_fault(
    loop: Loop, fails: Iterator[None], says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Type, store and scrap while the disk fails; then all of it, once, after it has recovered."""
    tap_all(loop, ("make",))
    make_piece(loop, first_off_deg=2.0, until="store")
    assert kept_work(loop)
    shown = loop.model.work
    next(fails)
    tap_all(loop, (STORE_KEY,))
    assert says in told_now(loop) and loop.model.work == shown
    tap_all(loop, ("step back",))
    assert says in told_now(loop) and loop.model.work != shown and not kept_work(loop)
    look(loop, monkeypatch)
    assert says in told_now(loop)
    next(fails, None)
    look(loop, monkeypatch)
    assert not loop.model.trouble and kept_work(loop)
    tap_all(loop, ("next",))
    make_piece(loop)
    assert loop.store.count() == 1
    make_piece(loop)
    assert loop.store.count() == 2 and not loop.model.trouble


def test_a_disk_that_fails_while_writing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails() -> Iterator[None]:
        with no_file_may_grow():
            yield

    with Store.open(tmp_path, "b") as store:
        goes_through_a_fault(new_loop(store), fails(), "the disk failed", monkeypatch)
    with Store.open(tmp_path, "b") as again:
        assert (again.set_aside, again.count()) == (None, 2)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of a megabyte, where it may be mounted."""
    place = tmp_path / "disk"
    place.mkdir()
    if os.geteuid() != 0 or os.system(f"mount -t tmpfs -o size=1m none {place} 2>/dev/null"):
        pytest.skip("only root may mount a small disk")
    yield place
    os.system(f"umount -l {place}")


def test_a_disk_that_is_full(small_disk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails() -> Iterator[None]:
        filler = small_disk / "filler"
        with filler.open("wb", buffering=0) as file, suppress(OSError):
            while file.write(bytes(4096)):
                pass
        yield
        filler.unlink()

    with Store.open(small_disk / "state", "b") as store:
        goes_through_a_fault(new_loop(store), fails(), "the disk is full", monkeypatch)
    with Store.open(small_disk / "state", "b") as again:
        assert (again.set_aside, again.count()) == (None, 2)


def test_a_database_that_may_only_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Store.open(tmp_path, "b") as store:

        def fails() -> Iterator[None]:
            store._writing.execute("PRAGMA query_only = ON")  # SQLITE_READONLY, as from such a disk
            yield
            store._writing.execute("PRAGMA query_only = OFF")

        goes_through_a_fault(new_loop(store), fails(), "read-only", monkeypatch)
