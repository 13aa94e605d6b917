"""The run of a job file: legs and bends, and the order they are made in.

Shapes, points and ports have modules of their own, loaded when a file has them.
"""

from typing import TYPE_CHECKING, NamedTuple

from benchcalc.core.job import (
    CROWN_LEAST_DEG,
    Angles,
    End,
    Measured,
    Run,
    Segment,
    To,
    Units,
)
from benchcalc.jobfile import values
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.strict_yaml import Broken, Node, Scalar, Table
from benchcalc.jobfile.values import ENDLESS, Reader, Span

if TYPE_CHECKING:
    from benchcalc.core.shapes.named_shapes import Parallel, Shape
    from benchcalc.jobfile.places import Corners, PortAsked

MOST_BENDS = 200
LEG = Span(0, ENDLESS, over=True)
TO: tuple[To, ...] = ("corner", "crown")
WAYS = ("run", "points", "ports")
"""How a job may draw its run."""

SHAPES = ("offset", "rolling_offset", "saddle", "u")


class Manner(NamedTuple):
    """How the job writes its run, and the words it may use."""

    units: Units
    angles: Angles
    measured: tuple[Measured, ...]
    ends: tuple[End, ...]


class Items(NamedTuple):
    """Legs, bends and shapes one after the other; the last leg, or the port it all leads to."""

    items: "tuple[Segment | Shape, ...]"
    last_leg_mm: float
    last_measured: Measured | None
    port: "PortAsked | None" = None


def read_run(fields: Fields, manner: Manner) -> "Items | Corners | PortAsked | None":
    """What the job draws: under ``run``, ``points`` or ``ports``; None, with problems noted."""
    written = [key for key in WAYS if fields.has(key)]
    for key in written[1:]:
        limit = f"one of {', '.join(WAYS)}"
        fields.refuse(key, f"written beside {written[0]}", limit, "keep one of the two")
        fields.node(key)
    if written and written[0] != "run":
        from benchcalc.jobfile.places import read_points, read_ports

        reader = read_points if written[0] == "points" else read_ports
        return reader(fields, manner.units)
    items = fields.listing("run", needed=True)
    return None if items is None else _read_items(fields, items, manner)


def read_beside(fields: Fields, manner: Manner) -> "Parallel | None":
    """The distance and side at which the job's tube lies beside the run that is drawn."""
    if not fields.has("parallel"):
        return None
    from benchcalc.jobfile.shapes import Spelling, read_parallel

    return read_parallel(fields, Spelling(manner.units, manner.angles))


def _read_items(fields: Fields, items: tuple[Node, ...], manner: Manner) -> Items | None:
    if not 2 <= len(items) <= MOST_BENDS + 1:
        bends = max(0, len(items) - 1)
        fields.refuse(
            "run", f"{bends} bends", f"1 to {MOST_BENDS}", "write leg and bend, last a leg"
        )
        return None
    segments: list[Segment | Shape | None] = []
    for number, node in enumerate(items[:-1], 1):
        if (item := _item(fields, number, node)) is not None:
            segments.append(_segment(item, manner))
    last = _item(fields, len(items), items[-1])
    port = _port(last, manner) if last is not None else None
    ending = (0.0, None) if port else _last_leg(last, manner) if last is not None else None
    good = tuple(segment for segment in segments if segment is not None)
    if ending is None or len(good) != len(items) - 1:
        return None
    return Items(good, *ending, port)


def _item(fields: Fields, number: int, node: object) -> Fields | None:
    if isinstance(node, Table):
        return Fields(node, f"run {number}", fields.report)
    if not isinstance(node, Broken):
        line = node.line if isinstance(node, Scalar) else fields.line_of("run")
        todo = "write {leg: 120, bend: 90}"
        fields.report.add(line, f"run {number}", "no mapping", "leg and bend", todo)
    return None


def _port(item: Fields, manner: Manner) -> "PortAsked | None":
    if not item.has("port"):
        return None
    from benchcalc.jobfile.places import read_port

    return read_port(item, manner.units)


def _segment(item: Fields, manner: Manner) -> "Segment | Shape | None":
    if any(item.has(name) for name in SHAPES):
        from benchcalc.jobfile.shapes import Spelling, read_shape

        return read_shape(item, Spelling(manner.units, manner.angles))
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
    if item.has("port"):
        return None
    leg = item.need("leg", values.length(manner.units, LEG))
    measured = item.read("measured", values.choice(*manner.measured), None)
    for key in ("bend", "turn", "to", "held", *SHAPES):
        if item.node(key) is not None:
            item.refuse(key, "written", "the last item is a leg alone", "add {leg: ...} after it")
    item.close()
    return None if leg is None else (leg, measured)


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
