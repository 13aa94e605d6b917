"""Usual segments take few taps."""

from benchcalc.report.scene import Disc, Picture
from benchcalc.report.told import in_words
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, typed, with_draft
from tests.panel.taps_needed import table

MOST = 8


def test_a_segment_of_round_numbers_takes_at_most_eight_taps() -> None:
    found = table()
    print(f"taps a segment: {min(found.values())} to {max(found.values())}, {len(found)} segments")
    assert max(found.values()) <= MOST


def test_a_usual_bend_waits_as_typed_digits_do_and_can_be_typed_over() -> None:
    hands = Hands().tap(*BENCH, *typed("120", "next"), "quick 45")
    assert hands.work.draft.rows[0].bend == "45" and hands.work.cursor.field == "bend"
    assert hands.tap("key 6").work.draft.rows[0].bend == "6"
    hands.tap("undo", "undo")
    assert hands.work.draft.rows[0].bend == "" and hands.work.cursor.field == "bend"


def test_next_after_a_usual_bend_skips_no_turn() -> None:
    hands = Hands().tap(*BENCH, *typed("120", "next"), "quick 90", "next", *typed("85", "next"))
    hands.tap("quick 45", "next")
    assert hands.work.cursor.field == "turn" and hands.work.cursor.row == 1
    hands.tap("quick -90")
    assert hands.work.cursor.row == 2 and hands.work.draft.rows[1].turn == "-90"
    before = hands.work
    assert "leg" in in_words(hands.tap("next").model.refusal) and hands.work == before


def test_a_turn_is_said_and_drawn_while_it_is_typed() -> None:
    hands = Hands().tap(*BENCH, *typed("120", "next"), *typed("90", "next"))
    hands.tap(*typed("85", "next"), *typed("45", "next"))
    assert "as the one before" in hands.text
    assert "90° clockwise" in hands.tap(*typed("90")).text
    assert "90° counter-clockwise" in hands.tap("key -").text
    pictures = [shape for shape in hands.scene.shapes if isinstance(shape, Picture)]
    assert any(isinstance(part, Disc) for picture in pictures for part in picture.shapes)


def test_usual_angles_are_there_only_while_the_field_is_empty() -> None:
    hands = Hands().tap(*BENCH, *typed("120", "next"))
    assert hands.scene.target("quick 90") and not hands.scene.target("key .")
    hands.tap("key 2")
    assert not hands.scene.target("quick 90") and hands.scene.target("key .")
    assert not Hands().tap(*BENCH, *RUN, "earlier").scene.target("quick 90")


def test_where_the_drawing_gives_inside_angles_so_do_they() -> None:
    draft = Hands().tap(*BENCH, *typed("120", "next")).work.draft
    hands = with_draft(draft, angles="included").tap("field bend")
    assert hands.scene.target("quick 135") and not hands.scene.target("quick 45")
