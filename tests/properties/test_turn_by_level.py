"""Turns by a level against rotations of scipy, and their signs on the simulated bender.

The bender knows nothing of runs or turns: a level is laid on its tube, and what it reads is the
upward part of the way the leg goes there.
"""

from math import asin, degrees
from random import Random

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.layout.turn_by_level import (
    ALIKE_DEG,
    LAYS,
    Lay,
    Side,
    aim_by_level,
    best_aim,
    from_last,
    leans,
    mirrored,
    rise_deg,
    turn_by_level,
    turn_of_hands,
    turns_across,
    unfolded,
)
from tests.properties.level_on_bender import UP, leg_goes, outer_leg
from tests.properties.simulated_bender import SimulatedBender
from tests.properties.test_simulated_bender import random_sheet, stations

CASES = 10_000


def test_the_formulas_are_those_of_rotations() -> None:
    """The tube lies along x; its last bend curved towards +y, then it is turned about x.

    Its last leg came along +x before the bend, so it goes off along -x from there. A turn of the
    drawing is the hands' the other way round.
    """
    dice = np.random.default_rng(19)
    angles, turns = dice.uniform(1, 179, CASES), dice.uniform(-180, 180, CASES)
    bent = Rotation.from_rotvec(np.outer(np.radians(angles), [0, 0, -1]))
    rolled = Rotation.from_rotvec(np.outer(np.radians(-turns), [1, 0, 0]))
    legs = rolled.apply(-bent.apply(np.array([1.0, 0.0, 0.0])))
    for lay, up in (("flat", UP["flat", "right"]), ("upright", UP["upright", "right"])):
        rises = np.degrees(np.arcsin(legs @ up))
        told = [rise_deg(lay, a, t) for a, t in zip(angles, turns, strict=True)]  # type: ignore[arg-type]
        assert np.abs(rises - told).max() < 1e-6, lay


def test_what_a_level_reads_gives_the_turn_back() -> None:
    dice = Random(3)
    for _ in range(CASES):
        angle, turn = dice.uniform(5, 175), dice.uniform(-180, 180)
        for lay in LAYS:
            back = turn_by_level(lay, angle, rise_deg(lay, angle, turn), turn)
            assert abs(wrapped(back - turn)) < 1e-3, (lay, angle, turn)


@pytest.mark.parametrize("curves", ["left", "right"])
def test_signs_on_the_simulated_bender(curves: Side) -> None:
    """Every held end and order: before each pull the last bent leg rises as it was told to."""
    seen: dict[tuple[str, bool], int] = {}
    for seed in range(300):
        sheet = random_sheet(seed)
        layout = sheet.layout
        law = sheet.springback
        bench = SimulatedBender(stations(layout), sheet.job.bender.radius_mm, 0.0, law.b)
        if layout.in_order[0].held == "far":
            bench.lay_end_for_end()
        for bend, turn in zip(layout.in_order, sheet.turns, strict=True):
            if turn.end_for_end:
                bench.lay_end_for_end()
            bench.turn(turn.by_deg, turn.way == "clockwise")
            assert bend.mark is not None
            bench.clamp(bend.mark.at_mm, bend.mark.line.offset_mm)
            last = from_last(layout, bend.number)
            if last is not None and outer_leg(layout, last.bend, bend.number):
                goes = leg_goes(bench, layout, last.bend, bend.number)
                sign = leans(bend.held, curves)
                for lay in ("flat", "upright"):
                    rises = degrees(asin(min(max(float(goes @ UP[lay, curves]), -1.0), 1.0)))
                    told = rise_deg(lay, last.angle_deg, last.turn_deg)
                    told *= sign if lay == "flat" else 1
                    assert rises == pytest.approx(told, abs=1e-4), (seed, bend.number, lay)
                kind = (bend.held, last.bend < bend.number)
                seen[kind] = seen.get(kind, 0) + (abs(wrapped(last.turn_deg)) > 1)
            bench.pull_to(bend.angle_deg / (1 - law.b))
    assert len(seen) == 4 and min(seen.values()) > 10, seen


def test_the_hands_give_the_tube_the_opposite() -> None:
    for seed in range(200):
        sheet = random_sheet(seed)
        for bend, turn in zip(sheet.layout.in_order, sheet.turns, strict=True):
            last = from_last(sheet.layout, bend.number)
            if last is None:
                assert turn.by_deg == 0
                continue
            by = turn.by_deg if turn.way == "clockwise" else -turn.by_deg
            off = wrapped(turn_of_hands(by, bend.held) - last.turn_deg)
            assert abs(off) < 1e-6 or abs(abs(off) - 360) < 1e-6


def test_the_width_is_what_readings_at_its_edge_tell() -> None:
    dice = Random(5)
    for _ in range(2000):
        angle, turn, wide = dice.uniform(20, 100), dice.uniform(-180, 180), 0.5
        lay: Lay = dice.choice(("flat", "upright"))
        aim = aim_by_level(lay, angle, turn, wide)
        for part in (-1, -0.5, 0.5, 1):
            told = turn_by_level(lay, angle, aim.reads_deg + part * wide, turn)
            assert abs(wrapped(told - turn)) <= aim.width_deg + 1e-9


def test_a_square_turn_after_a_square_bend_is_not_told_by_a_flat_level() -> None:
    """89 after a 90 reads as 91 does; upright it reads level, and there it is told one to one."""
    flat = aim_by_level("flat", 90.0, 89.0)
    assert flat.alike_deg == pytest.approx(91.0) and not flat.useful
    assert rise_deg("flat", 90.0, 89.0) == pytest.approx(rise_deg("flat", 90.0, 91.0))
    upright = aim_by_level("upright", 90.0, 90.0)
    assert upright.useful and upright.reads_deg == pytest.approx(0) and upright.worth_deg < 1.001
    assert best_aim(90.0, 90.0).lay == "upright" and best_aim(90.0, 180.0).lay == "flat"
    assert best_aim(2.0, 40.0).lay == "across"


def test_near_the_steepest_the_slope_vanishes() -> None:
    aim = aim_by_level("flat", 60.0, 90.0)
    assert aim.width_deg > 3 and not aim.useful
    assert aim_by_level("flat", 45.0, 20.0).worth_deg == pytest.approx(1.46, abs=0.02)


def test_levels_that_count_to_90_and_back_are_unfolded() -> None:
    dice = Random(7)
    for _ in range(CASES):
        at = dice.uniform(-180, 180)
        expected = at + dice.uniform(-3, 3)
        if (
            min(
                abs(wrapped(at)),
                abs(wrapped(at - 90)),
                abs(wrapped(at + 90)),
                abs(wrapped(at - 180)),
            )
            > 3
        ):
            assert abs(wrapped(unfolded(shown(at), expected) - at)) < 1e-6


def shown(reading_deg: float) -> float:
    """What a level shows that counts 0, 90, 0."""
    part = abs(wrapped(reading_deg))
    return min(part, 180 - part)


def test_a_level_across_that_leans_with_the_turn_tells_it() -> None:
    """Also one that counts 0, 90, 0, and one that goes round either way."""
    dice = Random(11)
    for _ in range(CASES):
        first, wanted = dice.uniform(5, 85), dice.uniform(-180, 180)
        turn = wanted + dice.uniform(-4, 4)
        ahead = turn if wanted >= 0 else -turn
        told, other = turns_across(first, shown(first + ahead), wanted)
        if abs(wrapped(told - other)) >= ALIKE_DEG and abs(wanted) >= 5:
            assert abs(wrapped(told - turn)) < 1e-6, (first, wanted, turn)
        for way in (1, -1):
            start = dice.uniform(91, 359)
            told, _ = turns_across(start, (start + way * ahead) % 360, wanted)
            if abs(wanted) > 5 and abs(wanted) < 175:
                assert abs(wrapped(told - turn)) < 1e-6, (start, wanted, turn)


def test_a_square_turn_across_is_told_when_it_leans() -> None:
    for turn in (86.0, 89.0, 91.0, 94.0):
        told, other = turns_across(45.0, shown(45.0 + turn), 90.0)
        assert told == pytest.approx(turn) and abs(told - other) > ALIKE_DEG
    told, other = turns_across(0.0, 89.0, 90.0)
    assert abs(told - other) < ALIKE_DEG
    assert mirrored("upright", 30.0) == -30.0
