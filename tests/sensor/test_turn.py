"""The turn of a tube by a sensor across it: against how the tube really lay, and what it admits."""

from dataclasses import replace

import pytest

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.turn import Asked, TurnFollower
from tests.sensor.simulated_turns import MARGIN_DEG, TOLERANCE_DEG, played

PROFILE = SensorProfile("turn", AsciiLine(), noise_deg=0.05, resolution_deg=0.1, measures="turn")
TURNS = 600


def lying(follower: TurnFollower, deg: float, at_s: float, for_s: float = 2.0) -> float:
    """The sensor shows the same for a while; the time after it."""
    for _ in range(int(for_s * 20)):
        at_s += 0.05
        follower.read(deg, at_s)
    return at_s


def turned(follower: TurnFollower, from_deg: float, to_deg: float, at_s: float) -> float:
    """The sensor goes from one reading to another at 60 degrees a second, then lies."""
    way = 1 if to_deg > from_deg else -1
    deg = from_deg
    while (to_deg - deg) * way > 0:
        deg, at_s = deg + 3 * way, at_s + 0.05
        follower.read(deg, at_s)
    return lying(follower, to_deg, at_s)


def zeroed(profile: SensorProfile = PROFILE, raw: float = 10.0) -> tuple[TurnFollower, float]:
    follower = TurnFollower(profile)
    at_s = lying(follower, raw, 0.0)
    assert follower.take_zero(at_s)
    return follower, at_s


def test_no_turn_is_called_turned_that_is_none() -> None:
    every = [played(seed) for seed in range(TURNS)]
    assert not [turn for turn in every if turn.turned_while_off]
    limit = TOLERANCE_DEG + MARGIN_DEG
    assert not [turn for turn in every if turn.kept and turn.truly_off_deg > limit]
    slips = [turn for turn in every if turn.slipped]
    assert len(slips) > 50 and sum(turn.saw_slip for turn in slips) >= 0.98 * len(slips)
    sound = [turn for turn in every if turn.fit and not turn.slipped]
    taken = sum(turn.said_turned or turn.kept for turn in sound)
    assert len(sound) > 100 and taken > 0.8 * len(sound)


@pytest.mark.parametrize("sign", [1, -1])
def test_it_reads_what_the_hands_turned_either_way_and_over_the_wrap(sign: int) -> None:
    follower, at_s = zeroed(replace(PROFILE, sign=sign), 170.0)  # type: ignore[arg-type]
    follower.ask(Asked(sign * 90.0, 1.0), at_s)
    at_s = turned(follower, 170.0, 260.0, at_s)
    assert follower.turned_deg() == pytest.approx(sign * 90.0)
    assert follower.state(at_s) == "turned"
    assert follower.clamped_deg(at_s) == pytest.approx(sign * 90.0)


def test_what_lay_before_it_was_asked_is_not_taken_for_it() -> None:
    follower, at_s = zeroed()
    at_s = turned(follower, 10.0, 100.0, at_s)
    follower.ask(Asked(90.0, 1.0), at_s)
    assert follower.state(at_s) == "turning"
    assert follower.state(lying(follower, 100.0, at_s)) == "turned"


def test_without_a_zero_it_says_so() -> None:
    follower = TurnFollower(PROFILE)
    follower.ask(Asked(90.0, 1.0), 0.0)
    at_s = lying(follower, 100.0, 0.0)
    assert follower.state(at_s) == "no zero" and follower.turned_deg() is None
    assert follower.clamped_deg(at_s) is None


def test_a_stale_reading_is_no_turn() -> None:
    follower, at_s = zeroed()
    follower.ask(Asked(90.0, 1.0), at_s)
    at_s = turned(follower, 10.0, 100.0, at_s)
    assert follower.state(at_s + 2.0) == "waiting" and follower.clamped_deg(at_s + 2.0) is None
    assert not follower.take_zero(at_s + 2.0)


def test_a_jump_while_it_lies_is_a_slip_and_takes_the_zero_away() -> None:
    follower, at_s = zeroed()
    follower.ask(Asked(90.0, 1.0), at_s)
    at_s = turned(follower, 10.0, 40.0, at_s)
    at_s = lying(follower, 100.0, at_s)  # from one reading to the next
    assert follower.state(at_s) == "slipped" and follower.clamped_deg(at_s) is None
    assert follower.take_zero(at_s) and follower.state(at_s) == "turning"


def test_what_moved_while_nothing_was_heard_is_not_believed() -> None:
    follower, at_s = zeroed()
    follower.ask(Asked(90.0, 1.0), at_s)
    at_s = lying(follower, 100.0, at_s + 3.0)
    assert follower.state(at_s) == "slipped"


def test_an_angle_past_what_it_can_read_is_out_of_reach() -> None:
    follower, at_s = zeroed(replace(PROFILE, wrap_deg=0.0, least_deg=-60.0, most_deg=60.0))
    follower.ask(Asked(90.0, 1.0), at_s)
    assert follower.state(at_s) == "out of reach"
    follower.ask(Asked(-45.0, 1.0), at_s)
    assert follower.state(at_s) == "turning"


@pytest.mark.parametrize("deg_s", [3.0, 8.0, 10.0, 15.0, 30.0, 60.0])
def test_a_hand_that_turns_slowly_is_no_slip(deg_s: float) -> None:
    follower, at_s = zeroed()
    follower.ask(Asked(90.0, 1.0), at_s)
    deg = 10.0
    while deg < 100.0:
        deg, at_s = min(deg + deg_s / 20, 100.0), at_s + 0.05
        follower.read(deg, at_s)
        assert not follower.slipped, deg
    assert follower.state(lying(follower, 100.0, at_s)) == "turned"
