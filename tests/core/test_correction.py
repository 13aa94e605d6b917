"""A correction by hand, its bounds, and what is said of marks and heels."""

from dataclasses import replace
from math import dist, radians, tan

import pytest

from benchcalc.core.fit.correction import correct, heel_back, home_of
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.job import Ends, Job, Line, Run, Segment
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.springback.first_guess import Springback
from tests.core.bench_jobs import RADIUS_MM, START, STIFF, bender, job

OD_MM = 10.0
SQUARE = Line("90", RADIUS_MM, 90.0)
OPENING = Springback(0.8, 0.03, 0.01, 1e-4, source="measured")
STEPS = (Segment(120.0, 90.0), Segment(150.0, 90.0, 90.0), Segment(130.0, 45.0, 180.0))


def bench_job(*segments: Segment, **changes: object) -> Job:
    die = replace(bender((START, SQUARE)), grip_mm=30.0, free_mm=25.0, between_mm=12.0)
    return replace(job(*(segments or STEPS), last_leg_mm=140.0), bender=die, **changes)  # type: ignore[arg-type]


def miss_of(corrected: Job, planned: Job, law: Springback = STIFF) -> float:
    ends = [trace(lay_out(one, law)).end_point for one in (corrected, planned)]
    return dist(*ends)


def test_a_bend_that_came_out_right_changes_nothing() -> None:
    found = correct(bench_job(), STIFF, {1: 90.0})
    assert found.now == pytest.approx((0.0, 0.0), abs=1e-9)
    assert found.after == pytest.approx((0.0, 0.0), abs=1e-9)
    for shift in found.shifts:
        assert shift.past_mm == pytest.approx(0.0, abs=1e-9)
        assert (shift.angle_by_deg, shift.turn_by_deg) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_in_one_plane_with_one_bend_left_the_place_comes_first() -> None:
    """The first of two 90s came out at 92; the second can mend place or direction, not both.

    Within what the place may miss, the direction is brought as far as the fit asks, and no more.
    """
    plan = bench_job(Segment(150.0, 90.0), Segment(160.0, 90.0, 180.0))
    found = correct(plan, STIFF, {1: 92.0})
    assert found.now == pytest.approx((6.78, 2.0), abs=0.01)
    assert found.fits and found.points
    assert 1.0 < found.after.by_mm < 2.0 and found.after.by_deg > 0.9
    second = found.job.run.segments[1]
    assert second.angle_deg == pytest.approx(92.0 - found.after.by_deg, abs=1e-6)
    assert second.turn_deg == pytest.approx(180.0, abs=1e-6)
    assert miss_of(found.job, plan) == pytest.approx(found.after.by_mm, abs=1e-9)


def test_what_is_made_stays_and_the_tube_keeps_its_length() -> None:
    for law in (STIFF, OPENING):
        plan = bench_job()
        before, found = lay_out(plan, law), correct(plan, law, {1: 91.5})
        made = found.layout.bends[0]
        assert made.start_mm == pytest.approx(before.bends[0].start_mm)
        assert made.angle_deg == 91.5
        assert found.layout.cut_length_mm == pytest.approx(before.cut_length_mm)
        assert [shift.bend for shift in found.shifts] == [2, 3]
        assert found.fits and found.points and found.after.by_mm < 0.05 < found.now.by_mm
        assert miss_of(found.job, plan, law) == pytest.approx(found.after.by_mm, abs=1e-9)


def test_held_at_the_far_end_the_end_of_the_bend_stays() -> None:
    plan = bench_job(held="far", order=(3, 2, 1))
    before, found = lay_out(plan, OPENING), correct(plan, OPENING, {3: 46.5})
    assert found.layout.bends[2].end_mm == pytest.approx(before.bends[2].end_mm)
    assert found.layout.bends[2].start_mm < before.bends[2].start_mm
    assert [shift.bend for shift in found.shifts] == [2, 1]
    assert found.fits and found.after.by_mm < 0.05


def test_a_turn_between_made_bends_is_kept_whatever_is_bent_between_them() -> None:
    plan = bench_job(order=(1, 3, 2))
    found = correct(plan, STIFF, {1: 90.5, 3: 44.0})
    turns = [segment.turn_deg for segment in found.job.run.segments]
    assert sum(turns) == pytest.approx(270.0, abs=1e-6)
    assert turns[1] != pytest.approx(90.0, abs=1e-3)
    before = lay_out(plan, STIFF)
    for n in (0, 2):
        assert found.layout.bends[n].start_mm == pytest.approx(before.bends[n].start_mm)
    assert found.after.by_mm < found.now.by_mm


def test_with_all_bends_made_nothing_can_be_done() -> None:
    plan = bench_job()
    found = correct(plan, STIFF, {1: 91.0, 2: 90.0, 3: 46.0})
    assert found.shifts == () and found.after == found.now
    assert found.now.by_mm > 2.0 and not found.fits
    assert found.job.run.segments[2].angle_deg == 46.0


def test_what_no_correction_can_bring_is_told_with_the_best_there_is() -> None:
    """Bent 20 degrees too far, one bend left: nothing brings it within 2 mm, and it says so."""
    found = correct(bench_job(*STEPS[:2]), STIFF, {1: 115.0})
    assert not (found.fits and found.points)
    assert found.after.by_mm < found.now.by_mm


def test_the_bounds_of_bender_and_fitting_hold() -> None:
    """With no room to spare on any straight, what cannot move does not."""
    tight = bench_job(
        Segment(30.0 + RADIUS_MM, 90.0),
        Segment(2 * RADIUS_MM + 12.0, 90.0, 90.0),
        Segment(2 * RADIUS_MM + 12.0, 90.0, 90.0),
    )
    tight = replace(tight, run=replace(tight.run, last_leg_mm=RADIUS_MM + 25.0))
    for off_deg in (-3.0, 3.0):
        found = correct(tight, STIFF, {1: 90.0 + off_deg})
        for bend in found.layout.bends[1:]:
            assert bend.straight_before_mm >= min(12.0, 12.0 - radians(off_deg) * RADIUS_MM) - 1e-6
        assert found.layout.straight_after_mm >= 25.0 - 1e-6


def test_no_angle_goes_past_the_travel() -> None:
    plan = bench_job()
    short = replace(plan, bender=replace(plan.bender, max_angle_deg=90.0))
    found = correct(short, STIFF, {1: 85.0})
    assert max(bend.bend_to_deg for bend in found.layout.bends) <= 90.0 + 1e-6


def test_a_wide_width_takes_the_change() -> None:
    """Where marks cost nearly all there is, angles and turns change and they do not, and so on."""
    for widths, moved in (((0.001, 2.0, 2.0), 2), ((5.0, 0.5, 0.001), 0)):
        shifts = correct(bench_job(), STIFF, {1: 91.0}, Tolerances(*widths)).shifts
        by = [
            max(abs(shift.past_mm or 0.0) for shift in shifts),
            max(abs(shift.angle_by_deg) for shift in shifts),
            max(abs(shift.turn_by_deg) for shift in shifts),
        ]
        assert by[moved] > 0.3
        assert by[widths.index(0.001)] < 0.2 * by[moved]


def test_legs_stay_written_as_they_were_measured() -> None:
    """Outside, inside and centre legs are three ways to write one tube."""
    plan = bench_job()
    wanted = correct(plan, OPENING, {1: 91.2})
    e = OD_MM / 2
    for how, sign in (("outside", 1), ("inside", -1)):
        more = [sign * e * tan(radians(a) / 2) for a in (90, 90, 45)]
        legs = [120 + more[0], 150 + more[0] + more[1], 130 + more[1] + more[2]]
        rows = tuple(replace(s, leg_mm=leg) for s, leg in zip(STEPS, legs, strict=True))
        run = Run(rows, 140.0 + more[2])
        found = correct(replace(plan, run=run, measured=how), OPENING, {1: 91.2})  # type: ignore[arg-type]
        assert found.after == pytest.approx(wanted.after, abs=1e-6)
        for own, other in zip(found.layout.bends, wanted.layout.bends, strict=True):
            assert own.start_mm == pytest.approx(other.start_mm, abs=1e-6)


def test_a_crown_stays_a_crown_while_it_can() -> None:
    plan = bench_job(Segment(150.0, 180.0), Segment(160.0, 60.0, 90.0), Segment(120.0, 30.0))
    found = correct(plan, STIFF, {1: 178.0})
    assert found.job.run.segments[0].crown and found.after.by_mm < found.now.by_mm
    plan = bench_job(Segment(150.0, 90.5, to="crown"), *STEPS[1:])
    found = correct(plan, STIFF, {1: 89.5})
    assert not found.job.run.segments[0].crown and found.after.by_mm < 0.1


def test_a_shift_is_past_the_old_mark_and_from_the_last_heel() -> None:
    """A 90 ends R past its corner; its outer surface reaches R + D/2 back from there."""
    plan = bench_job()
    before, found = lay_out(plan, STIFF), correct(plan, STIFF, {1: 91.0})
    second, third = found.shifts
    for shift in (second, third):
        mark, old = found.layout.bends[shift.bend - 1].mark, before.bends[shift.bend - 1].mark
        assert mark is not None and old is not None and shift.past_mm is not None
        assert shift.past_mm == pytest.approx(mark.at_mm - old.at_mm)
        made = found.layout.bends[0]
        on = mark.at_mm - made.end_mm + RADIUS_MM + OD_MM / 2
        assert shift.heel_of == 1
        assert shift.from_heel_mm == pytest.approx(on)
    reverse = correct(bench_job(order=(3, 2, 1)), STIFF, {3: 46.0})
    assert [s.heel_of for s in reverse.shifts] == [None, None]
    assert [s.from_heel_mm for s in reverse.shifts] == [None, None]


def test_the_heel_of_a_bend_under_90_is_where_the_outer_surfaces_cross() -> None:
    layout = lay_out(bench_job(), STIFF)
    outer = RADIUS_MM + OD_MM / 2
    assert heel_back(layout.bends[0], OD_MM) == pytest.approx(outer)
    assert heel_back(layout.bends[2], OD_MM) == pytest.approx(outer * tan(radians(22.5)))


def test_the_allowance_at_the_start_does_not_take_part() -> None:
    plain, longer = (
        correct(bench_job(ends=Ends(start, 0.0)), STIFF, {1: 91.0}) for start in (0.0, 40.0)
    )
    assert longer.after == pytest.approx(plain.after, abs=1e-6)
    for own, other in zip(plain.shifts, longer.shifts, strict=True):
        assert own.past_mm == pytest.approx(other.past_mm, abs=1e-6)
        assert own.from_heel_mm == pytest.approx(other.from_heel_mm, abs=1e-6)


def test_a_second_correction_aims_where_the_drawing_does() -> None:
    plan = bench_job()
    home = home_of(trace(lay_out(plan, STIFF)))
    first = correct(plan, STIFF, {1: 91.0})
    meant = first.job.run.segments[1].angle_deg
    second = correct(first.job, STIFF, {1: 91.0, 2: meant + 0.6}, home=home)
    assert second.now.by_mm > 0.5 > second.after.by_mm
    assert miss_of(second.job, plan) == pytest.approx(second.after.by_mm, abs=1e-9)
    kept = first.layout.bends[1].start_mm
    assert second.layout.bends[1].start_mm == pytest.approx(kept)


@pytest.mark.parametrize(
    ("number", "angle"), [(0, 90.0), (4, 90.0), (1, 0.0), (1, 180.5), (1, -3.0)]
)
def test_what_cannot_have_been_bent_is_refused(number: int, angle: float) -> None:
    with pytest.raises(ValueError, match=f"bend {number}"):
        correct(bench_job(), STIFF, {number: angle})
