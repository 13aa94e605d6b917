"""Where a level is laid to tell a turn: along the last bent leg, or clipped square across."""

from math import cos, radians, sin

from benchcalc.report.drawings import hatch
from benchcalc.report.scene import Box, Disc, Picture, Point, Polygon, Shape, Stroke


def along_picture(box: Box, rises_deg: float) -> Picture:
    """The tube level in the bender, the last bent leg rising from it, the level on that leg."""
    up = radians(rises_deg)
    rise, run = abs(sin(up)), cos(up)
    reach = min(0.62 * box.w / max(run, 0.35), 0.62 * box.h / max(rise, 0.35))
    thick = min(0.16 * reach, 0.14 * box.h)
    low = 0.5 + 0.5 * sin(up) * reach / box.h
    corner = (box.x + 0.68 * box.w, box.y + low * box.h)
    held = Box(corner[0] + 0.1 * box.w, corner[1] - thick / 2, 0.18 * box.w, thick)
    shapes: list[Shape] = [*_tube(corner, (box.right - 0.04 * box.w, corner[1]), thick)]
    shapes += hatch(held)
    away = (-cos(up), -sin(up))
    end = (corner[0] + reach * away[0], corner[1] + reach * away[1])
    shapes += [*_tube(corner, end, thick), Disc(corner, thick / 2, "tube")]
    flat = (max(corner[0] - reach * 0.9, box.x + 2.0), corner[1])
    shapes.append(Stroke((corner, flat), "quiet", 2.0))
    arc = [
        (corner[0] - 0.8 * reach * cos(up * i / 12), corner[1] - 0.8 * reach * sin(up * i / 12))
        for i in range(13)
    ]
    if abs(rises_deg) > 1.0:
        shapes.append(Stroke(tuple(arc), "ink", 3.0))
    shapes += _level(corner, away, reach * 0.62, 0.5 * thick)
    return Picture(box, tuple(shapes), "sheet")


def across_picture(box: Box, sweep_deg: float) -> Picture:
    """The tube seen from the held end, the level clipped across it before the turn and after.

    ``sweep_deg`` is what the hands turn it, clockwise over zero.
    """
    cx, cy = box.centre
    radius = min(box.w, box.h) * 0.22
    shapes: list[Shape] = [
        Disc((cx, cy), radius, "tube"),
        Disc((cx, cy), radius, "tube_edge", 3.0),
    ]
    for turn_deg, role in ((0.0, "quiet"), (sweep_deg, "ink")):
        at = radians(turn_deg)
        along, out = (cos(at), sin(at)), (sin(at), -cos(at))
        middle = (cx + 1.25 * radius * out[0], cy + 1.25 * radius * out[1])
        ends = tuple(
            (middle[0] + way * 1.5 * radius * along[0], middle[1] + way * 1.5 * radius * along[1])
            for way in (-1.0, 1.0)
        )
        shapes.append(Stroke(ends, role, 0.38 * radius))  # type: ignore[arg-type]
        shapes.append(Stroke((ends[0], (cx, cy), ends[1]), role, 2.0))  # type: ignore[arg-type]
    return Picture(box, tuple(shapes), "sheet")


def _tube(start: Point, end: Point, thick: float) -> list[Shape]:
    """A band with two edges."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = (dx * dx + dy * dy) ** 0.5 or 1.0
    nx, ny = -dy / size * thick / 2, dx / size * thick / 2
    one = ((start[0] + nx, start[1] + ny), (end[0] + nx, end[1] + ny))
    other = ((start[0] - nx, start[1] - ny), (end[0] - nx, end[1] - ny))
    band = Polygon((*one, other[1], other[0]), "tube")
    return [band, Stroke(one, "tube_edge", 2.5), Stroke(other, "tube_edge", 2.5)]


def _level(corner: Point, away: Point, at: float, off: float) -> list[Shape]:
    """A level with its bubble, on the upper side of a leg that goes ``away`` from its corner."""
    above = (away[1], -away[0]) if away[0] > 0 else (-away[1], away[0])
    half, thick = 0.34 * at, 1.6 * off

    def place(along: float, up: float) -> Point:
        return (
            corner[0] + (at + along) * away[0] + up * above[0],
            corner[1] + (at + along) * away[1] + up * above[1],
        )

    low, high = off, off + thick
    body = (place(-half, low), place(half, low), place(half, high), place(-half, high))
    bubble = place(0.0, off + thick / 2)
    return [Polygon(body, "ink"), Disc(bubble, 0.3 * thick, "sheet")]
