from collections.abc import Callable
from dataclasses import replace

import pytest

from benchcalc.panel.state.draft import read_draft
from benchcalc.panel.state.model import Cursor, Row
from benchcalc.report.told import in_words
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, TO_FIRST_CHECK, demo_draft, typed, with_draft


def planning(*taps: str) -> Hands:
    return Hands().tap(*BENCH, *taps)


def rows(hands: Hands) -> list[tuple[str, str, str]]:
    return [(row.leg, row.bend, row.turn) for row in hands.work.draft.rows]


def test_the_answer_stands_as_soon_as_leg_and_bend_do() -> None:
    hands = planning(*typed("120", "next"), "key 9")
    assert "119.4" not in hands.text
    assert "119.4\nmm" in hands.tap("key 0").text
    assert "line 90" in hands.tap("look").text and "119.5 mm" in hands.text


def test_next_goes_leg_bend_then_leg_and_turn_from_the_second_on() -> None:
    hands, went = planning(), []
    for digits in ("120", "90", "85", "45", "90", "160"):
        cursor = hands.work.cursor
        went.append((cursor.row, cursor.field))
        hands.type(digits, "next")
    assert went == [(0, "leg"), (0, "bend"), (1, "leg"), (1, "bend"), (1, "turn"), (2, "leg")]
    assert rows(hands) == [("120", "90", ""), ("85", "45", "90"), ("160", "", "")]
    assert read_draft(hands.work.draft).whole


def test_next_after_the_last_leg_goes_on_to_making() -> None:
    hands = planning(*RUN)
    assert "Run complete, bends: 2." in hands.text
    assert hands.tap("next").shown == "cut"


def test_next_without_a_leg_or_a_bend_says_so() -> None:
    assert "Type the leg first." in planning("next").text
    assert (
        "Type the bend first; only the last leg has none."
        in planning(*typed("120", "next", "next")).text
    )


def test_a_field_come_back_to_is_replaced_by_the_next_digit_and_kept_by_erase() -> None:
    hands = planning(*typed("120", "next"), "field leg", "key 7")
    assert hands.work.draft.rows[0].leg == "7"
    hands = planning(*typed("120", "next"), "field leg", "back", "key 5")
    assert hands.work.draft.rows[0].leg == "125"


def test_a_fresh_minus_turns_the_old_turn_over_but_never_joins_an_old_leg() -> None:
    hands = planning(*RUN, "earlier", "field turn", "key -")
    assert hands.work.draft.rows[1].turn == "-90"
    hands = planning("unit", *typed("4", "next"), "field leg", "key -")
    assert hands.work.draft.rows[0].leg == "-"


def test_the_unit_key_keeps_every_digit_and_the_length() -> None:
    hands = planning(*typed("120.65", "unit"))
    assert (hands.work.draft.rows[0].leg, hands.work.draft.rows[0].unit) == ("4.75", "in")
    hands.tap("unit")
    assert (hands.work.draft.rows[0].leg, hands.work.draft.rows[0].unit) == ("120.65", "mm")


def test_a_length_without_a_decimal_in_the_other_unit_keeps_its_own() -> None:
    hands = planning(*typed("121", "unit"))
    assert hands.work.draft.rows[0].leg == "121 mm" and "121 mm\n" in hands.text
    assert "121 mm in" not in hands.text
    assert planning(*typed("121", "unit", "unit")).work.draft.rows[0].leg == "121"
    assert hands.tap("key 5").work.draft.rows[0].leg == "5"


def test_corner_and_crown() -> None:
    hands = planning(*typed("120", "next"), *typed("120"))
    corner = hands.text
    hands.tap("unit")
    assert hands.work.draft.rows[0].to == "crown" and "to its corner" in hands.text
    assert hands.text != corner
    assert hands.tap("unit").work.draft.rows[0].to == "corner"


def test_a_crown_that_cannot_be_and_a_corner_that_cannot_be_are_refused() -> None:
    under = planning(*typed("120", "next"), *typed("45", "unit"))
    assert "Under 90° a bend has no crown" in under.text and under.work.draft.rows[0].to is None
    u_bend = planning(*typed("120", "next"), *typed("180", "unit"))
    assert "A 180° bend has no corner" in u_bend.text and u_bend.work.draft.rows[0].to is None


@pytest.mark.parametrize(
    ("taps", "field", "says"),
    [
        (typed("0"), "leg", "leg is 0 mm: it goes from over 0 mm"),
        ((*typed("120", "next"), *typed("200")), "bend", "bend is 200°: it goes from over 0°"),
        ((*RUN, "earlier", "field turn", *typed("400")), "turn", "turn is 400°: it goes from"),
        (("unit", *typed("4/")), "leg", "leg: "),
    ],
)
def test_a_wrong_value_stays_on_the_screen_with_its_reason(
    taps: tuple[str, ...], field: str, says: str
) -> None:
    hands = planning(*taps)
    row = hands.work.draft.rows[hands.work.cursor.row]
    text = {"leg": row.leg, "bend": row.bend, "turn": row.turn}[field]
    assert text and f"\n{text}" in hands.text and says in hands.text and "!" in hands.text
    assert says in hands.tap("next").text, "next must not leave a refused value"
    assert hands.work.cursor.field == field
    assert says in hands.tap("make").text and hands.shown == "plan"


def test_a_wrong_value_is_said_on_a_small_screen_too() -> None:
    hands = with_draft(demo_draft(), (480, 320)).tap("field bend", *typed("200"))
    assert "!" in hands.text.splitlines()
    assert "bend is 200°" in hands.tap("look").text
    assert "bend is 200°" in hands.tap("type", "next").text
    assert (
        "Type the leg first."
        in with_draft(replace(demo_draft(), rows=(Row(),)), (480, 320)).tap("next").text
    )


def test_make_goes_to_the_first_wrong_value() -> None:
    hands = planning(*RUN, "earlier", *typed("0"), "later", "make")
    assert hands.work.cursor == Cursor(1, "leg") and "leg is 0 mm" in hands.text


def test_insert_remove_undo() -> None:
    hands = planning(*RUN, "earlier", "insert")
    assert rows(hands)[1] == ("", "", "") and len(rows(hands)) == 4
    assert "bend 2 has no leg yet" in hands.tap("make").text
    hands.tap("remove")
    assert rows(hands) == [("120", "90", ""), ("85", "45", "90"), ("160", "", "")]
    hands.tap("undo")
    assert rows(hands)[1] == ("", "", "")
    hands.tap("undo")
    assert len(rows(hands)) == 3


def test_the_last_leg_is_only_emptied_and_then_there_is_nothing_to_remove() -> None:
    hands = planning(*RUN, "remove")
    assert rows(hands)[-1] == ("", "", "") and len(rows(hands)) == 3
    assert hands.scene.target("remove") is None


def test_a_bend_that_becomes_the_first_is_turned_from_nothing() -> None:
    hands = planning(*RUN, "earlier", "earlier", "remove")
    assert rows(hands) == [("85", "45", ""), ("160", "", "")]


def test_undo_says_when_there_is_nothing_and_undoes_every_key_and_the_bench() -> None:
    hands = planning(*typed("120"))
    for left in ("12", "1", ""):
        assert hands.tap("undo").work.draft.rows[0].leg == left
    for what in ("lot", "wall", "material", "bender"):
        assert what in in_words(hands.tap("undo").model.refusal)
    assert "Nothing to undo." in hands.tap("undo").text


def test_undo_undoes_what_can_be_seen() -> None:
    hands = planning(*typed("1", "next"), "field leg", "key 1", "undo")
    assert hands.work.draft.rows[0].leg == ""


def test_a_refusal_stands_until_the_next_act_only() -> None:
    hands = planning("next")
    assert "Type the leg first." in hands.text
    assert "Type the leg first." not in hands.tap("key 1").text


def test_arrows_are_there_only_where_they_lead_somewhere() -> None:
    hands = planning(*RUN)
    assert hands.can("earlier") and hands.scene.target("later") is None
    hands.tap("earlier", "earlier")
    assert hands.scene.target("earlier") is None and hands.scene.target("later")


HALF = (*RUN, "make", *TO_FIRST_CHECK, "plan")


@pytest.mark.parametrize("tap", ["key 5", "back", "unit", "insert", "remove", "undo"])
def test_a_half_bent_piece_keeps_its_run(tap: str) -> None:
    hands = planning(*RUN, "earlier", "make", *TO_FIRST_CHECK, "plan")
    before = hands.work
    hands.tap(tap)
    assert "Piece 1 is half bent" in hands.text
    assert hands.work == before


@pytest.mark.parametrize("field", ["bender", "material", "od", "wall"])
def test_a_half_bent_piece_keeps_its_bench(field: str) -> None:
    hands = planning(*HALF, "bench")
    before = hands.work
    hands.tap(f"set {field}")
    assert "Piece 1 is half bent" in hands.text and hands.work == before


@pytest.mark.parametrize(
    "change",
    [
        lambda h: h.tap("plan", "earlier", "key 9"),
        lambda h: h.tap("plan", "undo"),
        lambda h: h.tap("plan", "bench", "set wall", *typed("1.2", "next")),
        lambda h: h.tap("plan", "bench", "set material", "choose 304"),
        lambda h: h.tap("plan", "bench", "set bender", "choose bench-12mm"),
    ],
)
def test_a_piece_that_is_only_marked_begins_again_with_a_changed_run(
    change: Callable[[Hands], Hands],
) -> None:
    hands = planning(*RUN, "make", "next", "next", "next")
    assert hands.shown == "seat"
    before = hands.work.draft
    change(hands)
    assert "starts anew" in hands.text and hands.work.draft == before
    hands.tap("anew")
    assert at_the_cut(hands)


def at_the_cut(hands: Hands) -> bool:
    """Whether the piece is at its beginning."""
    making = hands.work.making
    return making is not None and (making.step, making.place) == ("cut", 0)


def test_undo_takes_the_run_back_and_not_what_was_given_up() -> None:
    hands = planning(*RUN, "make", "next", "next", "next").tap("plan", "earlier")
    before = hands.work.draft
    hands.tap("key 9", "anew", "key 9", "key 1")
    assert hands.work.draft != before
    while hands.work.draft != before:
        assert at_the_cut(hands) and hands.work.undo
        hands.tap("undo")
    assert at_the_cut(hands)


def test_another_piece_begun_since_is_not_undone() -> None:
    hands = planning(*RUN, "make", "next", "next", "next")
    wall = ("set wall", *typed("1.2", "next"))
    hands.tap("plan", "bench", *wall, "anew", "next", "plan", "make", "next")
    hands.tap("plan", "undo", "anew", "undo")
    assert hands.work.draft.wall_mm == 1.0 and at_the_cut(hands)


def test_what_must_not_be_bent_is_not_made_even_when_it_was_begun() -> None:
    hands = planning(*RUN, "make", "next", "plan", "bench", "set od", *typed("10.3", "next"))
    hands.tap("anew", "next", "plan", "make")
    assert hands.shown == "findings" and "This run cannot be bent as it stands." in hands.text
