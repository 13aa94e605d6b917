"""The run of a job file: legs and bends, and the order they are made in.

Shapes, points and ports have modules of their own, loaded when a file has them.
"""

from typing import TYPE_CHECKING, NamedTuple

from benchcalc.core.job import (
    CROWN_LEAST_DEG,
    Measured,
    Run,
    Segment,
    To,
)
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.job_fields import LAST_LEG, MOST_BENDS, ORDER, SEGMENT
from benchcalc.jobfile.strict_yaml import Broken, Node, Scalar, Table
from benchcalc.jobfile.table import Manner, complete, read_field, read_fields

if TYPE_CHECKING:
    from benchcalc.core.shapes.named_shapes import Parallel, Shape
    from benchcalc.jobfile.places import Corners, PortAsked

WAYS = ("run", "points", "ports")
"""How a job may draw its run."""

SHAPES = ("offset", "rolling_offset", "saddle", "u")


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
    from benchcalc.jobfile.shapes import read_parallel

    return read_parallel(fields, manner)


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
        from benchcalc.jobfile.shapes import read_shape

        return read_shape(item, manner)
    found = read_fields(item, SEGMENT, manner)
    item.close()
    if found["angle_deg"] is not None:
        _check_to(item, found["angle_deg"], found["to"])
    return Segment(**found) if complete(found, SEGMENT) else None


def _check_to(item: Fields, bend_deg: float, to: To | None) -> None:
    if to == "corner" and bend_deg >= 180:
        item.refuse("to", "corner at 180 deg", "a bend under 180 deg", "write to: crown")
    if to == "crown" and bend_deg < CROWN_LEAST_DEG:
        limit = f"a bend from {CROWN_LEAST_DEG:g} to 180 deg"
        item.refuse("to", f"crown at {bend_deg:g} deg", limit, "write to: corner")


def _last_leg(item: Fields, manner: Manner) -> tuple[float, Measured | None] | None:
    if item.has("port"):
        return None
    found = read_fields(item, LAST_LEG, manner)
    for key in ("bend", "turn", "to", "held", *SHAPES):
        if item.node(key) is not None:
            item.refuse(key, "written", "the last item is a leg alone", "add {leg: ...} after it")
    item.close()
    return (found["leg_mm"], found["measured"]) if complete(found, LAST_LEG) else None


def read_order(fields: Fields, run: Run | None) -> tuple[int, ...]:
    """The order of bending; empty when the file says nothing."""
    items = fields.listing("order")
    if items is None:
        return ()
    if not 1 <= len(items) <= MOST_BENDS:
        limit = f"1 to {MOST_BENDS} numbers"
        fields.refuse("order", f"{len(items)} numbers", limit, "write each bend once")
        return ()
    order: tuple[int, ...] = read_field(fields, ORDER, Manner("mm"))
    if not order or run is None:
        return order
    bends = len(run.segments)
    if sorted(order) != list(range(1, bends + 1)):
        shown = ", ".join(map(str, order))
        fields.refuse("order", shown, f"each of 1 to {bends} once", "write each bend once")
    return order
