"""Which line a mark meets and where the pen goes; crowns, cut length and gain."""

from dataclasses import replace
from math import pi, tan

import pytest

from benchcalc.core.job import End, Ends, Job, Line, Segment, To
from benchcalc.core.layout.straight_tube import Layout, lay_out
from tests.core.bench_jobs import RADIUS_MM, START, STIFF, job

L45 = Line("45", RADIUS_MM * tan(pi / 8), 45.0)
L90 = Line("90", RADIUS_MM, 90.0)
L135 = Line("135", RADIUS_MM * tan(3 * pi / 8), 135.0)
ALL = (START, L45, L90, L135)


def with_lines(of: Job, *lines: Line) -> Job:
    return replace(of, bender=replace(of.bender, lines=lines))


def line_of(angle_deg: float, *lines: Line, last_leg_mm: float = 300.0) -> Line | None:
    of = with_lines(job(Segment(300.0, angle_deg), last_leg_mm=last_leg_mm), *lines)
    mark = lay_out(of, STIFF).bends[0].mark
    return mark and mark.line


@pytest.mark.parametrize(
    ("angle_deg", "line"),
    [
        (45.0, L45), (90.0, L90), (135.0, L135), (10.0, L45), (67.4, L45), (67.6, L90),
        (112.4, L90), (112.6, L135), (149.0, L135), (150.0, L90), (165.0, L90), (180.0, L90),
    ],
)  # fmt: skip
def test_the_line_for_this_angle_else_the_nearest_and_the_90_line_from_150(
    angle_deg: float, line: Line
) -> None:
    assert line_of(angle_deg, *ALL) == line
    assert line_of(angle_deg, *reversed(ALL)) == line


def test_a_line_made_for_the_u_itself_comes_before_the_90_line() -> None:
    own = Line("180", RADIUS_MM, 180.0)
    assert line_of(180.0, *ALL, own) == own
    assert line_of(179.0, *ALL, own) == L90


@pytest.mark.parametrize("angle_deg", [67.5, 112.5])
def test_the_larger_line_on_a_tie(angle_deg: float) -> None:
    larger = L90 if angle_deg < 90 else L135
    assert line_of(angle_deg, *ALL) == larger
    assert line_of(angle_deg, *reversed(ALL)) == larger


def test_start_comes_last_whatever_its_place_in_the_profile() -> None:
    assert line_of(5.0, START, L135) == L135
    assert line_of(5.0, L135, START) == L135
    assert line_of(5.0, START) == START


def test_a_line_whose_mark_falls_off_the_tube_is_passed_over() -> None:
    """5 degrees take 2 mm of a last leg of 12: only the 45 line's mark, 10 mm on, is on it."""
    assert line_of(5.0, START, L90, L135, last_leg_mm=12.0) == START
    assert line_of(5.0, START, L90, L45, last_leg_mm=12.0) == L45
    assert line_of(90.0, L135, last_leg_mm=26.0) is None


ARC_22_MM = RADIUS_MM * pi / 8
ROOM_22_MM = RADIUS_MM * tan(pi / 16)


def two_bends(straight_mm: float, held: End, order: tuple[int, ...]) -> Layout:
    """Two bends of 22.5 degrees, arcs of 9.8 mm, with a straight between."""
    second = Segment(straight_mm + 2 * ROOM_22_MM, 22.5)
    of = with_lines(job(Segment(200.0, 22.5), second, last_leg_mm=200.0), START, L90, L135)
    return lay_out(replace(of, held=held, order=order), STIFF)


@pytest.mark.parametrize(
    ("straight_mm", "line"),
    [(16.0, L90), (RADIUS_MM - ARC_22_MM, L90), (15.1, START), (10.0, START), (2.0, START)],
)
def test_marks_on_or_past_a_bend_made_before_are_passed_over(
    straight_mm: float, line: Line
) -> None:
    """The 90 line's mark lies 25 mm on: before the other bend, on it (from 15.2) or past (5.4)."""
    towards: tuple[tuple[End, tuple[int, ...], int], ...] = (
        ("reference", (2, 1), 1),
        ("far", (1, 2), 2),
    )
    for held, order, number in towards:
        late = two_bends(straight_mm, held, order).bends[number - 1].mark
        assert late and late.line == line
        early = two_bends(straight_mm, held, order[::-1]).bends[number - 1].mark
        assert early and early.line == L90


def test_the_mark_counts_from_the_start_when_held_and_from_the_end_when_free() -> None:
    wanted: dict[End, float] = {"reference": 100.0, "far": 75.0 + RADIUS_MM * pi / 2 - 25.0}
    for held, at_mm in wanted.items():
        of = with_lines(job(Segment(100.0, 90.0, held=held)), *ALL)
        bend = lay_out(of, STIFF).bends[0]
        assert bend.held == held
        assert bend.mark and bend.mark.line == L90
        assert bend.mark.at_mm == pytest.approx(at_mm, abs=1e-12)


def test_a_bend_says_otherwise_than_its_job() -> None:
    of = job(Segment(100.0, 90.0, held="reference"), Segment(100.0, 90.0))
    layout = lay_out(replace(of, held="far"), STIFF)
    assert [bend.held for bend in layout.bends] == ["reference", "far"]


def test_from_the_last_corner_a_corner_line_s_mark_is_the_leg_itself() -> None:
    """Held by the reference end; with the far end held it is the leg less the gain."""
    of = with_lines(job(Segment(100.0, 90.0), Segment(120.0, 90.0)), *ALL)
    layout = lay_out(of, STIFF)
    assert layout.from_last_corner_mm(1) is None
    assert layout.from_last_corner_mm(2) == pytest.approx(120.0, abs=1e-12)
    far = lay_out(replace(of, held="far"), STIFF)
    assert far.from_last_corner_mm(2) == pytest.approx(120.0 - far.bends[1].gain_mm, abs=1e-12)


def test_from_the_last_crown_and_without_a_mark() -> None:
    of = with_lines(job(Segment(100.0, 180.0), Segment(90.0, 90.0)), *ALL)
    layout = lay_out(of, STIFF)
    assert layout.from_last_corner_mm(2) == pytest.approx(90.0, abs=1e-12)
    bare = lay_out(with_lines(of), STIFF)
    assert bare.from_last_corner_mm(2) is None


def test_gain_of_a_square_bend() -> None:
    """0.429204 R: 2 - pi/2, an exact fact of the trade."""
    bend = lay_out(job(Segment(100.0, 90.0)), STIFF).bends[0]
    assert bend.gain_mm / RADIUS_MM == pytest.approx(0.429204, abs=5e-7)
    assert bend.corner_mm == pytest.approx(100.0, abs=1e-12)


def test_a_u_is_measured_to_its_crown_and_has_no_corner() -> None:
    layout = lay_out(with_lines(job(Segment(100.0, 180.0)), *ALL), STIFF)
    (bend,) = layout.bends
    assert (bend.crown, bend.corner_mm) == (True, None)
    assert bend.start_mm == 75.0 and bend.set_back_mm == RADIUS_MM
    assert bend.gain_mm == pytest.approx(2 * RADIUS_MM - pi * RADIUS_MM)
    assert bend.mark and bend.mark.at_mm == 100.0
    assert layout.straight_after_mm == 75.0
    assert layout.cut_length_mm == pytest.approx(150.0 + pi * RADIUS_MM)


@pytest.mark.parametrize(
    ("angle_deg", "to", "crown"),
    [
        (149.9, None, False), (150.0, None, True), (150.0, "corner", False),
        (179.9, "corner", False), (90.0, "crown", True), (90.0, None, False), (180.0, None, True),
    ],
)  # fmt: skip
def test_corner_or_crown(angle_deg: float, to: To | None, crown: bool) -> None:
    bend = lay_out(job(Segment(100.0, angle_deg, to=to)), STIFF).bends[0]
    assert bend.crown == crown
    room = RADIUS_MM if crown else RADIUS_MM * tan(angle_deg / 360 * pi)
    assert bend.set_back_mm == pytest.approx(room, rel=1e-12)
    assert bend.start_mm == pytest.approx(100.0 - room, rel=1e-12)


@pytest.mark.parametrize(
    ("angle_deg", "to"),
    [(0.0, None), (-90.0, None), (180.1, None), (180.0, "corner"), (89.9, "crown")],
)
def test_bends_that_have_no_shape_are_refused_by_name(angle_deg: float, to: To | None) -> None:
    with pytest.raises(ValueError, match=f"{angle_deg}"):
        lay_out(job(Segment(100.0, angle_deg, to=to)), STIFF)


@pytest.mark.parametrize("ends", [Ends(12.0, 5.0), Ends(-12.0, 5.0), Ends(-12.0, -8.5)])
def test_allowances_move_every_mark_and_the_cut_but_no_straight(ends: Ends) -> None:
    of = with_lines(job(Segment(100.0, 90.0), Segment(100.0, 45.0, 90.0)), *ALL)
    plain, moved = lay_out(of, STIFF), lay_out(replace(of, ends=ends), STIFF)
    assert moved.shift_mm == ends.start_mm
    grown = moved.cut_length_mm - plain.cut_length_mm
    assert grown == pytest.approx(ends.start_mm + ends.finish_mm, abs=1e-12)
    assert moved.straight_after_mm == plain.straight_after_mm
    for there, here in zip(moved.bends, plain.bends, strict=True):
        assert there.mark and here.mark
        assert there.mark.at_mm - here.mark.at_mm == pytest.approx(ends.start_mm, abs=1e-12)
        assert there.start_mm - here.start_mm == pytest.approx(ends.start_mm, abs=1e-12)
        assert there.straight_before_mm == here.straight_before_mm


def test_legs_on_the_heel_and_in_the_throat() -> None:
    """10 mm tube: 5 mm a side at a square corner and at a crown, per leg or for the whole job."""
    heel = job(Segment(105.0, 90.0), Segment(110.0, 180.0), last_leg_mm=105.0)
    throat = job(Segment(95.0, 90.0), Segment(90.0, 180.0), last_leg_mm=95.0)
    centre = lay_out(job(Segment(100.0, 90.0), Segment(100.0, 180.0)), STIFF)
    assert lay_out(replace(heel, measured="outside"), STIFF) == centre
    assert lay_out(replace(throat, measured="inside"), STIFF) == centre
    mixed = job(Segment(105.0, 90.0, measured="outside"), Segment(90.0, 180.0, measured="inside"))
    assert lay_out(mixed, STIFF) == centre
    last = replace(mixed, run=replace(mixed.run, last_leg_mm=105.0, last_measured="outside"))
    assert lay_out(last, STIFF) == centre


def test_the_order_of_bending_is_kept() -> None:
    of = replace(job(*[Segment(100.0, 90.0)] * 3), order=(2, 3, 1))
    layout = lay_out(of, STIFF)
    assert [bend.order for bend in layout.bends] == [3, 1, 2]
    assert [bend.number for bend in layout.in_order] == [2, 3, 1]
