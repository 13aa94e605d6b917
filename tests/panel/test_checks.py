"""Checks of gauge and scale on the panel, and bends made before: typed, kept, and what follows."""

from dataclasses import replace

import pytest

from benchcalc.core.fit.expected_miss import UNCHECKED_GAUGE_DEG
from benchcalc.core.springback.gauge import GaugeCheck
from benchcalc.core.springback.lessons import BEFORE, GAUGE_CHECK, SCALE_CHECK
from benchcalc.panel.state.in_hand import work_in_hand
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, TO_FIRST_CHECK, typed
from tests.screens.tapped_states import CHECKED_GAUGE, COMPARED, MADE_BEFORE, NOTED

GIVEN = BENCH[:-1]


def test_a_check_is_kept_and_its_bias_taken_off_every_reading() -> None:
    hands = Hands().tap(*CHECKED_GAUGE)
    assert "0.40° too much" in hands.text
    hands.tap("keep")
    ((kind, body),) = [(kept.kind, kept.body) for kept in hands.log]
    assert kind == GAUGE_CHECK and body["readings_deg"] == [90.5, 90.3]
    assert hands.model.taught.gauges["protractor"].bias_deg == pytest.approx(0.4)
    assert hands.shown == "bench"
    hands.tap("plan", *RUN, "make", *TO_FIRST_CHECK)
    assert "0.4° are taken off" in hands.text
    hands.tap(*typed("90.7", "next"))
    (pulled,) = [made.pulls[-1] for made in hands.work.making.made if made.pulls]  # type: ignore[union-attr]
    assert pulled.released_deg == pytest.approx(90.3) and pulled.raw_deg == 90.7


def test_the_ring_is_smaller_once_the_gauge_is_checked_and_an_old_check_is_none() -> None:
    hands = Hands().tap(*GIVEN, "plan", *RUN)

    def width(check: GaugeCheck | None, today: str = "2026-03-01") -> float:
        gauges = {} if check is None else {"protractor": check}
        taught = replace(hands.model.taught, gauges=gauges)  # type: ignore[arg-type]
        sheet = work_in_hand(replace(hands.model, taught=taught, today=today)).sheet
        assert sheet is not None
        return sheet.widths.gauge_deg

    check = GaugeCheck(0.4, 0.14, "2026-02-01")
    assert width(None) == UNCHECKED_GAUGE_DEG
    assert width(check) == 0.14
    assert width(check, "2026-08-01") == UNCHECKED_GAUGE_DEG


def test_an_old_check_is_told() -> None:
    hands = Hands().tap(*GIVEN)
    taught = replace(hands.model.taught, gauges={"protractor": GaugeCheck(0.1, 0.14, "2026-01-01")})
    hands.model = replace(hands.model, taught=taught, today="2026-07-01")
    hands.tap("check")
    assert "181 days ago: do it now" in hands.text


def test_a_reading_that_is_none_of_the_square_is_refused() -> None:
    hands = Hands().tap(*GIVEN, "check", *typed("45", "next"))
    assert "too far from 90°" in hands.text and not hands.work.checking.done


def test_scale_and_gauge_compared_are_kept_for_the_bender() -> None:
    hands = Hands().tap(*GIVEN, "check", "kind", "kind", *COMPARED, "keep")
    assert [kept.kind for kept in hands.log] == [SCALE_CHECK]
    (bender,) = hands.model.taught.scales
    assert bender == hands.model.draft.bender.key  # type: ignore[union-attr]
    assert hands.model.taught.scales[bender].share == pytest.approx(0.018, abs=2e-3)


def test_bends_made_before_teach_like_bends_of_this_bench() -> None:
    hands = Hands().tap(*MADE_BEFORE, *NOTED)
    assert "90° needs + 2.7°" in hands.text
    hands.tap("keep")
    ((kind, body),) = [(kept.kind, kept.body) for kept in hands.log]
    assert kind == BEFORE and len(body["lessons"]) == 3
    assert [key.lot for key in hands.model.taught.lots] == [body["lessons"][0]["lot"]]
    assert hands.shown == "bench" and not hands.work.made_before.done
    sheet = work_in_hand(hands.tap("plan", *RUN).model).sheet
    assert sheet is not None and sheet.live.source == "measured"


def test_swapped_columns_and_what_no_tube_does_are_refused() -> None:
    hands = Hands().tap(*MADE_BEFORE, *typed("90", "next"), *typed("92.5", "next"))
    assert "the wrong way round" in hands.text and not hands.work.made_before.done
    hands.tap("drop", *typed("150", "next"), *typed("20", "next"))
    assert "no tube springs back so far" in hands.text


def test_a_bend_is_dropped_half_or_whole() -> None:
    hands = Hands().tap(*MADE_BEFORE, *NOTED, *typed("60", "next"), "drop")
    assert len(hands.work.made_before.done) == 3 and hands.work.made_before.pulled is None
    hands.tap("drop")
    assert len(hands.work.made_before.done) == 2
