"""Help lies over the work: it opens and closes by finger and key, and changes nothing."""

import pytest

from benchcalc.panel.state.over import HelpShown
from benchcalc.words.language import say
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, JOB, RUN, TO_FIRST_CHECK, TRIAL, shape, typed


def test_a_finger_opens_it_turns_its_pages_and_closes_it() -> None:
    hands = Hands().tap("help")
    assert say("help.title") in hands.text and hands.scene.target("help") is None
    hands.tap("later")
    assert say("help.mistakes") in hands.text
    hands.tap("earlier")
    assert say("help.title") in hands.text
    assert hands.tap("cancel").model == Hands().model


@pytest.mark.parametrize("close", ["escape", "back", "enter", "help", "?"])
@pytest.mark.parametrize("ask", ["help", "?"])
def test_keys_open_and_close_it(ask: str, close: str) -> None:
    hands = Hands().tap(*BENCH, *typed("12"))
    before = hands.model
    hands.key(ask, "right", "left", "tab", "7", "delete", "x")
    assert isinstance(hands.model.over, HelpShown) and hands.model.work == before.work
    assert hands.key(close).model == before


def test_where_a_name_is_spelt_a_question_mark_is_a_letter() -> None:
    hands = Hands().tap("set name").key("?")
    assert hands.work.writing.typed == "?" and hands.model.over is None
    assert hands.key("help").model.over == HelpShown()


@pytest.mark.parametrize(
    "journey",
    [
        JOB,
        (*BENCH, *RUN, "make", *TO_FIRST_CHECK, *typed("9", "next"), *typed("8")),
        (*TRIAL, *typed("193.8", "next"), *typed("12")),
        (*BENCH, *typed("120", "next"), *typed("90", "next"), *shape("offset", "120", "60")),
        ("plan", "settings", "set language", "ruler", "closer"),
    ],
)
def test_help_at_any_time_loses_nothing(journey: tuple[str, ...]) -> None:
    plain, asking = Hands(), Hands()
    for name in journey:
        plain.tap(name)
        asking.tap(name)
        kept = len(asking.saved)
        asking.tap("help")
        while asking.scene.target("later"):
            asking.tap("later")
        asking.tap("cancel")
        assert asking.model == plain.model and len(asking.saved) == kept
    assert asking.saved == plain.saved and asking.log == plain.log
