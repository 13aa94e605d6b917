"""Places in space in a job file: corner points, and ports."""

from typing import NamedTuple

from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Units
from benchcalc.core.shapes.point_list import MOST_POINTS
from benchcalc.core.shapes.points import BadPoints, Rows, rows_from_points
from benchcalc.core.shapes.ports import ANSWERS, Port
from benchcalc.jobfile import values
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.problems import BadValue, Report
from benchcalc.jobfile.strict_yaml import Broken, Listing, Node, Scalar
from benchcalc.jobfile.values import Reader, Span

_TRIPLE = "three numbers, [x, y, z]"
_PLAIN = Span(-1e6, 1e6)


class PortAsked(NamedTuple):
    """Where a run is to get to, and which of the ways there is taken, counted from 1.

    ``start`` is None when the run's own legs and bends lead up to it.
    """

    start: Port | None
    end: Port
    take: int
    line: int


class Corners(NamedTuple):
    """Corner points as written, and the rows they come to."""

    points: tuple[Vector, ...]
    rows: Rows


def read_points(fields: Fields, units: Units | None) -> Corners | None:
    """The run through the points under ``points``; None, with problems noted, for no run."""
    items = fields.listing("points")
    if items is None:
        return None
    if not 3 <= len(items) <= MOST_POINTS:
        limit = f"3 to {MOST_POINTS}"
        fields.refuse("points", f"{len(items)} points", limit, "write [[x, y, z], ...]")
        return None
    reader = values.length(units)
    places = [
        _triple(node, f"points {number}", reader, fields.report)
        for number, node in enumerate(items, 1)
    ]
    points = [place for place in places if place is not None]
    if len(points) != len(items):
        return None
    try:
        return Corners(tuple(points), rows_from_points(points))
    except BadPoints as bad:
        for fault in bad.faults:
            what = f"points {fault.at}"
            fields.report.add(
                items[fault.at - 1].line, what, fault.value, fault.limit, fault.todo
            )  # fmt: skip
        return None


def _triple(node: Node, what: str, reader: Reader[float], report: Report) -> Vector | None:
    """The three numbers of a list; a problem noted for each that is none."""
    if not isinstance(node, Listing) or len(node.items) != 3:
        if not isinstance(node, Broken):
            report.add(node.line, what, "something else", _TRIPLE, "write it so")
        return None
    found: list[float] = []
    for axis, item in zip("xyz", node.items, strict=True):
        if not isinstance(item, Scalar):
            if not isinstance(item, Broken):
                report.add(item.line, f"{what} {axis}", "a list or mapping", _TRIPLE, "write it so")
            continue
        try:
            found.append(reader(item))
        except BadValue as refused:
            report.add(item.line, f"{what} {axis}", item.text, refused.limit, refused.todo)
    return (found[0], found[1], found[2]) if len(found) == 3 else None


def read_ports(fields: Fields, units: Units | None) -> PortAsked | None:
    """The two ports under ``ports``: where the tube leaves, and where and how it arrives."""
    table = fields.table("ports")
    if table is None:
        return None
    start, finish = (_port(table.table(key, needed=True), units) for key in ("start", "finish"))
    take = _take(table)
    table.close()
    if start is None or finish is None or take is None:
        return None
    return PortAsked(start, finish, take, table.line)


def read_port(item: Fields, units: Units | None) -> PortAsked | None:
    """The port that a run's last item leads to."""
    table = item.table("port")
    item.close()
    if table is None:
        return None
    take = _take(table)
    end = _port(table, units)
    return None if end is None or take is None else PortAsked(None, end, take, item.line)


def _take(table: Fields) -> int | None:
    return table.read("take", values.whole(Span(1, ANSWERS)), 1)


def _port(table: Fields | None, units: Units | None) -> Port | None:
    """A place and the direction of travel there, from ``at`` and ``along``."""
    if table is None:
        return None
    place = _vector(table, "at", values.length(units))
    along = _vector(table, "along", values.number(_PLAIN))
    table.close()
    if along == (0.0, 0.0, 0.0):
        table.refuse("along", "0, 0, 0", "a direction", "write [1, 0, 0] for +X, say")
        return None
    return None if place is None or along is None else Port(place, along)


def _vector(table: Fields, key: str, reader: Reader[float]) -> Vector | None:
    node = table.node(key)
    if node is None:
        table.miss(key)
        return None
    return _triple(node, table.named(key), reader, table.report)
