"""From which side a run in space is drawn: in the plane of its bends, or isometric.

An isometric view looks along a diagonal of the axes, so that X, Y and Z are all shortened alike.
There are four with Y upwards; the one that spreads the run out widest is taken.
"""

from itertools import combinations, pairwise
from math import sqrt

from benchcalc.core.path import Path
from benchcalc.core.vectors import Vector, cross, dot, times
from benchcalc.panel.scene import Point

View = tuple[Vector, Vector]
"""Screen right and screen up, in the run's own axes."""

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
PLANE: View = (X, Y)
"""The plane of the first bend."""


def isometric(from_x: int, from_z: int) -> View:
    """Seen from above and from the side of X and Z that the signs say."""
    eye = times((float(from_x), 1.0, float(from_z)), 1 / sqrt(3))
    right = cross(Y, eye)
    right = times(right, 1 / sqrt(dot(right, right)))
    return right, cross(eye, right)


ISOMETRIC = tuple(isometric(x, z) for x in (1, -1) for z in (1, -1))

FLAT = 0.02
"""A run that leaves its plane by less than this part of its size is drawn in the plane."""


def best_view(path: Path) -> View:
    """The plane of the bends for a flat run, else the isometric view that spreads it out widest."""
    points = [point for point, _ in path.points(30.0)]
    reach = max(max(abs(x), abs(y)) for x, y, _ in points)
    if max(abs(z) for _, _, z in points) < FLAT * reach:
        return PLANE
    return max(ISOMETRIC, key=lambda view: _lesser_spread(seen(points, view)))


def clearest_isometric(path: Path) -> View:
    """The isometric view in which the run crosses itself least, and of those the widest."""
    points = [point for point, _ in path.points(30.0)]

    def clear(view: View) -> tuple[int, float]:
        shown = seen(points, view)
        return -_crossings(shown), _lesser_spread(shown)

    return max(ISOMETRIC, key=clear)


def seen(points: list[Vector], view: View) -> list[Point]:
    """Points as they lie on the screen, y downwards."""
    right, up = view
    return [(dot(point, right), -dot(point, up)) for point in points]


def _crossings(points: list[Point]) -> int:
    """How often a line through the points crosses itself."""
    parts = list(pairwise(points))
    pairs = combinations(enumerate(parts), 2)
    return sum(_cross(one, other) for (i, one), (j, other) in pairs if j > i + 1)


def _cross(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    return _parts(one, other) and _parts(other, one)


def _parts(line: tuple[Point, Point], ends: tuple[Point, Point]) -> bool:
    """Whether two points lie on different sides of a line."""
    (x0, y0), (x1, y1) = line
    a, b = ((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) for x, y in ends)
    return a * b < 0


def _lesser_spread(points: list[Point]) -> float:
    """The smaller of the two principal spreads of plane points."""
    count = len(points)
    mx, my = sum(x for x, _ in points) / count, sum(y for _, y in points) / count
    xx = sum((x - mx) ** 2 for x, _ in points)
    yy = sum((y - my) ** 2 for _, y in points)
    xy = sum((x - mx) * (y - my) for x, y in points)
    half = (xx + yy) / 2
    return half - sqrt(max(((xx - yy) / 2) ** 2 + xy**2, 0.0))
