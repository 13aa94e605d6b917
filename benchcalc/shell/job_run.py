"""The run of a job file: legs and bends, and the order they are made in."""

from typing import NamedTuple

from benchcalc.core.parts import (
    CROWN_LEAST_DEG,
    Angles,
    End,
    Measured,
    Run,
    Segment,
    To,
    Units,
)
from benchcalc.shell import values
from benchcalc.shell.fields import Fields
from benchcalc.shell.strict_yaml import Broken, Scalar, Table
from benchcalc.shell.values import ENDLESS, Reader, Span

MOST_BENDS = 200
LEG = Span(0, ENDLESS, over=True)
TO: tuple[To, ...] = ("corner", "crown")
SHAPES = ("offset", "rolling_offset", "rolling", "saddle", "u", "parallel")
_WAY_OUT = "write the run as legs and bends"


class Manner(NamedTuple):
    """How the job writes its run, and the words it may use."""

    units: Units
    angles: Angles
    measured: tuple[Measured, ...]
    ends: tuple[End, ...]


def read_run(fields: Fields, manner: Manner) -> Run | None:
    """The run under ``run``; None, with problems noted, when it is not one."""
    for key in ("points", "ports"):
        fields.not_yet(key, _WAY_OUT)
    needed = not (fields.has("points") or fields.has("ports"))
    items = fields.listing("run", needed)
    if items is None:
        return None
    if not 2 <= len(items) <= MOST_BENDS + 1:
        bends = max(0, len(items) - 1)
        fields.refuse(
            "run", f"{bends} bends", f"1 to {MOST_BENDS}", "write leg and bend, last a leg"
        )
        return None
    segments: list[Segment | None] = []
    for number, node in enumerate(items[:-1], 1):
        if (item := _item(fields, number, node)) is not None:
            segments.append(_segment(item, manner))
    last = _item(fields, len(items), items[-1])
    ending = _last_leg(last, manner) if last is not None else None
    good = tuple(segment for segment in segments if segment is not None)
    if ending is None or len(good) != len(items) - 1:
        return None
    return Run(good, *ending)


def _item(fields: Fields, number: int, node: object) -> Fields | None:
    if isinstance(node, Table):
        return Fields(node, f"run {number}", fields.report)
    if not isinstance(node, Broken):
        line = node.line if isinstance(node, Scalar) else fields.line_of("run")
        todo = "write {leg: 120, bend: 90}"
        fields.report.add(line, f"run {number}", "no mapping", "leg and bend", todo)
    return None


def _segment(item: Fields, manner: Manner) -> Segment | None:
    if _is_shape(item):
        return None
    leg = item.need("leg", values.length(manner.units, LEG))
    to = item.read("to", values.choice(*TO), None)
    bend = item.need("bend", _bend_reader(manner.angles))
    turn = item.read("turn", values.angle(True, Span(-360, 360)), 0.0)
    measured = item.read("measured", values.choice(*manner.measured), None)
    held = item.read("held", values.choice(*manner.ends), None)
    item.close()
    if bend is not None:
        _check_to(item, bend, to)
    if leg is None or bend is None:
        return None
    return Segment(leg, bend, turn, to, measured, held)


def _bend_reader(angles: Angles) -> Reader[float]:
    if angles == "included":
        return values.included_angle(Span(0, 180, under=True))
    return values.angle(True, Span(0, 180, over=True))


def _check_to(item: Fields, bend_deg: float, to: To | None) -> None:
    if to == "corner" and bend_deg >= 180:
        item.refuse("to", "corner at 180 deg", "a bend under 180 deg", "write to: crown")
    if to == "crown" and bend_deg < CROWN_LEAST_DEG:
        limit = f"a bend from {CROWN_LEAST_DEG:g} to 180 deg"
        item.refuse("to", f"crown at {bend_deg:g} deg", limit, "write to: corner")


def _last_leg(item: Fields, manner: Manner) -> tuple[float, Measured | None] | None:
    if _is_shape(item):
        return None
    leg = item.need("leg", values.length(manner.units, LEG))
    measured = item.read("measured", values.choice(*manner.measured), None)
    for key in ("bend", "turn", "to", "held"):
        if item.node(key) is not None:
            item.refuse(key, "written", "the last item is a leg alone", "add {leg: ...} after it")
    item.close()
    return None if leg is None else (leg, measured)


def _is_shape(item: Fields) -> bool:
    shapes = [key for key in SHAPES if item.has(key)]
    for key in shapes:
        item.not_yet(key, _WAY_OUT)
    return bool(shapes)


def read_order(fields: Fields, run: Run | None) -> tuple[int, ...]:
    """The order of bending; empty when the file says nothing."""
    items = fields.listing("order")
    if items is None:
        return ()
    if not 1 <= len(items) <= MOST_BENDS:
        limit = f"1 to {MOST_BENDS} numbers"
        fields.refuse("order", f"{len(items)} numbers", limit, "write each bend once")
        return ()
    order = fields.read_several("order", values.whole(Span(1, MOST_BENDS)), MOST_BENDS)
    if not order or run is None:
        return order
    bends = len(run.segments)
    if sorted(order) != list(range(1, bends + 1)):
        shown = ", ".join(map(str, order))
        fields.refuse("order", shown, f"each of 1 to {bends} once", "write each bend once")
    return order
