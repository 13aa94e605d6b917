"""The fewest sticks, held against scipy's solver for whole-number programmes (HiGHS)."""

import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from benchcalc.core.cutting.plan import Wanted, cut_plan
from tests.core.test_cutting import holds


def fewest(wanted: list[Wanted], stock_mm: float, kerf_mm: float, most: int) -> int:
    """How many of ``most`` sticks are used: whole numbers x[stick, length] and used[stick].

    The assignment form (Kantorovich, Management Science 6, 1960), which shares nothing with
    patterns; sticks are used in order, so that equal plans are looked at once.
    """
    kinds = len(wanted)
    size = most * kinds + most
    cost = np.concatenate([np.zeros(most * kinds), np.ones(most)])
    rows: list[np.ndarray] = []
    low: list[float] = []
    high: list[float] = []
    for kind, one in enumerate(wanted):
        row = np.zeros(size)
        row[kind : most * kinds : kinds] = 1
        rows, low, high = [*rows, row], [*low, one.pieces], [*high, one.pieces]
    for stick in range(most):
        row = np.zeros(size)
        for kind, one in enumerate(wanted):
            row[stick * kinds + kind] = one.length_mm + kerf_mm
        row[most * kinds + stick] = -(stock_mm + kerf_mm)
        rows, low, high = [*rows, row], [*low, -np.inf], [*high, 1e-7]
    for stick in range(most - 1):
        row = np.zeros(size)
        row[most * kinds + stick], row[most * kinds + stick + 1] = -1, 1
        rows, low, high = [*rows, row], [*low, -np.inf], [*high, 0]
    upper = [one.pieces for _ in range(most) for one in wanted] + [1] * most
    found = milp(
        cost, constraints=LinearConstraint(np.array(rows), low, high), integrality=np.ones(size),
        bounds=Bounds(np.zeros(size), upper), options={"time_limit": 20},
    )  # fmt: skip
    assert found.status == 0, found.message
    return round(float(found.fun))


@pytest.mark.parametrize("seed", range(60))
def test_no_plan_of_the_solver_uses_fewer(seed: int) -> None:
    chance = random.Random(seed)
    stock_mm, kerf_mm = chance.choice([1000.0, 3000.0, 6000.0]), chance.choice([0.0, 1.5, 3.0])
    longest = stock_mm * chance.choice([0.35, 0.55, 0.8])
    wanted = [
        Wanted(round(chance.uniform(stock_mm * 0.12, longest), 1), chance.randint(1, 4))
        for _ in range(chance.randint(2, 5))
    ]
    plan = cut_plan(wanted, stock_mm, kerf_mm)
    assert holds(plan, wanted, stock_mm, kerf_mm)
    solved = fewest(wanted, stock_mm, kerf_mm, len(plan.sticks))
    assert plan.least <= solved <= len(plan.sticks)
    assert plan.proved and len(plan.sticks) == solved
