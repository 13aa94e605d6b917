from dataclasses import replace
from typing import Any

import pytest

import benchcalc
from benchcalc.core.serialize import deserialize
from benchcalc.runlog.records import PieceRecord
from tests.panel.driver import Hands, Kept
from tests.panel.journeys import (
    JOB,
    TO_FIRST_CHECK,
    TO_SECOND_CHECK,
    by_hand,
    demo_draft,
    ready_to_make,
    typed,
    with_draft,
)

GOOD_PIECE = (*TO_FIRST_CHECK, *typed("90", "next"), *TO_SECOND_CHECK, *typed("45", "next"), "next")


def record_of(plain: Any) -> PieceRecord:
    return deserialize(PieceRecord, plain)


def test_a_made_piece_with_all_that_happened_to_it() -> None:
    record = record_of(by_hand(Hands()).tap(*JOB).records[0])
    assert (record.outcome, record.why, record.piece, record.pieces) == ("made", "", 1, 1)
    assert (record.od_mm, record.wall_mm, record.material) == (10.0, 1.0, "316")
    assert (record.lot, record.bender) == ("H4-7", "bench-10mm")
    assert record.bender_values["radius_mm"] == 25.0
    assert record.software == benchcalc.__version__
    first, second = record.bends
    assert [(p.released_deg, p.by) for p in first.pulls] == [(88.0, "hand"), (89.8, "hand")]
    assert first.pulls[0].pulled_to_deg < first.pulls[1].pulled_to_deg
    assert (first.released_deg, first.verdict, first.line) == (89.8, "good", "90")
    assert (second.released_deg, second.verdict, second.turn_deg) == (46.2, "accepted over", 90.0)
    assert "overbend-guess" in {finding["rule"] for finding in record.findings}


@pytest.mark.parametrize(
    ("taps", "verdicts"),
    [
        (("next",), ("not bent", "not bent")),
        (TO_FIRST_CHECK, ("not finished", "not bent")),
        ((*TO_FIRST_CHECK, *typed("92", "next")), ("over", "not bent")),
        ((*TO_FIRST_CHECK, *typed("90", "next"), "next"), ("good", "not bent")),
    ],
)
def test_a_scrapped_piece_says_how_far_it_came(
    taps: tuple[str, ...], verdicts: tuple[str, ...]
) -> None:
    hands = ready_to_make().tap(*taps, "scrap", "because kinked")
    record = record_of(hands.records[0])
    assert (record.outcome, record.why) == ("scrapped", "kinked or flattened")
    assert tuple(bend.verdict for bend in record.bends) == verdicts
    making = hands.work.making
    assert making is not None and (making.piece, making.step, making.made) == (1, "cut", ())


def test_a_pull_that_was_not_read_is_not_in_the_record() -> None:
    hands = ready_to_make().tap(*TO_FIRST_CHECK, *typed("88", "next"), "next")
    record = record_of(hands.tap("scrap", "because other").records[0])
    assert [pull.released_deg for pull in record.bends[0].pulls] == [88.0]
    assert record.bends[0].released_deg == 88.0


def test_every_piece_is_counted_and_a_scrapped_one_is_made_again() -> None:
    hands = ready_to_make()
    hands.model = hands.model.with_draft(pieces=2)
    hands.tap(*GOOD_PIECE, "next", "scrap", "because mark")
    assert "piece 2 of 2" in hands.text
    hands.tap(*GOOD_PIECE)
    assert hands.shown == "kept"
    told = [(r["piece"], r["pieces"], r["outcome"]) for r in hands.records]
    assert told == [(1, 2, "made"), (2, 2, "scrapped"), (2, 2, "made")]
    hands.tap("one more", *GOOD_PIECE)
    assert record_of(hands.records[-1]).piece == 3 and hands.shown == "kept"


def test_the_screen_after_storing_names_the_number_in_the_log() -> None:
    hands = Hands()
    hands.log = [Kept("remark", {})] * 56
    assert "The last has number 57 in the log." in hands.tap(*JOB).text


def test_the_number_is_kept_and_never_guessed() -> None:
    """The store tells it once the piece is in; a power cut just before leaves none."""
    hands = Hands()
    hands.log = [Kept("remark", {})] * 56
    kept = hands.tap(*JOB).restart()
    assert kept.shown == "kept" and "57" in kept.text
    hands.saved.pop()
    again = hands.restart()
    assert again.shown == "kept" and "57" not in again.text


def test_a_job_file_s_record_carries_drawing_and_operator() -> None:
    draft = replace(demo_draft(), pieces=1)
    hands = with_draft(draft, operator="R. Ost").tap("make")
    while hands.work.screen == "make":
        making = hands.work.making
        assert making is not None
        if making.step == "check":
            hands.type(("90", "45", "45", "90")[making.place])
        hands.tap("next")
    record = record_of(hands.records[0])
    assert (record.drawing, record.operator) == ("WSR-12 A", "R. Ost")
    assert {"slip-on", "overbend-guess"} <= {finding["rule"] for finding in record.findings}
