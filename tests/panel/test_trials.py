"""Trial bends by taps: what is typed, what it says, and what it changes once it is kept."""

from math import pi, radians, tan
from statistics import mean, stdev
from typing import Any

import pytest

from benchcalc.app import opened
from benchcalc.core.sheet import work_out
from benchcalc.core.springback.lessons import TRIAL as TRIAL_KIND
from benchcalc.files.loading import asset_path, load_job
from benchcalc.panel.state.draft import read_draft
from benchcalc.panel.state.in_hand import subject_of
from benchcalc.panel.state.messages import AppendRecord, Pressed, Released, StoreFailed
from benchcalc.panel.state.model import Making, Model, Work, work_of
from benchcalc.panel.state.trials import Measurements, Trials, measured_of
from benchcalc.panel.update import update
from benchcalc.report.sheet_text import sheet_text
from benchcalc.report.told import verbatim
from tests.panel.driver import Hands
from tests.panel.journeys import (
    BENCH,
    BENT_90,
    RUN,
    SHOP,
    TO_FIRST_CHECK,
    TRIAL,
    bent,
    typed,
)

GAIN_PER_RADIUS_90 = 2 - pi / 2
"""Gain of a 90 degree bend of radius 1: 2 tan 45 less the arc pi/2."""


def trial(*taps: str) -> Hands:
    return Hands().tap(*TRIAL, *taps)


def typing(hands: Hands) -> Measurements:
    return hands.work.trials.typing


def kept(hands: Hands) -> dict[str, Any]:
    (record,) = (log.body for log in hands.tap("keep").log if log.kind == TRIAL_KIND)
    return dict(record)


def test_without_a_bender_there_is_nothing_to_try() -> None:
    hands = Hands().tap("trial")
    assert hands.shown == "bench" and "Not yet: choose the bender." in hands.text


def test_several_offcuts_average_with_their_spread() -> None:
    hands = trial(*bent("193.8", "120", "85", "90"), *bent("194.1", "120", "85.2", "90"))
    hands.tap(*bent("153.9", "100", "65", "90"))
    radii = [gain / GAIN_PER_RADIUS_90 for gain in (11.2, 11.1, 11.1)]
    assert f"radius {mean(radii):.1f} mm ± 1.2" in hands.text  # 2.1 by one, of three
    assert "trials so far: 3" in hands.text
    record = kept(hands)
    assert record["radius"]["mean_mm"] == pytest.approx(mean(radii), abs=1e-9)
    assert record["radius"]["spread_mm"] == pytest.approx(stdev(radii), abs=1e-9)
    assert record["radius"]["trials"] == 3 and record["lines"] == {}


def test_the_last_trial_is_dropped_again() -> None:
    hands = trial(*bent("193.8", "120", "85", "90"), *bent("190", "120", "85", "90"))
    hands.tap("drop", "yes drop")
    assert "radius 26.1 mm ± 2.1" in hands.text
    assert hands.tap("drop", "yes drop").scene.target("keep") is None


def test_a_u_decides_the_radius_and_the_lines_rest_on_it() -> None:
    hands = trial(*BENT_90, "kind", *typed("63", "next"))
    # half of what the width outside both legs has over the tube
    assert "radius 26.5 mm" in hands.text and "stretch" in hands.text.casefold()
    record = kept(hands)
    radius = {"mean_mm": 26.5, "spread_mm": None, "trials": 1, "within_mm": 0.25}
    assert record["radius"] == radius
    assert record["stretch"]["mean_mm"] == pytest.approx(11.2 - 26.5 * GAIN_PER_RADIUS_90)
    start = 120 - 26.5 * tan(radians(45))
    assert record["lines"]["90"]["mean_mm"] == pytest.approx(118.5 - start, abs=1e-9)
    assert [t["width"] for t in record["trials"]] == ["", "63"]


def test_a_mark_tells_of_the_line_made_for_its_angle() -> None:
    hands = trial(*bent("193.8", "120", "85", "90", "118.5"))
    radius = 11.2 / GAIN_PER_RADIUS_90
    offset = 118.5 - (120 - radius)
    assert f"line 90 at {offset:.1f} mm" in hands.text
    record = kept(hands)
    assert record["lines"]["90"]["mean_mm"] == pytest.approx(offset, abs=1e-9)
    bender = hands.model.shop.bender("bench-10mm")
    assert bender is not None
    assert [line.offset_mm for line in bender.lines] == pytest.approx([0.0, 10.355, offset])


def test_without_a_mark_no_line_is_told() -> None:
    assert "No line measured" in trial(*bent("193.8", "120", "85", "90")).text


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        (("205", "120", "85", "90"), "the legs must be longer together"),
        (("193.8", "120", "85", "20"), "take one from 30° to under 150°"),
        (("193.8", "120", "85", "160"), "bend a U and measure its width"),
        (("196.8", "120", "85", "80", "113"), "no line made for 80°"),
        (("193.8", "6000", "85", "90"), "held leg is 6000 mm"),
        (("193.8", "120"), "free leg: nothing written"),
        ((), "cut length: nothing written"),
        (("193.8", "120", "85"), "angle measured: type a number"),
    ],
)
def test_what_is_refused_stays_as_it_was_typed(fields: tuple[str, ...], says: str) -> None:
    hands = trial(*bent(*fields))
    names = ("cut", "first", "second", "angle", "mark", "pulled")
    assert says in hands.text and hands.work.trials.done == ()
    assert [typing(hands).text(name) for name in names][: len(fields)] == list(fields)  # type: ignore[arg-type]
    assert typing(hands.restart()) == typing(hands)


def test_a_u_without_a_width_or_of_a_rod_is_refused() -> None:
    assert "outside width: nothing written" in trial("kind", "add").text
    hands = trial("kind", *typed("15", "next"))
    assert "measure outside both legs" in hands.text and typing(hands).width == "15"


def test_the_unit_key_changes_no_measurement() -> None:
    hands = trial(*typed("190.5", "next"), *typed("121", "next"), *typed("76.2"), "unit")
    assert (typing(hands).cut, typing(hands).first, typing(hands).second) == ("7.5", "121 mm", "3")
    assert "121 mm\n" in hands.tap("earlier").text and "121 mm in" not in hands.text
    assert "7.5 in" in hands.tap("earlier").text
    in_inches = hands.tap("next", "next", "next", *typed("90")).restart()
    bender = hands.work.draft.bender
    assert bender is not None
    found = measured_of((typing(in_inches),), bender, 10.0).radius.mean
    assert found == pytest.approx((121 + 76.2 - 190.5) / GAIN_PER_RADIUS_90, abs=1e-12)
    hands.tap("earlier", "earlier", "earlier", "unit")
    assert (typing(hands).cut, typing(hands).first, typing(hands).second) == (
        "190.5", "121", "76.2",
    )  # fmt: skip
    assert measured_of((typing(hands),), bender, 10.0).radius.mean == found


def test_a_length_in_its_own_unit_is_erased_and_typed_over_whole() -> None:
    hands = trial(*typed("121"), "unit")
    assert typing(hands.tap("back")).cut == "121"
    hands = trial(*typed("121"), "unit", "key 5")
    assert typing(hands).cut == "5"


def test_a_bend_and_a_u_may_both_be_half_typed() -> None:
    hands = trial(*typed("193.8", "next"), *typed("120"), "kind", *typed("62"), "kind")
    assert (typing(hands).cut, typing(hands).first, typing(hands).width) == ("193.8", "120", "62")
    hands.tap("kind", *typed("62.4", "next"))
    assert hands.work.trials.done == (Measurements(width="62.4"),)
    assert typing(hands) == Measurements(cut="193.8", first="120")


def test_on_a_small_screen_the_fields_are_gone_through_with_arrows() -> None:
    hands = Hands(Model(SHOP, (480, 320))).tap(*TRIAL, *typed("193.8"), "later", *typed("120"))
    assert "held leg\n120 mm" in hands.text and "193.8" not in hands.text
    assert "cut length\n193.8 mm" in hands.tap("earlier").text
    assert hands.scene.target("earlier") is None
    hands.key("tab", "tab")
    assert "free leg" in hands.text


def test_trials_wait_for_their_bender_and_their_tube() -> None:
    hands = trial(*BENT_90, "bench", "set bender", "choose bench-1-4in", "trial")
    assert hands.shown == "bench"
    assert "Trial bends on bench-10mm, tube 10 mm, are not kept yet" in hands.text
    hands.tap("set bender", "choose bench-10mm", "trial")
    assert hands.shown == "trial" and "trials so far: 1" in hands.text
    hands.tap("bench", "set od", *typed("10.2", "next"), "trial")
    assert "are not kept yet" in hands.text


def test_kept_trials_are_the_profile_from_now_on() -> None:
    hands = trial(*BENT_90, *bent("193.4", "120", "85", "90", "118.3"))
    record = kept(hands)
    radius = record["radius"]["mean_mm"]
    assert record["bender"] == "bench-10mm" and record["nominal_radius_mm"] == 25.0
    assert record["trials"][0] == {
        "unit": "mm", "cut": "193.8", "first": "120", "second": "85", "angle": "90",
        "mark": "118.5", "pulled": "92", "width": "",
    }  # fmt: skip
    assert hands.shown == "bench" and hands.work.trials == Trials()
    for panel in (hands, hands.restart()):
        for bender in (panel.work.draft.bender, panel.model.shop.bender("bench-10mm")):
            assert bender is not None and bender.trials == 2
            assert bender.finished_radius_mm == radius and bender.radius_mm == 25.0
        sheet = read_draft(panel.tap("plan", *RUN).work.draft).sheet
        assert sheet is not None and sheet.layout.bends[0].radius_mm == radius
        said = sheet_text(sheet)
        assert radius == pytest.approx((11.2 + 11.6) / 2 / GAIN_PER_RADIUS_90, abs=1e-9)
        assert "finished radius 26.5608 mm, measured by 2 trial bends" in said
        assert "the die is 25 mm, nominal" in said


def test_a_noted_pull_teaches_the_tube_on_the_bench() -> None:
    hands = trial(*BENT_90, *bent("193.4", "120", "85", "90"))
    about = subject_of(hands.work.draft)
    (lesson,) = kept(hands)["lessons"]
    assert about is not None and lesson["loaded_deg"] == 92.0 and lesson["released_deg"] == 90.0
    assert hands.model.taught.lots[about.key] == 1
    hands.tap("learnt")
    assert "H4-7" in hands.text and "Bend 1 of record 1: 92° sprang to 90°" in hands.text


def test_typed_values_stay_until_the_record_is_stored() -> None:
    hands = trial(*BENT_90, *typed("19"))
    assert hands.can("keep")
    target = hands.scene.target("keep")
    model, _ = update(hands.model, Pressed(target))
    model, commands = update(model, Released(target))
    (command,) = commands
    assert isinstance(command, AppendRecord) and model.work == hands.work
    after, _ = update(model, StoreFailed(verbatim("The disk is full.")))
    assert after.work == hands.work and after.trouble == (verbatim("The disk is full."),)
    follows = work_of(command.work)
    hands.tap("keep")
    assert follows == hands.work, "record and work that follows are kept both or neither"


def test_the_trouble_line_is_put_away_by_a_finger_until_the_store_fails_again() -> None:
    hands = trial(*BENT_90)
    work = hands.work
    hands.model, _ = update(hands.model, StoreFailed(verbatim("The disk is full.")))
    assert "The disk is full." in hands.text
    hands.tap("understood")
    assert "The disk is full." not in hands.text and hands.work == work
    assert hands.scene.target("understood") is None
    hands.model, _ = update(hands.model, StoreFailed(verbatim("The disk is full.")))
    assert "The disk is full." in hands.text


def test_a_marked_piece_begins_anew_with_a_measured_bender() -> None:
    hands = Hands().tap(*BENCH, *RUN, "make", "next", "next", "plan", "bench", "trial", *BENT_90)
    hands.tap("keep")
    assert hands.work.making == Making(step="cut")


def test_no_trials_while_a_piece_is_half_bent_and_one_on_the_shelf_keeps_its_bender() -> None:
    hands = Hands().tap(*BENCH, *RUN, "make", *TO_FIRST_CHECK, "plan", "bench")
    assert "Piece 1 is half bent" in hands.tap("trial").text and hands.shown == "bench"
    before = hands.work
    hands.tap("new", *BENCH[:4], "set wall", *typed("1", "next"), "trial", *BENT_90, "keep")
    assert hands.work.draft.bender is not None and hands.work.draft.bender.trials == 1
    hands = hands.restart().tap("jobs", "take 1")
    assert (hands.work.draft, hands.work.making) == (before.draft, before.making)


def test_a_job_on_the_shelf_and_a_job_file_take_the_measured_bender() -> None:
    demo = load_job(asset_path("demo.yaml"), SHOP)
    hands = Hands(Model(SHOP))
    hands.model = opened(hands.model, demo)
    hands.tap(
        "bench", "new", *BENCH[:2], "set wall", *typed("1", "next"), "trial", *BENT_90, "keep"
    )
    again = opened(hands.restart().model, demo)
    assert again.draft.bender is not None and again.draft.bender.trials == 1
    assert opened(again, demo) == again, "the same job goes on where it was"
    assert hands.tap("jobs", "take 1").work.draft.bender == again.draft.bender
    nominal = work_out(demo).layout
    sheet = read_draft(hands.work.draft).sheet
    assert sheet is not None and sheet.layout.cut_length_mm != nominal.cut_length_mm


def test_an_empty_panel_has_no_trials() -> None:
    assert Work().trials == Trials() and Hands().tap(*BENCH).work.trials == Trials()
