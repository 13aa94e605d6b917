"""Bending moments of a tube's ring by scipy's quadrature, strip by strip."""

from itertools import pairwise
from math import sqrt
from typing import NamedTuple

import pytest


class Section(NamedTuple):
    """Tube, die and metal: mm, N/mm2; the order in which the core takes them."""

    od: float
    wall: float
    radius: float
    k: float
    n: float
    e: float


def strip(s: Section, y: float) -> float:
    """Width of the ring at a height, both halves."""
    outer, inner = s.od / 2, s.od / 2 - s.wall
    return 2 * (sqrt(max(outer**2 - y**2, 0.0)) - sqrt(max(inner**2 - y**2, 0.0)))


def summed(s: Section, elastic: bool) -> float:
    """The moment by quadrature over the ring, strips above and below the middle.

    Skips the test where scipy is missing: the published figures beside it need none.
    """
    quad = pytest.importorskip("scipy.integrate").quad

    def moment_at(y: float) -> float:
        stress: float = s.k * (y / s.radius) ** s.n
        if elastic:
            stress = min(stress, s.e * y / s.radius)
        return stress * y * strip(s, y)

    yields = s.radius * (s.k / s.e) ** (1 / (1 - s.n))
    corners = sorted({0.0, s.od / 2, s.od / 2 - s.wall, *([yields] if yields < s.od / 2 else [])})
    return 2 * float(
        sum(quad(moment_at, *piece, epsrel=1e-11, limit=200)[0] for piece in pairwise(corners))
    )
