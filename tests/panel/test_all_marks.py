"""For those who mark everything first: all marks on one face, with their distances."""

from dataclasses import replace

import pytest

from tests.panel.driver import Hands
from tests.panel.journeys import by_hand, ready_to_make


def listed(size: tuple[int, int] = (800, 480)) -> Hands:
    hands = by_hand(ready_to_make()).tap("next")
    hands.model = replace(hands.model, size=size)
    return hands.tap("more", "marks")


@pytest.mark.parametrize("size", [(480, 320), (800, 480), (1280, 800)])
def test_all_marks_stand_on_one_face(size: tuple[int, int]) -> None:
    hands = listed(size)
    text = hands.text
    if hands.scene.target("more"):
        text += hands.tap("more").text
    assert "Bend 1: 11" in text and "line 90" in text
    assert "Bend 2: 193.7 mm" in text and "line 45" in text
    assert hands.tap("all marked").shown == "seat"
    making = hands.work.making
    assert making is not None and making.place == 0


def test_from_the_list_one_goes_back_to_the_mark_in_hand() -> None:
    hands = listed().tap("step")
    assert hands.shown == "mark"
    assert "193.7 mm" in hands.tap("next").text
