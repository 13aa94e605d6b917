"""How near the finished tube comes to itself.

Looked at are pairs of centreline points that lie at least pi R apart along the tube, R the smallest
finished radius of the run. By Schur's theorem a curve that nowhere bends sharper than R keeps the
ends of each stretch s at least 2 R sin(s/2R) apart: at pi R that is 2 R, so nearer pairs cannot
touch while the tube is thinner than 2 R, and no pair at the border of what is looked at can either.
A larger R would pass over pairs the theorem says nothing of.

Straights against straights are exact, and so is a straight against the arc it runs into; what else
an arc takes part in, or the border, has a proven bound (``distance``).
"""

from collections.abc import Sequence
from itertools import accumulate
from math import cos, inf, pi, sqrt
from typing import NamedTuple

from benchcalc.core.clearance.distance import (
    SLACK_MM,
    Pace,
    Square,
    Walk,
    between_pieces,
    enough,
    least,
    nearest_along,
    part,
    square_to,
    walk,
)
from benchcalc.core.finding import SAME_MM
from benchcalc.core.geometry.vectors import Vector, dot, subtract
from benchcalc.core.layout.path import Path, Piece


class Spot(NamedTuple):
    """A place on the tube: along its centreline from the first piece, in space, on which piece.

    ``bend`` is the bend it lies on, or None on a straight; ``leg`` the straight's leg, or None.
    """

    at_mm: float
    point: Vector
    bend: int | None
    leg: int | None


class Nearest(NamedTuple):
    """The two places of the tube that come nearest, centreline to centreline."""

    distance_mm: float
    first: Spot
    second: Spot


def nearest_to_itself(
    path: Path, reach_mm: float = inf, slack_mm: float = SLACK_MM
) -> Nearest | None:
    """Where the tube comes nearest to itself, at most ``slack_mm`` over the true least.

    None when the tube has no two points pi R apart, or when none of them come as near as
    ``reach_mm``; a small reach is answered sooner, and so is a wide slack. Raises ValueError for a
    path with a straight under zero, which is no tube.
    """
    stretches = _stretches(path)
    radii = [s.piece.radius_mm for s in stretches if s.piece.radius_mm]
    if not radii:
        return None
    search = _Search(stretches, min(radii), reach_mm, slack_mm)
    search.run()
    return search.nearest()


class _Stretch(NamedTuple):
    """A piece with where it lies along the tube and a ball about it."""

    number: int
    start: float
    end: float
    piece: Piece
    point: Walk
    square: Square
    middle: Vector
    ball: float


def _stretches(path: Path) -> list[_Stretch]:
    made: list[_Stretch] = []
    ends = accumulate(piece.length_mm for piece in path.pieces)
    for number, (piece, end) in enumerate(zip(path.pieces, ends, strict=True)):
        if piece.length_mm < -SAME_MM:
            raise ValueError(f"a straight of {piece.length_mm:g} mm: lengthen its leg first")
        if piece.length_mm <= SAME_MM:
            continue
        point = walk(piece)
        middle, off = point(piece.length_mm / 2), subtract(piece.point, point(piece.length_mm / 2))
        made.append(
            _Stretch(
                number, end - piece.length_mm, end, piece, point, square_to(piece), middle,
                sqrt(dot(off, off)),
            )
        )  # fmt: skip
    return made


class _Search:
    """Branch and bound over all pairs; positions are millimetres along the whole tube."""

    def __init__(
        self, stretches: Sequence[_Stretch], radius_mm: float, reach_mm: float, slack_mm: float
    ) -> None:
        self.stretches = stretches
        self.slack = slack_mm
        self.radius = radius_mm
        self.apart = pi * radius_mm
        self.best = reach_mm * reach_mm
        self.wanted = enough(self.best, self.slack)
        self.found: tuple[_Stretch, float, _Stretch, float] | None = None

    def run(self) -> None:
        """Look at all pairs of pieces, those that can be nearest first."""
        pairs: list[tuple[float, int, int]] = []
        for i, one in enumerate(self.stretches):
            for j in range(i, len(self.stretches)):
                other = self.stretches[j]
                if other.end - one.start <= self.apart:
                    continue
                bound = self._least_possible(one, other) if i != j else 0.0
                if bound * bound < self.wanted:
                    pairs.append((bound, i, j))
        pairs.sort()
        for bound, i, j in pairs:
            if bound * bound >= self.wanted:
                break
            self._pair(self.stretches[i], self.stretches[j])

    def nearest(self) -> Nearest | None:
        """The best pair found."""
        if self.found is None:
            return None
        one, u, other, v = self.found
        return Nearest(sqrt(self.best), _spot(one, u), _spot(other, v))

    @staticmethod
    def _least_possible(one: _Stretch, other: _Stretch) -> float:
        """A distance that two pieces cannot come under: ball to ball, or ball to piece."""
        gap = subtract(one.middle, other.middle)
        balls = sqrt(dot(gap, gap)) - one.ball - other.ball
        if balls > 0:
            return balls
        if one.ball > other.ball:
            one, other = other, one
        return max(sqrt(other.square(one.middle)) - one.ball, 0.0)

    def _pair(self, one: _Stretch, other: _Stretch) -> None:
        """Split what two pieces allow into a box of free pairs and a corner cut by the border."""
        if _bent_beside(one, other):
            self._beside(one, other)
            return
        far = min(one.end, other.end - self.apart)
        near = min(max(one.start, other.start - self.apart), far)
        if near > one.start:
            self._box(one, one.start, near, other, other.start, other.end)
        if far > near:
            self._corner(one, near, far, other)
            if other.end > far + self.apart:
                self._box(one, near, far, other, far + self.apart, other.end)

    def _beside(self, one: _Stretch, other: _Stretch) -> None:
        """The nearest pair of a straight and the arc it runs into: at the border, and the arc's
        point as far from the straight as can be.

        With a mm of the straight and an angle t up to pi of an arc of radius r between them,
        distance**2 = (a + r sin t)**2 + r**2 (1 - cos t)**2 grows with a; at the border, where
        a = pi R - r t, its slope by t is -2 r (1 - cos t) a, never over 0.
        """
        if other.piece.radius_mm:
            u = min(one.end, other.end - self.apart)
        else:
            u = max(one.start, other.start - self.apart)
        self._square(one, u, other, u + self.apart)

    def _box(
        self, one: _Stretch, low: float, high: float, other: _Stretch, low2: float, high2: float
    ) -> None:
        """All pairs of a stretch of one piece and a stretch of another."""
        first, second = _cut(one, low, high), _cut(other, low2, high2)
        found = between_pieces(first, second, self.best, self.slack)
        if found is not None:
            self.best = found[0]
            self.wanted = enough(self.best, self.slack)
            u = low + found[1]
            self.found = (one, u, other, low2 + nearest_along(second, one.point(u - one.start)))

    def _corner(self, one: _Stretch, low: float, high: float, other: _Stretch) -> None:
        """The pairs of a stretch whose second point lies at the border or up to its length on.

        The squared distance of two points that move along the tube has no second derivative over
        C = 2 (2 + distance/R) any way, so over a triangle it lies at most C/2 r**2 under its
        least corner, r the radius of the circle through the corners.
        """
        step = high - low
        if step <= pi * self.radius:
            schur = 2 * self.radius * cos(step / 2 / self.radius)
            if schur * schur >= self.wanted:
                return
        corners = ((low, low), (high, high), (low, high))
        squares = [self._square(one, u, other, v + self.apart) for u, v in corners]
        farthest = sqrt(max(squares)) + 2 * step
        bow = (2 + farthest / self.radius) * step * step / 2
        if min(squares) - bow >= self.wanted or self._border(one, low, high, other, farthest):
            return
        middle = (low + high) / 2
        self._corner(one, low, middle, other)
        self._corner(one, middle, high, other)
        self._box(one, low, middle, other, middle + self.apart, high + self.apart)

    def _border(
        self, one: _Stretch, low: float, high: float, other: _Stretch, farthest: float
    ) -> bool:
        """Settle a corner whose pairs all draw apart as the second point goes on.

        The nearest is then at the border itself, a single row of pairs. False when that is not
        sure.
        """
        step = high - low
        p, along_one = one.piece.at(low - one.start)
        q, along_other = other.piece.at(low + self.apart - other.start)
        curvature = 1 / other.piece.radius_mm if other.piece.radius_mm else 0.0
        if dot(subtract(q, p), along_other) <= step * (2 + farthest * curvature):
            return False
        curvature += 1 / one.piece.radius_mm if one.piece.radius_mm else 0.0
        drift = subtract(along_other, along_one)
        pace = Pace(sqrt(dot(drift, drift)) + step * curvature, curvature)

        def at_border(u: float) -> float:
            return self._square(one, u, other, u + self.apart)

        least(at_border, low, high, pace, self.best, self.slack)
        return True

    def _square(self, one: _Stretch, u: float, other: _Stretch, v: float) -> float:
        gap = subtract(one.point(u - one.start), other.point(v - other.start))
        square = dot(gap, gap)
        if square < self.best:
            self.best, self.found = square, (one, u, other, v)
            self.wanted = enough(square, self.slack)
        return square


def _bent_beside(one: _Stretch, other: _Stretch) -> bool:
    """Whether one of two pieces is a straight, and the other the arc it runs into, half round at
    most."""
    a, b = one.piece, other.piece
    arc = a if a.radius_mm else b
    single = bool(a.radius_mm) != bool(b.radius_mm)
    return (
        single and other.number == one.number + 1 and arc.length_mm <= pi * arc.radius_mm + SAME_MM
    )


def _cut(stretch: _Stretch, low: float, high: float) -> Piece:
    """The part of a piece between two places along the tube."""
    if low == stretch.start and high == stretch.end:
        return stretch.piece
    return part(stretch.piece, low - stretch.start, high - stretch.start)


def _spot(stretch: _Stretch, at_mm: float) -> Spot:
    leg = None if stretch.piece.radius_mm else stretch.number // 2 + 1
    return Spot(at_mm, stretch.point(at_mm - stretch.start), stretch.piece.bend, leg)
