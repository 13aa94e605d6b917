"""Will the far end arrive: how far ordinary errors of marks, angles and turns carry it.

Small errors are propagated to first order. Marks are independent and each moves its own bend along
a tube of fixed length; an angle turns what follows about the tangent point on the free side; a turn
turns it about the leg before.
"""

from collections.abc import Callable, Mapping
from math import acos, asin, cos, degrees, erf, exp, log, pi, radians, sin, sqrt
from typing import Literal, NamedTuple

from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.frozen import frozen, replace
from benchcalc.core.geometry.vectors import Vector, cross, dot, scale, subtract
from benchcalc.core.layout.path import Path, Piece
from benchcalc.core.layout.straight_tube import Layout
from benchcalc.core.springback.first_guess import Springback, overbend_spread

SHARE = 0.95
LIMIT_OF_TWO = 2.0
"""The 95 % limits of a width are two standard deviations, near enough."""

NODES = 24
"""Points of each quadrature; the 95 % radius is then right to a part in a thousand."""

STEPS, NEAR_ENOUGH = 20, 1e-4
"""Most steps in search of a radius, five in practice, and the change of its square that ends it."""

OwnCause = Literal["mark", "angle", "turn"]
SharedCause = Literal["line", "radius", "stretch", "gauge", "cut"]
Cause = OwnCause | SharedCause
Square = tuple[Vector, Vector, Vector]


PEN_LINE_MM = 0.5
"""How thick a pen line along the tube is. Common practice, no source."""

UNCHECKED_GAUGE_DEG = 0.9
"""By how much a gauge that was never checked may read wrong, 95 % limits: half a degree is not
rare. Common practice, no source."""

ORDINARY_TURN_DEG = 1.0
"""How far off a turn is on a tube so thick that the pen line does not count, 95 % limits."""


def turn_by_eye_deg(od_mm: float, pen_mm: float = PEN_LINE_MM) -> float:
    """How far off a turn set by eye on a pen line may be, degrees, 95 % limits either way.

    Half a pen line either way of its middle, of a tube of ``od_mm``: 4.8 degrees on 6 mm, 2.9 on
    10; never under what is ordinary. A supposition: how well anybody turns a tube by eye is no
    published figure.
    """
    return max(degrees(pen_mm / od_mm), ORDINARY_TURN_DEG)


@frozen
class Tolerances:
    """The 95 % limits, either way, of a mark, a finished angle and a turn by hand.

    Those given here are usual for work by hand; a bench may set its own. A ``turn_deg`` of None is
    as well as the eye sets a turn on the tube in hand (``on``). ``gauge_deg`` is by how much the
    gauge may read wrong, the same for every bend; 0 leaves it out.
    """

    mark_mm: float = 0.5
    angle_deg: float = 0.5
    turn_deg: float | None = None
    gauge_deg: float = UNCHECKED_GAUGE_DEG

    def on(self, od_mm: float) -> "Tolerances":
        """The widths on a tube of this diameter."""
        if self.turn_deg is not None:
            return self
        return replace(self, turn_deg=turn_by_eye_deg(od_mm))

    @property
    def turning_deg(self) -> float:
        """The width of a turn; where neither bench nor tube says, the ordinary one."""
        return ORDINARY_TURN_DEG if self.turn_deg is None else self.turn_deg


def tolerances_on(
    layout: Layout, tolerance_deg: float, springback: Springback, usual: Tolerances
) -> Tolerances:
    """The usual widths, and for the angle what this bench has learnt, once it has learnt any.

    A first pull lies within two standard deviations of its overbend; a bend past the tolerance is
    pulled again, so that the finished angle is at most that far off.
    """
    if springback.source == "estimate" or not layout.bends:
        return usual
    spread = max(overbend_spread(bend.angle_deg, springback) for bend in layout.bends)
    return replace(usual, angle_deg=min(LIMIT_OF_TWO * spread, tolerance_deg))


class Miss(NamedTuple):
    """The 95 % radius of the far end, and the one error that feeds it most.

    ``bend`` is 0 for an error that all bends share.
    """

    radius_mm: float
    cause: Cause
    bend: int


class Lever(NamedTuple):
    """How far one error, one standard deviation large, carries the far end."""

    cause: Cause
    bend: int
    carried_mm: Vector


def own_levers(
    layout: Layout, path: Path, widths: Tolerances | None = None, so_far: SoFar | None = None
) -> list[Lever]:
    """The errors that each bend has for itself.

    Angles and turns that are measured, of a piece made so far, feed the miss no more.
    """
    levers = far_end_levers(layout, path, widths or Tolerances())
    known = so_far or SoFar()
    measured: dict[Cause, Mapping[int, float]] = {
        "angle": known.bent,
        "turn": known.turned,
        "mark": known.marked,
    }
    return [lever for lever in levers if lever.bend not in measured[lever.cause]]


def expected_miss(
    layout: Layout, path: Path, widths: Tolerances | None = None, so_far: SoFar | None = None
) -> Miss:
    """How far from its place the far end may come to lie, at 95 %, by errors of each bend alone."""
    return miss_of(own_levers(layout, path, widths, so_far))


def miss_of(levers: list[Lever]) -> Miss:
    """The miss that independent errors add up to."""
    if not levers:
        return Miss(0.0, "mark", 1)
    worst = max(levers, key=lambda lever: dot(lever.carried_mm, lever.carried_mm))
    return Miss(radius_holding(_covariance(levers), SHARE), worst.cause, worst.bend)


def far_end_levers(layout: Layout, path: Path, widths: Tolerances) -> list[Lever]:
    """Every independent error's effect on the far end; the first turn is free and has none."""
    mark = widths.mark_mm / LIMIT_OF_TWO
    angle = radians(widths.angle_deg) / LIMIT_OF_TWO
    turn = radians(widths.turning_deg) / LIMIT_OF_TWO
    end = path.end_point
    levers: list[Lever] = []
    for bend, arc in zip(layout.bends, path.pieces[1::2], strict=True):
        finish, after = arc.at(arc.length_mm)
        before = arc.direction
        levers.append(Lever("mark", bend.number, scale(subtract(before, after), mark)))
        pivot = finish if bend.held == "reference" else arc.point
        swung = cross(_axis(arc), subtract(end, pivot))
        levers.append(Lever("angle", bend.number, scale(swung, angle)))
        if bend.number > 1:
            rolled = cross(before, subtract(end, arc.point))
            levers.append(Lever("turn", bend.number, scale(rolled, turn)))
    return levers


def _axis(arc: Piece) -> Vector:
    return cross(arc.direction, arc.normal)


def _covariance(levers: list[Lever]) -> Square:
    def entry(i: int, j: int) -> float:
        return sum(lever.carried_mm[i] * lever.carried_mm[j] for lever in levers)

    xx, yy, zz = (entry(i, i) for i in range(3))
    xy, xz, yz = entry(0, 1), entry(0, 2), entry(1, 2)
    return ((xx, xy, xz), (xy, yy, yz), (xz, yz, zz))


def radius_holding(covariance: Square, share: float) -> float:
    """The radius that holds a share of a centred normal vector with this covariance.

    ``share`` is 0.7 or more. The logarithm of what lies outside is nearly straight in the radius
    squared, and quite straight when two axes are equal and the third nothing: from there by
    secants. The share inside a radius is integrated over the two larger axes, with the smallest in
    closed form.
    """
    axes = sorted((sqrt(max(v, 0.0)) for v in eigenvalues(covariance)), reverse=True)
    if axes[0] == 0.0:
        return 0.0

    def excess(square: float) -> float:
        return log((1 - _share_within(sqrt(square), axes[0], axes[1], axes[2])) / (1 - share))

    slope = -0.5 / axes[0] ** 2
    square = log(1 - share) / slope
    off = excess(square)
    for _ in range(STEPS):
        step = -off / slope
        square += step
        if abs(step) < NEAR_ENOUGH * square:
            break
        before, off = off, excess(square)
        slope = (off - before) / step
    return sqrt(square)


def _share_within(radius: float, a: float, b: float, c: float) -> float:
    """The share within a radius, axes a >= b >= c standard deviations long."""
    return _folded(radius, a, lambda left: _folded(left, b, lambda rest: _inside(rest, c)))


def _inside(radius: float, deviation: float) -> float:
    return 1.0 if deviation < 1e-12 else erf(radius / (deviation * sqrt(2)))


def _folded(radius: float, deviation: float, rest: Callable[[float], float]) -> float:
    """The integral over one axis of what the others hold, x = radius sin(angle) to be smooth."""
    if deviation < 1e-9 * max(radius, 1e-300):
        return rest(radius)
    top = min(1.0, 8.0 * deviation / radius)
    reach, total = asin(top), 0.0
    for node in range(NODES):
        psi = reach * (node + 0.5) / NODES
        z = radius * sin(psi) / deviation
        total += exp(-z * z / 2) * cos(psi) * rest(radius * cos(psi))
    return 2 * total * reach / NODES * radius / (deviation * sqrt(2 * pi))


def eigenvalues(m: Square) -> tuple[float, float, float]:
    """Eigenvalues of a symmetric 3 x 3 matrix by the trigonometric form."""
    off = m[0][1] ** 2 + m[0][2] ** 2 + m[1][2] ** 2
    mean = (m[0][0] + m[1][1] + m[2][2]) / 3
    spread = sum((m[i][i] - mean) ** 2 for i in range(3)) + 2 * off
    scale = sqrt(spread / 6)
    if scale < 1e-15 * max(abs(mean), 1e-300):
        return mean, mean, mean
    a, b, c = ((m[i][i] - mean) / scale for i in range(3))
    d, e, f = m[0][1] / scale, m[0][2] / scale, m[1][2] / scale
    half = (a * (b * c - f * f) - d * (d * c - f * e) + e * (d * f - b * e)) / 2
    third = acos(min(max(half, -1.0), 1.0)) / 3
    largest = mean + 2 * scale * cos(third)
    least = mean + 2 * scale * cos(third + 2 * pi / 3)
    return largest, 3 * mean - largest - least, least
