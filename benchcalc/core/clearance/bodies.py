"""How near a point, or a piece of tube, comes to what stands about the die.

Inside a body the distance is nothing. All of it is exact but an arc against a capsule or a box,
which is at most ``distance.SLACK_MM`` over the true least.
"""

from collections.abc import Callable
from math import atan2, sqrt

from benchcalc.core.clearance.distance import (
    Square,
    between_pieces,
    least,
    pace_along,
    square_to_straight,
    walk,
)
from benchcalc.core.geometry.envelope import Block, Body, Capsule, Plane
from benchcalc.core.geometry.vectors import Vector, dot, scale, subtract
from benchcalc.core.layout.path import Piece

Near = Callable[[Piece], tuple[float, float]]
"""The squared distance of a piece, and how far along it the nearest point lies."""


def thickness(body: Body) -> float:
    """How far a body reaches beyond what distances are measured to: a capsule's radius."""
    return body.radius_mm if isinstance(body, Capsule) else 0.0


def square_to_body(body: Body) -> Square:
    """The squared distance of a point; for a capsule, to its middle line."""
    if isinstance(body, Capsule):
        axis = _axis(body)
        return square_to_straight(axis.point, axis.direction, axis.length_mm)
    return _square_to_box(body) if isinstance(body, Block) else _square_to_plane(body)


def near_body(body: Body) -> Near:
    """How near a piece comes; for a capsule, to its middle line."""
    if isinstance(body, Capsule):
        axis = _axis(body)
        return lambda piece: between_pieces(piece, axis) or (0.0, 0.0)
    if isinstance(body, Plane):
        return lambda piece: _near_plane(piece, body)
    to_box = square_to_body(body)
    return lambda piece: (
        _arc_near(piece, to_box) if piece.radius_mm else _straight_near_box(piece, body)
    )


def _axis(capsule: Capsule) -> Piece:
    way = subtract(capsule.to_mm, capsule.from_mm)
    length_mm = sqrt(dot(way, way))
    direction = scale(way, 1 / length_mm) if length_mm else (1.0, 0.0, 0.0)
    return Piece(capsule.from_mm, direction, direction, length_mm, 0.0, None)


def _faces(plane: Plane) -> Vector:
    return scale(plane.faces, 1 / sqrt(dot(plane.faces, plane.faces)))


def _square_to_plane(plane: Plane) -> Square:
    (x, y, z), at_mm = _faces(plane), plane.at_mm

    def to_plane(point: Vector) -> float:
        over = point[0] * x + point[1] * y + point[2] * z - at_mm
        return over * over if over > 0 else 0.0

    return to_plane


def _near_plane(piece: Piece, plane: Plane) -> tuple[float, float]:
    faces = _faces(plane)
    ahead, aside = dot(piece.direction, faces), dot(piece.normal, faces)
    lowest = atan2(-ahead, aside) * piece.radius_mm
    places = [0.0, piece.length_mm] + [lowest] * (0 < lowest < piece.length_mm)
    to_plane = _square_to_plane(plane)
    return min((to_plane(piece.at(s)[0]), s) for s in places)


def _square_to_box(box: Block) -> Square:
    (lx, ly, lz), (hx, hy, hz) = box.low_mm, box.high_mm

    def to_box(point: Vector) -> float:
        x, y, z = point
        x = lx - x if x < lx else x - hx if x > hx else 0.0
        y = ly - y if y < ly else y - hy if y > hy else 0.0
        z = lz - z if z < lz else z - hz if z > hz else 0.0
        return x * x + y * y + z * z

    return to_box


def _arc_near(piece: Piece, to_body: Square) -> tuple[float, float]:
    point = walk(piece)
    found = least(lambda s: to_body(point(s)), 0.0, piece.length_mm, pace_along(piece))
    return found or (0.0, 0.0)


def _straight_near_box(piece: Piece, box: Block) -> tuple[float, float]:
    """Along a straight the squared distance is convex, its slope straight between the box's edges.

    The nearest point is where the slope goes through zero.
    """
    sides = list(zip(piece.point, piece.direction, box.low_mm, box.high_mm, strict=True))
    edges = [(e - p) / t for p, t, low, high in sides if t for e in (low, high)]
    places = sorted(s for s in edges if 0 < s < piece.length_mm)

    def slope(s: float) -> float:
        total = 0.0
        for p, t, low, high in sides:
            x = p + t * s
            total += (min(x - low, 0.0) + max(x - high, 0.0)) * t
        return total

    nearest, before, falls = 0.0, 0.0, slope(0.0)
    if falls < 0:
        for place in (*places, piece.length_mm):
            rises = slope(place)
            nearest = place
            if rises >= 0:
                nearest = before + (place - before) * falls / (falls - rises)
                break
            before, falls = place, rises
    return _square_to_box(box)(piece.at(nearest)[0]), nearest
