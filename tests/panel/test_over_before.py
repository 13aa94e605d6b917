"""A bend that came out over is remembered where the same pull is told again."""

from dataclasses import replace

from tests.panel.driver import Hands
from tests.panel.journeys import TO_FIRST_CHECK, TO_SECOND_CHECK, by_hand, ready_to_make, typed

FIRST = (*TO_FIRST_CHECK, *typed("92", "next"), "keep", "answer leave")
SECOND = (*TO_SECOND_CHECK, *typed("45", "next"), "next")


def second_piece(*first: str) -> Hands:
    hands = by_hand(ready_to_make())
    hands.model = hands.model.with_draft(pieces=2)
    hands.tap(*(first or FIRST), *SECOND)
    assert hands.shown == "cut"
    return hands.tap(*TO_FIRST_CHECK[:4])


def test_the_next_piece_is_told_that_it_came_out_over_and_what_is_told_instead() -> None:
    hands = second_piece()
    assert hands.shown == "pull"
    hands.model = replace(hands.model, size=(1280, 800))
    assert "came out at 92\u00b0, over" in hands.text and "is told" in hands.text


def test_nothing_is_said_of_a_bend_that_came_out_good() -> None:
    hands = second_piece(*TO_FIRST_CHECK, *typed("90", "next"))
    hands.model = replace(hands.model, size=(1280, 800))
    assert hands.shown == "pull" and "came out at" not in hands.text
