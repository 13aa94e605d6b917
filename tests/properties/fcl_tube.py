"""A tube as capsules in a collision library, for its verdict on whether the tube meets itself."""

from math import acos, ceil, pi
from typing import Any, NamedTuple

import fcl
import numpy as np
from numpy.typing import NDArray

from benchcalc.core.layout.path import Path

Array = NDArray[np.float64]


class Chords(NamedTuple):
    """Straight stretches that stand for a tube: where along it, and their ends in space."""

    low_mm: Array
    high_mm: Array
    starts: Array
    ends: Array


def meets_itself(path: Path, od_mm: float, sag_mm: float) -> bool:
    """Whether any two capsules whose stretches lie wholly pi R apart along the tube overlap.

    An arc's chords lie ``sag_mm`` off it at the most. Stretches are no longer than R, so that the
    pairs at the border, which are left out, cannot touch (Schur). Pairs far from each other are
    left out by whole arrays, which is quicker than the library's own tree with a filter in Python.
    """
    radius = min(piece.radius_mm for piece in path.pieces if piece.radius_mm)
    chords = chords_of(path, 0.9 * radius, sag_mm)
    solids = capsules(chords, od_mm)
    middles, balls = (chords.starts + chords.ends) / 2, (chords.high_mm - chords.low_mm + od_mm) / 2
    gaps = np.linalg.norm(middles[:, None] - middles[None], axis=2)
    near = gaps <= balls[:, None] + balls[None]
    apart = chords.low_mm[None] - chords.high_mm[:, None] >= pi * radius
    request = fcl.CollisionRequest()
    return any(
        fcl.collide(solids[i], solids[j], request, fcl.CollisionResult())
        for i, j in np.argwhere(near & apart)
    )


def chords_of(path: Path, most_mm: float, sag_mm: float) -> Chords:
    """The whole tube in stretches of ``most_mm`` at the most."""
    at_mm, lows, starts = 0.0, [0.0], [path.pieces[0].point]
    for piece in path.pieces:
        if piece.length_mm <= 1e-6:
            continue
        step_mm = most_mm
        if piece.radius_mm:
            step_mm = min(step_mm, 2 * piece.radius_mm * acos(1 - sag_mm / piece.radius_mm))
        parts = ceil(piece.length_mm / step_mm)
        for part in range(1, parts + 1):
            along_mm = piece.length_mm * part / parts
            lows.append(at_mm + along_mm)
            starts.append(piece.at(along_mm)[0])
        at_mm += piece.length_mm
    along, points = np.array(lows), np.array(starts)
    return Chords(along[:-1], along[1:], points[:-1], points[1:])


def capsules(chords: Chords, od_mm: float) -> list[Any]:
    """One solid of the tube's thickness for each stretch."""
    ways = chords.ends - chords.starts
    lengths = np.linalg.norm(ways, axis=1)
    z = ways / lengths[:, None]
    aside = np.where(abs(z[:, :1]) < 0.7, [[1.0, 0.0, 0.0]], [[0.0, 1.0, 0.0]])
    x = np.cross(z, aside)
    x /= np.linalg.norm(x, axis=1)[:, None]
    turns = np.stack((x, np.cross(z, x), z), axis=2)
    places = (chords.starts + chords.ends) / 2
    return [
        fcl.CollisionObject(fcl.Capsule(od_mm / 2, length), fcl.Transform(turn, place))
        for length, turn, place in zip(lengths, turns, places, strict=True)
    ]
