"""Stretch: a bend takes less straight tube than its arc is long; nothing in space changes."""

from dataclasses import replace
from math import pi

import pytest

from benchcalc.core.checks.findings import find_all
from benchcalc.core.fit.bent_tube import Unknown
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.fit.tube_job import tube_of
from benchcalc.core.job import End, Job, Segment
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.springback.calibration import (
    Trial,
    WidthTrial,
    measure,
    not_explained,
    radius_within,
    with_measured,
)
from tests.core.bench_jobs import RADIUS_MM, STIFF, bender, job

BENDS = (Segment(120.0, 90.0), Segment(90.0, 45.0, 90.0), Segment(150.0, 180.0, -30.0))


def stretched(by_mm: float, held: End = "reference") -> Job:
    of = replace(job(*BENDS, last_leg_mm=130.0), held=held)
    return replace(of, bender=replace(of.bender, stretch_mm=by_mm))


@pytest.mark.parametrize("held", ["reference", "far"])
def test_marks_ends_and_cut_shift_by_the_stretch_of_the_bends_before(held: End) -> None:
    plain, longer = (lay_out(stretched(by, held), STIFF) for by in (0.0, 0.9))
    before = 0.0
    for old, new in zip(plain.bends, longer.bends, strict=True):
        own = 0.9 * old.angle_deg / 90
        assert new.start_mm == pytest.approx(old.start_mm - before)
        assert new.end_mm == pytest.approx(old.end_mm - before - own)
        assert new.gain_mm == pytest.approx(old.gain_mm + own)
        assert old.mark and new.mark
        at = old.mark.at_mm - before - (own if held == "far" else 0.0)
        assert new.mark.at_mm == pytest.approx(at)
        before += own
    assert longer.cut_length_mm == pytest.approx(plain.cut_length_mm - before)
    assert trace(longer) == trace(plain)


@pytest.mark.parametrize("held", ["reference", "far"])
@pytest.mark.parametrize("by_mm", [0.0, 0.9])
def test_the_tube_that_corrections_bend_is_the_same_one(held: End, by_mm: float) -> None:
    of = stretched(by_mm, held)
    layout = lay_out(of, STIFF)
    tube = tube_of(of, layout, STIFF, SoFar())
    path = trace(layout)
    assert tube.far_end()[0] == pytest.approx(path.end_point)
    end, _, moves = tube.moves(_angles(len(BENDS)))
    for number, (moved, _) in enumerate(moves):
        step = 1e-5
        other = tube.changed([_angles(len(BENDS))[number]], [step]).far_end()[0]
        slope = [(b - a) / step for a, b in zip(end, other, strict=True)]
        assert moved == pytest.approx(slope, abs=1e-4)


def _angles(count: int) -> list[Unknown]:
    return [Unknown("angle", number) for number in range(1, count + 1)]


R, U = 25.7, 0.8
"""A bench: finished radius, and stretch of 90 degrees, 2 % of the arc."""


def a_90() -> Trial:
    """Both legs 100 to the corner, of an offcut that is legs less set-backs, and arc less U."""
    cut = 200.0 - 2 * R + pi * R / 2 - U
    return Trial(cut, 100.0, 100.0, 90.0)


def test_a_90_alone_takes_stretch_for_radius_and_with_a_u_tells_it() -> None:
    alone = measure([a_90()], [])
    assert alone.stretch is None
    assert alone.radius.mean == pytest.approx(R + U / 0.429204, abs=1e-4)  # 2.6 mm too much
    both = measure([a_90()], [WidthTrial(2 * R + 10.0, 10.0)])
    assert both.radius.mean == pytest.approx(R)
    assert both.stretch is not None and both.stretch.mean == pytest.approx(U)
    profile = with_measured(bender(), both)
    assert (profile.finished_radius_mm, profile.stretch_mm) == pytest.approx((R, U))
    known = measure([a_90()], [], profile.stretch_mm)
    assert known.radius.mean == pytest.approx(R)


def test_what_a_trial_is_worth() -> None:
    """A U's width is read to half a millimetre: the radius to a quarter. A 90 has three lengths and
    an angle, by a gain of 0.43 radii."""
    assert radius_within(WidthTrial(61.4, 10.0), R) == 0.25
    lengths, angle = 3 * 0.5**2, (R * 0.5 * pi / 180) ** 2
    worth = (lengths + angle) ** 0.5 / 0.429204
    assert radius_within(a_90(), R) == pytest.approx(worth, rel=1e-5)
    both = measure([a_90()] * 4, [WidthTrial(61.4, 10.0)])
    assert both.stretch is not None and both.stretch.within is not None
    assert 0.4 < both.stretch.within < 0.5  # four of them: half of 0.9


def test_a_radius_that_springback_does_not_explain_is_said() -> None:
    assert not_explained(28.0, bender(), 0.02) == pytest.approx(28.0 * 0.98 / RADIUS_MM - 1)
    assert not_explained(26.2, bender(), 0.02) is None
    of = job(Segment(100.0, 90.0))
    for finished, said in ((28.0, True), (25.5, False), (None, False)):
        got = replace(of, bender=replace(of.bender, finished_radius_mm=finished))
        found = find_all(got, lay_out(got, STIFF), STIFF)
        assert any(f.rule == "stretch" and f.level == "caution" for f in found) is said
