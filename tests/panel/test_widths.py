"""What the widths set for a bench change: the ring at the far end, and what a correction moves."""

from dataclasses import replace

import pytest

from benchcalc.core.fit.expected_miss import Tolerances, expected_miss
from benchcalc.core.shapes.ports import Answer
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making.correcting import offer
from benchcalc.panel.state.model import Model, Work
from benchcalc.panel.state.shaping import miss_of_way, ways_of
from benchcalc.report.settings import Settings
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, LEG_AND_BEND, PORT, SHOP, by_hand, demo_draft, shape


def bench(**widths: float) -> Hands:
    """The demo's job on a bench whose widths are set."""
    settings = Settings(**widths)  # type: ignore[arg-type]
    return Hands(Model(SHOP, work=Work("plan", demo_draft()), settings=settings))


def radius_mm(hands: Hands) -> float:
    sheet = work_in_hand(hands.model).sheet
    assert sheet is not None
    return sheet.expected_miss().radius_mm


def test_the_ring_at_the_far_end_follows_the_widths() -> None:
    usual = radius_mm(bench(turn_deg=1.0))
    twice = radius_mm(bench(mark_mm=1.0, angle_deg=1.0, turn_deg=2.0))
    assert 1.2 * usual < twice <= 2 * usual  # what the bender's profile leaves open does not grow
    for wider in ({"mark_mm": 1.0}, {"angle_deg": 1.0}, {"turn_deg": 3.0}):
        assert radius_mm(bench(**{"turn_deg": 1.0, **wider})) > 1.01 * usual
    assert radius_mm(bench()) > usual  # by eye, on a tube of the demo's diameter


def moved(hands: Hands) -> tuple[float, float]:
    """The most that a correction after a first bend of 92 degrees moves a mark and an angle."""
    by_hand(hands).tap("make")
    while hands.shown != "check":
        hands.tap("next")
    hands.type("92", "next").tap("keep")
    drawn, making = work_in_hand(hands.model).sheet, hands.work.making
    assert hands.shown == "correct" and drawn is not None and making is not None
    shifts = offer(drawn, making).shifts
    marks = max(abs(shift.past_mm or 0.0) for shift in shifts)
    return marks, max(abs(shift.angle_by_deg) for shift in shifts)


def test_a_correction_moves_rather_what_is_less_exact() -> None:
    marks, angles = moved(bench(mark_mm=0.2, angle_deg=1.0))
    more_marks, less_angles = moved(bench(mark_mm=1.0, angle_deg=0.2))
    assert more_marks > marks and less_angles < angles


def test_the_miss_of_a_way_to_a_port_follows_them_too() -> None:
    hands = Hands().tap(*BENCH, *LEG_AND_BEND, *shape("port", *PORT))
    typed = hands.work.shaping.shape
    assert typed is not None
    (way, *_) = ways_of(hands.model, typed)
    wide = replace(hands.model, settings=Settings(mark_mm=1.0, angle_deg=1.0, turn_deg=2.0))
    usual = expected_miss(way.layout, way.path, Tolerances(turn_deg=1.0)).radius_mm
    assert isinstance(way, Answer)
    one = replace(hands.model, settings=Settings(turn_deg=1.0))
    assert miss_of_way(one, way).radius_mm == pytest.approx(usual)
    assert miss_of_way(wide, way).radius_mm == pytest.approx(2 * usual)
