"""A handle that tells when it was let go: waited for, believed sooner, and no proof."""

from dataclasses import replace
from random import Random

import pytest

from benchcalc.sensor.expectation import Outcome
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settle import Settler
from tests.sensor.doubtful_bends import Recording, base, eased, plain, recorded
from tests.sensor.test_settle import PITCH, SQUARE, Bench

WIRED = replace(PITCH, handle="cts")
STRAIGHT = replace(WIRED, lag_s=0.0)


def held_at(deg: float, profile: SensorProfile = WIRED) -> Bench:
    """Pulled to an angle and held there, the handle in the hand."""
    bench = Bench(profile, SQUARE, 10)
    bench.settler.handle.heard(True, 0.0)
    bench.rest(1).settler.handle.heard(False, bench.at_s)
    return bench.to(deg, 4).rest(2)


def let_go(bench: Bench) -> Bench:
    bench.settler.handle.heard(True, bench.at_s)
    return bench


def only(bench: Bench) -> Outcome:
    (outcome,) = bench.outcomes
    return outcome


def test_a_hand_that_eases_and_holds_is_waited_for() -> None:
    """Without the handle's sign this is good first, and under when it is let go."""
    bench = held_at(91.9).to(90.0, 0.3).rest(5)
    assert bench.outcomes == [] and bench.at("asking") and bench.settler.doubt == "held"
    let_go(bench).to(88.1, 0.3).rest(1.2)
    assert only(bench).verdict == "under" and only(bench).by == "handle"
    assert only(bench).released_deg == pytest.approx(88.1, abs=0.1)


def test_let_go_by_its_sign_it_is_believed_sooner() -> None:
    took = []
    for profile in (STRAIGHT, replace(STRAIGHT, handle="none")):
        bench = let_go(held_at(91.9, profile)).to(90.0, 0.2)
        free_s = bench.at_s
        bench.rest(3)
        assert only(bench).verdict == "good"
        took.append(only(bench).at_s - free_s)
    assert took[0] < took[1] - 0.1


def test_eased_as_slowly_as_one_likes_and_then_let_go_it_is_judged() -> None:
    bench = held_at(91.9).to(90.0, 10)
    assert bench.outcomes == []
    assert only(let_go(bench).rest(1.5)).verdict == "good"


def test_a_handle_let_go_while_nothing_falls_is_asked_about() -> None:
    bench = let_go(held_at(91.9)).rest(4)
    assert bench.outcomes == [] and bench.at("asking") and bench.settler.doubt == "no fall"


def test_a_switch_that_is_stuck_decides_nothing() -> None:
    for stuck in (True, False):
        bench = Bench(WIRED, SQUARE, 10)
        bench.settler.handle.heard(stuck, 0.0)
        bench.rest(1).to(91.9, 4).rest(2).to(90.0, 0.3).rest(3)
        assert bench.outcomes == [] and bench.at("asking")
        assert bench.settler.doubt == ("early" if stuck else "held")
        assert bench.tap().at("good")  # the operator's word still stands


def test_a_pedal_pressed_before_the_pull_ends_counts_for_nothing() -> None:
    bench = Bench(replace(PITCH, handle="f9"), SQUARE, 10).rest(1).to(60, 3)
    bench.settler.handle.pressed(bench.at_s)
    bench.to(91.9, 2).rest(2).to(90.0, 0.3).rest(3)
    assert bench.outcomes == [] and bench.settler.doubt == "early"
    bench.settler.handle.pressed(bench.at_s)
    assert only(bench.rest(1.5)).verdict == "good"


def test_what_speaks_against_a_bend_is_asked_about_all_the_same() -> None:
    bench = held_at(90.4).jump(91.9).rest(2)
    let_go(bench).to(90.0, 0.3).rest(3)
    assert bench.outcomes == [] and bench.settler.doubt == "slipped"


def ends(recording: Recording) -> tuple[Settler, list[Outcome]]:
    """The settler after a recording whose handle is let go when the hand opens."""
    profile = replace(recording.profile, handle="cts")
    settler, outcomes, told = Settler(recording.expectation, profile), [], False
    settler.handle.heard(False, 0.0)
    for at_s, deg in recording.readings:
        if at_s >= recording.let_go_s and not told:
            told = True
            settler.handle.heard(True, recording.let_go_s)
        settler.tick(at_s)
        if (outcome := settler.read(deg, at_s)) is not None:
            outcomes.append(outcome)
    return settler, outcomes


def test_eased_releases_are_good_only_where_the_tube_is_and_never_before() -> None:
    for i in range(60):
        recording = eased(Random(f"handle eased {i}"))
        settler, outcomes = ends(recording)
        assert all(outcome.at_s >= recording.let_go_s for outcome in outcomes)
        assert settler.state != "good" or recording.within


def test_true_bends_are_judged_with_the_handle_at_least_as_often() -> None:
    made = [plain(Random(f"handle plain {i}")) for i in range(40)]
    judged = [recording for recording in made if ends(recording)[0].state in
              ("good", "under", "over")]  # fmt: skip
    assert len(judged) >= 0.95 * len(made)
    assert all(r.within for r in made if ends(r)[0].state == "good")


def test_a_handle_let_go_before_a_loaded_tube_is_not_good_while_it_is_held() -> None:
    """The hand slips off the switch, but an elbow keeps the arm loaded at the very target."""
    for i in range(20):
        made = base(Random(f"elbow {i}"), 3.0)
        made.bent.hand(made.loaded_deg, 6.0)
        readings = made.sensor.readings(made.bent.true_deg)
        _, outcomes = ends(recorded(made, "elbow", readings))
        assert outcomes == []
