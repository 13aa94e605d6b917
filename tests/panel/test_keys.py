"""The panel by keyboard and numeric keypad alone."""

from benchcalc.panel.state.draft import read_draft
from tests.panel.driver import Hands
from tests.panel.journeys import (
    BENCH,
    RUN,
    TO_FIRST_CHECK,
    TO_SECOND_CHECK,
    ready_to_make,
    typed,
)


def bench_by_keys() -> Hands:
    """Choices are counted on each page; the bender lies on the fourth."""
    hands = Hands().key("1", "tab", "tab", "tab", "2")
    hands.key("2", "2")
    hands.key("4", "1", "enter")
    return hands.key("5", *"h4-7", "enter")


def test_the_whole_job_by_keys_alone() -> None:
    hands = bench_by_keys()
    draft = hands.work.draft
    assert draft.bender is not None and draft.material is not None
    assert (draft.bender.key, draft.material.key) == ("bench-10mm", "316")
    assert (draft.wall_mm, draft.lot) == (1.0, "H4-7")
    hands.key("enter")
    for field in ("120", "90", "85", "45", "90", "160"):
        hands.key(*field, "enter")
    assert hands.shown == "plan" and read_draft(hands.work.draft).whole
    hands.key("enter")
    assert hands.shown == "cut"
    hands.key(*["enter"] * 6, *"88", *["enter"] * 3, *"89.8", "enter")
    hands.key(*["enter"] * 4, *"54", "enter", "back", "back", *"46.2", "enter")
    assert hands.shown == "over"
    hands.key("enter")
    assert hands.shown == "over", "a hasty Enter keeps no bend that went over"
    hands.key("1", "enter")
    assert hands.shown == "kept" and len(hands.records) == 1
    assert hands.records == Hands().tap(*BENCH, *RUN, "make").tap(
        *TO_FIRST_CHECK, *typed("88", "next"), "next", "next", *typed("89.8", "next"),
        *TO_SECOND_CHECK, *typed("46.2", "next"), "keep", "next",
    ).records  # fmt: skip


def test_a_doubted_reading_is_typed_once_more_by_keys() -> None:
    hands = ready_to_make().key(*["enter"] * 6, *"80", "enter", "enter")
    assert hands.shown == "check"
    hands.key("back", "0", "enter")
    assert hands.shown == "pull"


def test_a_piece_is_scrapped_by_keys() -> None:
    hands = ready_to_make().key("enter", "enter", "delete")
    assert "Why scrap piece 1?" in hands.text
    assert hands.key("escape").work.making is not None and not hands.records
    hands.key("delete", "2")
    assert hands.records[0]["why"] == "kinked or flattened"


def test_keys_move_between_segments_and_screens() -> None:
    hands = Hands().tap(*BENCH, *RUN)
    assert hands.key("shift tab").work.cursor.row == 1
    assert hands.key("shift tab", "shift tab").work.cursor.row == 0
    assert hands.key("tab", "tab", "tab").work.cursor.row == 2
    assert hands.key("delete").work.draft.rows[2].leg == ""
    assert hands.key("undo").work.draft.rows[2].leg == "160"
    assert hands.key("escape").shown == "bench"
    assert hands.key("escape").shown == "bench"
    assert hands.key("4").shown == "write"
    assert hands.key("escape").shown == "bench"


def test_erase_and_escape_go_a_step_back() -> None:
    hands = ready_to_make().key("enter", "enter")
    assert hands.key("back").work.making is not None and "Mark" in hands.text
    assert "Cut the tube" in hands.key("escape").text
    assert hands.key("escape").shown == "plan"


def test_a_letter_is_refused_where_numbers_are_typed_and_ignored_elsewhere() -> None:
    assert "leg takes no x" in Hands().tap(*BENCH).key("x").text
    hands = ready_to_make()
    before = hands.model
    assert hands.key("x", "9", " ", "ä").model == before


def test_inches_are_typed_whole_on_a_keyboard() -> None:
    hands = Hands().tap("set bender", "choose bench-1-4in", "set wall", *typed("0.035", "next"))
    hands.tap("set material", "choose 316", "plan").key(*"1' 2 1/2\"", "enter")
    assert hands.work.draft.rows[0].leg == "1' 2 1/2\"" and hands.work.cursor.field == "bend"


def test_a_number_past_the_choices_presses_nothing() -> None:
    hands = ready_to_make().key("enter", "delete")
    before = hands.model
    assert hands.key("5", "0", "9").model == before
