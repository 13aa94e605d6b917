"""A start on a disk that does not work yet: the window says so, and goes on once it works."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchcalc import app
from benchcalc.panel.screens import waiting
from benchcalc.panel.state.messages import Outcome
from benchcalc.panel.widgets.sizes import physical
from benchcalc.report.scene import Scene, scene_text
from benchcalc.report.settings import Settings
from benchcalc.runlog.store import Store, StoreBusy, StoreError, StoreNewer
from benchcalc.shell import waiting as waiting_module
from benchcalc.shell.display.screen import Exposed, QuitAsked, RawEvent, Screen
from tests.panel.journeys import SHOP
from tests.screens.measures import looked_at
from tests.screens.table import SCREENS

FULL = (
    "Records cannot be kept in /home/bench/.local/state/benchcalc: the disk is full: make room on "
    "it, then try again."
)


class Window:
    """Tells what it is told to, one look after another, then asks to quit."""

    size = (800, 480)
    bare = False

    def __init__(self, *looks: list[RawEvent]) -> None:
        self._looks: Iterator[list[RawEvent]] = iter(looks)
        self.shown: list[str] = []
        self.closed = False

    def events(self) -> list[RawEvent]:
        return next(self._looks, [QuitAsked()])

    def paint(self, scene: Scene) -> None:
        self.shown.append(scene_text(scene))

    def apply_settings(self, settings: Settings) -> None:
        """It has no colours."""

    def tone(self, hz: float | None) -> None:
        """Nobody listens."""

    def chime(self, outcome: Outcome) -> None:
        """Nor to this."""

    def close(self) -> None:
        self.closed = True


def run(window: Window, state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The panel in this window, its next try due at once."""
    monkeypatch.setattr(Screen, "open", lambda *size, **named: window)
    monkeypatch.setattr(waiting_module, "RETRY_S", 0.02)
    monkeypatch.setenv("BENCHCALC_STICKS", str(state / "none"))
    app.run_panel(SHOP, None, window.size, state)
    assert window.closed


def failing(times: int, error: StoreError, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The store refuses to open so many times."""
    tries: list[int] = []
    really = Store.open

    def open_(folder: Path, boot_id: str) -> Store:
        tries.append(1)
        if len(tries) <= times:
            raise error
        return really(folder, boot_id)

    monkeypatch.setattr(Store, "open", open_)
    return tries


def test_it_is_said_and_tried_again_until_it_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tries = failing(2, StoreError(FULL), monkeypatch)
    window = Window([], [Exposed()], [], [], [])
    run(window, tmp_path / "state", monkeypatch)
    assert len(tries) == 3
    *waited, last = window.shown
    assert len(waited) >= 2 and all(FULL in text and "tried again" in text for text in waited)
    assert "What is on the bench?" in last


def test_one_can_quit_meanwhile(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tries = failing(10, StoreError(FULL), monkeypatch)
    window = Window()
    run(window, tmp_path / "state", monkeypatch)
    assert len(tries) == 1 and len(window.shown) == 1


@pytest.mark.parametrize("error", [StoreBusy("In use."), StoreNewer("Newer.")])
def test_what_waiting_does_not_mend_is_told_at_once(
    error: StoreError, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing(1, error, monkeypatch)
    window = Window()
    with pytest.raises(type(error), match=str(error)):
        run(window, tmp_path / "state", monkeypatch)
    assert window.closed and window.shown == []


@pytest.fixture
def read_only(tmp_path: Path) -> Iterator[Path]:
    """A disk that may only be read until it is mounted otherwise, where one may mount."""
    place = tmp_path / "disk"
    place.mkdir()
    if os.geteuid() != 0 or os.system(f"mount -t tmpfs -o ro,size=4m none {place} 2>/dev/null"):
        pytest.skip("only root may mount a disk")
    yield place
    os.system(f"umount -l {place}")


def test_a_disk_that_may_only_be_read_until_someone_mends_it(
    read_only: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Mended(Window):
        def events(self) -> list[RawEvent]:
            if len(self.shown) == 2:
                assert os.system(f"mount -o remount,rw {read_only}") == 0
            return super().events()

    window = Mended(*([[]] * 8))
    run(window, read_only / "state", monkeypatch)
    assert "read-only" in window.shown[0] and "What is on the bench?" in window.shown[-1]
    with Store.open(read_only / "state", "after") as store:
        assert store.count() == 0


def test_work_that_cannot_be_set_aside_yet_is_waited_for_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Store.open(tmp_path, "before") as store:
        store.save_work("panel", {"form": "of another program"})
    really, refused = Store.save_work, iter([True])

    def save_work(store: Store, slot: str, body: object) -> None:
        if next(refused, False):
            raise StoreError(FULL)
        really(store, slot, body)

    monkeypatch.setattr(Store, "save_work", save_work)
    window = Window([], [], [])
    run(window, tmp_path, monkeypatch)
    assert FULL in window.shown[0] and "another program version" in window.shown[-1]


@pytest.mark.parametrize("screen", SCREENS)
def test_the_screen_can_be_read(screen: str) -> None:
    size, _ = SCREENS[screen]
    scene = waiting.view(size, FULL.replace("/home/bench/.local/state", "/var/lib"), 2.0)
    assert looked_at(scene, physical(size, Settings()))[1] == []
