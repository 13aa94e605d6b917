"""Least distances between straights, arcs and other fixed sets, within a proven bound.

A point that moves with at most a given speed and acceleration keeps to a fixed point at distance d
a squared distance whose second derivative is at most C = 2 (speed**2 + d acceleration). The squared
distance to a whole set is the least of such functions, so between two of its values it lies above
their chord less C/2 (x - low)(high - x). That bound falls with the square of the step: branch and
bound ends after a few dozen values, and nothing nearer is missed by more than ``SLACK_MM``.

Two arcs that run side by side, as in a coil, keep nearly one distance all along, and that bound
would ask for hundreds of values. There the circle of the second is taken, which lies no farther off
than its arc, and a point on it that turns along with the first: C falls with how much the two
circles differ (``_alongside``).

Squares are mm**2. A ``Square`` is the squared distance of a point to a set, always exact.
"""

from collections.abc import Callable
from math import atan2, cos, inf, pi, sin, sqrt
from typing import NamedTuple

from benchcalc.core.geometry.vectors import Vector, cross, dot, scale, subtract, translate
from benchcalc.core.layout.path import Piece

Walk = Callable[[float], Vector]
Square = Callable[[Vector], float]

SLACK_MM = 5e-4
"""How much nearer than what was found anything can be."""

SIDE_BY_SIDE = 0.7
"""From this difference of speeds on the bound from a circle is no gain."""

PARALLEL = 1e-12
"""Under this squared sine two straights are parallel: the choice of point changes nothing."""


class Pace(NamedTuple):
    """The most speed and acceleration of a point, by whatever it is moved with."""

    speed: float
    acceleration: float

    def lowest(self, low: float, at_low: float, high: float, at_high: float) -> float:
        """What a squared distance cannot fall under between two places where it is known."""
        step = high - low
        farthest = sqrt(max(at_low, at_high)) + self.speed * step
        sag = (self.speed * self.speed + self.acceleration * farthest) * step * step
        tilt = at_high - at_low
        if abs(tilt) >= sag:
            return at_low if tilt > 0 else at_high
        return (at_low + at_high) / 2 - sag / 4 - tilt * tilt / (4 * sag)


def enough(square: float, slack_mm: float = SLACK_MM) -> float:
    """The square that a nearer one must be under to be worth looking for."""
    root = sqrt(square) - slack_mm
    return root * root if root > 0 else 0.0


def least(
    square: Callable[[float], float],
    low: float,
    high: float,
    pace: Pace,
    under: float = inf,
    slack_mm: float = SLACK_MM,
    content: float = SLACK_MM * SLACK_MM,
    floor: Callable[[float, float], float] | None = None,
) -> tuple[float, float] | None:
    """The least squared distance from ``low`` to ``high`` and where; None when not under ``under``.

    What is found lies at most ``slack_mm`` of distance over the true least, or is no more than
    ``content``, at which the search ends. ``floor`` is another bound from one place to another.
    """
    at_low, at_high = square(low), square(high)
    best, where = (at_low, low) if at_low <= at_high else (at_high, high)
    wanted = enough(min(best, under), slack_mm)
    pending = [(low, at_low, high, at_high)]
    while pending and best > content:
        low, at_low, high, at_high = pending.pop()
        if pace.lowest(low, at_low, high, at_high) >= wanted:
            continue
        if floor is not None and floor(low, high) >= wanted:
            continue
        middle = (low + high) / 2
        at_middle = square(middle)
        if at_middle < best:
            best, where = at_middle, middle
            wanted = min(wanted, enough(best, slack_mm))
        left, right = (low, at_low, middle, at_middle), (middle, at_middle, high, at_high)
        pending += (right, left) if at_low < at_high else (left, right)
    return (best, where) if best < under else None


def first_under(
    square: Callable[[float], float], low: float, high: float, pace: Pace, under: float, step: float
) -> float | None:
    """Where a squared distance first comes under a limit, told to ``step``; None when nowhere.

    A dip that is under the limit for less than ``step`` may be passed over.
    """
    at_low = square(low)
    if at_low < under:
        return low
    pending = [(low, at_low, high, square(high))]
    while pending:
        low, at_low, high, at_high = pending.pop()
        if pace.lowest(low, at_low, high, at_high) >= under:
            continue
        if high - low <= step:
            if at_high < under:
                return high
            continue
        middle = (low + high) / 2
        at_middle = square(middle)
        if at_middle < under:
            pending = [(low, at_low, middle, at_middle)]
        else:
            pending += ((middle, at_middle, high, at_high), (low, at_low, middle, at_middle))
    return None


def pace_along(piece: Piece) -> Pace:
    """The pace of a point that walks along a piece, per millimetre."""
    return Pace(1.0, 1 / piece.radius_mm if piece.radius_mm else 0.0)


def walk(piece: Piece) -> Walk:
    """The point of a piece after so many millimetres."""
    (px, py, pz), (tx, ty, tz), radius = piece.point, piece.direction, piece.radius_mm
    if not radius:
        return lambda s: (px + tx * s, py + ty * s, pz + tz * s)
    nx, ny, nz = scale(piece.normal, radius)
    tx, ty, tz = scale(piece.direction, radius)

    def on_arc(s: float) -> Vector:
        angle = s / radius
        ahead, aside = sin(angle), 1 - cos(angle)
        return (
            px + tx * ahead + nx * aside,
            py + ty * ahead + ny * aside,
            pz + tz * ahead + nz * aside,
        )

    return on_arc


def square_to(piece: Piece) -> Square:
    """The squared distance to a straight, or to an arc of at most half a circle."""
    if not piece.radius_mm:
        return square_to_straight(piece.point, piece.direction, piece.length_mm)
    radius = piece.radius_mm
    cx, cy, cz = translate(piece.point, piece.normal, radius)
    half = piece.length_mm / radius / 2
    c, s = cos(half), sin(half)
    mx, my, mz = translate(scale(piece.direction, s), piece.normal, -c)
    ax, ay, az = translate(scale(piece.direction, c), piece.normal, s)

    def to_arc(point: Vector) -> float:
        x, y, z = point[0] - cx, point[1] - cy, point[2] - cz
        ahead = x * mx + y * my + z * mz
        aside = x * ax + y * ay + z * az
        reach = sqrt(ahead * ahead + aside * aside)
        if ahead < reach * c:
            reach = ahead * c + abs(aside) * s
        found = x * x + y * y + z * z + radius * (radius - 2 * reach)
        return found if found > 0 else 0.0

    return to_arc


def square_to_straight(point: Vector, direction: Vector, length_mm: float) -> Square:
    """The squared distance to a straight from ``point`` along a unit ``direction``."""
    (px, py, pz), (tx, ty, tz) = point, direction

    def to_straight(point: Vector) -> float:
        x, y, z = point[0] - px, point[1] - py, point[2] - pz
        s = x * tx + y * ty + z * tz
        if s > 0:
            s = s if s < length_mm else length_mm
            x, y, z = x - tx * s, y - ty * s, z - tz * s
        return x * x + y * y + z * z

    return to_straight


def between_straights(
    p: Vector, d: Vector, length: float, q: Vector, e: Vector, other: float
) -> tuple[float, float]:
    """The squared distance of two straights, exact, and how far along the first it is met."""
    x, y, z = p[0] - q[0], p[1] - q[1], p[2] - q[2]
    slant = d[0] * e[0] + d[1] * e[1] + d[2] * e[2]
    back = x * d[0] + y * d[1] + z * d[2]
    over = x * e[0] + y * e[1] + z * e[2]
    square_sine = 1 - slant * slant
    s = (slant * over - back) / square_sine if square_sine > PARALLEL else 0.0
    s = 0.0 if s < 0 else length if s > length else s
    t = slant * s + over
    if not 0 <= t <= other:
        t = 0.0 if t < 0 else other
        s = slant * t - back
        s = 0.0 if s < 0 else length if s > length else s
    x, y, z = x + d[0] * s - e[0] * t, y + d[1] * s - e[1] * t, z + d[2] * s - e[2] * t
    return x * x + y * y + z * z, s


def between_pieces(
    one: Piece, other: Piece, under: float = inf, slack_mm: float = SLACK_MM
) -> tuple[float, float] | None:
    """The squared distance of two pieces and how far along the first it is met.

    None when it is not under ``under``; else at most ``slack_mm`` of distance too much.
    """
    if not one.radius_mm and not other.radius_mm:
        found = between_straights(
            one.point, one.direction, one.length_mm, other.point, other.direction, other.length_mm
        )
        return found if found[0] < under else None
    if not other.radius_mm:
        found_back = between_pieces(other, one, under, slack_mm)
        return found_back and (found_back[0], nearest_along(one, walk(other)(found_back[1])))
    point, to_other = walk(one), square_to(other)
    pace, floor = pace_along(one), _floor_alongside(one, other, point)
    return least(
        lambda s: to_other(point(s)), 0.0, one.length_mm, pace, under, slack_mm, floor=floor
    )


def _floor_alongside(
    one: Piece, other: Piece, point: Walk
) -> Callable[[float, float], float] | None:
    """A bound from the other's whole circle; None where the two do not run side by side."""
    if not one.radius_mm:
        return None
    pace = _alongside(one, other)
    if pace.speed > SIDE_BY_SIDE:
        return None
    to_circle = _square_to_circle(other)
    known: dict[float, float] = {}

    def at(s: float) -> float:
        if s not in known:
            known[s] = to_circle(point(s))
        return known[s]

    return lambda low, high: pace.lowest(low, at(low), high, at(high))


def _alongside(one: Piece, other: Piece) -> Pace:
    """The pace of a point on one arc seen from one that turns with it on the circle of another.

    With the axes tilted by T, the centres c apart across the other's axis and radii r and R, the
    points nearest to each other lie w = 2c + |r - R| + r (1 - cos T) apart across the axis but for
    that of the centres. Both turn by 1/r a millimetre: their speeds differ by at most
    w/r + 2 sin(T/2), their accelerations by (w + r sin T)/r**2.
    """
    axis, second = cross(one.direction, one.normal), cross(other.direction, other.normal)
    radius = one.radius_mm
    cosine = min(abs(dot(axis, second)), 1.0)
    apart = subtract(
        translate(one.point, one.normal, radius),
        translate(other.point, other.normal, other.radius_mm),
    )
    across = translate(apart, second, -dot(apart, second))
    w = 2 * sqrt(dot(across, across)) + abs(radius - other.radius_mm) + radius * (1 - cosine)
    sine = sqrt(1 - cosine * cosine)
    return Pace(w / radius + sqrt(2 * (1 - cosine)), (w + radius * sine) / (radius * radius))


def _square_to_circle(piece: Piece) -> Square:
    """The squared distance to the whole circle of an arc."""
    radius = piece.radius_mm
    cx, cy, cz = translate(piece.point, piece.normal, radius)
    ax, ay, az = cross(piece.direction, piece.normal)

    def to_circle(point: Vector) -> float:
        x, y, z = point[0] - cx, point[1] - cy, point[2] - cz
        over = x * ax + y * ay + z * az
        out = sqrt(max(x * x + y * y + z * z - over * over, 0.0)) - radius
        return over * over + out * out

    return to_circle


def part(piece: Piece, low_mm: float, high_mm: float) -> Piece:
    """The stretch of a piece between two places along it."""
    point, direction = piece.at(low_mm)
    normal = piece.normal
    if piece.radius_mm and low_mm:
        normal = cross(cross(piece.direction, piece.normal), direction)
    return Piece(point, direction, normal, high_mm - low_mm, piece.radius_mm, piece.bend)


def nearest_along(piece: Piece, point: Vector) -> float:
    """How far along a piece its point nearest to another lies."""
    away = subtract(point, piece.point)
    ahead = dot(away, piece.direction)
    if not piece.radius_mm:
        return min(max(ahead, 0.0), piece.length_mm)
    inwards = piece.radius_mm - dot(away, piece.normal)
    half = piece.length_mm / piece.radius_mm / 2
    # Counted from the middle of the arc, so that the jump of the angle lies opposite.
    turned = (atan2(ahead, inwards) - half + pi) % (2 * pi) - pi
    return (min(max(turned, -half), half) + half) * piece.radius_mm
