"""A piece that missed its port corrects the pieces to come, tapped through on the panel."""

from dataclasses import replace
from math import dist
from typing import Any

import pytest

from benchcalc.core.fit.first_piece import miss_in_run
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.fit.tube_job import tube_of
from benchcalc.core.geometry.vectors import Vector, dot, subtract, translate
from benchcalc.core.layout.path import Path
from benchcalc.core.springback.lessons import FIRST_PIECE
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.model import Making
from tests.panel.driver import Hands
from tests.panel.journeys import by_hand, demo_draft, ready_to_make, typed, with_draft

ROUNDING_MM = 0.05
"""What a correction may leave of a miss of some millimetres."""


def making_of(hands: Hands) -> Making:
    making = hands.work.making
    assert making is not None
    return making


def path_of(hands: Hands) -> Path:
    sheet = work_in_hand(hands.model).sheet
    assert sheet is not None
    return sheet.path


def bend_all(hands: Hands, *off: float) -> Hands:
    """Make a piece whose bends come out this far off; what is over is kept, nothing corrected."""
    for by in off:
        while hands.shown != "check":
            hands.tap("next")
        sheet = work_in_hand(hands.model).sheet
        assert sheet is not None
        wanted = sheet.layout.in_order[making_of(hands).place].angle_deg
        hands.type(f"{wanted + by:.3f}", "next")
        if by > sheet.job.tolerance_deg:
            hands.tap("keep")
            if hands.shown == "correct":
                hands.tap("answer leave")
    return hands.tap("next")


def one_made(*off: float, **changes: Any) -> Hands:
    """The demo's job of several pieces, the first one stored."""
    hands = by_hand(with_draft(replace(demo_draft(), pieces=3, **changes))).tap("make")
    return bend_all(hands, *(off or (0.0, 0.0, 0.0, 0.0)))


def tell(hands: Hands, ahead: str, up: str, right: str) -> Hands:
    """Type a miss; a text that begins with ``-`` is the other way."""
    hands.tap("port")
    for text in (ahead, up, right):
        if text.startswith("-"):
            hands.tap("unit")
        hands.type(text.removeprefix("-"), "next")
    return hands.tap("port done")


def entries(hands: Hands) -> list[Any]:
    return [kept.body for kept in hands.log if kept.kind == FIRST_PIECE]


def test_before_the_first_piece_nothing_is_asked_and_after_it_on_the_cut_step() -> None:
    hands = with_draft(replace(demo_draft(), pieces=3)).tap("make")
    assert hands.scene.target("port") is None
    hands = bend_all(hands, 0.0, 0.0, 0.0, 0.0)
    assert hands.shown == "cut" and making_of(hands).piece == 2
    assert hands.tap("port").shown == "port"
    assert "short" in hands.text and "past" in hands.text
    assert hands.tap("step back").shown == "cut"


def aims_past(hands: Hands, was: Path, missed: Vector) -> float:
    """How far the next piece's far end is from as far on the other side as the first one missed."""
    return dist(path_of(hands).end_point, translate(was.end_point, missed, -1.0))


@pytest.mark.parametrize(
    "told, miss",
    [(("-3", "", ""), (-3.0, 0.0, 0.0)), (("1.5", "-2", "2.5"), (1.5, -2.0, 2.5))],
)
def test_the_next_pieces_aim_as_far_to_the_other_side(
    told: tuple[str, str, str], miss: Vector
) -> None:
    hands = one_made()
    was = path_of(hands)
    assert tell(hands, *told).shown == "aim"
    hands.tap("answer pieces")
    assert hands.shown == "cut" and "Corrected after piece 1" in hands.text
    assert aims_past(hands, was, miss_in_run(was, *miss)) < ROUNDING_MM
    hands = bend_all(hands, 0.0, 0.0, 0.0, 0.0)
    assert making_of(hands).piece == 3 and "Corrected after piece 1" in hands.text
    hands = bend_all(hands, 0.0, 0.0, 0.0, 0.0).tap("one more")
    assert "Corrected after piece 1" in hands.text


def test_what_its_own_bends_made_it_miss_is_not_corrected_again() -> None:
    hands = one_made(0.0, 2.0, 0.0, 0.0)
    was, before = path_of(hands), making_of(hands).before
    assert before is not None and dist(before.missed_mm, (0, 0, 0)) > 3
    assert before.piece == 1
    tell(hands, "2", "", "").tap("answer pieces")
    again = tuple(a - b for a, b in zip(miss_in_run(was, 2, 0, 0), before.missed_mm, strict=True))
    assert aims_past(hands, was, again) < ROUNDING_MM  # type: ignore[arg-type]
    assert entries(hands)[0]["missed_again_mm"] == pytest.approx(again)


def test_a_second_miss_corrects_the_corrected_run_further() -> None:
    hands = tell(one_made(), "-3", "", "").tap("answer pieces")
    was = path_of(hands)
    hands = tell(bend_all(hands, 0.0, 0.0, 0.0, 0.0), "", "1", "").tap("answer pieces")
    assert aims_past(hands, was, miss_in_run(was, 0, 1, 0)) < ROUNDING_MM
    assert "Corrected after piece 2" in hands.text
    assert [entry["piece"] for entry in entries(hands)] == [1, 2]


def test_a_direction_told_turns_the_next_pieces_back() -> None:
    hands = one_made()
    was = path_of(hands)
    hands.tap("port", "next", "next", "next").type("1", "next").tap("port done")
    assert hands.shown == "aim"
    hands.tap("answer pieces")
    aim = making_of(hands).aim
    assert aim is not None and aim.after_deg < 0.2
    now, up = path_of(hands).end_direction, was.pieces[-1].normal
    assert sum(a * b for a, b in zip(now, up, strict=True)) == pytest.approx(-0.01745, abs=0.004)


def test_left_alone_nothing_changes_and_the_record_says_so() -> None:
    hands = one_made()
    was = path_of(hands)
    tell(hands, "-3", "", "").tap("answer leave")
    assert hands.shown == "cut" and path_of(hands) == was
    assert entries(hands)[0]["answer"] == "leave"
    assert entries(hands)[0]["bender_after"] is None


def line_is_off() -> Hands:
    """The first piece missed as it does when every line lies 0.8 mm out."""
    draft = replace(ready_to_make().work.draft, pieces=2)
    hands = bend_all(with_draft(draft).tap("make"), 0.0, 0.0)
    sheet = work_in_hand(hands.model).sheet
    assert sheet is not None
    drawn = tube_of(sheet.job, sheet.layout, sheet.springback, SoFar())
    moved = tuple(replace(bend, hold_mm=bend.hold_mm + 0.8) for bend in drawn.bends)
    missed = subtract(replace(drawn, bends=moved).far_end()[0], drawn.far_end()[0])
    last = sheet.path.pieces[-1]
    across = miss_in_run(sheet.path, 0, 0, 1)
    parts = [dot(missed, axis) for axis in (last.direction, last.normal, across)]
    return tell(hands, *(f"{part:.3f}" for part in parts))


def test_a_suspected_line_changes_the_bender_and_the_marks_of_the_next_pieces() -> None:
    hands = line_is_off()
    bender = hands.model.draft.bender
    assert bender is not None
    assert "0.8 mm nearer the bend" in hands.tap("look").text
    hands.tap("answer line")
    changed = hands.model.draft.bender
    assert changed is not None and hands.model.shop.bender(bender.key) == changed
    for old, new in zip(bender.lines, changed.lines, strict=True):
        assert new.offset_mm == pytest.approx(old.offset_mm - 0.8, abs=0.01)
    assert making_of(hands).aim is None and making_of(hands).piece == 2
    again = hands.restart()
    assert again.model.draft.bender == changed and again.text == hands.text


def test_nothing_told_is_refused_and_so_is_what_no_tube_misses_by() -> None:
    hands = one_made().tap("port", "port done")
    assert hands.shown == "port" and "Type where it missed" in hands.text
    hands.type("400", "next")
    assert hands.shown == "port" and "goes from 0 mm to 100 mm" in hands.text
    assert "400" in hands.text


def test_another_run_or_bench_forgets_the_aim() -> None:
    hands = tell(one_made(), "-3", "", "").tap("answer pieces", "plan", "field leg")
    hands.type("131", "next")
    assert making_of(hands).aim is None and making_of(hands).before is None


def test_more_pieces_keep_the_aim() -> None:
    hands = tell(one_made(), "-3", "", "").tap("answer pieces", "plan", "bench", "set pieces")
    hands.tap("key 9", "next", "plan", "make")
    assert "Corrected after piece 1" in hands.text


def test_nothing_is_lost_when_the_power_goes_after_any_tap() -> None:
    taps = ("port", "unit", *typed("3.5", "next"), *typed("1", "back"), *typed("2", "next"),
            "port done", "step back", "port done", "answer pieces", "next", "next")  # fmt: skip
    whole = one_made().tap(*taps)
    hands = one_made()
    for name in taps:
        before = hands.text
        hands = hands.restart()
        assert hands.text == before
        hands.tap(name)
    assert hands.text == whole.text and entries(hands) == entries(whole)
    assert len(entries(hands)) == 1


def one_alone() -> Hands:
    """A job of a single piece, made and stored."""
    hands = by_hand(with_draft(replace(demo_draft(), pieces=1))).tap("make")
    return bend_all(hands, 0.0, 0.0, 0.0, 0.0)


def test_a_single_piece_and_the_last_one_are_asked_for_as_well() -> None:
    hands = one_alone()
    assert hands.shown == "kept"
    was = path_of(hands)
    assert tell(hands, "-3", "", "").shown == "aim"
    assert "piece 1 of 1" in hands.text
    hands.tap("answer pieces")
    assert hands.shown == "kept" and len(entries(hands)) == 1 and entries(hands)[0]["piece"] == 1
    hands.tap("one more")
    assert hands.shown == "cut" and "Corrected after piece 1" in hands.text
    assert aims_past(hands, was, miss_in_run(was, -3.0, 0.0, 0.0)) < ROUNDING_MM


def test_one_that_went_back_from_the_question_is_where_it_was() -> None:
    hands = one_alone()
    before = hands.work
    assert hands.tap("port", "step back").shown == "kept"
    assert replace(hands.work, making=before.making) == before
    assert making_of(hands).piece == 1 and hands.tap("one more").shown == "cut"


def test_the_lesson_is_there_the_next_time_this_job_is_made_and_for_no_other() -> None:
    hands = tell(one_alone(), "-3", "", "").tap("answer pieces", "new")
    hands = hands.restart()
    draft = replace(demo_draft(), pieces=2, name="ANOTHER NAME")
    hands.model = replace(hands.model, work=replace(hands.work, draft=draft, screen="plan"))
    hands.tap("make")
    assert "what this job taught the last time" in hands.text
    rows = (replace(draft.rows[0], leg="151"), *draft.rows[1:])
    other = replace(draft, rows=rows)
    hands.model = hands.model.with_work(draft=other, making=None, screen="plan")
    assert "taught the last time" not in hands.tap("make").text
