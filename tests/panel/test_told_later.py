"""What the panel says of a value or an act changes its language with the panel."""

from dataclasses import replace

import pytest

from benchcalc.panel.state.messages import KeyTyped
from benchcalc.panel.state.model import Model
from benchcalc.panel.update import update
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, SHOP, typed


def in_german(hands: Hands) -> str:
    settings = replace(hands.model.settings, language="de")
    hands.model = replace(hands.model, settings=settings)
    return hands.text


@pytest.mark.parametrize(
    ("taps", "english", "german"),
    [
        ((*BENCH, "next"), "Type the leg first", "Zuerst den Schenkel"),
        ((*BENCH, *typed("120", "next"), *typed("190", "next")), "bend is 190°", "ist 190°"),
        ((*BENCH, "make"), "Not yet: leg 1", "Noch nicht: Schenkel 1"),
        (("set wall", *typed("10.5", "next")), "tube wall is 10.5", "Rohrwand ist 10,5"),
    ],
)
def test_a_refusal_follows_the_language(taps: tuple[str, ...], english: str, german: str) -> None:
    hands = Hands(Model(SHOP)).tap(*taps)
    assert english in hands.text, hands.text
    shown = in_german(hands)
    assert english not in shown and german in shown, shown


@pytest.mark.parametrize("key", ["x", "-", "/", "ß"])
def test_a_character_that_has_no_key_here_is_refused_aloud(key: str) -> None:
    hands = Hands(Model(SHOP)).tap(*BENCH, *typed("12"))
    model, _ = update(hands.model, KeyTyped(key))
    assert model.draft == hands.model.draft and model.refusal
