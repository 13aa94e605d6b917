"""The sensor on the panel: real bytes through a real pseudo-terminal, a real loop and store."""

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from benchcalc.files.loading import asset_path, load_job, load_shop
from benchcalc.panel.state.draft import draft_of
from benchcalc.panel.state.making.sensing import Settled
from benchcalc.panel.state.messages import (
    BendSettled,
    KeyTyped,
    Pressed,
    Released,
    SensorSaw,
)
from benchcalc.panel.state.model import Making, Model, Work
from benchcalc.report.scene import Scene, scene_text
from benchcalc.report.settings import Settings
from benchcalc.runlog.records import PIECE
from benchcalc.runlog.store import Store
from benchcalc.shell import clock
from benchcalc.shell.display.screen import RawEvent
from benchcalc.shell.loop import Loop
from benchcalc.shell.sensing import DemoSensor
from benchcalc.shell.simulated_bench import Flaws, Habits, Springiness
from benchcalc.shell.simulator import Simulator, simulated_profile
from tests.shell.hand import tap

TRUE = Springiness(0.35, 0.021)
QUICK = Habits(speed_deg_s=90, pauses=0, overshoots=0, hold_s=0.4)


class NoWindow:
    """A screen nobody looks at; it counts what it was shown."""

    def __init__(self) -> None:
        self.shown: list[Scene] = []

    def events(self) -> list[RawEvent]:
        return []

    def paint(self, scene: Scene) -> None:
        if not self.shown or scene != self.shown[-1]:
            self.shown.append(scene)

    def apply_settings(self, settings: Settings) -> None:
        """It has no colours."""

    @property
    def text(self) -> str:
        return scene_text(self.shown[-1])


class Bench:
    """A panel with its demo sensor, turned by hand."""

    def __init__(self, folder: Path, simulator: Simulator) -> None:
        shop = load_shop(None)
        draft = draft_of(load_job(asset_path("demo.yaml"), shop))
        self.store = Store.open(folder, "boot")
        self.window, self.simulator = NoWindow(), simulator
        self.sensor = DemoSensor(simulator, clock.now_s())
        work = Work("plan", draft)
        self.pitches: list[float | None] = []
        self.outcomes: list[str] = []
        self.loop = Loop(
            self.window, self.store, Model(shop, work=work), self.sensor, self.pitches.append
        )
        self.loop.chime = self.outcomes.append
        self.sensor.start()
        self.tap(make=True)

    def tap(self, make: bool = False) -> None:
        """Enter, which is the key that goes on; planning needs the key itself."""
        if make:
            x, y = next(t.box.centre for t in self.loop.scene.targets if t.name == "make")
            tap(self.loop, x, y)
        else:
            self.loop.handle(KeyTyped("enter"))

    @property
    def making(self) -> Making:
        making = self.loop.model.work.making
        assert making is not None
        return making

    def turn(self) -> None:
        for message in self.sensor.look(clock.now_s()):
            self.loop.handle(message)
        self.loop.tone(self.sensor.tone_hz(clock.now_s()))
        time.sleep(0.01)

    def until(self, done: Callable[[], bool], most_s: float = 120.0) -> None:
        ends = time.monotonic() + most_s
        while not done():
            assert time.monotonic() < ends, self.window.text
            self.turn()

    def until_moved(self) -> None:
        """Until the bend in hand was judged; where the sensor must ask, the tube is free."""
        before = (self.making.place, self.making.came)

        def judged() -> bool:
            if self.loop.scene.target("free") is not None:
                self.loop.handle(Pressed(self.loop.scene.target("free")))
                self.loop.handle(Released(self.loop.scene.target("free")))
            return (self.making.place, self.making.came) != before

        self.until(judged)

    def to_pull(self) -> None:
        self.until(lambda: self.loop.model.sensor is not None and not self.loop.model.sensor.stale)
        while self.making.step != "pull":
            self.tap()

    def close(self) -> None:
        self.sensor.close()
        self.store.close()


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    flaws = Flaws(noise_deg=0.03, resolution_deg=0.01, lag_s=0.03)
    with Simulator(simulated_profile(), TRUE, flaws, rate_hz=40.0, habits=QUICK) as simulator:
        made = Bench(tmp_path, simulator)
        try:
            yield made
        finally:
            made.close()


def test_the_sensor_confirms_a_whole_piece(bench: Bench) -> None:
    """Two taps a bend and no angle typed: the first pulls fall short, then each is confirmed."""
    taps = 0
    bench.until(lambda: bench.loop.model.sensor is not None)
    while bench.making.step != "store":
        if bench.making.step == "pull":
            bench.until_moved()
        elif bench.making.step == "over":
            pytest.fail(bench.window.text)
        else:
            bench.tap()
            taps += 1
    assert taps == 1 + 1 + 4 + (2 + 3 + 3 + 3)  # cut, slide, marks; seat, turn where needed, go on
    bench.tap()
    (entry,) = bench.store.records(PIECE)
    for bend in entry.body["bends"]:
        last = bend["pulls"][-1]
        assert (last["by"], bend["verdict"]) == ("sensor", "good")
        assert last["raw_deg"] == pytest.approx(last["released_deg"], abs=0.15)
        assert last["zero_deg"] == 0.0
        release = TRUE.release_deg(last["pulled_to_deg"])
        assert last["pulled_to_deg"] - last["released_deg"] == pytest.approx(release, abs=0.15)
        assert bend["counted"] > 0.5
    assert bench.loop.model.taught.lots  # the peaks taught the springback
    pulls = [pull for bend in entry.body["bends"] for pull in bend["pulls"]]
    bends = len(entry.body["bends"])
    # A verdict is followed until its step is left: one that is taken back was heard, and so is
    # what it became.
    assert bench.outcomes.count("good") >= bends and bench.outcomes[-1] == "good"
    assert bench.outcomes.count("short") >= len(pulls) - bends and "over" not in bench.outcomes
    heard = {hz for hz in bench.pitches if hz is not None}
    assert min(heard) < 400 and max(heard) > 600  # the pitch rose towards the angle


def test_the_needle_moves_while_pulling_and_rests_elsewhere(bench: Bench) -> None:
    bench.to_pull()
    bench.until(lambda: "Now " in bench.window.text and "Go on" in bench.window.text)
    while bench.making.step == "pull":
        bench.until_moved()
    bench.tap()
    shown = len(bench.window.shown)
    ends = time.monotonic() + 1.0
    while time.monotonic() < ends:
        bench.turn()
    assert len(bench.window.shown) - shown <= 1


def test_a_silent_sensor_is_said_and_never_shown_as_live(bench: Bench) -> None:
    bench.to_pull()
    bench.until(lambda: "Now " in bench.window.text)
    bench.simulator.drop_out(600.0)
    bench.until(lambda: "no reading now" in bench.window.text)
    assert "Now " not in bench.window.text
    bench.simulator.drop_out(0.0)
    bench.until(lambda: "Now " in bench.window.text or bench.making.step != "pull")


def test_an_unplugged_sensor_is_a_sentence_and_the_angle_can_be_typed(bench: Bench) -> None:
    bench.to_pull()
    bench.until(lambda: "Now " in bench.window.text)
    bench.simulator.unplug()
    bench.until(lambda: bool(bench.loop.model.sensor and bench.loop.model.sensor.trouble))
    assert "Now " not in bench.window.text
    bench.tap()
    bench.tap()
    assert bench.making.step == "check"
    for digit in "90.1":
        bench.loop.handle(KeyTyped(digit))
    bench.tap()
    assert bench.making.place == 1
    done = bench.making.made[0]
    assert (done.verdict, done.pulls[-1].by) == ("good", "hand")


def test_a_bend_that_falls_on_after_it_was_called_good_is_under_and_taught_so(bench: Bench) -> None:
    """Until its step is left; what was heard first is heard anew."""
    bench.to_pull()
    while bench.making.step != "good":
        bench.until_moved()
    (before,) = bench.making.made
    released_deg = before.pulls[-1].released_deg or 0.0
    again = Settled(released_deg - 2.0, before.pulls[-1].pulled_to_deg, 88.0, 0.0, again=True)
    bench.loop.handle(BendSettled(again))
    (after,) = bench.making.made
    assert (bench.making.step, after.verdict) == ("pull", None)
    assert len(after.pulls) == len(before.pulls)
    assert after.pulls[-1].released_deg == pytest.approx(released_deg - 2.0, abs=0.01)
    assert bench.outcomes[-2:] == ["good", "short"]
    assert not list(bench.store.records(PIECE)) and not bench.loop.model.taught.lots


def test_a_good_bend_that_stirs_is_not_left_as_good(bench: Bench) -> None:
    bench.to_pull()
    while bench.making.step != "good":
        bench.until_moved()
    bench.until(lambda: bench.loop.scene.target("next") is not None)
    seen = bench.loop.model.sensor
    assert seen is not None
    bench.loop.handle(SensorSaw(replace(seen, state="doubted")))
    assert bench.loop.scene.target("next") is None and "It falls on" in bench.window.text
    bench.loop.handle(KeyTyped("enter"))
    assert bench.making.typed
    bench.tap()
    assert bench.making.made[0].pulls[-1].by == "hand"
