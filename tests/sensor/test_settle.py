"""One bend at a time: what confirms, what does not, what is asked, and that stale is not live."""

from dataclasses import replace
from typing import get_args

import pytest

from benchcalc.sensor.expectation import Expectation, Outcome
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settle import Settler
from benchcalc.sensor.settling import TABLE, NoSuchStep, Seen, State

PROFILE = SensorProfile("test", NmeaXdr(), resolution_deg=0.01, noise_deg=0.02)
ON_ARM = replace(PROFILE, rides="arm")
EXPECTED = Expectation(45.0, 0.5, 1.2, 0.2)
HZ = 20


class Bench:
    """Drives a settler with readings that have no noise but a last digit that wavers."""

    def __init__(
        self, profile: SensorProfile = PROFILE, expected: Expectation = EXPECTED, hz: int = HZ
    ) -> None:
        self.settler = Settler(expected, profile)
        self.hz, self.last_deg = hz, profile.resolution_deg
        self.at_s, self.deg, self.count = 0.0, 0.0, 0
        self.outcomes: list[Outcome] = []

    def to(self, deg: float, seconds: float) -> "Bench":
        """Readings from here to an angle, evenly."""
        steps = max(round(seconds * self.hz), 1)
        start_deg = self.deg
        for step in range(1, steps + 1):
            self.at_s += 1 / self.hz
            self.count += 1
            self.deg = start_deg + (deg - start_deg) * step / steps
            self.settler.tick(self.at_s)
            outcome = self.settler.read(self.deg + self.last_deg * (self.count % 2), self.at_s)
            self.outcomes += [outcome] if outcome else []
        return self

    def jump(self, deg: float) -> "Bench":
        """The next readings are from there."""
        self.deg = deg
        return self

    def rest(self, seconds: float) -> "Bench":
        return self.to(self.deg, seconds)

    def silence(self, seconds: float) -> "Bench":
        for _ in range(round(seconds * self.hz)):
            self.at_s += 1 / self.hz
            self.settler.tick(self.at_s)
        return self

    def tap(self) -> "Bench":
        outcome = self.settler.tap(self.at_s)
        self.outcomes += [outcome] if outcome else []
        return self

    def at(self, *states: State) -> bool:
        return self.settler.state in states


def pulled(profile: SensorProfile = PROFILE, expected: Expectation = EXPECTED) -> Bench:
    return Bench(profile, expected).rest(1).to(40, 2).to(46.2, 1)


def test_pull_let_go_lie_still() -> None:
    bench = pulled().rest(1).to(45.0, 0.2).rest(1.2)
    (outcome,) = bench.outcomes
    assert bench.at("good") and outcome.verdict == "good" and outcome.by == "sensor"
    assert outcome.released_deg == pytest.approx(45.0, abs=0.02)
    assert outcome.loaded_deg == pytest.approx(46.2, abs=0.03)
    assert outcome.further_deg == pytest.approx(0.0, abs=0.02)


def test_it_takes_at_least_the_time_of_lying_still() -> None:
    assert pulled().rest(1).to(45.0, 0.2).rest(0.7).outcomes == []
    assert pulled().rest(1).to(45.0, 0.2).rest(1.0).outcomes != []


@pytest.mark.parametrize("hold_s", [0.9, 5, 30])
def test_a_loaded_hold_confirms_nothing(hold_s: float) -> None:
    bench = pulled(expected=replace_target(46.2)).rest(hold_s)
    assert bench.outcomes == [] and bench.at("holding")


def replace_target(target_deg: float) -> Expectation:
    return EXPECTED._replace(target_deg=target_deg)


def test_a_pause_on_the_very_target_confirms_nothing() -> None:
    bench = Bench().rest(1).to(45.0, 2).rest(6)
    assert bench.outcomes == []
    assert bench.to(46.2, 1).rest(0.5).to(45.0, 0.2).rest(1).at("good")


def test_a_hand_that_tires_confirms_nothing() -> None:
    expected = EXPECTED._replace(target_deg=45.8)
    bench = pulled(expected=expected).to(45.9, 15).rest(3)
    assert bench.outcomes == []


def test_under_then_further() -> None:
    bench = Bench().rest(1).to(45.4, 2).rest(1).to(44.2, 0.2).rest(1.2)
    assert bench.at("under")
    assert bench.outcomes[0].further_deg == pytest.approx(0.8, abs=0.03)
    bench.to(44.8, 0.5).rest(3)  # loaded again, not past its spring: no verdict on that
    assert len(bench.outcomes) == 1
    bench.to(46.2, 0.5).rest(0.5).to(45.0, 0.2).rest(1.2)
    assert bench.at("good") and len(bench.outcomes) == 2
    assert bench.outcomes[1].loaded_deg == pytest.approx(46.2, abs=0.03)


def test_over() -> None:
    bench = Bench().rest(1).to(47.2, 2).rest(1).to(46.0, 0.2).rest(1.2)
    assert bench.at("over")
    assert bench.outcomes[0].further_deg == pytest.approx(-1.0, abs=0.03)


def test_an_arm_that_backs_off_confirms_nothing_until_it_is_laid_on_and_tapped() -> None:
    bench = pulled(ON_ARM).rest(1).to(20, 0.5).rest(3)
    assert bench.at("adrift") and bench.outcomes == []
    assert bench.tap().at("adrift") and bench.outcomes == []
    bench.to(44.7, 1).rest(2)  # in the air still, though inside the band
    assert bench.at("touching") and bench.outcomes == []
    bench.to(45.0, 0.3).rest(1).tap()
    assert bench.at("good") and bench.outcomes[0].by == "tap"
    assert bench.outcomes[0].loaded_deg == pytest.approx(46.2, abs=0.03)


def test_a_release_smaller_than_the_noise_is_asked_for() -> None:
    noisy = replace(PROFILE, noise_deg=0.3)
    small = Expectation(45.0, 0.5, 0.3, 0.05)
    bench = Bench(noisy, small).rest(1).to(45.3, 2).rest(1).to(45.0, 0.2).rest(2)
    assert bench.at("asking") and bench.outcomes == []
    assert bench.tap().at("good") and bench.outcomes[0].by == "tap"


def test_an_early_tap_changes_nothing() -> None:
    assert Bench().rest(1).tap().outcomes == []
    bench = pulled().rest(0.4).to(45.0, 0.2).tap()
    assert bench.outcomes == [] and bench.rest(1.2).at("good")


def test_a_verdict_is_taken_back_when_the_angle_falls_on() -> None:
    bench = pulled().rest(1).to(45.4, 0.3).rest(1.2)
    assert [outcome.verdict for outcome in bench.outcomes] == ["good"]
    bench.to(44.4, 0.3).rest(1.2)
    assert bench.at("under") and len(bench.outcomes) == 2


PITCH = SensorProfile("pitch", NmeaXdr("PITCH"), resolution_deg=0.1, noise_deg=0.1, lag_s=0.1)
SQUARE = Expectation(90.0, 0.5, 1.9, 0.3)


def held_at(deg: float, expected: Expectation = SQUARE) -> Bench:
    """Pulled to an angle and held there, by a sensor that says tenths ten times a second."""
    return Bench(PITCH, expected, 10).rest(1).to(deg, 4).rest(2)


def test_one_reading_above_a_hold_is_no_peak() -> None:
    bench = held_at(90.0).jump(91.9).rest(0.1).jump(90.0).rest(3)
    assert bench.outcomes == [] and bench.at("holding")
    assert [aside.why for aside in bench.settler.aside] == ["alone"]
    bench.to(88.1, 0.3).rest(3)
    assert [outcome.verdict for outcome in bench.outcomes] == ["under"]


def test_two_readings_above_a_hold_are_no_peak() -> None:
    bench = held_at(90.0).jump(91.9).rest(0.2).jump(90.0).rest(3)
    assert bench.outcomes == []
    bench.to(88.1, 0.3).rest(3)
    assert not bench.at("good")


def test_a_bend_out_of_nothing_is_a_jump_that_no_tap_confirms() -> None:
    bench = Bench(PITCH, SQUARE, 10).rest(1).jump(91.9).rest(0.1).jump(90.0).rest(3).tap()
    assert bench.at("slipped") and bench.outcomes == []


def test_up_in_a_minute_and_down_in_ten_seconds_is_no_release() -> None:
    bench = Bench(PITCH, SQUARE, 10).rest(1).to(91.9, 60).to(90.0, 10).rest(5)
    assert bench.outcomes == [] and bench.at("asking")
    assert bench.settler.doubt == "slow"


def test_a_sensor_that_slips_while_the_tube_is_held_ends_under_when_it_is_let_go() -> None:
    bench = held_at(91.9).jump(90.0).rest(3).to(88.1, 0.3).rest(3)
    assert bench.at("under")


def test_a_verdict_with_the_hand_on_the_handle_becomes_under() -> None:
    """Springback was thought half of what it is, and a hand eased by just that."""
    bench = held_at(91.9).to(90.0, 0.3).rest(2)
    assert bench.at("good")
    bench.to(88.1, 0.3)
    assert bench.at("doubted")
    bench.rest(2)
    assert bench.at("under") and [o.again for o in bench.outcomes] == [False, True]


def test_a_tube_that_is_taken_out_keeps_its_verdict() -> None:
    bench = held_at(91.9).to(90.0, 0.3).rest(2).to(20, 1).rest(3)
    assert bench.at("good") and len(bench.outcomes) == 1


def test_a_verdict_that_creeps_is_asked_about() -> None:
    for sense in (-1, 1):
        bench = held_at(91.9).to(90.0, 0.3).rest(2).to(90.0 + sense * 0.45, 6)
        assert bench.at("asking") and bench.settler.doubt == "crept"


def test_what_falls_from_over_to_good_is_asked_about() -> None:
    bench = held_at(92.9).to(91.0, 0.3).rest(2).to(90.2, 0.3).rest(3)
    assert bench.at("asking") and [o.verdict for o in bench.outcomes] == ["over"]


def test_a_step_while_it_is_held_is_asked_about() -> None:
    bench = held_at(90.4).jump(91.9).rest(2).to(90.0, 0.3).rest(3)
    assert bench.outcomes == [] and bench.settler.doubt == "slipped"


def test_after_a_verdict_another_pull_is_aimed_at_without_a_break() -> None:
    bench = held_at(91.0).to(89.1, 0.3).rest(2)
    assert bench.at("under")
    bench.settler.aim(SQUARE._replace(release_deg=1.95))
    bench.to(91.9, 1).rest(1).to(90.0, 0.3).rest(2)
    assert [(o.verdict, o.again) for o in bench.outcomes] == [("under", False), ("good", False)]


def in_state(state: State) -> Bench:
    """A bench that has come to this state by readings."""
    still = pulled().rest(1).to(45.0, 0.2)
    made: dict[State, Bench] = {
        "waiting": Bench().rest(1),
        "pulling": pulled(),
        "holding": pulled().rest(2),
        "released": still.rest(0.6),
        "asking": Bench(PROFILE, Expectation(45, 0.5, 0.03, 0.01)).rest(1).to(45, 2).rest(2),
        "adrift": pulled(ON_ARM).to(20, 0.5),
        "touching": pulled(ON_ARM).rest(0.5).to(20, 0.5).to(45, 1).rest(1.2),
        "good": pulled().rest(1).to(45.0, 0.2).rest(1.2),
        "under": Bench().rest(1).to(45.2, 2).rest(1).to(44.0, 0.2).rest(1.2),
        "over": Bench().rest(1).to(48.2, 2).rest(1).to(47.0, 0.2).rest(1.2),
        "doubted": pulled().rest(1).to(45.4, 0.3).rest(1.2).to(44.6, 0.3),
        "slipped": Bench().rest(1).jump(45.0).rest(1),
    }
    return made[state]


@pytest.mark.parametrize("state", get_args(State))
def test_every_state_is_reached_and_a_frozen_line_decides_nothing_there(state: State) -> None:
    bench = in_state(state)
    assert bench.at(state)
    before = list(bench.outcomes)
    bench.silence(20).tap()
    assert bench.outcomes == before
    assert not bench.at("holding", "touching")


def test_after_a_long_silence_a_fall_is_asked_for() -> None:
    bench = pulled().rest(1).silence(8)
    bench.deg = 45.0
    bench.rest(3)
    assert bench.outcomes == [] and bench.at("asking")


def test_the_table_has_every_state_and_leads_to_known_ones() -> None:
    assert set(TABLE) == set(get_args(State))
    assert {seen for row in TABLE.values() for seen in row} == set(get_args(Seen))
    assert {after for row in TABLE.values() for after in row.values()} == set(get_args(State))


def test_a_miss_in_the_table_is_the_error() -> None:
    settler = Settler(EXPECTED, PROFILE)
    with pytest.raises(NoSuchStep, match="'held' cannot happen while 'waiting'"):
        settler._follow("held", None, "sensor", 0.0)


def test_what_lay_high_before_the_pull_is_no_part_of_its_peak() -> None:
    """The last bend's angle, still there when the next is expected."""
    bench = Bench().jump(90.0).rest(0.5).to(0, 0.4).rest(0.5).to(44, 1.0).to(46.2, 1.0).rest(1)
    assert bench.at("holding", "pulling") and bench.outcomes == []
    assert bench.to(45.0, 0.2).rest(1.2).at("good")


def test_a_sensor_that_says_the_very_same_for_too_long_is_not_believed() -> None:
    frozen = replace(PROFILE, frozen_s=2.0)
    bench = pulled(frozen).rest(1).to(45.0, 0.2).rest(1.2)
    assert bench.at("good")
    for _ in range(60):
        bench.at_s += 1 / HZ
        bench.settler.read(45.0, bench.at_s)
    assert bench.at("asking") and bench.settler.doubt == "frozen"
