"""The run in space: frames along the tube, its corner points, where it ends and points.

The first leg starts at the origin along +X and the first bend (turn 0) curves towards +Y; with t
the direction of travel, n the way a bend curves and b = t x n, a turn of f first takes
n to n cos f + b sin f, then a bend of T takes (t, n) to (t cos T + n sin T, n cos T - t sin T).
"""

from collections.abc import Iterator
from math import cos, radians, sin, tan
from typing import NamedTuple

from benchcalc.core.geometry.vectors import Vector, translate
from benchcalc.core.layout.straight_tube import Layout


class Piece(NamedTuple):
    """A straight (``radius_mm`` 0) or an arc, from ``point`` along ``direction``.

    ``normal`` is the way the arc curves, or the last bend curved.
    """

    point: Vector
    direction: Vector
    normal: Vector
    length_mm: float
    radius_mm: float
    bend: int | None

    def at(self, along_mm: float) -> tuple[Vector, Vector]:
        """Point and direction after ``along_mm`` of this piece's centreline."""
        p, t, n = self.point, self.direction, self.normal
        if not self.radius_mm:
            return translate(p, t, along_mm), t
        angle = along_mm / self.radius_mm
        c, s = cos(angle), sin(angle)
        return (
            translate(translate(p, t, self.radius_mm * s), n, self.radius_mm * (1 - c)),
            (t[0] * c + n[0] * s, t[1] * c + n[1] * s, t[2] * c + n[2] * s),
        )


class Path(NamedTuple):
    """Straights and arcs by turns, allowances left out; where the run ends and points."""

    pieces: tuple[Piece, ...]
    end_point: Vector
    end_direction: Vector

    def points(self, step_deg: float = 7.5) -> Iterator[tuple[Vector, int | None]]:
        """Points of the centreline for drawing, each with the bend it belongs to."""
        for piece in self.pieces:
            yield piece.point, piece.bend
            if piece.radius_mm:
                steps = max(2, round(piece.length_mm / piece.radius_mm / radians(step_deg)))
                for step in range(1, steps):
                    yield piece.at(piece.length_mm * step / steps)[0], piece.bend
        yield self.end_point, None


def trace(layout: Layout) -> Path:
    """Follow the finished tube through space, without the allowances at its ends."""
    px = py = pz = 0.0
    tx, ty, tz = 1.0, 0.0, 0.0
    nx, ny, nz = 0.0, 1.0, 0.0
    pieces: list[Piece] = []
    for bend in layout.bends:
        straight, radius = bend.straight_before_mm, bend.radius_mm
        t, n = (tx, ty, tz), (nx, ny, nz)
        pieces.append(Piece((px, py, pz), t, n, straight, 0.0, None))
        if bend.turn_deg:
            turn = radians(bend.turn_deg)
            c, s = cos(turn), sin(turn)
            nx, ny, nz = (
                nx * c + (ty * nz - tz * ny) * s,
                ny * c + (tz * nx - tx * nz) * s,
                nz * c + (tx * ny - ty * nx) * s,
            )
        px, py, pz = px + tx * straight, py + ty * straight, pz + tz * straight
        pieces.append(Piece((px, py, pz), t, (nx, ny, nz), bend.arc_mm, radius, bend.number))
        angle = radians(bend.angle_deg)
        c, s = cos(angle), sin(angle)
        ahead, aside = radius * s, radius * (1 - c)
        px += tx * ahead + nx * aside
        py += ty * ahead + ny * aside
        pz += tz * ahead + nz * aside
        tx, ty, tz, nx, ny, nz = (
            tx * c + nx * s, ty * c + ny * s, tz * c + nz * s,
            nx * c - tx * s, ny * c - ty * s, nz * c - tz * s,
        )  # fmt: skip
    last = layout.straight_after_mm
    t = (tx, ty, tz)
    pieces.append(Piece((px, py, pz), t, (nx, ny, nz), last, 0.0, None))
    return Path(tuple(pieces), (px + tx * last, py + ty * last, pz + tz * last), t)


def corner_points(layout: Layout, path: Path) -> tuple[Vector, ...]:
    """The points legs are measured between: both ends, corners, and for a crown its farthest reach.

    A crown's reach is taken along the leg that comes to it.
    """
    points = [path.pieces[0].point]
    for bend, arc in zip(layout.bends, path.pieces[1::2], strict=True):
        reach = bend.radius_mm if bend.crown else bend.radius_mm * tan(radians(bend.angle_deg) / 2)
        points.append(translate(arc.point, arc.direction, reach))
    points.append(path.end_point)
    return tuple(points)
