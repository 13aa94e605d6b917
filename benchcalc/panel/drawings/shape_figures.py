"""What the picture of a shape that is typed shows: the shape, its ports, or the tube beside."""

from math import cos, radians, sin

from benchcalc.core.geometry.frames import START
from benchcalc.core.geometry.vectors import cross, scale, translate
from benchcalc.core.shapes.named_shapes import Parallel
from benchcalc.panel.drawings.shape_picture import (
    Figure,
    framed,
    parallel_figure,
    port_figure,
    shape_figure,
)
from benchcalc.panel.state.fields import Refused
from benchcalc.panel.state.in_hand import springback_in_hand, work_in_hand
from benchcalc.panel.state.model import Model
from benchcalc.panel.state.shape_forms import FORMS, port_of, read_shape, value_of
from benchcalc.panel.state.shaping import tried, way_in_hand
from benchcalc.panel.state.typed_shapes import ShapeTyped


def figure_of(model: Model, typed: ShapeTyped, lit: int | None) -> Figure:
    """What the picture of a shape shows."""
    if typed.kind == "parallel":
        return _beside_figure(model, typed)
    if typed.kind in ("port", "ports"):
        return _port_figure(model, typed, lit)
    return shape_figure(model.draft, typed, springback_in_hand(model))


def _port_figure(model: Model, typed: ShapeTyped, lit: int | None) -> Figure:
    """The ports as far as they are typed, and the run that leads there."""
    inside = model.draft.extras.angles == "included"
    values = [_or_nothing(typed, at, inside) for at in range(len(typed.texts))]
    ports = tuple(port_of(values[at : at + 6]) for at in range(0, len(values) - 1, 6))
    way = way_in_hand(model, typed)
    if way is None:
        return port_figure(None, ports, lit)
    return port_figure(framed(way.path, way.frame), ports, lit)


def _or_nothing(typed: ShapeTyped, at: int, inside: bool) -> float:
    try:
        return value_of(FORMS[typed.kind][at], typed.texts[at], typed.unit, inside)
    except Refused:
        return 0.0


def _beside_figure(model: Model, typed: ShapeTyped) -> Figure:
    """The run that is there, and the tube beside it as soon as its spacing is typed."""
    alone = work_in_hand(model.with_draft(beside=None)).sheet
    sheet = tried(model, typed)[0].sheet
    beside, _ = read_shape(typed, model.draft.extras.angles == "included")
    if alone is None:
        return Figure(None, ())
    if sheet is None or not isinstance(beside, Parallel):
        return Figure(alone.path, ())
    bend = alone.path.pieces[1]
    side = radians(beside.side_deg)
    way = translate(scale(bend.normal, cos(side)), cross(bend.direction, bend.normal), sin(side))
    return parallel_figure(
        framed(sheet.path, START._replace(point=scale(way, beside.spacing_mm))), alone.path
    )
