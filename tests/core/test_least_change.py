"""The small quadratic programme against scipy, bounds that bind and bounds that do not."""

from random import Random

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import minimize

from benchcalc.core.fit.least_change import Bound, Row, least_change


def problem(rng: Random, size: int) -> tuple[list[Row], list[float], list[Bound]]:
    """Straight misses, and bounds that x = 0 does not always meet but some x does."""

    def row(scale: float) -> Row:
        return tuple(rng.gauss(0, scale) for _ in range(size))

    slopes = [row(rng.choice((1.0, 30.0))) for _ in range(4)]
    aims = [rng.gauss(0, 20) for _ in slopes]
    inside = row(1.0)
    bounds = []
    for place in range(5):
        normal = row(1.0)
        there = sum(a * b for a, b in zip(normal, inside, strict=True))
        exact = place == 0 and size > 6
        bounds.append(Bound(normal, there if exact else there - rng.random(), exact))
    return slopes, aims, bounds


def cost(x: Row, slopes: list[Row], aims: list[float]) -> float:
    vector = np.array(x)
    return float(vector @ vector + np.sum((np.array(slopes) @ vector - np.array(aims)) ** 2))


def gradient(x: Row, slopes: list[Row], aims: list[float]) -> NDArray[np.float64]:
    vector, table = np.array(x), np.array(slopes)
    grows: NDArray[np.float64] = 2 * vector + 2 * table.T @ (table @ vector - np.array(aims))
    return grows


@pytest.mark.parametrize("seed", range(120))
def test_a_straight_problem_is_solved_as_scipy_solves_it(seed: int) -> None:
    rng = Random(f"least {seed}")
    size = rng.randint(5, 14)
    slopes, aims, bounds = problem(rng, size)

    def misses(x: Row) -> tuple[list[float], list[Row]]:
        ways = zip(slopes, aims, strict=True)
        return [sum(a * b for a, b in zip(s, x, strict=True)) - aim for s, aim in ways], slopes

    ours = least_change(misses, bounds, size)
    for bound in bounds:
        over = sum(a * b for a, b in zip(bound.row, ours, strict=True)) - bound.least
        assert over >= -1e-5 and (not bound.exact or over <= 1e-5)
    rules = [
        {
            "type": "eq" if b.exact else "ineq",
            "fun": lambda x, b=b: np.array(b.row) @ x - b.least,
            "jac": lambda x, b=b: np.array(b.row),
        }
        for b in bounds
    ]
    theirs = minimize(
        cost, np.zeros(size), args=(slopes, aims), constraints=rules, method="SLSQP",
        jac=gradient, options={"maxiter": 500, "ftol": 1e-9},
    )  # fmt: skip
    assert theirs.success
    assert cost(ours, slopes, aims) <= theirs.fun * (1 + 1e-5) + 1e-6


def test_nothing_to_choose() -> None:
    assert least_change(lambda x: ([3.0], [()]), [], 0) == ()


def test_a_bent_problem_is_followed_to_its_bottom() -> None:
    """The nearest point to the origin of the circle of radius 3 about (5, 0) is (2, 0)."""

    def misses(x: Row) -> tuple[list[float], list[Row]]:
        dx, dy = x[0] - 5.0, x[1]
        far = (dx * dx + dy * dy) ** 0.5
        return [1e4 * (far - 3.0)], [(1e4 * dx / far, 1e4 * dy / far)]

    assert least_change(misses, [], 2) == pytest.approx((2.0, 0.0), abs=1e-5)
    kept = least_change(misses, [Bound((0.0, 1.0), 1.8)], 2)
    assert kept == pytest.approx((5.0 - 2.4, 1.8), abs=1e-4)
