"""A piece whose every bend is made: what it is, by what was measured of it."""

from math import dist
from typing import Literal, NamedTuple

from benchcalc.core.fit.correction import Correction, Off
from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.layout.path import corner_points

PointKind = Literal["end", "corner", "crown"]


class AsMade(NamedTuple):
    """Its corner points from the flagged end on, mm, without the allowances at the ends.

    ``kinds`` says what each is: an end, a corner, or the farthest reach of a bend without one.
    ``end_to_end_mm`` is the straight line between its ends, ``off`` what its far end misses, and
    ``fits`` whether that is inside what the job allows.
    """

    points: tuple[Vector, ...]
    kinds: tuple[PointKind, ...]
    end_to_end_mm: float
    off: Off
    fits: bool


def as_made(correction: Correction) -> AsMade:
    """The piece, by the correction after its last bend, when nothing is left to correct."""
    points = corner_points(correction.layout, correction.path)
    bends: list[PointKind] = ["crown" if b.crown else "corner" for b in correction.layout.bends]
    fits = correction.fits and correction.points
    kinds: tuple[PointKind, ...] = ("end", *bends, "end")
    return AsMade(points, kinds, dist(points[0], points[-1]), correction.after, fits)
