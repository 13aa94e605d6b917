"""The rest of a piece corrected after a bend that came out wrong, tapped through on the panel."""

from dataclasses import replace
from math import dist
from typing import Any

import pytest

from benchcalc.core.fit.bent_tube import BendAsMade, BentTube
from benchcalc.core.serialize import deserialize
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.in_hand import piece_in_hand, work_in_hand
from benchcalc.panel.state.making.correcting import answer, offer
from benchcalc.runlog.records import PieceRecord
from tests.panel.driver import Hands
from tests.panel.journeys import by_hand, demo_draft, ready_to_make, typed, with_draft

ROUNDING_MM = 0.02
"""Angles are typed here to a thousandth of a degree, half a metre from the far end."""


def four_bends() -> Hands:
    """The demo's job: bends of 90, 45, 45 and 90 in space."""
    return by_hand(with_draft(replace(demo_draft(), pieces=1))).tap("make")


def drawn_sheet(hands: Hands) -> Sheet:
    sheet = work_in_hand(hands.model).sheet
    assert sheet is not None
    return sheet


def sheet_in_hand(hands: Hands) -> Sheet:
    sheet = piece_in_hand(hands.model)
    assert sheet is not None
    return sheet


def bend_at(hands: Hands, by_deg: float, *after: str) -> Hands:
    """Go on to the check of the next bend, and measure it this far off."""
    while hands.shown != "check":
        hands.tap("next")
    making = hands.work.making
    assert making is not None
    wanted = sheet_in_hand(hands).layout.in_order[making.place].angle_deg
    return hands.type(f"{wanted + by_deg:.3f}", "next").tap(*after)


def corrections(hands: Hands) -> Any:
    making = hands.work.making
    assert making is not None
    return making.corrections


def test_a_bend_within_tolerance_asks_for_no_correction() -> None:
    hands = bend_at(four_bends(), 0.4)
    assert hands.shown == "turn" and not corrections(hands)


def test_a_bend_kept_over_or_under_asks_while_bends_remain() -> None:
    assert bend_at(four_bends(), 1.2, "keep").shown == "correct"
    assert bend_at(four_bends(), -1.2, "keep").shown == "correct"
    hands = bend_at(bend_at(ready_to_make(), 0.1), 1.2, "keep")
    assert hands.shown == "store", "the last bend cannot be made up"


def test_an_angle_past_180_cannot_be_corrected_for() -> None:
    hands = bend_at(four_bends(), 95.0, "take anyway", "keep")
    assert hands.shown == "turn" and not corrections(hands)
    assert "Past 180° the rest cannot be corrected." in hands.text


def test_the_run_is_shown_as_corrected() -> None:
    hands = bend_at(four_bends(), 3.0, "keep", "answer take")
    new, old = sheet_in_hand(hands).layout.bends, drawn_sheet(hands).layout.bends
    moved = [abs(a.mark.at_mm - b.mark.at_mm) for a, b in zip(new, old, strict=True)
             if a.mark and b.mark]  # fmt: skip
    place = moved.index(max(moved))
    mark = new[place].mark
    assert max(moved) > 0.1 and mark is not None
    hands.tap("plan", *["later"] * place)
    assert "corrected" in hands.text and f"{mark.at_mm:.1f} mm" in hands.text
    assert "corrected" not in bend_at(four_bends(), 3.0, "keep", "answer leave").tap("plan").text


def test_the_offer_says_the_miss_what_is_left_and_every_bend_to_come() -> None:
    hands = bend_at(four_bends(), 1.2, "keep")
    text = hands.text
    assert "7.4 mm, 1.2° off" in text and "2.0 mm and 1° are allowed" in text
    changes = hands.tap("look").text
    for number in (2, 3, 4):
        assert f"bend {number}: " in changes
    assert "from the heel of bend 1" in changes


def test_taken_the_rest_goes_by_the_corrected_job_and_made_bends_stay() -> None:
    hands = bend_at(four_bends(), 1.2, "keep", "answer take")
    drawn, sheet = drawn_sheet(hands), sheet_in_hand(hands)
    assert hands.shown == "turn" and "Corrected." in hands.text
    assert sheet.layout.bends[0].start_mm == pytest.approx(drawn.layout.bends[0].start_mm)
    assert sheet.layout.cut_length_mm == pytest.approx(drawn.layout.cut_length_mm)
    assert sheet.layout.bends[0].angle_deg == pytest.approx(91.2)
    assert dist(sheet.path.end_point, drawn.path.end_point) <= drawn.job.fit.within_mm
    assert sheet.layout.bends[1].turn_deg != drawn.layout.bends[1].turn_deg
    hands.tap("next")
    assert "Seat the tube" in hands.text and "from the heel of bend 1" in hands.text
    assert "The mark at" not in hands.text


def test_the_seat_step_counts_from_the_old_mark_and_the_last_heel() -> None:
    hands = bend_at(bend_at(four_bends(), 3.0, "keep", "answer take"), 0.0)
    while hands.shown != "seat":
        hands.tap("next")
    drawn, sheet = drawn_sheet(hands).layout.bends, sheet_in_hand(hands).layout.bends
    assert drawn[2].mark is not None and sheet[2].mark is not None
    past = sheet[2].mark.at_mm - drawn[2].mark.at_mm
    way = "past" if past > 0 else "before"
    assert abs(past) > 0.05
    assert f"Mark {abs(past):.1f} mm {way} the old mark, " in hands.text
    assert "along the backs of both legs of bend 2 cross" in hands.text


def test_refused_the_rest_stays_as_drawn() -> None:
    hands = bend_at(four_bends(), 1.2, "keep", "answer leave")
    assert hands.shown == "turn" and "Left as it is." in hands.text
    assert sheet_in_hand(hands) == drawn_sheet(hands)
    assert "The mark at" in hands.tap("next").text
    assert [answered.taken for answered in corrections(hands)] == [False]


def test_back_takes_the_answer_back_and_then_the_reading() -> None:
    hands = bend_at(four_bends(), 1.2, "keep")
    before = hands.text
    hands.tap("answer take", "step back")
    assert hands.shown == "correct" and not corrections(hands)
    assert hands.tap("answer leave", "step back").shown == "correct"
    assert "7.4 mm, 1.2° off" in before and "7.4 mm, 1.2° off" in hands.text
    hands.tap("step back")
    assert hands.shown == "check" and "91.2" in hands.text
    assert hands.tap("next", "keep").text == before


def test_digits_answer_and_a_hasty_enter_does_not() -> None:
    hands = bend_at(four_bends(), 1.2, "keep").key("enter")
    assert hands.shown == "correct"
    assert [c.taken for c in corrections(hands.key("1"))] == [False]
    hands.tap("step back")
    assert [c.taken for c in corrections(hands.key("2"))] == [True]


def two_corrections() -> Hands:
    hands = bend_at(four_bends(), 1.2, "keep", "answer take")
    hands = bend_at(hands, -1.0, "keep", "answer take")
    return bend_at(bend_at(hands, 0.2), -0.3)


def far_end_of(record: PieceRecord, sheet: Sheet) -> tuple[float, float, float]:
    """Where the tube's far end came, from what was marked, turned and measured alone."""
    job, s = sheet.job, sheet.springback
    radius = job.bender.radius_mm / (1 - s.b)
    bends = []
    for bend in record.bends:
        offset = next(line.offset_mm for line in job.bender.lines if line.name == bend.line)
        assert bend.mark_mm is not None and bend.released_deg is not None
        assert bend.held == "reference"
        rad = 0.017453292519943295
        bends.append(
            BendAsMade(bend.mark_mm - offset, bend.held, bend.released_deg, bend.turn_deg,
                     0.0, rad * radius)
        )  # fmt: skip
    length = record.cut_length_mm - job.ends.finish_mm
    return BentTube(tuple(bends), sheet.layout.shift_mm, length).far_end()[0]


def test_the_far_end_arrives_by_what_the_record_says_was_marked_and_measured() -> None:
    hands = bend_at(four_bends(), 1.2, "keep", "answer take")
    hands = bend_at(hands, -1.0, "keep", "answer take")
    hands = bend_at(bend_at(hands, 0.0), 0.0)
    drawn = drawn_sheet(hands)
    promised = corrections(hands)[-1].after_mm
    record = deserialize(PieceRecord, hands.tap("next").records[0])
    missed = dist(far_end_of(record, drawn), drawn.path.end_point)
    assert missed <= promised + ROUNDING_MM
    first = corrections_of(record)[0]
    assert first["miss_now_mm"] > 7 and first["miss_after_mm"] < 0.1


def corrections_of(record: PieceRecord) -> Any:
    return record.corrections


def test_refused_it_misses_by_what_was_said() -> None:
    hands = bend_at(four_bends(), 1.2, "keep", "answer leave")
    for _ in range(3):
        bend_at(hands, 0.0)
    drawn, told = drawn_sheet(hands), corrections(hands)[0].now_mm
    record = deserialize(PieceRecord, hands.tap("next").records[0])
    missed = dist(far_end_of(record, drawn), drawn.path.end_point)
    assert missed == pytest.approx(told, abs=ROUNDING_MM)
    assert [c["taken"] for c in corrections_of(record)] == [False]


def test_the_record_tells_offers_answers_and_each_bend_by_its_own_target() -> None:
    hands = two_corrections()
    sheet = sheet_in_hand(hands)
    record = deserialize(PieceRecord, hands.tap("next").records[0])
    first, second = corrections_of(record)
    assert (first["after_bend"], second["after_bend"]) == (1, 2)
    assert first["taken"] and second["taken"]
    assert [bent["bend"] for bent in second["bent"]] == [1, 2]
    assert [shift["bend"] for shift in first["shifts"]] == [2, 3, 4]
    assert [shift["bend"] for shift in second["shifts"]] == [3, 4]
    assert record.bends[0].target_deg == 90.0 and record.bends[0].released_deg == 91.2
    off = [bend.released_deg - bend.target_deg for bend in record.bends if bend.released_deg]
    assert off == pytest.approx([1.2, -1.0, 0.2, -0.3], abs=0.001)
    assert record.bends[3].mark_mm == sheet.layout.bends[3].mark.at_mm  # type: ignore[union-attr]


def test_nothing_is_lost_when_the_power_goes_after_any_tap() -> None:
    whole = two_corrections().tap("next")
    hands = four_bends()
    for by_deg, *after in ((1.2, "keep", "answer take"), (-1.0, "keep", "answer take"),
                           (0.2,), (-0.3,)):  # fmt: skip
        while hands.shown != "check":
            hands = hands.tap("next").restart()
        bend_at(hands, float(by_deg))
        for name in after:
            before = hands.text
            hands = hands.restart()
            assert hands.text == before
            hands.tap(str(name))
        hands = hands.restart()
    assert hands.tap("next").records == whole.records


def test_what_can_only_be_brought_to_its_place_says_so() -> None:
    hands = bend_at(bend_at(four_bends(), 0.0), 0.0)
    hands = bend_at(hands, 25.0, "take anyway", "keep")
    assert hands.shown == "correct" and "no correction points it within 1°" in hands.text


def test_what_cannot_be_brought_home_is_said_and_found() -> None:
    hands = bend_at(ready_to_make(), 40.0, "take anyway", "keep")
    assert hands.shown == "correct" and "No correction brings it within 2.0 mm" in hands.text
    hands.tap("answer take", "scrap", "because over")
    found = [f for f in hands.records[0]["findings"] if f["rule"] == "fit"]
    assert [f["level"] for f in found] == ["caution"] and "is allowed" in found[0]["says"]


def test_the_next_piece_starts_as_drawn() -> None:
    hands = bend_at(four_bends(), 1.2, "keep", "answer take").tap("scrap", "because over")
    assert not corrections(hands) and sheet_in_hand(hands) == drawn_sheet(hands)


def test_the_reading_can_be_typed_anew_after_going_back() -> None:
    hands = bend_at(four_bends(), 1.2, "keep", "step back")
    hands.tap(*["back"] * 4, *typed("90", "next"))
    assert hands.shown == "turn" and not corrections(hands)


def test_a_correction_at_the_bender_s_limit_is_not_refused_for_a_rounding() -> None:
    hands = bend_at(ready_to_make(), 40.0, "take anyway", "keep", "answer take")
    sheet = sheet_in_hand(hands)
    between = sheet.job.bender.between_mm
    assert between <= sheet.layout.bends[1].straight_before_mm < between + 0.01
    assert not sheet.stopped


def test_what_cannot_be_bent_cannot_be_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    hands = bend_at(four_bends(), 1.2, "keep")
    drawn, making = drawn_sheet(hands), hands.work.making
    assert making is not None
    narrow = replace(drawn.job, bender=replace(drawn.job.bender, max_angle_deg=80.0))
    stopped = drawn._replace(job=narrow)
    found = offer(stopped, making)
    assert {finding.rule for finding in found.stops} == {"angle-travel"}
    assert answer(making, stopped, taken=True) == making
    monkeypatch.setattr("benchcalc.panel.screens.correct.offer", lambda *_: found)
    assert hands.scene.target("answer take") is None
    assert "cannot be corrected here: past the bender's travel" in hands.text
    assert hands.scene.target("answer leave") is not None


def test_a_second_correction_aims_at_the_place_as_drawn_not_at_what_the_first_left() -> None:
    hands = bend_at(bend_at(four_bends(), 0.0), 44.0, "take anyway", "keep", "answer take")
    assert corrections(hands)[0].after_mm > 1
    bend_at(hands, 2.0, "keep", "answer take")
    drawn, sheet = drawn_sheet(hands), sheet_in_hand(hands)
    left = dist(sheet.path.end_point, drawn.path.end_point)
    assert left == pytest.approx(corrections(hands)[1].after_mm, abs=1e-6)
