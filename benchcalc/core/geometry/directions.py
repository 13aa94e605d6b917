"""The directions a run can take between two given ones, when its bends are of ordinary angles."""

from collections.abc import Iterator
from math import cos, pi, radians, sin, sqrt

from benchcalc.core.geometry.frames import angle_between, any_square_to, turned, unit
from benchcalc.core.geometry.vectors import Vector, cross, dot, scale, translate

ORDINARY_DEG = (22.5, 30.0, 45.0, 60.0, 90.0)
"""Angles that benders have lines for, common practice; taken before any other."""

OF_FOUR_DEG = (45.0, 90.0)
"""The angles of runs of four bends: there are enough of them with these two."""

WAYS = 12
"""Ways round a direction that are looked at for its bend, in a run of three bends."""

WAYS_OF_FOUR = 8
SQUARE = 1e-9

Way = tuple[tuple[Vector, ...], tuple[float, ...]]
"""The directions of the legs, and the angles of the bends between them."""


def directions(bends: int, first: Vector, last: Vector, gap: Vector) -> Iterator[Way]:
    """Ways of so many bends (1 to 4) from one unit direction to another.

    ``gap`` is the way across, which the middle legs are laid towards where they are free.
    """
    if bends == 1:
        yield (first, last), (angle_between(first, last),)
    elif bends == 2:
        for a, b, w in _linked(first, last, gap, ORDINARY_DEG):
            yield (first, w, last), (a, b)
    elif bends == 3:
        for a, w in _round(first, gap, ORDINARY_DEG, WAYS):
            for b, c, x in _linked(w, last, gap, ORDINARY_DEG):
                yield (first, w, x, last), (a, b, c)
    else:
        back = _round(scale(last, -1.0), scale(gap, -1.0), OF_FOUR_DEG, WAYS_OF_FOUR)
        backwards = [(d, scale(y, -1.0)) for d, y in back]
        for a, w in _round(first, gap, OF_FOUR_DEG, WAYS_OF_FOUR):
            for d, y in backwards:
                for b, c, x in _linked(w, y, gap, OF_FOUR_DEG):
                    yield (first, w, x, y, last), (a, b, c, d)


def _round(
    head: Vector, gap: Vector, angles: tuple[float, ...], ways: int
) -> Iterator[tuple[float, Vector]]:
    """Directions at these angles from one, all round it, the first of each towards the gap."""
    round_from = towards(head, gap)
    for angle in angles:
        c, s = cos(radians(angle)), sin(radians(angle))
        for way in range(ways):
            yield angle, translate(scale(head, c), turned(round_from, head, 2 * pi * way / ways), s)


def towards(head: Vector, gap: Vector) -> Vector:
    """The unit way towards the gap and square to a direction; any one when it lies straight
    ahead."""
    off = translate(gap, head, -dot(gap, head))
    return unit(off) if dot(off, off) > SQUARE else any_square_to(head)


def _linked(
    a: Vector, b: Vector, gap: Vector, angles: tuple[float, ...]
) -> Iterator[tuple[float, float, Vector]]:
    """Directions that make an ordinary angle with both of two."""
    c = dot(a, b)
    rest = 1 - c * c
    if rest < SQUARE:
        yield from _beside(a, c > 0, gap, angles)
        return
    across = cross(a, b)
    for first in angles:
        for second in angles:
            ca, cb = cos(radians(first)), cos(radians(second))
            alpha, beta = (ca - c * cb) / rest, (cb - c * ca) / rest
            square = (1 - alpha * ca - beta * cb) / rest
            if square < -SQUARE:
                continue
            flat = translate(scale(a, alpha), b, beta)
            gamma = sqrt(max(square, 0.0))
            yield first, second, translate(flat, across, gamma)
            if gamma > SQUARE:
                yield first, second, translate(flat, across, -gamma)


def _beside(
    head: Vector, same: bool, gap: Vector, angles: tuple[float, ...]
) -> Iterator[tuple[float, float, Vector]]:
    """The same between two parallel directions: on to the gap, or away from it."""
    aside = towards(head, gap)
    for angle in angles:
        second = angle if same else 180.0 - angle
        if second in angles:
            c, s = cos(radians(angle)), sin(radians(angle))
            for way in (s, -s):
                yield angle, second, translate(scale(head, c), aside, way)
