"""Lengths along directions against scipy's linear programme, in space and in a plane."""

from math import sqrt
from random import Random

import numpy as np
import pytest
from scipy.optimize import linprog

from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.shapes.least_lengths import least_lengths


def unit(rng: Random, flat: bool) -> Vector:
    x, y, z = rng.gauss(0, 1), rng.gauss(0, 1), 0.0 if flat else rng.gauss(0, 1)
    size = sqrt(x * x + y * y + z * z)
    return x / size, y / size, z / size


@pytest.mark.parametrize("flat", [False, True])
@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_the_least_sum_is_the_linear_programmes(count: int, flat: bool) -> None:
    reached = 0
    for seed in range(60):
        rng = Random(f"{count} {flat} {seed}")
        heads = tuple(unit(rng, flat) for _ in range(count))
        if count == 2 or rng.random() < 0.5:
            some = [rng.uniform(0, 200) for _ in heads]
            x, y, z = np.asarray(some) @ np.asarray(heads)
        else:
            x, y, z = (300 * a for a in unit(rng, flat))
        reach = (float(x), float(y), float(z))
        found = least_lengths(heads, reach)
        wanted = linprog(np.ones(count), A_eq=np.asarray(heads).T, b_eq=np.asarray(reach))
        assert (found is not None) == wanted.success, f"seed {seed}"
        if found is not None:
            reached += 1
            assert sum(found) == pytest.approx(wanted.fun, rel=1e-6), f"seed {seed}"
            assert np.asarray(found) @ np.asarray(heads) == pytest.approx(reach, abs=1e-6)
            assert min(found) >= 0.0
    assert reached > 15


def test_straight_on_needs_one_length() -> None:
    along = (0.6, 0.8, 0.0)
    assert least_lengths((along, along), (60.0, 80.0, 0.0)) == pytest.approx((100.0, 0.0))
    assert least_lengths((along, (-0.6, -0.8, 0.0)), (6.0, 8.0, 1.0)) is None
