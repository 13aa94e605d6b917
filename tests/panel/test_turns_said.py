"""A turn says the same on the run and in the making of it, and names what it is counted from."""

from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, by_hand, shape, typed

AFTER_OFFSET = (
    *BENCH, *typed("120", "next"), *typed("90", "next"),
    *shape("offset", "120", "60", "45", "0"), "next", *typed("120", "next"), *typed("30", "next"),
)  # fmt: skip


def test_after_a_shape_the_turn_names_the_bend_that_it_is_counted_from() -> None:
    hands = Hands().tap(*AFTER_OFFSET, *typed("0"))
    text = hands.text
    assert "No turn: as bend 1" in text and "On the tube, from bend 3: half round" in text
    assert "as the one before" not in text
    assert "Counted from bend 1" in hands.tap("back", *typed("90")).text


def test_in_the_making_the_same_bend_is_said_to_be_the_same_turn() -> None:
    hands = Hands().tap(*AFTER_OFFSET, *typed("0", "next"), *typed("160", "next"), "make")
    by_hand(hands)
    said = []
    for _ in range(40):
        if hands.shown == "store":
            break
        if hands.shown == "turn":
            said.append(hands.text)
        if hands.shown == "check":
            making = hands.work.making
            assert making is not None
            hands.type(("90", "45", "45", "30")[making.place])
        hands.tap("next")
    assert "half round, either way" in said[-1]
    assert "Same turn on the run, from the flag: half round, 180° from bend 3." in said[-1]


def test_a_turn_of_two_bends_is_counted_from_the_one_before() -> None:
    hands = Hands().tap(*BENCH, *typed("120", "next"), *typed("90", "next"))
    hands.tap(*typed("85", "next"), *typed("45", "next"), *typed("90"))
    assert "90° clockwise" in hands.text and "Counted from bend 1" in hands.text
