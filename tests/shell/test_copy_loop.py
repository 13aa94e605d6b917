"""The real loop with a real store copies to a folder that is a stick; and it may be pulled out."""

import errno
import os
import random
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchcalc.panel.state.model import Model
from benchcalc.report.scene import Scene, scene_text
from benchcalc.report.settings import Settings
from benchcalc.runlog.copies.manifest import MANIFEST
from benchcalc.runlog.copies.media import Disk
from benchcalc.runlog.copies.verify import verify
from benchcalc.runlog.records import PIECE
from benchcalc.runlog.store import Store, StoreError
from benchcalc.shell.copying import Copier
from benchcalc.shell.display.screen import QuitAsked, RawEvent
from benchcalc.shell.loop import Loop
from benchcalc.shell.sticks import LOOK_S, Sticks, sticks_of_this_machine
from tests.crash.session import SIZE, tap_all
from tests.panel.journeys import SHOP
from tests.runlog.bench_log import fill_fast, piece

MOST_ROUNDS = 500


class Watched:
    """A window that is closed once something holds; it keeps what was shown."""

    def __init__(self) -> None:
        self.until: Callable[[], bool] = lambda: True
        self.shown: list[str] = []
        self.rounds = 0

    def events(self) -> list[RawEvent]:
        self.rounds += 1
        assert self.rounds < MOST_ROUNDS, self.shown[-1]
        return [QuitAsked()] if self.until() else []

    def paint(self, scene: Scene) -> None:
        text = scene_text(scene)
        if not self.shown or text != self.shown[-1]:
            self.shown.append(text)

    def apply_settings(self, settings: Settings) -> None:
        """It has no colours."""


class Bench:
    """A panel with a log of some size, and the folder that sticks appear in."""

    def __init__(self, folder: Path, records: int) -> None:
        self.sticks = folder / "sticks"
        self.sticks.mkdir()
        self.window = Watched()
        self.store = Store.open(folder / "state", "boot")
        fill_fast(self.store, records, piece(random.Random(1), 1))
        model = Model(SHOP, SIZE)
        self.loop = Loop(self.window, self.store, model, sticks=Sticks((self.sticks,), True))

    def stick(self) -> Path:
        """Put one in and let the panel see it."""
        stick = self.sticks / "STICK"
        stick.mkdir()
        self.go(lambda: bool(self.loop.model.sticks))
        return stick

    def go(self, until: Callable[[], bool]) -> None:
        self.window.until, self.window.rounds = until, 0
        copier, stop = self.loop.copier, self.loop.copier.stop
        copier.stop = lambda: None  # type: ignore[method-assign]  # the panel goes on afterwards
        try:
            self.loop.run(rest=lambda _: None)
        finally:
            copier.stop = stop  # type: ignore[method-assign]

    def on_the_way(self) -> bool:
        return bool(self.loop.model.copying.share)

    def over(self) -> bool:
        return self.loop.model.copying.outcome != ""


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made = Bench(tmp_path, 1000)
    yield made
    made.loop.copier.stop()
    made.store.close()


def copies(stick: Path) -> list[Path]:
    return sorted(stick.iterdir())


def test_a_stick_is_seen_and_two_presses_copy(bench: Bench) -> None:
    stick = bench.stick()
    tap_all(bench.loop, ("copy", "start"))
    bench.go(bench.over)
    assert "COPIED" in bench.window.shown[-1]
    percents = [text for text in bench.window.shown if " %. Leave" in text]
    assert len(percents) > 5 and len(set(percents)) == len(percents)
    (copy,) = copies(stick)
    checked = verify(copy)
    assert checked.verdict == "whole" and checked.head is not None
    assert checked.head.spans[0].last_hash == bench.store.head().hash
    assert copy.name[-21:] in bench.window.shown[-1] and bench.store.copied_to() == 1000


def test_the_next_copy_holds_what_is_new(bench: Bench) -> None:
    stick = bench.stick()
    tap_all(bench.loop, ("copy", "start"))
    bench.go(bench.over)
    bench.store.append(PIECE, piece(random.Random(2), 2), "", False)
    tap_all(bench.loop, ("bench", "copy"))
    assert "1, records 1001 to 1001" in bench.window.shown[-1]
    tap_all(bench.loop, ("start",))
    bench.go(bench.over)
    assert [verify(copy).verdict for copy in copies(stick)] == ["whole", "whole"]
    assert "right: 1." in bench.window.shown[-1]
    tap_all(bench.loop, ("bench", "copy", "what", "start"))
    bench.go(bench.over)
    assert "right: 1001." in bench.window.shown[-1]


@pytest.mark.parametrize("unmounts", [True, False])
def test_the_stick_is_let_go_after_the_copy(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, unmounts: bool
) -> None:
    stick, requests = bench.stick(), bench.sticks.with_name("release")
    requests.mkdir()
    monkeypatch.setattr("benchcalc.shell.sticks.LOOK_S", 0.0)
    tap_all(bench.loop, ("copy", "start"))
    bench.go(bench.over)
    assert [request.name for request in requests.iterdir()] == ["STICK"]
    assert "leave it in" in bench.window.shown[-1]
    if unmounts:
        stick.rename(stick.parent.with_name("out"))
    (requests / "STICK").unlink()
    bench.go(lambda: "Letting go" not in scene_text(bench.loop.scene))
    expected = "Take the stick out." if unmounts else "still in use"
    assert expected in bench.window.shown[-1]


def test_stopped_it_leaves_no_folder(bench: Bench) -> None:
    stick = bench.stick()
    tap_all(bench.loop, ("copy", "start"))
    bench.go(bench.on_the_way)
    assert len(copies(stick)) == 1
    tap_all(bench.loop, ("stop",))
    assert copies(stick) == [] and bench.store.copied_to() == 0
    assert "No copy was made" in bench.window.shown[-1] and not bench.loop.copier.busy


def test_closing_the_panel_leaves_no_folder(bench: Bench) -> None:
    stick = bench.stick()
    tap_all(bench.loop, ("copy", "start"))
    bench.window.until, bench.window.rounds = bench.on_the_way, 0
    bench.loop.run(rest=lambda _: None)
    assert bench.on_the_way() and copies(stick) == []


def test_a_stick_pulled_in_the_middle(bench: Bench) -> None:
    stick = bench.stick()
    tap_all(bench.loop, ("copy", "start"))
    bench.go(bench.on_the_way)
    shutil.rmtree(stick)
    bench.go(bench.over)
    assert "Nothing was copied" in bench.window.shown[-1] and not bench.loop.model.trouble
    assert bench.store.copied_to() == 0 and bench.store.count() == 1000
    stick.mkdir()
    tap_all(bench.loop, ("start",))
    bench.go(bench.over)
    assert [verify(copy).verdict for copy in copies(stick)] == ["whole"]


class FullStick(Disk):
    """Has no room left when the files are brought to it."""

    def sync(self, file: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_full_stick(bench: Bench) -> None:
    stick = bench.stick()
    bench.loop.copier = Copier(bench.store, FullStick())
    tap_all(bench.loop, ("copy", "start"))
    bench.go(bench.over)
    assert "it is full" in bench.window.shown[-1] and copies(stick) == []


class BrokenStick(Disk):
    """Meets a fault of the program."""

    def sync(self, file: object) -> None:
        raise ZeroDivisionError


def test_a_fault_of_our_own_ends_the_copy_and_not_the_panel(bench: Bench) -> None:
    stick = bench.stick()
    bench.loop.copier = Copier(bench.store, BrokenStick())
    tap_all(bench.loop, ("copy", "start"))
    bench.go(bench.over)
    assert "fault of the program" in bench.window.shown[-1] and copies(stick) == []
    tap_all(bench.loop, ("bench",))
    assert bench.loop.model.work.screen == "bench"


def test_a_copy_that_cannot_be_remembered_is_a_copy_all_the_same(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    stick = bench.stick()
    tap_all(bench.loop, ("copy", "start"))

    def refuses(head: object) -> None:
        raise OSError(28, "The disk is full.")

    monkeypatch.setattr(bench.store, "mark_copied", refuses)
    bench.go(bench.over)
    assert "COPIED" in bench.window.shown[-1] and "The disk is full." in bench.window.shown[-1]
    assert (copies(stick)[0] / MANIFEST).exists()


def test_a_log_that_cannot_be_read_starts_no_copy(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    stick = bench.stick()
    tap_all(bench.loop, ("copy",))

    def refuses(slot: str = "") -> None:
        raise StoreError("The disk failed.")

    monkeypatch.setattr(bench.store, "load_work", refuses)
    tap_all(bench.loop, ("start",))
    assert "The disk failed." in bench.window.shown[-1] and not bench.loop.copier.busy
    assert bench.loop.model.copying.share is None and copies(stick) == []


def test_sticks_are_looked_for_every_two_seconds_and_told_when_they_change(tmp_path: Path) -> None:
    sticks, stick = Sticks((tmp_path, tmp_path / "none"), any_folder=True), tmp_path / "A"
    assert sticks.look(0.0) is None
    stick.mkdir()
    (tmp_path / "file").touch()
    assert sticks.look(LOOK_S - 0.1) is None
    seen = sticks.look(LOOK_S)
    assert seen is not None and seen.places == (str(stick),)
    assert sticks.look(2 * LOOK_S) is None
    stick.rmdir()
    gone = sticks.look(3 * LOOK_S)
    assert gone is not None and gone.places == ()


def test_a_folder_left_behind_by_a_stick_is_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "left").mkdir()
    (tmp_path / "stick").mkdir()
    monkeypatch.setattr(os.path, "ismount", lambda place: Path(place).name == "stick")
    seen = Sticks((tmp_path,)).look(0.0)
    assert seen is not None and seen.places == (str(tmp_path / "stick"),)


def test_the_environment_names_the_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("a", "b"):
        (tmp_path / name / "stick").mkdir(parents=True)
    monkeypatch.setenv("BENCHCALC_STICKS", f"{tmp_path / 'a'}:{tmp_path / 'b'}")
    seen = sticks_of_this_machine().look(0.0)
    assert seen is not None and len(seen.places) == 2
