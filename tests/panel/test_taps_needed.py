"""Usual segments take few taps."""

from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, typed, with_draft
from tests.panel.taps_needed import table

MOST = 8


def test_a_segment_of_round_numbers_takes_at_most_eight_taps() -> None:
    found = table()
    print(f"taps a segment: {min(found.values())} to {max(found.values())}, {len(found)} segments")
    assert max(found.values()) <= MOST


def test_a_usual_angle_goes_on_to_the_next_field_and_can_be_taken_back() -> None:
    hands = Hands().tap(*BENCH, *typed("120", "next"), "quick 45")
    assert hands.work.draft.rows[0].bend == "45" and hands.work.cursor.row == 1
    hands.tap("undo")
    assert hands.work.draft.rows[0].bend == "" and hands.work.cursor.field == "bend"


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
