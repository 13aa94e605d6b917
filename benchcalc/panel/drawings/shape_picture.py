"""A shape as it will be bent, with the sizes that its form asks for and the one asked now lit.

It is laid out and traced as any run is. Only the leg that leads up to it may be drawn shorter than
it is, so that a long one leaves room for the shape.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from math import cos, hypot, radians, sin
from typing import NamedTuple

from benchcalc.core.geometry.frames import Frame, length
from benchcalc.core.geometry.vectors import Vector, dot, scale, subtract, translate
from benchcalc.core.job import Run
from benchcalc.core.layout.path import Path, corner_points, trace
from benchcalc.core.layout.straight_tube import Layout, lay_out, set_back
from benchcalc.core.shapes.named_shapes import (
    Offset,
    RollingOffset,
    Saddle,
    Shape,
    UBend,
    radius_of,
)
from benchcalc.core.shapes.ports import Port
from benchcalc.core.springback.first_guess import Springback
from benchcalc.panel.state.caches import first_guess
from benchcalc.panel.state.draft_rows import job_of
from benchcalc.panel.state.fields import Refused, has_unit
from benchcalc.panel.state.model import Draft
from benchcalc.panel.state.shape_forms import FORMS, Asked, read_shape, value_of
from benchcalc.panel.state.typed_shapes import ShapeTyped
from benchcalc.report.drawings import fitted, run_shapes
from benchcalc.report.run_views import ISOMETRIC, View, best_view
from benchcalc.report.scene import Box, Disc, Fill, Label, Picture, Point, Role, Stroke
from benchcalc.report.scene import Shape as Drawn
from benchcalc.words.language import number_shown

Place = Callable[[float, float], Point]
FULL_PX = 260.0
"""In a lower picture only the size that is asked is written."""

SAMPLES = {
    "leg": 3.0, "height": 2.5, "rise": 2.2, "roll": 1.8, "centre": 6.0, "flat": 2.0, "width": 3.2,
}  # fmt: skip
"""What stands in the picture for a size not given yet, in radii of the die."""


class DrawnSize(NamedTuple):
    """One size in the picture: a line through points in space, and thin lines that lead to it."""

    asked: int
    line: tuple[Vector, ...]
    leads: tuple[tuple[Vector, Vector], ...] = ()


class Figure(NamedTuple):
    """What is drawn: tubes, sizes, ports; ``quiet`` the tube that is there already."""

    path: Path | None
    sizes: tuple[DrawnSize, ...]
    quiet: Path | None = None
    ports: tuple[tuple[Port, bool], ...] = ()


def figure_picture(
    box: Box, draft: Draft, typed: ShapeTyped, lit: int | None, figure: Figure, unit: float
) -> Picture:
    """A figure in a box, seen from where most of it shows; ``unit`` is a line of running text."""
    paths = [path for path in (figure.quiet, figure.path) if path is not None]
    view = best_view(paths[-1]) if paths else ISOMETRIC[0]
    points = [p for path in paths for p, _ in path.points()]
    points += [p for size in figure.sizes for p in size.line]
    points += [port.point for port, _ in figure.ports]
    if not points:
        return Picture(box, (), "sheet")
    right, up = view
    turning = lit is not None and FORMS[typed.kind][lit].kind == "turn"
    aside = 3.2 * _ring_radius(box) if turning else 0.0
    if typed.kind in ("port", "ports"):
        aside = 4.5 * unit if _has_axes(box, unit) else 0.0
    free = Box(box.x + aside, box.y, box.w - aside, box.h - 0.75 * unit)  # of ring and figures
    place, scale = fitted(free, [(dot(p, right), -dot(p, up)) for p in points])
    od = draft.bender.od_mm if draft.bender else 0.0
    width = min(max(od * scale, 7.0), 16.0)
    shapes: list[Drawn] = []
    for path in paths:
        quiet = path is figure.quiet and figure.path is not None
        shapes += run_shapes(path, view, place, width * (0.6 if quiet else 1.0), None)
    reach = min(box.w, box.h) * 0.16
    for port, mine in figure.ports:
        shapes += _port(port, view, place, reach, mine)
    for size in sorted(figure.sizes, key=lambda s: s.asked == lit):
        shapes += _size(size, typed, lit, (view, place), box, unit)
    if lit is not None and turning:
        shapes += _ring(box, typed, lit)
    if typed.kind in ("port", "ports"):
        shapes += _axes(box, view, FORMS[typed.kind][lit].key if lit is not None else "", unit)
    return Picture(box, tuple(shapes), "sheet")


def shape_figure(draft: Draft, typed: ShapeTyped, known: Springback | None) -> Figure:
    """An offset, a saddle or a U by itself, along its leg and curving up, whatever its turn.

    A size not given yet is a likely one.
    """
    job = job_of(draft, (), 0.0, "centre")
    known = known or first_guess(job.tube, job.bender, job.material)
    radius = radius_of(job.bender, known)
    inside = draft.extras.angles == "included"
    full = _filled(typed, radius(90.0), inside)
    shape, faults = read_shape(full, inside)
    assert not faults
    assert isinstance(shape, Shape)
    segments = [replace(s, measured="centre") for s in shape.segments(radius)]
    first, last = segments[0], segments[-1]
    back = [set_back(radius(s.angle_deg), s.angle_deg, s.crown) for s in (first, last)]
    leg = min(max(first.leg_mm, back[0] + radius(90.0) * 0.6), back[0] + radius(90.0) * 3)
    cut_mm, segments[0] = first.leg_mm - leg, replace(first, leg_mm=leg)
    run = Run(tuple(segments), back[1] + radius(90.0) * 2, "centre")
    layout = lay_out(replace(job, run=run, order=()), known)
    path = trace(layout)
    return Figure(path, tuple(_sizes(full, shape, layout, path, cut_mm, inside)))


def _filled(typed: ShapeTyped, radius_mm: float, inside: bool) -> ShapeTyped:
    """The shape with a likely size where none is given, and set out upwards."""
    texts = []
    for asked, text in zip(FORMS[typed.kind], typed.texts, strict=True):
        try:
            value = value_of(asked, text, typed.unit, inside)
        except Refused:
            value = 0.0
        if asked.kind == "turn":
            texts.append("0")
        elif asked.kind in ("slope", "bend"):
            bend = value or (60.0 if asked.kind == "bend" else 45.0)
            texts.append(f"{180.0 - bend if inside else bend:.6f}")
        else:
            value = value or (SAMPLES[asked.key] * radius_mm if not text else radius_mm)
            texts.append(f"{value:.6f} mm")
    return replace(typed, texts=tuple(texts))


def _sizes(
    full: ShapeTyped, shape: Shape, layout: Layout, path: Path, cut_mm: float, inside: bool
) -> Iterable[DrawnSize]:
    """The sizes of a shape's form; ``cut_mm`` is what its leg is drawn shorter."""
    at = {asked.key: n for n, asked in enumerate(FORMS[full.kind])}
    corners = corner_points(layout, path)
    radius = layout.bends[0].radius_mm
    low, end_x = -0.7 * radius, path.end_point[0]

    def flat(key: str, x0: float, x1: float, y: float, over: float = 0.0) -> DrawnSize:
        ends = ((x0, y, 0.0), (x1, y, 0.0))
        return DrawnSize(at[key], ends, tuple(((x, over, 0.0), (x, y, 0.0)) for x in (x0, x1)))

    def upright(key: str, x: float, height: float, from_x: float) -> DrawnSize:
        lead = ((from_x, 0.0, 0.0), (x, 0.0, 0.0))
        return DrawnSize(at[key], ((x, 0.0, 0.0), (x, height, 0.0)), (lead,))

    if isinstance(shape, Offset | RollingOffset | UBend):
        yield flat("leg", 0.0, corners[1][0], low)
    else:
        centre = shape.centre_mm - cut_mm
        yield flat("centre", 0.0, centre, low)
        yield upright("height", centre, shape.height_mm, corners[1][0])
    if isinstance(shape, Offset):
        yield upright("height", end_x, shape.height_mm, corners[1][0])
    elif isinstance(shape, UBend):
        yield upright("width", end_x, shape.width_mm, 0.0)
        return
    elif isinstance(shape, RollingOffset):
        top = (end_x, shape.rise_mm, 0.0)
        yield upright("rise", end_x, shape.rise_mm, corners[1][0])
        yield DrawnSize(at["roll"], (top, translate(top, (0.0, 0.0, 1.0), shape.roll_mm)))
    elif not isinstance(shape, Saddle):
        half, y = shape.flat_mm / 2, shape.height_mm + 0.7 * radius
        yield flat("flat", centre - half, centre + half, y, shape.height_mm)
    yield _angle(at["angle"], 2 if isinstance(shape, Saddle) else 1, layout, path, inside)


def _angle(asked: int, bend: int, layout: Layout, path: Path, inside: bool) -> DrawnSize:
    """The arc of a bend's angle about its corner, or of the angle that it includes."""
    piece, made = path.pieces[2 * bend - 1], layout.bends[bend - 1]
    corner, reach = corner_points(layout, path)[bend], made.radius_mm * 1.1
    ahead = scale(piece.direction, -1.0) if inside else piece.direction
    whole = 180.0 - made.angle_deg if inside else made.angle_deg
    steps = [radians(whole) * n / 12 for n in range(13)]
    arc = tuple(
        translate(translate(corner, ahead, reach * cos(a)), piece.normal, reach * sin(a))
        for a in steps
    )
    return DrawnSize(asked, arc, ((corner, arc[0]),))


def _text(asked: Asked, typed: ShapeTyped, at: int) -> str:
    text = typed.texts[at]
    if not text or asked.kind == "part":
        return "?" if asked.empty is None else ""
    if asked.kind in ("size", "place"):
        return number_shown(text) + ("" if has_unit(text) else f" {typed.unit}")
    return f"{number_shown(text)}°"


def _size(
    size: DrawnSize,
    typed: ShapeTyped,
    lit: int | None,
    seen: tuple[View, Place],
    box: Box,
    unit: float,
) -> Iterable[Drawn]:
    (right, up), place = seen
    mine = size.asked == lit
    role: Role = "focus" if mine else "quiet"
    line = tuple(place(dot(p, right), -dot(p, up)) for p in size.line)
    for a, b in size.leads:
        ends = tuple(place(dot(p, right), -dot(p, up)) for p in (a, b))
        yield Stroke(ends, "quiet", 1.5)
    yield Stroke(line, role, 5.0 if mine else 2.0)
    for end, other in ((line[0], line[1]), (line[-1], line[-2])):
        yield _tick(end, other, role, 7.0 if mine else 4.0)
    text = _text(FORMS[typed.kind][size.asked], typed, size.asked)
    if not text or not (mine or box.h >= FULL_PX):
        return
    size_px = max(22.0, 0.75 * unit) if mine else max(17.0, 0.6 * unit)
    x, y = line[len(line) // 2] if len(line) > 2 else _middle(line)
    flat = abs(line[-1][0] - line[0][0]) > abs(line[-1][1] - line[0][1])
    wide = size_px * 0.66 * len(text) + 10.0
    left = x - wide / 2 if flat and len(line) == 2 else x + 8.0
    left = min(max(left, box.x + 2.0), box.right - wide - 2.0)
    top = y + 4.0 if flat and len(line) == 2 else y - size_px / 2
    top = min(max(top, box.y + 2.0), box.bottom - size_px - 2.0)
    place_of = Box(left, top, wide, size_px)
    yield Fill(place_of, "sheet")  # a figure is read before the line under it
    yield Label(place_of, text, size_px, "ink" if mine else "quiet")


def _middle(line: tuple[Point, ...]) -> Point:
    return ((line[0][0] + line[-1][0]) / 2, (line[0][1] + line[-1][1]) / 2)


def _tick(end: Point, other: Point, role: Role, half: float) -> Drawn:
    """A short stroke across the end of a size."""
    dx, dy = end[0] - other[0], end[1] - other[1]
    long = hypot(dx, dy) or 1.0
    x, y = -dy / long * half, dx / long * half
    return Stroke(((end[0] + x, end[1] + y), (end[0] - x, end[1] - y)), role, 2.5)


def _port(port: Port, view: View, place: Place, reach: float, mine: bool) -> Iterable[Drawn]:
    """A port: a ring, and a line with a head the way the tube travels there."""
    right, up = view
    x, y = place(dot(port.point, right), -dot(port.point, up))
    role: Role = "focus" if mine else "ink"
    yield Disc((x, y), 9.0, role, 4.0)
    long = length(port.travel)
    if not long:
        return
    dx, dy = dot(port.travel, right) / long * reach, -dot(port.travel, up) / long * reach
    tip = (x + dx, y + dy)
    yield Stroke(((x, y), tip), role, 3.0)
    for side in (0.5, -0.5):
        back = (tip[0] - dx * 0.3 + dy * 0.3 * side, tip[1] - dy * 0.3 - dx * 0.3 * side)
        yield Stroke((tip, back), role, 3.0)


def _has_axes(box: Box, unit: float) -> bool:
    return box.w > 9 * unit and box.h > 4.5 * unit


def _axes(box: Box, view: View, asked: str, unit: float) -> Iterable[Drawn]:
    """Which way X, Y and Z go; the one that is asked for is lit."""
    if not _has_axes(box, unit):
        return
    (right, up), long = view, 1.3 * unit
    x, y = box.x + 2.1 * unit, box.bottom - 2.1 * unit
    for axis, name in enumerate("xyz"):
        way = tuple(float(n == axis) for n in range(3))
        dx, dy = dot(way, right) * long, -dot(way, up) * long  # type: ignore[arg-type]
        if hypot(dx, dy) < 0.2 * long:
            continue  # it points at whoever looks
        mine = asked.endswith(f"-{name}")
        yield Stroke(((x, y), (x + dx, y + dy)), "focus" if mine else "quiet", 5.0 if mine else 2.5)
        k = 1.0 + 0.5 * unit / hypot(dx, dy)
        place = Box(x + k * dx - 0.5 * unit, y + k * dy - 0.5 * unit, unit, unit)
        yield Label(place, name.upper(), 0.8 * unit, "ink" if mine else "quiet", "centre")


def _ring_radius(box: Box) -> float:
    return min(box.w, box.h) * 0.13


def _ring(box: Box, typed: ShapeTyped, lit: int) -> Iterable[Drawn]:
    """The tube seen along its travel: the bend before at the foot, and where this one goes."""
    asked = FORMS[typed.kind][lit]
    try:
        turn = value_of(asked, typed.texts[lit], typed.unit, False)
    except Refused:
        return
    radius = _ring_radius(box)
    cx, cy = box.x + radius * 1.6, box.y + radius * 1.6

    def at(degrees: float, reach: float) -> Point:
        a = radians(degrees + 180.0)
        return (cx + radius * reach * sin(a), cy - radius * reach * cos(a))

    yield Disc((cx, cy), radius, "tube")
    yield Disc((cx, cy), radius, "tube_edge", 3.0)
    if turn:
        yield Stroke(tuple(at(turn * n / 24, 1.3) for n in range(25)), "focus", 4.0)
    yield Disc(at(0.0, 1.0), 6.0, "ink", 2.5)
    yield Disc(at(turn, 1.0), 6.0, "focus")


def port_figure(path: Path | None, ports: tuple[Port, ...], lit: int | None) -> Figure:
    """A run from port to port, with the way along the axes to each; the port asked for is lit."""
    sizes, marked = [], []
    for number, port in enumerate(ports):
        x, y, z = port.point
        corners = ((0.0, 0.0, 0.0), (x, 0.0, 0.0), (x, y, 0.0), (x, y, z))
        start = 6 * number
        for axis in range(3):
            line = (corners[axis], corners[axis + 1])
            if length(subtract(line[1], line[0])) > 1e-9:
                sizes.append(DrawnSize(start + axis, line))
        marked.append((port, lit is not None and start <= lit < start + 6))
    return Figure(path, tuple(sizes), None, tuple(marked))


def parallel_figure(path: Path | None, beside: Path | None) -> Figure:
    """A run and the tube that lies beside it, with their spacing at the first leg."""
    if path is None or beside is None:
        return Figure(path, (), beside)
    ends = tuple(p.pieces[0].at(p.pieces[0].length_mm * 0.5)[0] for p in (beside, path))
    return Figure(path, (DrawnSize(0, ends),), beside)


def framed(path: Path, frame: Frame) -> Path:
    """A path in the space that its start stands in."""
    pieces = tuple(
        p._replace(
            point=frame.place(p.point),
            direction=frame.out(p.direction),
            normal=frame.out(p.normal),
        )
        for p in path.pieces
    )
    return Path(pieces, frame.place(path.end_point), frame.out(path.end_direction))
