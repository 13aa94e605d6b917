"""The tube's end at its port: from behind, from the side or from above, the asked way lit."""

from math import cos, radians, sin

from benchcalc.panel.state.model import PortField
from benchcalc.report.scene import Box, Disc, Picture, Point, Polygon, Shape, Stroke

TILT_DEG = 14.0
"""How far a tube is drawn off its direction, so that it is seen; no measure."""


def port_picture(box: Box, field: PortField, other: bool) -> Picture:
    """One part of a miss, not to scale: the port in ink, the tube's end, and the way between."""
    way = -1.0 if other else 1.0
    if field in ("up", "right"):
        return Picture(box, tuple(_from_behind(box, field, way)), "sheet")
    return Picture(box, tuple(_from_aside(box, field, way)), "sheet")


def _from_behind(box: Box, field: PortField, way: float) -> list[Shape]:
    """Along the tube: the port a ring, the end a disc with the last heel at its foot."""
    x, y = box.centre
    reach = min(box.w, box.h) * 0.22
    off = (0.0, -way * reach) if field == "up" else (way * reach, 0.0)
    end = (x + off[0], y + off[1])
    cross = [((x - 2 * reach, y), (x + 2 * reach, y)), ((x, y - 2 * reach), (x, y + 2 * reach))]
    return [
        *(Stroke(line, "rule", 2.0) for line in cross),
        Disc(end, reach * 0.62, "tube"),
        Disc(end, reach * 0.62, "tube_edge", 3.0),
        Disc((end[0], end[1] + reach * 0.62), reach * 0.16, "ink"),
        Disc((x, y), reach, "ink", 3.0),
        *_way((x, y), end),
    ]


def _from_aside(box: Box, field: PortField, way: float) -> list[Shape]:
    """The tube comes from the left; from the side with its heel down, or from above."""
    y, high = box.centre[1], min(box.h, box.w) * 0.16
    port, left = box.x + box.w * 0.66, box.x + box.w * 0.08
    wall = Stroke(((port, y - 2.2 * high), (port, y + 2.2 * high)), "ink", 6.0)
    if field == "ahead":
        end = port + way * box.w * 0.18
        tube = (((left, y), (end, y)), high)
        arrow = _way((port, y + 1.6 * high), (end, y + 1.6 * high))
    else:
        lean = radians(TILT_DEG) * (-way if field == "tilt_up" else way)
        long = port - left - box.w * 0.04
        tip = (left + long * cos(lean), y + long * sin(lean))
        tube = (((left, y), tip), high)
        arrow = _way((tip[0], y), tip)
    line, wide = tube
    return [
        Stroke(((left, y), (port + box.w * 0.2, y)), "rule", 2.0),
        Stroke(line, "tube_edge", wide),
        Stroke(line, "tube", wide - 5.0),
        wall,
        *arrow,
    ]


def _way(start: Point, end: Point) -> list[Shape]:
    """From where it belongs to where it came."""
    (x0, y0), (x1, y1) = start, end
    long = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1e-9)
    dx, dy = (x1 - x0) / long, (y1 - y0) / long
    size = 9.0
    head = (
        (x1, y1),
        (x1 - dx * size - dy * size * 0.7, y1 - dy * size + dx * size * 0.7),
        (x1 - dx * size + dy * size * 0.7, y1 - dy * size - dx * size * 0.7),
    )
    return [Stroke((start, end), "focus", 5.0), Polygon(head, "focus")]
