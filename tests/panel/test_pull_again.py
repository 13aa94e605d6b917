"""A bend that stays short by the same tenth again: the sensor is handed the target that is told."""

from dataclasses import replace

from benchcalc.panel.state.making.sensing import Settled
from benchcalc.panel.state.messages import BendSettled, Command, ExpectBend
from benchcalc.panel.state.model import Model, SensorSeen
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, SHOP, TO_FIRST_CHECK


class Followed(Hands):
    """Hands at a bench whose sensor remembers what it is to expect."""

    expected: ExpectBend | None = None
    times = 0

    def _carry_out(self, command: Command) -> None:
        if isinstance(command, ExpectBend):
            self.expected, self.times = command, self.times + 1
        super()._carry_out(command)


def at_pull() -> Followed:
    hands = Followed(replace(Model(SHOP), sensor=SensorSeen(stale=False, zeroed=True)))
    hands.tap(*BENCH, *RUN, "make", *TO_FIRST_CHECK[:-2])
    assert hands.shown == "pull" and hands.expected is not None
    return hands


def test_a_second_pull_short_by_the_same_tenth_hands_its_target_on() -> None:
    hands = at_pull()
    for loaded_deg in (91.4, 93.4, 95.4):
        hands.hear(BendSettled(Settled(88.0, loaded_deg, loaded_deg, 0.0)))
        assert hands.shown == "pull" and hands.expected is not None
        assert hands.expected.pull_to_deg > loaded_deg
        assert f"{hands.expected.pull_to_deg:.1f}°" in hands.text


def test_a_glance_at_help_or_a_gauge_hands_nothing_anew() -> None:
    hands = at_pull()
    before = hands.times
    hands.tap("help", "cancel").key("x", "help", "escape")
    assert hands.times == before
