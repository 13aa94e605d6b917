"""What each shape asks for, declared as data; from typed text to a shape of the core and back.

The fields are those of the job file, under the same names; so is what an empty one means.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Literal, NamedTuple

from benchcalc.core.job import Units
from benchcalc.core.lengths import MOST_MM
from benchcalc.core.shapes.drawing import Goal
from benchcalc.core.shapes.named_shapes import (
    FlatSaddle,
    Offset,
    Parallel,
    RollingOffset,
    Saddle,
    Shape,
    UBend,
)
from benchcalc.core.shapes.ports import ANSWERS, Port
from benchcalc.panel.state.fields import (
    Field,
    Refused,
    length_typed,
    number_typed,
    read_length,
    read_number,
)
from benchcalc.panel.state.typed_shapes import ShapeKind, ShapeTyped
from benchcalc.report.told import Told, told

AskedKind = Literal["size", "place", "slope", "bend", "turn", "part", "way"]
"""A length over zero, one either way, an angle up to 90 or under 180, a turn, a part of a
direction, the number of a way to the port."""

ShapeOrGoal = Shape | Parallel | Goal


class Asked(NamedTuple):
    """One thing asked: its name, its kind, and what an empty field means; None: it is needed."""

    key: str
    kind: AskedKind
    empty: str | None = None


class Fault(NamedTuple):
    """A field that holds no value, by its place in the form, and why."""

    field: int
    says: Told


_LEG, _HEIGHT = Asked("leg", "size"), Asked("height", "size")
_CENTRE, _TURN = Asked("centre", "size"), Asked("turn", "turn", "0")
_END = (
    *(Asked(f"end-{axis}", "place", "0") for axis in "xyz"),
    *(Asked(f"end-way-{axis}", "part", "0") for axis in "xyz"),
    Asked("way", "way", "1"),
)
_START = (
    *(Asked(f"start-{axis}", "place", "0") for axis in "xyz"),
    *(Asked(f"start-way-{axis}", "part", "0") for axis in "xyz"),
)
FORMS: dict[ShapeKind, tuple[Asked, ...]] = {
    "offset": (_LEG, _HEIGHT, Asked("angle", "slope"), _TURN),
    "rolling_offset": (
        _LEG,
        Asked("rise", "place", "0"),
        Asked("roll", "place", "0"),
        Asked("angle", "slope"),
        _TURN,
    ),
    "saddle": (_CENTRE, _HEIGHT, Asked("angle", "bend"), _TURN),
    "flat_saddle": (_CENTRE, _HEIGHT, Asked("angle", "slope"), Asked("flat", "size"), _TURN),
    "u": (_LEG, Asked("width", "size"), _TURN),
    "parallel": (Asked("spacing", "size"), Asked("side", "turn", "180")),
    "port": _END,
    "ports": (*_START, *_END),
}
"""The forms, in the order in which they stand to be chosen."""

_NEARLY_180 = 179.999999


def empty(kind: ShapeKind, unit: Units) -> ShapeTyped:
    """A shape with nothing typed yet."""
    return ShapeTyped(kind, ("",) * len(FORMS[kind]), unit)


def asked_field(asked: Asked, unit: Units, inside: bool) -> Field:
    """The typed field for a thing asked; ``inside`` when the drawing gives included angles."""
    name = f"shape.field.{asked.key}"
    if asked.kind in ("size", "place"):
        over = asked.kind == "size"
        least = 0.0 if over else -MOST_MM
        return Field(name, "length" if over else "place", least, MOST_MM, unit, over)
    if asked.kind == "turn":
        return Field(name, "turn", -360.0, 360.0)
    if asked.kind == "part":
        return Field(name, "number", -1e6, 1e6)
    if asked.kind == "way":
        return Field(name, "count", 1, ANSWERS)
    most = 90.0 if asked.kind == "slope" else _NEARLY_180
    if inside:
        return Field(name, "angle", 180.0 - most, _NEARLY_180)
    return Field(name, "angle", 0.0, most, over_least=True)


def value_of(asked: Asked, text: str, unit: Units, inside: bool) -> float:
    """What a field holds, in mm or degrees. Raises Refused for a text that is no value of it."""
    field = asked_field(asked, unit, inside)
    if not text:
        if asked.empty is None:
            raise Refused(told("shape.needed", field=told(field.phrase)))
        text = asked.empty
    if field.kind in ("length", "place"):
        return float(read_length(field, text))
    value = read_number(field, text)
    return 180.0 - value if inside and field.kind == "angle" else value


def read_shape(typed: ShapeTyped, inside: bool) -> tuple[ShapeOrGoal | None, tuple[Fault, ...]]:
    """The shape that was typed, or every field that holds no value."""
    values: list[float] = []
    faults: list[Fault] = []
    for at, (asked, text) in enumerate(zip(FORMS[typed.kind], typed.texts, strict=True)):
        try:
            values.append(value_of(asked, text, typed.unit, inside))
        except Refused as refused:
            faults.append(Fault(at, refused.said))
    if not faults:
        faults += _together(typed.kind, values)
    made = None if faults else _MAKERS[typed.kind](values)
    if isinstance(made, Goal):
        made = replace(made, way=typed.way)
    return made, tuple(faults)


def _together(kind: ShapeKind, values: list[float]) -> list[Fault]:
    """Fields that hold values which together make nothing."""
    if kind == "rolling_offset" and not any(values[1:3]):
        return [Fault(1, told("shape.no-set"))]
    ways = {"port": (3,), "ports": (3, 9)}.get(kind, ())
    return [Fault(at, told("shape.no-way")) for at in ways if not any(values[at : at + 3])]


def port_of(values: list[float]) -> Port:
    """A port from the six values that its fields hold."""
    x, y, z, u, v, w = values[:6]
    return Port((x, y, z), (u, v, w))


_MAKERS: dict[ShapeKind, Callable[[list[float]], ShapeOrGoal]] = {
    "offset": lambda v: Offset(*v),
    "rolling_offset": lambda v: RollingOffset(*v),
    "saddle": lambda v: Saddle(*v),
    "flat_saddle": lambda v: FlatSaddle(*v),
    "u": lambda v: UBend(*v),
    "parallel": lambda v: Parallel(*v),
    "port": lambda v: Goal(port_of(v), None, round(v[6])),
    "ports": lambda v: Goal(port_of(v[6:]), port_of(v), round(v[12])),
}


def typed_of(drawing: ShapeOrGoal, units: Units, inside: bool) -> ShapeTyped:
    """A shape as someone would have typed it."""
    kind, values = _values(drawing)
    texts: list[str] = []
    for asked, value in zip(FORMS[kind], values, strict=True):
        if asked.kind in ("size", "place"):
            text = length_typed(value, units)
        elif asked.kind in ("slope", "bend"):
            text = number_typed(180.0 - value if inside else value)
        else:
            text = number_typed(value)
        texts.append("" if text == asked.empty else text)
    way = drawing.way if isinstance(drawing, Goal) else ()
    return ShapeTyped(kind, tuple(texts), units, way)


def _values(drawing: ShapeOrGoal) -> tuple[ShapeKind, tuple[float, ...]]:
    if isinstance(drawing, Goal):
        end = (*drawing.end.point, *drawing.end.travel, float(drawing.take))
        if drawing.start is None:
            return "port", end
        return "ports", (*drawing.start.point, *drawing.start.travel, *end)
    d = drawing
    if isinstance(d, Offset):
        return "offset", (d.leg_mm, d.height_mm, d.angle_deg, d.turn_deg)
    if isinstance(d, RollingOffset):
        return "rolling_offset", (d.leg_mm, d.rise_mm, d.roll_mm, d.angle_deg, d.turn_deg)
    if isinstance(d, Saddle):
        return "saddle", (d.centre_mm, d.height_mm, d.angle_deg, d.turn_deg)
    if isinstance(d, FlatSaddle):
        return "flat_saddle", (d.centre_mm, d.height_mm, d.angle_deg, d.flat_mm, d.turn_deg)
    if isinstance(d, UBend):
        return "u", (d.leg_mm, d.width_mm, d.turn_deg)
    return "parallel", (d.spacing_mm, d.side_deg)
