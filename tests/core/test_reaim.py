"""Every measured bend re-aims the rest; how exact a bend must be; the ring of what is to come."""

from dataclasses import replace
from math import dist, inf

import pytest

from benchcalc.core.fit.correction import home_of
from benchcalc.core.fit.expected_miss import Tolerances, miss_of, own_levers
from benchcalc.core.fit.reading import Reading, believed
from benchcalc.core.fit.reaim import ReAimed, UnderWay, re_aim
from benchcalc.core.fit.ring_ahead import Gauges
from benchcalc.core.fit.shared_errors import levers_of, shared_errors
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.fit.tube_job import tube_of
from benchcalc.core.job import Segment
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.core.bench_jobs import STIFF
from tests.core.test_so_far import bench_job

PLAN = bench_job()
WIDTHS = Tolerances(0.5, 0.5, 1.0)


def after_first(read_deg: float, width_deg: float = 0.0) -> ReAimed:
    piece = UnderWay(frozenset({1}), {1: Reading(90.0, read_deg, width_deg)})
    return re_aim(PLAN, STIFF, piece, WIDTHS)


def test_a_bend_as_meant_changes_nothing_and_gives_no_reason() -> None:
    found = after_first(90.0)
    assert not found.changes and found.reason is None and found.marks is None


def test_a_little_off_re_aims_angles_and_turns_and_moves_no_mark() -> None:
    found = after_first(90.3)
    assert found.changes and found.reason == (1, "angle", 90.0, 90.3)
    assert found.aimed.now.by_mm > 0.7 and found.aimed.after.by_mm < 0.1
    assert [shift.bend for shift in found.aimed.shifts] == [2, 3, 4]
    for shift in found.aimed.shifts:
        assert shift.past_mm == pytest.approx(0.0, abs=1e-9)
    assert found.marks is None


def test_a_coarse_gauge_re_aims_by_less() -> None:
    by = [max(abs(s.angle_by_deg) for s in after_first(90.4, w).aimed.shifts) for w in (0, 0.5, 2)]
    assert by[0] > 1.5 * by[1] > by[2] > 0
    assert believed(Reading(90.0, 90.4, 0.5), 0.5) == pytest.approx((90.2, 0.5 / 2**0.5))
    assert believed(Reading(90.0, 90.4, 0.0), 0.5) == (90.4, 0.0)
    assert believed(Reading(90.0, 90.4, 1.0), 0.0) == (90.0, 0.0)


def test_a_turn_re_aims_the_angle_of_its_own_bend_too() -> None:
    piece = UnderWay(frozenset({1}), {1: Reading(90.0, 90.0)}, {2: Reading(90.0, 92.0)})
    found = re_aim(PLAN, STIFF, piece, WIDTHS)
    second = found.aimed.job.run.segments[1]
    assert second.turn_deg == 92.0 and abs(second.angle_deg - 60.0) > 0.01
    assert found.reason == (2, "turn", 90.0, 92.0)
    assert found.aimed.after.by_mm < found.aimed.now.by_mm / 3


def test_a_bend_aimed_elsewhere_that_came_as_meant_is_no_reason() -> None:
    piece = UnderWay(frozenset({1, 2}), {1: Reading(90.0, 90.3), 2: Reading(59.6, 59.6)})
    assert re_aim(PLAN, STIFF, piece, WIDTHS).reason == (1, "angle", 90.0, 90.3)


def test_a_mark_is_offered_where_it_is_worth_more_than_a_pen_line() -> None:
    """Two bends in one plane: the last one's angle cannot bring back a length, its mark can."""
    plan = replace(PLAN, run=replace(PLAN.run, segments=(Segment(150, 90), Segment(160, 90, 180))))
    found = re_aim(plan, STIFF, UnderWay(frozenset({1}), {1: Reading(90.0, 91.5)}), WIDTHS)
    assert found.marks is not None and abs(found.marks.shifts[0].past_mm or 0) > 0.5
    assert found.marks.after.by_mm < found.aimed.after.by_mm - 0.5


def test_what_a_degree_moves_is_the_difference_of_two_tubes() -> None:
    layout = lay_out(PLAN, STIFF)
    home = home_of(trace(layout))
    for need in re_aim(PLAN, STIFF, UnderWay(), WIDTHS).needs:
        segment = PLAN.run.segments[need.bend - 1]
        off = 0.001
        if need.what == "angle":
            so_far = SoFar({need.bend: segment.angle_deg + off})
        else:
            so_far = SoFar(turned={need.bend: segment.turn_deg + off})
        end, _ = tube_of(PLAN, layout, STIFF, so_far).far_end()
        assert need.moves_mm == pytest.approx(dist(end, home.point) / off, rel=1e-3), need


def test_how_exact_follows_from_the_fit() -> None:
    needs = re_aim(PLAN, STIFF, UnderWay(), WIDTHS).needs
    angle = {need.bend: need for need in needs if need.what == "angle"}
    assert [need.bend for need in needs] == [1, 2, 2, 3, 3, 4, 4]
    assert angle[1].within_deg < angle[4].within_deg
    assert angle[1].left_mm < angle[1].moves_mm / 20 and angle[1].taken_up_deg > 1.0
    assert angle[4].left_mm == pytest.approx(angle[4].moves_mm)
    last = re_aim(PLAN, STIFF, UnderWay(frozenset({1, 2, 3})), WIDTHS).needs
    assert [need.bend for need in last] == [4, 4]
    at_last = last[1]
    assert at_last.within_deg == pytest.approx(min(2.0 / at_last.moves_mm, 1.0))
    assert at_last.too_coarse(1.1) and not at_last.too_coarse(0.1)
    tighter = re_aim(replace(PLAN, fit=replace(PLAN.fit, within_mm=1.0)), STIFF, UnderWay(), WIDTHS)
    assert tighter.needs[0].within_deg == pytest.approx(needs[0].within_deg / 2)
    assert all(0 < need.within_deg < inf for need in needs)


def test_the_ring_of_what_nobody_measures_is_the_usual_one() -> None:
    layout = lay_out(PLAN, STIFF)
    tube = tube_of(PLAN, layout, STIFF, SoFar())
    shared = levers_of(shared_errors(tube, layout, PLAN.bender, WIDTHS))
    usual = miss_of([*own_levers(layout, trace(layout), WIDTHS), *shared]).radius_mm
    assert re_aim(PLAN, STIFF, UnderWay(), WIDTHS).expected.radius_mm == pytest.approx(usual)


def test_the_ring_takes_the_measured_width() -> None:
    wide = Tolerances(0.5, 0.5, 4.0, gauge_deg=0.0)
    drawn = {n: PLAN.run.segments[n - 1].turn_deg for n in (2, 3, 4)}
    turns = {n: Reading(turn, turn, 0.4) for n, turn in drawn.items()}
    every = frozenset({1, 2, 3, 4})
    blind = re_aim(PLAN, STIFF, UnderWay(every), wide).expected.radius_mm
    seen = re_aim(PLAN, STIFF, UnderWay(every, {}, turns), wide).expected.radius_mm
    to_come = re_aim(PLAN, STIFF, UnderWay(gauges=Gauges(0.2, 0.4)), wide).expected.radius_mm
    assert seen < 0.6 * blind and to_come < 0.6 * blind
