"""What a service manager hears from the panel, by a real socket as systemd gives one."""

import os
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchcalc.runlog.store import Store
from benchcalc.shell.display.screen import QuitAsked, RawEvent
from benchcalc.shell.service import PARTS, Service
from tests.crash.session import NoWindow, new_loop


class Ear:
    """The service manager's end."""

    def __init__(self, name: str) -> None:
        self._socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self._socket.bind("\0" + name[1:] if name.startswith("@") else name)
        self._socket.setblocking(False)

    def heard(self) -> list[str]:
        found = []
        while True:
            try:
                found.append(self._socket.recv(4096).decode())
            except BlockingIOError:
                return found

    def close(self) -> None:
        self._socket.close()


@pytest.fixture(params=["file", "abstract"])
def ear(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[Ear, str]]:
    name = str(tmp_path / "notify") if request.param == "file" else f"@benchcalc-{os.getpid()}"
    made = Ear(name)
    yield made, name
    made.close()


def test_ready_alive_and_stopping_are_heard(ear: tuple[Ear, str]) -> None:
    service = Service.of_environment({"NOTIFY_SOCKET": ear[1], "WATCHDOG_USEC": "8000000"})
    assert service.present
    service.ready()
    service.alive(100.0)
    service.stopping()
    assert ear[0].heard() == ["READY=1", "WATCHDOG=1", "STOPPING=1"]


def test_the_watchdog_is_fed_as_often_as_is_needed_and_no_more(ear: tuple[Ear, str]) -> None:
    service = Service.of_environment({"NOTIFY_SOCKET": ear[1], "WATCHDOG_USEC": "8000000"})
    turns, looks = 800, 20.0
    heard = []
    for turn in range(turns):
        service.alive(turn / looks)
        heard += ear[0].heard()
    assert set(heard) == {"WATCHDOG=1"}
    assert len(heard) == turns / looks / 8 * PARTS


@pytest.mark.parametrize(
    "watchdog",
    [
        {},
        {"WATCHDOG_USEC": "0"},
        {"WATCHDOG_USEC": "soon"},
        {"WATCHDOG_USEC": "8000000", "WATCHDOG_PID": "1"},
    ],
)
def test_a_watchdog_that_is_none_of_ours_is_not_fed(
    watchdog: dict[str, str], ear: tuple[Ear, str]
) -> None:
    service = Service.of_environment({"NOTIFY_SOCKET": ear[1], **watchdog})
    service.alive(1.0)
    assert ear[0].heard() == []


def test_its_own_watchdog_is_fed(ear: tuple[Ear, str]) -> None:
    own = {"WATCHDOG_USEC": "8000000", "WATCHDOG_PID": str(os.getpid())}
    Service.of_environment({"NOTIFY_SOCKET": ear[1], **own}).alive(1.0)
    assert ear[0].heard() == ["WATCHDOG=1"]


def test_without_a_manager_or_with_a_deaf_one_nothing_happens(tmp_path: Path) -> None:
    for name in ("", str(tmp_path / "nobody"), "@nobody-at-all"):
        service = Service(name, 8.0)
        service.ready()
        service.alive(1.0)
        service.stopping()


class Looked(NoWindow):
    """A window that notes what the manager had heard at each look, and is closed in the end."""

    def __init__(self, ear: Ear, looks: int) -> None:
        self._ear, self._looks = ear, looks
        self.heard: list[list[str]] = []

    def events(self) -> list[RawEvent]:
        self.heard.append(self._ear.heard())
        return [QuitAsked()] if len(self.heard) > self._looks else []


def test_only_the_turning_loop_feeds_the_watchdog(ear: tuple[Ear, str], tmp_path: Path) -> None:
    """Each turn tells it once, when it is due; nothing else does, however long a turn takes."""
    window = Looked(ear[0], 3)
    with Store.open(tmp_path / "state", "b") as store:
        loop = new_loop(store)
        loop.window, loop.service = window, Service(ear[1], 1e-9)
        loop.run(rest=lambda _: None)
    fed = ["WATCHDOG=1"]
    assert window.heard == [["READY=1"], fed, fed, fed]
    assert ear[0].heard() == ["STOPPING=1"]
