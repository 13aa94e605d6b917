"""The sensor across the tube between its readings and the panel, on readings made here."""

import pytest

from benchcalc.panel.state.aiming.turn_news import (
    ClampTurn,
    ExpectTurn,
    TakeTurnZero,
    TurnClamped,
    TurnLies,
    TurnSaw,
    TurnZeroTaken,
)
from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.events import Reading
from benchcalc.sensor.profile import SensorProfile
from benchcalc.shell.port import SerialPort
from benchcalc.shell.sensing import PanelSensor, SensorPair
from benchcalc.shell.turning import TurnFollowing

PROFILE = SensorProfile("turn", AsciiLine(), noise_deg=0.05, resolution_deg=0.1, measures="turn")
BENDS = SensorProfile("bends", AsciiLine())


class Played:
    """A sensor that shows what it is told, twenty times a second."""

    def __init__(self, profile: SensorProfile = PROFILE) -> None:
        self.turns, self.at_s, self.deg = TurnFollowing(profile), 0.0, 10.0
        self.news: list[object] = []

    def lie(self, for_s: float = 2.0) -> "Played":
        for _ in range(int(for_s * 20)):
            self.at_s += 0.05
            self.turns.heard(Reading(self.deg, self.at_s, b""))
            self.news += self.turns.look(self.at_s, None)
        return self

    def turn(self, by_deg: float) -> "Played":
        for _ in range(int(2 * abs(by_deg))):
            self.deg += 0.5 if by_deg > 0 else -0.5
            self.lie(0.05)
        return self.lie()

    def told(self, command: ExpectTurn | ClampTurn | TakeTurnZero) -> object:
        found = self.turns.carry_out(command, self.at_s)
        return found[0] if found else None

    def clamped(self) -> float | None:
        found = self.told(ClampTurn())
        assert isinstance(found, TurnClamped)
        return found.by_deg

    def lay(self) -> list[float]:
        return [news.by_deg for news in self.news if isinstance(news, TurnLies)]


def test_each_bend_counts_from_where_the_one_before_was_clamped() -> None:
    bench = Played().lie()
    assert bench.clamped() is None
    bench.told(ExpectTurn(2, 90.0, 1.0))
    bench.turn(90.0)
    assert bench.lay() == [pytest.approx(90.0)]
    bench.turn(2.0)  # the clamp twists it
    assert bench.clamped() == pytest.approx(92.0)
    bench.told(ExpectTurn(3, -44.0, 1.0))
    bench.turn(-44.0)
    assert bench.lay()[-1] == pytest.approx(-44.0)
    assert bench.clamped() == pytest.approx(-44.0)


def test_set_right_after_a_clamp_it_still_counts_from_the_bend_before() -> None:
    bench = Played().lie()
    bench.told(ClampTurn())
    bench.told(ExpectTurn(2, 90.0, 1.0))
    bench.turn(90.0).turn(4.0)
    assert bench.clamped() == pytest.approx(94.0)
    bench.told(ExpectTurn(2, 90.0, 1.0))
    bench.turn(-4.0)
    assert bench.clamped() == pytest.approx(90.0)


def test_it_is_said_once_that_it_lies() -> None:
    bench = Played().lie()
    bench.told(ClampTurn())
    bench.told(ExpectTurn(2, 30.0, 1.0))
    bench.turn(30.0).lie().lie()
    assert len(bench.lay()) == 1


def test_laid_end_for_end_there_is_no_zero_until_it_is_told() -> None:
    bench = Played().lie()
    bench.told(ClampTurn())
    bench.told(ExpectTurn(2, 30.0, 1.0, True))
    bench.turn(30.0)
    assert bench.lay() == [] and bench.told(ClampTurn()) == TurnClamped(None)
    bench.told(ExpectTurn(3, 30.0, 1.0, True))
    assert bench.told(TakeTurnZero()) == TurnZeroTaken(True)
    bench.turn(30.0)
    assert bench.lay() == [pytest.approx(30.0)]


def test_one_instrument_for_both_counts_from_where_it_is_told_alone() -> None:
    both = SensorProfile("both", AsciiLine(), noise_deg=0.05, resolution_deg=0.1, measures="both")
    bench = Played(both).lie()
    assert bench.told(ClampTurn()) is None
    bench.told(ExpectTurn(2, 30.0, 1.0))
    bench.lie()
    states = [news.seen.state for news in bench.news if isinstance(news, TurnSaw)]
    assert states[-1] == "no zero"
    bench.told(TakeTurnZero())
    bench.turn(30.0)
    assert bench.lay() == [pytest.approx(30.0)]


def test_the_tone_rises_towards_the_turn_either_way() -> None:
    for wanted in (60.0, -60.0):
        bench = Played().lie()
        bench.told(ClampTurn())
        bench.told(ExpectTurn(2, wanted, 1.0))
        heard = []
        for _ in range(10):
            bench.turn(wanted / 10)
            heard.append(bench.turns.tone_hz(bench.at_s))
        late = [hz for hz in heard if hz is not None]
        assert len(late) >= 3 and late == sorted(late)
        assert bench.told(ClampTurn()) and bench.turns.tone_hz(bench.at_s) is None


def test_two_sensors_are_one_to_the_loop() -> None:
    """All that the loop asks of one sensor it may ask of a pair."""
    asked = ("start", "close", "look", "tone_hz", "carry_out", "released", "last_bend")
    bends, turns = (PanelSensor(p, SerialPort("/dev/none", p.line), 0.0) for p in (BENDS, PROFILE))
    pair = SensorPair(bends, turns)
    for name in asked:
        assert hasattr(pair, name) and hasattr(bends, name)
    pair.released("space", 0.0)
    assert pair.last_bend is bends.last_bend
    assert pair.carry_out(ClampTurn(), 1.0) == [TurnClamped(None)]
