"""Every measured bend re-aims the rest of a piece: what the panel then says, and what it keeps."""

from dataclasses import replace
from math import dist
from typing import Any

import pytest

from benchcalc.core.fit.reaim import UnderWay, re_aim
from benchcalc.core.serialize import deserialize
from benchcalc.runlog.records import PieceRecord
from tests.panel.driver import Hands
from tests.panel.journeys import by_hand, demo_draft, with_draft
from tests.panel.test_correcting import bend_at, corrections, drawn_sheet, sheet_in_hand


def demo_piece(size: tuple[int, int] = (800, 480), **extras: Any) -> Hands:
    """The demo's job: bends of 90, 45, 45 and 90 in space."""
    return with_draft(replace(demo_draft(), pieces=1), size, **extras).tap("make")


def test_a_good_bend_re_aims_the_rest_at_once_and_says_why() -> None:
    hands = bend_at(demo_piece(), 0.4)
    assert hands.shown == "turn"
    new, old = sheet_in_hand(hands), drawn_sheet(hands)
    assert new.layout.bends[1].turn_deg != old.layout.bends[1].turn_deg
    was, now = old.turns[1].by_deg, new.turns[1].by_deg
    assert f"{now:.1f}° instead of {was:.0f}°: bend 1 came out at 90.4°." in hands.text
    (only,) = corrections(hands)
    assert only.re_aims and only.taken and only.why.bend == 1 and not only.moved


def test_marks_that_are_drawn_stay_where_they_are() -> None:
    hands = bend_at(demo_piece(), 0.4)
    for new, old in zip(sheet_in_hand(hands).layout.bends[1:], drawn_sheet(hands).layout.bends[1:],
                        strict=True):  # fmt: skip
        assert new.mark is not None and old.mark is not None
        assert new.mark.at_mm == pytest.approx(old.mark.at_mm, abs=1e-6)
    while hands.shown != "seat":
        hands.tap("next")
    assert "The mark at" in hands.text


def test_the_far_end_comes_nearer_than_without() -> None:
    """The bends are bent in the same way, told angle and a miss; the tube is laid out apart."""
    by = (0.4, -0.3, 0.35, -0.4)

    def far_end(hands: Hands) -> float:
        home = drawn_sheet(hands).path.end_point
        for off in by:
            hands = bend_at(hands, off)
            if hands.shown == "correct":
                hands.tap("answer leave")
        job = sheet_in_hand(hands).job
        last = job.run.segments[-1]
        bent = replace(last, angle_deg=last.angle_deg + by[-1])
        run = replace(job.run, segments=(*job.run.segments[:-1], bent))
        if not hands.model.settings.re_aims:
            made = [replace(s, angle_deg=s.angle_deg + o)
                    for s, o in zip(job.run.segments, by, strict=True)]  # fmt: skip
            run = replace(run, segments=tuple(made))
        return dist(drawn_sheet(hands).of(replace(job, run=run)).path.end_point, home)

    on, off = far_end(demo_piece()), far_end(by_hand(demo_piece()))
    assert on < off


def test_switched_off_nothing_is_re_aimed() -> None:
    hands = bend_at(by_hand(demo_piece()), 0.4)
    assert hands.shown == "turn" and not corrections(hands) and "instead of" not in hands.text
    assert sheet_in_hand(hands) == drawn_sheet(hands)


def test_a_piece_is_made_the_way_that_was_set_when_it_was_cut() -> None:
    hands = by_hand(demo_piece().tap("next"))
    assert corrections(bend_at(hands, 0.4))


def test_back_to_a_reading_takes_back_what_it_re_aimed() -> None:
    hands = bend_at(demo_piece(), 0.4)
    hands.tap("step back")
    assert hands.shown == "check" and not corrections(hands)
    hands = hands.tap("back", "back", "back", "back").type("90", "next")
    assert hands.shown == "turn" and not corrections(hands)


def in_one_plane(**extras: Any) -> Hands:
    """Two bends in one plane: no angle and no turn of the second makes up a length."""
    draft = replace(demo_draft(), pieces=1)
    first, second, *_, last = draft.rows
    rows = (first, replace(second, turn="180"), last)
    return with_draft(replace(draft, rows=rows), **extras).tap("make")


def test_a_mark_is_offered_where_it_is_worth_more_than_a_pen_line() -> None:
    hands = bend_at(in_one_plane(), 0.9, "keep")
    assert hands.shown == "correct" and "leave the marks" in hands.text
    before = drawn_sheet(hands).layout.bends[1].mark
    hands.tap("answer take")
    after = sheet_in_hand(hands).layout.bends[1].mark
    assert before and after and abs(before.at_mm - after.at_mm) > 0.3
    assert hands.shown == "re-mark"
    assert [c.re_aims for c in corrections(hands)] == [False]


def test_a_mark_left_where_it_is_leaves_the_rest_re_aimed() -> None:
    hands = bend_at(in_one_plane(), 1.2, "keep", "answer leave")
    assert [(c.re_aims, c.taken) for c in corrections(hands)] == [(False, False), (True, True)]
    mark, drawn = (s.layout.bends[1].mark for s in (sheet_in_hand(hands), drawn_sheet(hands)))
    assert mark and drawn and mark.at_mm == pytest.approx(drawn.at_mm)
    assert hands.tap("step back").shown == "correct" and not corrections(hands)


def test_a_bad_bend_that_angles_and_turns_make_up_asks_for_nothing() -> None:
    hands = bend_at(demo_piece(), 1.2, "keep")
    assert hands.shown == "turn" and [c.re_aims for c in corrections(hands)] == [True]
    assert "Bend 1 kept at 91.2°, over." in hands.text


def test_the_record_keeps_what_was_told_and_why() -> None:
    hands = demo_piece()
    for off in (0.4, 0.0, -0.2, 0.1):
        hands = bend_at(hands, off)
    hands.tap("next")
    record = deserialize(PieceRecord, hands.records[-1])
    first = record.corrections[0]
    assert first["re_aimed"] and first["taken"] and first["after_bend"] == 1
    assert first["why"] == {"bend": 1, "what": "angle", "meant_deg": 90.0, "read_deg": 90.4}
    assert record.bends[1].turn_deg != pytest.approx(demo_turn(2), abs=0.05)


def demo_turn(number: int) -> float:
    return float(demo_draft().rows[number - 1].turn or 0)


def test_the_tolerance_told_is_the_one_this_run_needs() -> None:
    hands = demo_piece(fit=replace(demo_draft().extras.fit, within_mm=0.6, angle_deg=0.4))
    hands = bend_at(bend_at(bend_at(hands, 0.0), 0.0), 0.0)
    while hands.shown != "check":
        hands.tap("next")
    sheet = sheet_in_hand(hands)
    bare = re_aim(sheet.job, sheet.springback, UnderWay(frozenset({1, 2, 3})), sheet.widths)
    (need,) = (n for n in bare.needs if n.what == "angle")
    assert need.taken_up_deg < 0.5
    told = sheet.tolerance_deg(4)
    assert 0.1 <= told <= need.taken_up_deg < told + 0.1
    assert f"± {told:g}°" in hands.text
    hands = bend_at(hands, -0.45)
    assert hands.shown == "pull", "under by more than this run bears"


def test_a_restart_goes_on_as_re_aimed() -> None:
    hands = bend_at(demo_piece(), 0.4)
    again = hands.restart()
    assert again.text == hands.text


def test_a_gauge_too_coarse_for_the_run_is_told_before_it_is_cut() -> None:
    hands = demo_piece()
    while hands.shown != "check":
        hands.tap("next")
    assert "gauge too coarse: ± 0.2°" in hands.text
    large = demo_piece((1280, 800))
    assert "too coarse for this run: bend 1 needs ± 0.2°" in large.text
    assert "too coarse" not in by_hand(demo_piece((1280, 800))).text
    loose = replace(demo_draft().extras.fit, within_mm=60.0, angle_deg=20.0)
    assert "too coarse" not in demo_piece((1280, 800), fit=loose).text
