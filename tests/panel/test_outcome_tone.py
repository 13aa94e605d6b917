"""What is to be heard when a reading is judged: once, and nothing else makes a tone."""

from dataclasses import replace

import pytest

from benchcalc.panel.state.making.sensing import Settled
from benchcalc.panel.state.messages import BendSettled, Command, Darkened, SoundOutcome
from benchcalc.panel.state.model import Model, SensorSeen
from benchcalc.report.settings import Settings
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, SHOP, TO_FIRST_CHECK, TO_SECOND_CHECK


class Ears(Hands):
    """Hands that hear."""

    def __init__(self, model: Model | None = None) -> None:
        super().__init__(model)
        self._heard: list[str] = []

    def _carry_out(self, command: Command) -> None:
        if isinstance(command, SoundOutcome):
            self._heard.append(command.outcome)
        super()._carry_out(command)

    @property
    def heard(self) -> list[str]:
        """What was to be heard since the last look."""
        heard, self._heard = self._heard, []
        return heard


def at_check(model: Model | None = None) -> Ears:
    ears = Ears(model or Model(SHOP))
    ears.tap(*BENCH, *RUN, "make", *TO_FIRST_CHECK)
    assert ears.shown == "check" and ears.heard == []
    return ears


def settled(released_deg: float) -> BendSettled:
    return BendSettled(Settled(released_deg, released_deg + 2.0, released_deg, 0.0))


@pytest.mark.parametrize(
    ("reading", "outcome"),
    [("90", "good"), ("90.5", "good"), ("89.4", "short"), ("90.6", "over")],
)
def test_a_reading_is_heard_once_typed_or_measured(reading: str, outcome: str) -> None:
    """The run's tolerance is 0.5 degrees."""
    ears = at_check()
    ears.type(reading)
    assert ears.heard == []
    ears.tap("next")
    assert ears.heard == [outcome]
    ears = at_check(replace(Model(SHOP), sensor=SensorSeen(zeroed=True)))
    ears.hear(settled(float(reading)))
    assert ears.heard == [outcome]


def test_a_bend_pulled_on_is_heard_again_and_keeping_one_is_not() -> None:
    ears = at_check()
    ears.type("88", "next", "next", "next").type("88.5", "next", "next", "next")
    ears.type("89.8", "next")
    assert ears.heard == ["short", "short", "good"]
    ears.tap(*TO_SECOND_CHECK).type("46.2", "next")
    assert ears.heard == ["over"]
    ears.tap("keep", "next")
    assert ears.heard == [] and len(ears.records) == 1


def test_a_reading_that_is_doubted_or_refused_is_not_heard_before_it_is_taken() -> None:
    ears = at_check()
    ears.type("80", "next")
    assert ears.heard == []
    ears.tap("take anyway")
    assert ears.heard == ["short"]
    ears = at_check()
    ears.tap("next")
    assert ears.model.refusal and ears.heard == []


def test_going_back_undoing_and_a_restart_are_silent() -> None:
    ears = at_check()
    ears.type("90", "next")
    assert ears.heard == ["good"]
    again = ears.restart()
    assert again.shown == "turn"
    ears.tap("step back")
    assert (ears.shown, ears.heard) == ("check", [])
    ears.tap("step back").key("undo")
    assert (ears.shown, ears.heard) == ("reached", [])
    ears.tap("next").type("90", "next")
    assert ears.heard == ["good"]
    ears.tap("scrap", "because kinked")
    assert ears.heard == []


def test_with_tones_switched_off_nothing_is_heard() -> None:
    ears = at_check(replace(Model(SHOP), settings=Settings(sounds=False)))
    ears.type("88", "next", "next").type("90", "next")
    ears.hear(settled(90.0)).tap(*TO_SECOND_CHECK).hear(settled(47.0))
    assert (ears.shown, ears.heard) == ("over", [])


def test_a_dark_screen_is_silent() -> None:
    """Nothing is judged on it; a settled bend lights it, where one is in hand."""
    ears = at_check()
    ears.type("90", "next").hear(Darkened())
    assert ears.model.dark and ears.heard == ["good"]
    ears.key("enter").hear(settled(90.0))
    assert ears.heard == []


def test_a_verdict_is_heard_once_however_often_the_sensor_says_it_anew() -> None:
    """It lies a little lower, and is good still; when it falls to under, that is heard."""
    ears = at_check(replace(Model(SHOP), sensor=SensorSeen(zeroed=True)))
    ears.hear(settled(90.2))
    assert ears.heard == ["good"]
    for released_deg, heard in ((90.1, []), (89.9, []), (88.0, ["short"]), (87.9, [])):
        ears.hear(BendSettled(Settled(released_deg, 92.0, released_deg, 0.0, again=True)))
        assert ears.heard == heard
