"""Every finding at its limit, a hair under and a hair over; and several at once."""

from dataclasses import replace
from math import pi

import pytest

from benchcalc.core.checks.findings import Finding, find_all, wall_range
from benchcalc.core.job import End, Ends, Job, Line, Segment, SlipOn, Tube, WallRange
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.springback.first_guess import Springback
from tests.core.bench_jobs import RADIUS_MM, START, STIFF, job

HAIR = 1e-4
ROUNDING = 1e-8
"""What a length written in inches may differ by from the same one in millimetres, and more."""
SQUARE = Segment(100.0, 90.0)
"""On the 25 mm die a square bend takes 25 mm of the leg on each side."""


def findings(of: Job, springback: Springback = STIFF) -> tuple[Finding, ...]:
    """All but what is said of every run, and of all metal so far stretched as here."""
    found = find_all(of, lay_out(of, springback), springback)
    always = {"wall-after", "temper", "seam", "strain"}
    return tuple(f for f in found if f.rule not in always)


def rules(of: Job, springback: Springback = STIFF) -> list[tuple[str, str, int | None]]:
    return [(f.level, f.rule, f.bend) for f in findings(of, springback)]


def with_bender(of: Job, **fields: object) -> Job:
    return replace(of, bender=replace(of.bender, **fields))  # type: ignore[arg-type]


def test_a_good_run_has_no_findings() -> None:
    assert rules(job(SQUARE, SQUARE)) == []


@pytest.mark.parametrize(
    ("leg_mm", "found"), [(50 - HAIR, True), (50.0, False), (50 + HAIR, False)]
)
def test_negative_straight_between_two_bends(leg_mm: float, found: bool) -> None:
    got = rules(job(SQUARE, Segment(leg_mm, 90.0)))
    assert (("stop", "negative-straight", 2) in got) == found
    assert found or got == []


@pytest.mark.parametrize(
    ("leg_mm", "found"), [(25 - HAIR, True), (25.0, False), (25 + HAIR, False)]
)
def test_negative_outer_straights(leg_mm: float, found: bool) -> None:
    assert (("stop", "negative-straight", 1) in rules(job(Segment(leg_mm, 90.0)))) == found
    last = job(SQUARE, SQUARE, last_leg_mm=leg_mm)
    assert (("stop", "negative-straight", 2) in rules(last)) == found


@pytest.mark.parametrize(
    ("leg_mm", "found"),
    [(62 - HAIR, True), (62 - ROUNDING, False), (62.0, False), (62 + HAIR, False)],
)
def test_straight_between(leg_mm: float, found: bool) -> None:
    got = rules(with_bender(job(SQUARE, Segment(leg_mm, 90.0)), between_mm=12.0))
    assert got == ([("stop", "straight-between", 2)] if found else [])


@pytest.mark.parametrize(
    ("held", "order", "gripped"),
    [
        ("reference", (1, 2), True),
        ("far", (1, 2), False),
        ("reference", (2, 1), False),
        ("far", (2, 1), True),
    ],
)
def test_room_to_grip_is_judged_on_the_side_that_is_held(
    held: End, order: tuple[int, ...], gripped: bool
) -> None:
    """20 mm between two bends, a grip of 30 and 12 between bends: the later bend is held by it only
    where the earlier one lies on the held side."""
    of = job(Segment(200.0, 90.0), Segment(70.0, 90.0), last_leg_mm=200.0)
    of = with_bender(replace(of, held=held, order=order), grip_mm=30.0, between_mm=12.0)
    assert rules(of) == ([("caution", "straight-between", 2)] if gripped else [])
    enough = with_bender(of, grip_mm=20.0)
    assert rules(enough) == []


def test_a_negative_straight_is_not_also_a_short_one() -> None:
    got = rules(with_bender(job(SQUARE, Segment(40.0, 90.0)), between_mm=12.0))
    assert ("stop", "negative-straight", 2) in got
    assert ("stop", "straight-between", 2) not in got


OUTER = [
    ("reference", "grip_mm", "straight-first", "held"),
    ("far", "free_mm", "straight-first", "free"),
    ("far", "grip_mm", "straight-last", "held"),
    ("reference", "free_mm", "straight-last", "free"),
]


@pytest.mark.parametrize(("held", "need", "rule", "side"), OUTER)
@pytest.mark.parametrize("allowance_mm", [0.0, 7.0, -7.0])
@pytest.mark.parametrize(("beside_mm", "found"), [(-HAIR, True), (0.0, False), (HAIR, False)])
def test_outer_straights_for_the_bender_count_the_allowance(
    held: End, need: str, rule: str, side: str, allowance_mm: float, beside_mm: float, found: bool
) -> None:
    leg_mm = RADIUS_MM + 40.0 - allowance_mm + beside_mm
    first = rule == "straight-first"
    of = job(Segment(leg_mm if first else 300.0, 90.0), last_leg_mm=300.0 if first else leg_mm)
    ends = Ends(allowance_mm, 0.0) if first else Ends(0.0, allowance_mm)
    of = with_bender(replace(of, held=held, ends=ends), **{need: 40.0})
    got = findings(of)
    assert [(f.level, f.rule, f.bend) for f in got] == ([("stop", rule, 1)] if found else [])
    if found:
        values = dict(got[0].values)
        assert values["for"] == side and values["need_mm"] == 40.0
        assert values["straight_mm"] == pytest.approx(40.0 - HAIR, abs=1e-9)


@pytest.mark.parametrize("first", [True, False])
@pytest.mark.parametrize("allowance_mm", [0.0, 50.0, -7.0])
@pytest.mark.parametrize(("beside_mm", "found"), [(-HAIR, True), (0.0, False), (HAIR, False)])
def test_outer_straights_for_the_fitting_leave_the_allowance_out(
    first: bool, allowance_mm: float, beside_mm: float, found: bool
) -> None:
    leg_mm = RADIUS_MM + 30.0 + beside_mm
    of = job(Segment(leg_mm, 90.0), last_leg_mm=leg_mm)
    ends, need = Ends(allowance_mm, allowance_mm), Ends(30.0, 0.0) if first else Ends(0.0, 30.0)
    got = findings(replace(of, ends=ends, straight=need))
    rule = "straight-first" if first else "straight-last"
    assert [(f.level, f.rule, f.bend) for f in got] == ([("stop", rule, 1)] if found else [])
    assert all(dict(f.values)["for"] == "fitting" for f in got)


def test_the_held_side_is_the_one_of_the_bend_that_has_the_end() -> None:
    """The far end is held for bend 2 only: grip is asked at the last straight, free at first."""
    of = job(SQUARE, replace(SQUARE, held="far"), last_leg_mm=RADIUS_MM + 20)
    got = rules(with_bender(of, grip_mm=21.0, free_mm=5.0))
    assert got == [("stop", "straight-last", 2)]


@pytest.mark.parametrize(
    ("last_mm", "found"), [(20 - HAIR, True), (20.0, False), (20 + HAIR, False)]
)
def test_a_mark_off_the_end_of_the_tube(last_mm: float, found: bool) -> None:
    """The last leg is as long as the 90 line's mark needs, to a hair."""
    arc = RADIUS_MM * pi / 2
    of = with_bender(job(SQUARE), lines=(Line("90", arc + 20.0, 90.0),))
    of = replace(of, run=replace(of.run, last_leg_mm=RADIUS_MM + last_mm))
    assert rules(of) == ([("stop", "mark-off-straight", 1)] if found else [])


@pytest.mark.parametrize(("held", "order", "bend"), [("reference", (2, 1), 1), ("far", (1, 2), 2)])
@pytest.mark.parametrize("offset_mm", [60.0, 100.0])
def test_a_mark_on_or_past_a_bend_made_before(
    held: End, order: tuple[int, ...], bend: int, offset_mm: float
) -> None:
    """10 mm of straight between two arcs of 39: 60 falls on the other bend, 100 beyond it."""
    of = with_bender(job(SQUARE, Segment(60.0, 90.0)), lines=(Line("90", offset_mm, 90.0),))
    assert rules(replace(of, held=held, order=order)) == [("stop", "mark-off-straight", bend)]
    with_start = with_bender(of, lines=(*of.bender.lines, START))
    assert rules(replace(with_start, held=held, order=order)) == []


@pytest.mark.parametrize(
    ("travel", "found"), [(94 - HAIR, True), (94.0, False), (94 + HAIR, False)]
)
def test_travel_counts_the_overbend(travel: float, found: bool) -> None:
    four_over = Springback(4.0, 0.0, 0.0, 0.0, source="measured")
    got = rules(with_bender(job(SQUARE), max_angle_deg=travel), four_over)
    assert got == ([("stop", "angle-travel", 1)] if found else [])
    assert rules(with_bender(job(SQUARE), max_angle_deg=90.0)) == []


def test_a_u_that_needs_184_on_a_bender_that_ends_at_183() -> None:
    four_over = Springback(4.0, 0.0, 0.0, 0.0, source="measured")
    of = with_bender(job(Segment(200.0, 180.0), last_leg_mm=200.0), max_angle_deg=183.0)
    (found,) = findings(of, four_over)
    assert (found.level, found.rule, found.bend) == ("stop", "angle-travel", 1)
    values = {"angle_deg": 180.0, "bend_to_deg": 184.0, "travel_deg": 183.0}
    assert dict(found.values) == pytest.approx(values)
    assert rules(with_bender(of, max_angle_deg=184.0), four_over) == []


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(
    ("off_mm", "level"),
    [
        (0.0, None),
        (HAIR, "caution"),
        (0.1 - HAIR, "caution"),
        (0.1, "caution"),
        (0.1 + HAIR, "stop"),
    ],
)
def test_tube_beside_the_die(sign: int, off_mm: float, level: str | None) -> None:
    of = replace(job(SQUARE), tube=Tube(10.0 + sign * off_mm, 1.0, "steel"))
    assert rules(of) == ([(level, "od-die", None)] if level else [])


def test_a_tenth_is_a_tenth_however_it_rounds() -> None:
    of = replace(job(SQUARE), tube=Tube(10.1 + ROUNDING, 1.0, "steel"))
    assert rules(of) == [("caution", "od-die", None)]


def test_eight_millimetres_in_a_five_sixteenths_die_is_a_caution() -> None:
    of = with_bender(replace(job(SQUARE), tube=Tube(8.0, 1.0, "steel")), od_mm=5 / 16 * 25.4)
    assert rules(of) == [("caution", "od-die", None)]


WALLS = [
    (0.5 - HAIR, True), (0.5, False), (0.5 + HAIR, False),
    (2.0 - HAIR, False), (2.0, False), (2.0 + HAIR, True),
]  # fmt: skip


@pytest.mark.parametrize(("wall_mm", "found"), WALLS)
def test_wall_outside_the_dies_range(wall_mm: float, found: bool) -> None:
    of = replace(job(SQUARE), tube=Tube(10.0, wall_mm, "steel"))
    assert rules(of) == ([("stop", "wall-die", None)] if found else [])


def test_the_materials_own_wall_range_comes_before_any() -> None:
    walls = (WallRange("any", 0.5, 2.0), WallRange("steel", 1.2, 2.0))
    of = with_bender(job(SQUARE), walls=walls)
    assert rules(of) == [("stop", "wall-die", None)]
    assert wall_range(of.bender, "steel") == (1.2, 2.0)
    assert wall_range(of.bender, "copper") == (0.5, 2.0)


@pytest.mark.parametrize(
    ("walls", "level"), [((), "note"), ((WallRange("copper", 0.5, 2.0),), "caution")]
)
def test_a_die_that_says_nothing_of_this_material(walls: tuple[WallRange, ...], level: str) -> None:
    """One that names other materials has left this one out; one that names none is a note."""
    assert rules(with_bender(job(SQUARE), walls=walls)) == [(level, "wall-die", None)]


@pytest.mark.parametrize(("beside_mm", "found"), [(-HAIR, True), (0.0, False), (HAIR, False)])
def test_longer_than_the_stick_with_its_allowances(beside_mm: float, found: bool) -> None:
    cut = 100 + 100 - 2 * RADIUS_MM + RADIUS_MM * pi / 2 + 12 - 3
    of = replace(job(SQUARE), ends=Ends(12.0, -3.0), stock_mm=cut + beside_mm)
    assert rules(of) == ([("stop", "stock", None)] if found else [])


def test_parts_to_slide_on_are_named_at_the_bend_they_must_go_before() -> None:
    of = replace(job(SQUARE, SQUARE), slip_on=SlipOn("nut and ferrules", "sleeve"))
    assert rules(of) == [("note", "slip-on", 1), ("note", "slip-on", 2)]
    assert [dict(f.values) for f in findings(of)] == [
        {"parts": "nut and ferrules", "end": "start"},
        {"parts": "sleeve", "end": "finish"},
    ]
    assert rules(replace(of, slip_on=SlipOn(finish="sleeve"))) == [("note", "slip-on", 2)]


def test_a_guessed_overbend_is_said_and_a_measured_one_is_not() -> None:
    guess = Springback(1.0, 0.0, 0.25, 0.0, noise_deg=0.0)
    (found,) = findings(job(Segment(100.0, 45.0), SQUARE), guess)
    assert (found.level, found.rule, found.bend) == ("note", "overbend-guess", None)
    assert dict(found.values) == pytest.approx(
        {"angle_deg": 90.0, "overbend_deg": 1.0, "spread_deg": 0.5}
    )
    assert rules(job(SQUARE), replace(guess, source="measured")) == []


def test_everything_wrong_at_once_is_said_at_once_stops_first() -> None:
    of = job(Segment(40.0, 90.0), Segment(45.0, 90.0), Segment(60.0, 120.0), last_leg_mm=60.0)
    of = with_bender(of, grip_mm=20.0, free_mm=25.0, between_mm=15.0, max_angle_deg=100.0)
    of = replace(
        of,
        tube=Tube(10.05, 2.5, "steel"),
        slip_on=SlipOn("nut"),
        stock_mm=100.0,
        straight=Ends(16.0, 18.0),
    )
    guess = Springback(0.0, 0.0, 0.25, 0.0)
    got = rules(of, guess)
    levels = [level for level, _, _ in got]
    assert levels == sorted(levels, key=("stop", "caution", "note").index)
    stops = [(bend or 0) for level, _, bend in got if level == "stop"]
    assert stops == sorted(stops)
    assert {(rule, bend) for _, rule, bend in got} >= {
        ("wall-die", None), ("stock", None), ("straight-first", 1), ("negative-straight", 2),
        ("negative-straight", 3), ("angle-travel", 3), ("straight-last", 3), ("od-die", None),
        ("slip-on", 1), ("overbend-guess", None),
    }  # fmt: skip
    assert [rule for _, rule, bend in got if bend == 1 and rule == "straight-first"] == [
        "straight-first", "straight-first"
    ]  # fmt: skip


@pytest.mark.parametrize("b", [0.94, 0.999, 1.0, 1.01, 1.2, 40.0])
def test_a_tube_that_opens_by_all_of_its_pull_is_a_finding(b: float) -> None:
    """Taught so by bends that came out the flatter the farther they were pulled: no radius."""
    opens = replace(STIFF, b=b)
    layout = lay_out(job(SQUARE, SQUARE), opens)
    assert all(bend.radius_mm >= RADIUS_MM for bend in layout.bends)
    assert ("stop", "angle-travel", 1) in rules(job(SQUARE, SQUARE), opens)
