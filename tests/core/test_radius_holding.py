"""The radius that holds a share of a spread, against tables and against the spread itself."""

from math import cos, exp, pi, sin, sqrt
from random import Random

import pytest
from scipy.integrate import dblquad
from scipy.special import erf

from benchcalc.core.fit.expected_miss import Square, radius_holding


def spread(a: float, b: float, c: float) -> Square:
    """A covariance of these deviations, its axes turned a quarter so that none is special."""
    return ((b * b, 0.0, 0.0), (0.0, c * c, 0.0), (0.0, 0.0, a * a))


# Upper 5 % and 1 % points of chi-square at 1, 2 and 3 degrees of freedom, as every table has them
# (from memory): the square of the radius when that many axes are one long and the others nothing.
@pytest.mark.parametrize(
    ("share", "axes", "square"),
    [
        (0.95, (1, 0, 0), 3.841),
        (0.95, (1, 1, 0), 5.991),
        (0.95, (1, 1, 1), 7.815),
        (0.99, (1, 0, 0), 6.635),
        (0.99, (1, 1, 0), 9.210),
        (0.99, (1, 1, 1), 11.345),
    ],
)
def test_equal_axes_by_the_table(share: float, axes: tuple[int, int, int], square: float) -> None:
    for scale in (0.001, 1.0, 300.0):
        radius = radius_holding(spread(*(scale * axis for axis in axes)), share)
        assert radius == pytest.approx(scale * sqrt(square), rel=1e-3)


def inside(radius: float, a: float, b: float, c: float) -> float:
    """The share within a radius, integrated by another's routine in polar coordinates."""

    def density(r: float, way: float) -> float:
        x, y = r * cos(way), r * sin(way)
        rest = sqrt(max(radius * radius - r * r, 0.0))
        held = exp(-(x * x / a / a + y * y / b / b) / 2) / (2 * pi * a * b)
        return float(held * r * erf(rest / c / sqrt(2)))

    return 4 * float(dblquad(density, 0, pi / 2, 0, radius)[0])


@pytest.mark.parametrize("seed", range(12))
def test_unequal_axes_hold_their_share(seed: int) -> None:
    rng = Random(seed)
    axes = [rng.uniform(0.2, 3.0) for _ in range(3)]
    radius = radius_holding(spread(*axes), 0.95)
    assert inside(radius * 0.999, *axes) < 0.95 < inside(radius * 1.001, *axes)


def test_nothing_spread_is_held_by_nothing() -> None:
    assert radius_holding(spread(0.0, 0.0, 0.0), 0.95) == 0.0
