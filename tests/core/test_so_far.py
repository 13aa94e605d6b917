"""A piece under way: turns that were measured, marks that were moved, in any order of bending."""

from dataclasses import replace

import pytest

from benchcalc.core.fit.correction import correct, home_of
from benchcalc.core.fit.so_far import SoFar, turns_so_far
from benchcalc.core.fit.tube_job import tube_of
from benchcalc.core.job import Job, Line, Run, Segment
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.core.bench_jobs import RADIUS_MM, START, STIFF, bender, job

STEPS = (
    Segment(120.0, 90.0), Segment(150.0, 60.0, 90.0), Segment(130.0, 45.0, 20.0),
    Segment(140.0, 90.0, -90.0),
)  # fmt: skip


def bench_job(**changes: object) -> Job:
    die = replace(bender((START, Line("90", RADIUS_MM, 90.0))), grip_mm=30.0, free_mm=25.0)
    return replace(job(*STEPS, last_leg_mm=140.0), bender=die, **changes)  # type: ignore[arg-type]


def turns(order: tuple[int, ...], **turned: float) -> list[float]:
    plan = lay_out(bench_job(order=order), STIFF)
    measured = {int(name[1:]): turn for name, turn in turned.items()}
    return list(turns_so_far(plan, measured).values())


def test_in_order_a_measured_turn_is_the_drawings_and_carries_the_rest_along() -> None:
    assert turns((1, 2, 3, 4), n2=87.0) == pytest.approx([0, 87, 20, -90])
    assert turns((1, 2, 3, 4), n2=87.0, n4=-91.0) == pytest.approx([0, 87, 20, -91])


def test_in_reverse_order_it_lies_between_the_bend_and_the_one_made_before() -> None:
    """Bend 3 after bend 4: the turn between them is the drawing's of bend 4."""
    assert turns((4, 3, 2, 1), n3=-93.0) == pytest.approx([0, 90, 20, -93])


def test_bends_made_before_keep_what_they_have_to_one_another() -> None:
    """1, 4, then 2 turned 3 too far from 4: 1 and 4 lie as they did, and 3 follows 2."""
    plan = lay_out(bench_job(order=(1, 4, 2, 3)), STIFF)
    drawn_deg = 20.0 - 90.0
    after = turns_so_far(plan, {2: drawn_deg - 3.0})
    assert sum(after.values()) == pytest.approx(90.0 + 20.0 - 90.0)
    assert after[2] == pytest.approx(93.0) and after[3] == pytest.approx(20.0)
    assert after[4] == pytest.approx(-93.0)


def test_a_turn_past_half_a_turn_is_the_same_the_other_way() -> None:
    assert turns((1, 2, 3, 4), n2=-268.0) == pytest.approx([0, 92, 20, -90])


def test_a_measured_turn_is_corrected_like_an_angle() -> None:
    plan = bench_job()
    found = correct(plan, STIFF, {1: 90.0, 2: 60.0}, turned={2: 94.0})
    assert found.now.by_mm > 10 and found.after.by_mm < 0.05
    assert found.job.run.segments[1].turn_deg == 94.0
    right = correct(plan, STIFF, {1: 90.0, 2: 60.0}, turned={2: 90.0})
    assert right.now.by_mm == pytest.approx(0, abs=1e-9)


def test_a_bend_that_is_only_turned_keeps_its_turn_and_gives_its_angle() -> None:
    found = correct(bench_job(), STIFF, {1: 90.0}, turned={2: 94.0})
    second = found.job.run.segments[1]
    assert second.turn_deg == 94.0 and second.angle_deg != 60.0
    assert [shift.bend for shift in found.shifts] == [2, 3, 4]
    assert found.after.by_mm < 0.05


def test_corrections_in_turn_by_marks_as_they_were_moved() -> None:
    """Bend 1 off, the correction taken; bend 2, made by its new mark and turn, off as well.

    Told whole, from the job as drawn, the piece is the one that was corrected step by step.
    """
    plan = bench_job()
    home = home_of(trace(lay_out(plan, STIFF)))
    first = correct(plan, STIFF, {1: 91.4})
    second = first.layout.bends[1]
    assert second.mark is not None
    came = {1: 91.4, 2: second.angle_deg - 0.8}
    stepwise = tube_of(first.job, first.layout, STIFF, SoFar(came)).far_end()
    moved = {2: second.mark.at_mm}
    told = correct(plan, STIFF, came, turned={2: second.turn_deg}, marked=moved)
    by_hand = correct(first.job, STIFF, came, home=home)
    assert told.now.by_mm != pytest.approx(by_hand.now.by_mm, abs=0.01)  # the rest as drawn
    assert told.after.by_mm == pytest.approx(by_hand.after.by_mm, abs=0.01)
    for own, other in zip(told.layout.bends[:2], by_hand.layout.bends[:2], strict=True):
        assert own.start_mm == pytest.approx(other.start_mm, abs=1e-9)
        assert own.turn_deg == pytest.approx(other.turn_deg, abs=1e-9)
    assert stepwise[0] != pytest.approx(home.point, abs=0.5)


def test_a_mark_stays_with_the_line_it_was_drawn_for() -> None:
    """A bend that is corrected past the angle where another line would be nearer."""
    lines = (START, Line("45", 10.0, 45.0), Line("90", RADIUS_MM, 90.0))
    steps = (Segment(120.0, 90.0), Segment(150.0, 67.4, 90.0), Segment(130.0, 45.0, 20.0))
    plan = replace(bench_job(), bender=replace(bench_job().bender, lines=lines))
    plan = replace(plan, run=Run(steps, 140.0))
    for off_deg in (-4.0, 4.0):
        found = correct(plan, STIFF, {1: 90.0 + off_deg})
        mark = found.layout.bends[1].mark
        assert mark is not None and mark.line.name == "45"
        assert abs(found.shifts[0].past_mm or 0.0) < 10.0


@pytest.mark.parametrize(
    ("so_far", "says"),
    [
        (SoFar({7: 90.0}), "bends 1 to 4"),
        (SoFar(turned={0: 3.0}), "bends 1 to 4"),
        (SoFar({1: 190.0}), "over 0 and up to 180"),
        (SoFar(turned={2: 400.0}), "from -360 to 360"),
        (SoFar(turned={1: 10.0}), "made first"),
        (SoFar(marked={2: -1.0}), "from 0 to"),
    ],
)
def test_what_cannot_be_is_refused(so_far: SoFar, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        so_far.checked(lay_out(bench_job(), STIFF))
