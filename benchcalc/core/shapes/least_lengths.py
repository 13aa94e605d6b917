"""Lengths along given directions that add up to a vector: the least sum, none under zero.

A run's directions fix its bends; what is left is how long each leg is. The least sum that reaches
a vector uses at most three independent directions, so all such choices are tried, which is exact
and quick for the five legs of four bends. Also right when all directions lie in one plane.
"""

from collections.abc import Iterator
from itertools import combinations

from benchcalc.core.geometry.vectors import Vector, cross, dot, scale, subtract

FLAT = 1e-7
"""Sine under which directions count as parallel or as lying in one plane."""

NEAR_MM = 1e-9
"""How near a sum must come to the vector, and how far under zero rounding may leave a length."""

Chosen = tuple[tuple[int, ...], tuple[float, ...]]
"""Which directions are used, and how far along each."""


def least_lengths(directions: tuple[Vector, ...], reach: Vector) -> tuple[float, ...] | None:
    """Lengths, none under zero, with sum(length x direction) = reach; the least sum of them.

    Directions are unit vectors. None when there are no such lengths.
    """
    near = NEAR_MM * (1.0 + max(map(abs, reach)))
    found = min(_exact(directions, reach, near), key=lambda c: sum(c[1]), default=None)
    if found is None:
        return None
    spread = [0.0] * len(directions)
    for place, by in zip(*found, strict=True):
        spread[place] = max(by, 0.0)
    return tuple(spread)


def _exact(directions: tuple[Vector, ...], reach: Vector, near: float) -> Iterator[Chosen]:
    """Every choice of independent directions that reaches with no length under zero."""
    across = {
        (i, j): cross(directions[i], directions[j])
        for i, j in combinations(range(len(directions)), 2)
    }
    shares = {pair: dot(reach, normal) for pair, normal in across.items()}
    solid = False
    for i, j, k in combinations(range(len(directions)), 3):
        volume = dot(directions[i], across[j, k])
        if abs(volume) > FLAT:
            solid = True
            a, b, c = shares[j, k] / volume, -shares[i, k] / volume, shares[i, j] / volume
            if a >= -near and b >= -near and c >= -near:
                yield (i, j, k), (a, b, c)
    if not solid:
        yield from _in_a_plane(directions, reach, near, across)


def _in_a_plane(
    directions: tuple[Vector, ...],
    reach: Vector,
    near: float,
    across: dict[tuple[int, int], Vector],
) -> Iterator[Chosen]:
    """The same where no three directions are independent: two of them, or one alone."""
    for (i, j), normal in across.items():
        area = dot(normal, normal)
        if area > FLAT**2 and abs(dot(reach, normal)) <= near * area**0.5:
            a = dot(cross(reach, directions[j]), normal) / area
            b = dot(cross(directions[i], reach), normal) / area
            if a >= -near and b >= -near:
                yield (i, j), (a, b)
    for i, a_way in enumerate(directions):
        by = dot(reach, a_way)
        off = subtract(reach, scale(a_way, by))
        if by >= -near and dot(off, off) <= near * near:
            yield (i,), (by,)
