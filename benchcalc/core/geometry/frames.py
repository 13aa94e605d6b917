"""Where a run stands in space: the point it is at, the way it travels and the way it curves."""

from math import atan2, cos, degrees, radians, sin, sqrt
from typing import NamedTuple

from benchcalc.core.geometry.vectors import Vector, cross, dot, scale, translate


def length(a: Vector) -> float:
    """How long a vector is."""
    return sqrt(dot(a, a))


def unit(a: Vector) -> Vector:
    """The direction of a vector. Raises ValueError for the vector of no length."""
    size = length(a)
    if size == 0.0:
        raise ValueError("a vector of no length has no direction")
    return scale(a, 1 / size)


def turned(a: Vector, axis: Vector, angle_rad: float) -> Vector:
    """A vector turned about a unit axis, clockwise for someone who looks along it."""
    c, s = cos(angle_rad), sin(angle_rad)
    stays = scale(axis, dot(a, axis) * (1 - c))
    return translate(translate(stays, a, c), cross(axis, a), s)


def angle_between(a: Vector, b: Vector) -> float:
    """The angle between two vectors, degrees from 0 to 180; exact near both ends too."""
    return degrees(atan2(length(cross(a, b)), dot(a, b)))


def wrapped(turn_deg: float) -> float:
    """The same turn from over -180 to 180 degrees; exact for a turn that lies there already."""
    if -180 < turn_deg <= 180:
        return turn_deg
    return 180.0 - (180.0 - turn_deg) % 360.0


class Frame(NamedTuple):
    """A place, a unit direction of travel and, square to it, the unit way a bend curves."""

    point: Vector
    travel: Vector
    curve: Vector

    @property
    def across(self) -> Vector:
        """The third direction: travel x curve, the axis of a bend that curves so."""
        return cross(self.travel, self.curve)

    def out(self, vector: Vector) -> Vector:
        """A direction of a run that starts here, in the space the frame stands in."""
        ahead, aside, across = vector
        return translate(
            translate(scale(self.travel, ahead), self.curve, aside), self.across, across
        )

    def place(self, point: Vector) -> Vector:
        """A point of a run that starts here, in the space the frame stands in."""
        return translate(self.point, self.out(point), 1.0)

    def ahead(self, by_mm: float) -> "Frame":
        """The frame moved along its travel."""
        return self._replace(point=translate(self.point, self.travel, by_mm))

    def bent(self, turn_deg: float, angle_deg: float) -> "Frame":
        """The frame after a bend with its corner here: turned about the travel, then bent."""
        curve = turned(self.curve, self.travel, radians(turn_deg))
        c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
        return Frame(
            self.point,
            translate(scale(self.travel, c), curve, s),
            translate(scale(curve, c), self.travel, -s),
        )


START = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
"""Where every run starts in its own space."""


def any_square_to(direction: Vector) -> Vector:
    """Some unit vector square to a direction."""
    least = min(range(3), key=lambda i: abs(direction[i]))
    axis = (float(least == 0), float(least == 1), float(least == 2))
    return unit(cross(direction, axis))
