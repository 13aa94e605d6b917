"""From which side a run in space is drawn: in the plane of its bends, or isometric.

An isometric view looks along a diagonal of the axes, so that X, Y and Z are all shortened alike.
There are four with Y upwards; the one that spreads the run out widest is taken.
"""

from itertools import combinations, pairwise
from math import sqrt

from benchcalc.core.geometry.vectors import Vector, cross, dot, scale
from benchcalc.core.layout.path import Path
from benchcalc.report.scene import Point

View = tuple[Vector, Vector]
"""Screen right and screen up, in the run's own axes."""

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
PLANE: View = (X, Y)
"""The plane of the first bend."""


def seen_from(x: float, y: float, z: float) -> View:
    """Seen from far out on a line from the origin, Y upright; not straight from above."""
    eye = scale((x, y, z), 1 / sqrt(x * x + y * y + z * z))
    right = cross(Y, eye)
    right = scale(right, 1 / sqrt(dot(right, right)))
    return right, cross(eye, right)


_SIDES = tuple((x, z) for x in (1, -1) for z in (1, -1))
ISOMETRIC = tuple(seen_from(x, 1, z) for x, z in _SIDES)
"""From above, and from either side of X and of Z."""

LEANING = tuple(
    seen_from(a * x, b, c * z) for a, b, c in ((2, 1, 1), (1, 2, 1), (1, 1, 2)) for x, z in _SIDES
)
"""The same, moved towards looking square onto one plane of the axes; all three are still seen."""

CLEARLY = 1.2
"""A bend must look that much larger before the picture turns away from the run's own view."""

FLAT = 0.02
"""A run that leaves its plane by less than this part of its size is drawn in the plane."""


def best_view(path: Path) -> View:
    """The plane of the bends for a flat run, else the isometric view that spreads it out widest."""
    points = [point for point, _ in path.points(30.0)]
    reach = max(max(abs(x), abs(y)) for x, y, _ in points)
    if max(abs(z) for _, _, z in points) < FLAT * reach:
        return PLANE
    return max(ISOMETRIC, key=lambda view: _lesser_spread(seen(points, view)))


def view_of_bend(path: Path, number: int | None) -> View:
    """The view that shows a bend's two legs and the plane they lie in largest.

    Where none shows it clearly larger than the view that suits the whole run, that one stays; so it
    does for a flat run, and where no bend has this ``number``. Of two as good the nearer one.
    """
    whole = best_view(path)
    arc = next((piece for piece in path.pieces if number and piece.bend == number), None)
    if arc is None or whole is PLANE:
        return whole
    upright = cross(arc.direction, arc.normal)  # to the bend's plane

    def shown(view: View) -> float:
        """The part that is seen of any area in the bend's plane, the triangle of its legs too."""
        return abs(dot(upright, cross(*view)))

    def better(view: View) -> tuple[float, float]:
        return round(shown(view), 6), dot(cross(*view), cross(*whole))

    turned = max((*ISOMETRIC, *LEANING), key=better)
    return turned if shown(turned) > CLEARLY * shown(whole) else whole


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
