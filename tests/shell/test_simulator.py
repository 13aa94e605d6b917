"""The simulated bench: what the tube does, and the whole way from its bytes to a verdict."""

import itertools
import time
from dataclasses import replace
from random import Random

import pytest

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.events import BadFrame, Reading, Silence
from benchcalc.sensor.expectation import Expectation, Outcome
from benchcalc.sensor.modbus_rtu import ModbusRtu
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile, Settings
from benchcalc.shell.port import SerialPort
from benchcalc.shell.simulated_bench import (
    Flaws,
    Habits,
    Hand,
    Move,
    Operator,
    SimulatedSensor,
    SimulatedTube,
    Springiness,
    frame_of,
)
from benchcalc.shell.simulator import Simulator, simulated_profile
from benchcalc.shell.watch import News, SensorWatch
from tests.sensor.samples import angles, read_all
from tests.shell.terminals import held, wait_for

SPRINGY = Springiness(0.4, 0.018)
QUICK = Habits(speed_deg_s=90, pauses=0, overshoots=0, hold_s=0.3)
FLAWS = Flaws(0.03, 0.01, 0.03, mounted_deg=12.0)


def test_a_tube_keeps_what_was_bent_into_it() -> None:
    tube = SimulatedTube(SPRINGY)
    assert tube.follow(46.2) == 46.2
    assert tube.follow(10) == pytest.approx(46.2 - 0.4 - 0.018 * 46.2)
    assert tube.follow(45.5) == 45.5  # wholly elastic
    assert tube.follow(0) == pytest.approx(44.9684)
    assert tube.follow(48) == 48 and tube.follow(0) > 46


def test_a_small_pull_is_all_spring() -> None:
    tube = SimulatedTube(SPRINGY)
    assert tube.follow(0.3) == 0.3 and tube.follow(0) == 0


def test_a_hand_moves_gently_and_in_order() -> None:
    hand = Hand()
    hand.do(Move(10, 1), Move(10, 1), Move(4, 2), at_s=5)
    seen = [hand.arm_deg(5 + step / 10) for step in range(45)]
    assert seen[0] == 0 and seen[5] == pytest.approx(5) and seen[10] == seen[20] == 10
    assert seen[-1] == 4 and not hand.busy
    assert max(abs(b - a) for a, b in itertools.pairwise(seen)) < 2


def test_an_operator_pauses_overshoots_and_re_seats() -> None:
    random = Random(1)
    bold = Operator(Habits(pauses=1, overshoots=1), random)
    moves = bold.pull(0, 46)
    assert any(a.to_deg == b.to_deg for a, b in itertools.pairwise(moves))
    assert moves[-1].to_deg > 46.1
    away = bold.re_seat(20, 19)
    assert min(move.to_deg for move in away) < 10 and away[-1].to_deg == 20


def test_a_sensor_lags_wavers_and_steps() -> None:
    profile = SensorProfile("s", NmeaXdr(), sign=-1)
    sensor = SimulatedSensor(Flaws(0, 0.1, 0.1, mounted_deg=12), profile, Random(1))
    assert sensor.raw_deg(0, 1.0) == pytest.approx(12)
    late = sensor.raw_deg(45, 1.1)
    assert late == pytest.approx(12 - 45 * 0.632, abs=0.1) and round(late, 1) == round(late, 6)
    assert sensor.raw_deg(45, 9) == pytest.approx(-33)


SPOKEN: list[Settings] = [
    NmeaXdr(place=3),
    NmeaXdr(name="ROLL", scale=0.1),
    AsciiLine(b"A="),
    AsciiLine(decimal=b",", poll=b"?\r", end=b"\r"),
    ModbusRtu(scale=0.1),
    ModbusRtu(5, 4, 7, "float32", "low first"),
    ModbusRtu(kind="int32", scale=0.001),
]


@pytest.mark.parametrize("settings", SPOKEN)
def test_what_it_says_is_read(settings: Settings) -> None:
    for deg in (-12.5, 0.0, 45.3, 179.9):
        assert angles(read_all(settings, frame_of(settings, deg))) == pytest.approx(
            (deg,), abs=1e-3
        )


class Run:
    """A simulator with a watch on its port."""

    def __init__(self, simulator: Simulator, profile: SensorProfile) -> None:
        self.port = SerialPort(simulator.port, profile.line, first_wait_s=0.05)
        self.port.start()
        self.watch = SensorWatch(profile, self.port, time.monotonic())
        self.seen: list[News] = []

    def look(self) -> list[News]:
        news = self.watch.look(time.monotonic())
        self.seen += news
        return news

    def outcome(self) -> Outcome:
        return wait_for(lambda: next((n for n in self.look() if isinstance(n, Outcome)), None), 12)


@pytest.mark.parametrize("settings", [NmeaXdr(), AsciiLine(b"A="), ModbusRtu(scale=0.1)])
def test_from_the_pull_to_the_verdict(settings: Settings) -> None:
    """Zero is shown first; the first pull falls short, the second gives the angle."""
    before = held()
    step_deg = 0.1 if isinstance(settings, ModbusRtu) else 0.01
    profile = SensorProfile(
        "sim", settings, poll_s=0.05, resolution_deg=step_deg, noise_deg=0.03, lag_s=0.03
    )
    flaws = replace(FLAWS, resolution_deg=step_deg)
    with Simulator(profile, SPRINGY, flaws, habits=QUICK) as simulator:
        run = Run(simulator, profile)
        try:
            zero_deg = wait_for(lambda: (run.look(), run.watch.take_zero(time.monotonic()))[1])
            assert zero_deg == pytest.approx(12.0, abs=0.05)
            run.watch.expect(Expectation(45.0, 0.5, 1.21, 0.2))
            simulator.pull_to(45.0)
            under = run.outcome()
            assert under.verdict == "under" and under.loaded_deg == pytest.approx(45.0, abs=0.15)
            simulator.pull_to(under.loaded_deg + under.further_deg / (1 - SPRINGY.b))
            good = run.outcome()
            assert good.verdict == "good" and good.by == "sensor"
            most = step_deg + 3 * good.spread_deg
            assert good.released_deg == pytest.approx(simulator.tube.set_deg, abs=most)
            live = run.watch.live(time.monotonic())
            assert live.bend is not None and live.bend.zero_deg == zero_deg and not live.stale
        finally:
            run.port.close()
    assert held() == before


def test_drop_outs_garbage_and_the_plug() -> None:
    profile = simulated_profile()
    with Simulator(profile, SPRINGY, replace(FLAWS, mounted_deg=0), rate_hz=50) as simulator:
        run = Run(simulator, profile)
        try:
            wait_for(lambda: [n for n in run.look() if isinstance(n, Reading)])
            simulator.garbage(b"\xff\x00$$\r\n")
            wait_for(lambda: [n for n in run.look() if isinstance(n, BadFrame)])
            simulator.drop_out(2.5)
            wait_for(lambda: [n for n in run.look() if isinstance(n, Silence)])
            assert run.watch.live(time.monotonic()).stale
            wait_for(lambda: [n for n in run.look() if isinstance(n, Reading)])
            simulator.unplug()
            wait_for(lambda: [n for n in run.look() if getattr(n, "kind", "") == "lost"])
        finally:
            run.port.close()


def test_the_demo_s_arm_sensor_follows_the_arm() -> None:
    profile = simulated_profile(rides_arm=True)
    with Simulator(profile, SPRINGY, replace(FLAWS, mounted_deg=0), habits=QUICK) as simulator:
        run = Run(simulator, profile)
        try:
            run.watch.expect(Expectation(45.0, 0.5, 1.21, 0.2))
            simulator.pull_to(46.2)
            assert run.outcome().verdict == "good"
            simulator.new_bend()
            assert simulator.arm_deg == 0 and not simulator.busy
        finally:
            run.port.close()
