"""Pieces on sticks: what fits, the fewest sticks by trying everything, and where it gives up."""

import random
from itertools import product

import pytest

from benchcalc.core.cutting.plan import CutPlan, Wanted, cut_plan

STOCK_MM = 600.0


def holds(plan: CutPlan, wanted: list[Wanted], stock_mm: float, kerf_mm: float) -> bool:
    """Whether every piece that goes on a stick is on one, and every stick is long enough."""
    for place, one in enumerate(wanted):
        expected = 0 if place in plan.too_long else one.pieces
        if sum(stick.cut[place] for stick in plan.sticks) != expected:
            return False
    for stick in plan.sticks:
        long = sum(n * one.length_mm for n, one in zip(stick.cut, wanted, strict=True))
        if long + kerf_mm * (sum(stick.cut) - 1) > stock_mm + 1e-9:
            return False
    return True


def fewest(pieces: list[float], stock_mm: float, kerf_mm: float) -> int:
    """The fewest sticks for a handful of pieces, by every way to share them out."""
    for sticks in range(1, len(pieces) + 1):
        for shares in product(range(sticks), repeat=len(pieces)):
            used = [0.0] * sticks
            for share, piece in zip(shares, pieces, strict=True):
                used[share] += piece + kerf_mm
            if all(long <= stock_mm + kerf_mm + 1e-9 for long in used):
                return sticks
    raise AssertionError("a piece is longer than a stick")


@pytest.mark.parametrize("seed", range(40))
def test_the_fewest_of_all_ways(seed: int) -> None:
    chance = random.Random(seed)
    kerf_mm = chance.choice([0.0, 1.0, 2.5])
    lengths = [round(chance.uniform(100, 500), 1) for _ in range(chance.randint(1, 3))]
    wanted = [Wanted(length, chance.randint(1, 2)) for length in lengths]
    plan = cut_plan(wanted, STOCK_MM, kerf_mm)
    pieces = [one.length_mm for one in wanted for _ in range(one.pieces)]
    assert holds(plan, wanted, STOCK_MM, kerf_mm) and plan.proved
    assert len(plan.sticks) == fewest(pieces, STOCK_MM, kerf_mm)


def test_the_last_cut_may_fall_on_the_end_of_the_stick() -> None:
    fits = cut_plan([Wanted(299.0, 2)], STOCK_MM, 2.0)
    assert len(fits.sticks) == 1 and fits.sticks[0].left_mm == 0
    assert len(cut_plan([Wanted(299.1, 2)], STOCK_MM, 2.0).sticks) == 2
    assert len(cut_plan([Wanted(600.0, 3)], STOCK_MM, 2.0).sticks) == 3


def test_what_is_left_is_what_no_piece_and_no_cut_took() -> None:
    (stick,) = cut_plan([Wanted(100.0, 3)], STOCK_MM, 2.0).sticks
    assert stick.left_mm == pytest.approx(600 - 3 * 100 - 3 * 2)


def test_a_piece_longer_than_a_stick_is_named_and_the_others_cut() -> None:
    plan = cut_plan([Wanted(600.1, 1), Wanted(200.0, 3)], STOCK_MM, 0.0)
    assert plan.too_long == (0,) and len(plan.sticks) == 1
    alone = cut_plan([Wanted(700.0, 1)], STOCK_MM, 0.0)
    assert alone == CutPlan((), 0, (0,)) and alone.proved
    assert cut_plan([], STOCK_MM, 0.0) == CutPlan((), 0, ())


def test_a_bound_is_more_than_the_length_of_all_pieces() -> None:
    """Two of three lie on a stick, and what is left of it is of no use: 5 sticks, not 4."""
    plan = cut_plan([Wanted(200.1, 10)], STOCK_MM, 0.0)
    assert (len(plan.sticks), plan.least) == (5, 5)


def test_many_pieces_are_planned_with_their_bound() -> None:
    chance = random.Random(5)
    wanted = [Wanted(round(chance.uniform(150, 2900), 1), 900) for _ in range(12)]
    plan = cut_plan(wanted, 6000.0, 1.5)
    assert holds(plan, wanted, 6000.0, 1.5)
    assert plan.least <= len(plan.sticks) <= plan.least * 1.01
