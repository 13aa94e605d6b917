"""Where the tube meets itself or the bender, on a picture of the run; and how the axes lie."""

from collections.abc import Callable, Iterable
from math import hypot, sqrt

from benchcalc.core.finding import Finding
from benchcalc.core.geometry.vectors import Vector, dot
from benchcalc.core.layout.path import Path
from benchcalc.core.sheet import Sheet
from benchcalc.report.drawings import fitted, piece_points, run_shapes
from benchcalc.report.figures import length_text
from benchcalc.report.run_views import ISOMETRIC, PLANE, View, best_view, seen
from benchcalc.report.scene import Box, Disc, Label, Picture, Point, Shape, Stroke

Place = Callable[[float, float], Point]

CLASHES = ("clash-self", "clash-bender")


def clash_of(sheet: Sheet) -> Finding | None:
    """The gravest finding that the tube meets itself or the bender."""
    return next((finding for finding in sheet.findings if finding.rule in CLASHES), None)


def clash_view(sheet: Sheet, finding: Finding) -> View:
    """The view in which the places that meet lie farthest apart and the run is spread out."""
    spots = clash_spots(sheet, finding)
    if len(spots) < 2:
        return best_view(sheet.path)

    def shown(view: View) -> float:
        (x0, y0), (x1, y1) = seen(spots, view)
        return hypot(x1 - x0, y1 - y0)

    return max((PLANE, *ISOMETRIC), key=shown)


def clash_spots(sheet: Sheet, finding: Finding) -> list[Vector]:
    """Where on the finished run it is, one point or two."""
    values, shift = dict(finding.values), sheet.layout.shift_mm
    names = ("first_mm", "second_mm") if finding.rule == "clash-self" else ("at_mm",)
    return [point_at(sheet.path, float(values[name]) - shift) for name in names]


def point_at(path: Path, at_mm: float) -> Vector:
    """The point of the centreline so far along it, its ends at most."""
    left = max(at_mm, 0.0)
    for piece in path.pieces:
        if left <= piece.length_mm:
            return piece.at(left)[0]
        left -= piece.length_mm
    return path.end_point


def clash_marks(
    sheet: Sheet, finding: Finding, view: View, place: Place, size: float, within: Box
) -> Iterable[Shape]:
    """A ring about each place that meets something, and how much there is between or lacks."""
    spots = [place(*point) for point in seen(clash_spots(sheet, finding), view)]
    for spot in spots:
        yield Disc(spot, size, "alarm", 4.0)
    if len(spots) > 1:
        yield Stroke((spots[0], spots[1]), "alarm", 2.5)
    gap = float(dict(finding.values)["gap_mm"])
    text = length_text(gap, sheet.job.units)
    x, y = max(spots)
    high = min(size * 1.6, 24.0)
    at = min(x + size * 1.4, within.right - high * 5)
    up = max(y - size * 1.2 - high, within.y) if at < x + size else y - high / 2
    yield Label(Box(at, up, high * 5, high), text, high, "alarm")


def clash_picture(box: Box, sheet: Sheet, finding: Finding) -> Picture:
    """The finished run from the side that shows the clash best, the places ringed."""
    view = clash_view(sheet, finding)
    points = [point for piece in sheet.path.pieces for point in piece_points(piece)]
    place, scale = fitted(box, seen(points, view))
    width = min(max(sheet.job.tube.od_mm * scale, 7.0), 16.0)
    shapes = [*run_shapes(sheet.path, view, place, width, finding.bend)]
    shapes += clash_marks(sheet, finding, view, place, max(width, 10.0), box)
    return Picture(box, tuple(shapes), "sheet")


def axes_sign(corner: Point, view: View, long: float, text: float) -> Iterable[Shape]:
    """The three axes as they lie in a view, drawn from a corner."""
    x, y = corner
    right, up = view
    for name, axis in (("X", 0), ("Y", 1), ("Z", 2)):
        ends = (right[axis], -up[axis])
        size = sqrt(dot((*ends, 0.0), (*ends, 0.0)))
        if size < 0.1:
            continue
        tip = (x + ends[0] * long, y + ends[1] * long)
        yield Stroke((corner, tip), "ink", 2.0)
        label = (tip[0] + ends[0] / size * text * 0.7, tip[1] + ends[1] / size * text * 0.7)
        box = Box(label[0] - text, label[1] - text / 2, 2 * text, text)
        yield Label(box, name, text, "quiet", "centre")
