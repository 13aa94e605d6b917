"""The loop with a clock of the test's: bounces, a stuck finger, and the dark screen."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from benchcalc.panel.input.touches import STUCK_S, Down, KeyDown, KeyUp, Touch, Up
from benchcalc.panel.state.model import Model, Work
from benchcalc.panel.update import view
from benchcalc.report.settings import Settings
from benchcalc.runlog.store import Store
from benchcalc.shell import clock
from benchcalc.shell.display.screen import QuitAsked, RawEvent
from benchcalc.shell.loop import Loop
from tests.crash.session import NoWindow
from tests.panel.journeys import SHOP, demo_draft


class Timed(NoWindow):
    """A window whose events come at their times; every look at it takes a while."""

    def __init__(self, events: list[tuple[float, Touch]], until_s: float) -> None:
        self._waiting, self._until_s, self.now_s = sorted(events), until_s, 0.0

    def rest(self, seconds: float) -> None:
        """Time goes on as the loop rests; where nothing is near, by a second."""
        due_s = self._waiting[0][0] if self._waiting else self._until_s
        self.now_s += 1.0 if due_s - self.now_s > 2.0 else seconds

    def events(self) -> list[RawEvent]:
        if self.now_s >= self._until_s:
            return [QuitAsked()]
        due = [event for at_s, event in self._waiting if at_s <= self.now_s]
        self._waiting = self._waiting[len(due) :]
        return [*due]


Lived = Callable[..., Loop]


@pytest.fixture
def lived(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Lived:
    """A loop that went round until a time, with these events, beginning on the demo's run."""

    def live(until_s: float, *events: tuple[float, Touch], dark_after_min: int = 10) -> Loop:
        window = Timed([*events], until_s)
        monkeypatch.setattr(clock, "now_s", lambda: window.now_s)
        settings = Settings(dark_after_min=dark_after_min)  # type: ignore[arg-type]
        model = replace(Model(SHOP, work=Work("plan", demo_draft())), settings=settings)
        with Store.open(tmp_path / str(until_s), "test") as store:
            loop = Loop(window, store, model)
            loop.run(window.rest)
        return loop

    return live


def at(name: str) -> tuple[int, int]:
    target = view(Model(SHOP, work=Work("plan", demo_draft()))).target(name)
    assert target is not None
    return int(target.box.centre[0]), int(target.box.centre[1])


def leg(loop: Loop) -> str:
    return loop.model.work.draft.rows[0].leg


def test_a_finger_that_bounces_types_one_digit(lived: Lived) -> None:
    five = at("key 5")
    loop = lived(
        3.0, (1.0, Down(*five, 1)), (1.1, Up(*five, 1)), (1.11, Down(*five, 1)),
        (1.115, Up(*five, 1)),
    )  # fmt: skip
    assert leg(loop) == "5"


def test_a_finger_that_stays_types_nothing_and_is_let_go(lived: Lived) -> None:
    five = at("key 5")
    loop = lived(1.0 + STUCK_S + 2.0, (1.0, Down(*five, 1)))
    assert leg(loop) == "140" and loop.model.pressed is None
    assert lived(1.0 + STUCK_S - 0.5, (1.0, Down(*five, 1))).model.pressed == "key 5"


def test_the_screen_goes_dark_and_what_lights_it_types_nothing(lived: Lived) -> None:
    five = at("key 5")
    assert not lived(599.0).model.dark
    loop = lived(603.0)
    assert loop.model.dark and loop.scene.ground == "dark"
    assert not lived(603.0, dark_after_min=0).model.dark
    woken = lived(700.0, (650.0, Down(*five, 1)), (650.2, Up(*five, 1)))
    assert not woken.model.dark and leg(woken) == "140"
    typed = lived(701.0, (650.0, KeyDown("5", 34)), (650.1, KeyUp(34)), (651.0, KeyDown("5", 34)))
    assert not typed.model.dark and leg(typed) == "5"
