"""A finished tube drawn in a solid-geometry kernel, for what the drawing would say of it.

Nothing of benchcalc's geometry is used: corners are placed by turning the kernel's own axes, the
kernel fillets them, intersects heel and throat lines, and measures every edge.
"""

from collections.abc import Iterator
from math import radians
from typing import Any, Literal, NamedTuple

from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.ChFi2d import ChFi2d_AnaFilletAlgo
from OCP.ElCLib import ElCLib
from OCP.GC import GC_MakeArcOfCircle
from OCP.GCPnts import GCPnts_AbscissaPoint
from OCP.GeomAdaptor import GeomAdaptor_Curve
from OCP.gp import gp_Ax1, gp_Ax2, gp_Ax3, gp_Circ, gp_Dir, gp_Lin, gp_Pln, gp_Pnt, gp_Trsf, gp_Vec
from OCP.IntAna import IntAna_IntConicQuad
from OCP.TopoDS import TopoDS_Edge

Side = Literal["centre", "outside", "inside"]
PARALLEL = 1e-12


class Bent(NamedTuple):
    """One bend in the kernel: lengths before and of it, where it leaves off, where legs meet it.

    ``reach_in`` and ``reach_out`` say by side of the tube how far past the point on the centreline
    the leg that comes and the leg that goes are measured.
    """

    straight: float
    arc: float
    leaves: Any
    next_point: Any
    heads: Any
    reach_in: dict[Side, float]
    reach_out: dict[Side, float]


class Drawn(NamedTuple):
    """The whole tube; ``bends`` in order, then the last straight and where it ends."""

    bends: tuple[Bent, ...]
    last_straight: float
    end: Any
    heads: Any

    def spans(self, from_mm: float) -> Iterator[tuple[float, float]]:
        """Start and end of each bend along the tube."""
        at = from_mm
        for bend in self.bends:
            start = at + bend.straight
            at = start + bend.arc
            yield start, at

    @property
    def length(self) -> float:
        """Length of the whole centreline."""
        return sum(bend.straight + bend.arc for bend in self.bends) + self.last_straight

    def leg(self, number: int, centre_mm: float, side: Side) -> float:
        """What a drawing says of leg ``number`` (from 1) when it is measured on that side."""
        ahead = self.bends[number - 1].reach_in[side] if number <= len(self.bends) else 0.0
        return centre_mm + ahead - (self.bends[number - 2].reach_out[side] if number > 1 else 0.0)


def turned(axis: Any, angle_deg: float) -> Any:
    """The kernel's rotation, right-handed: clockwise for someone who looks along the axis."""
    rotation = gp_Trsf()
    rotation.SetRotation(axis, radians(angle_deg))
    return rotation


def along(point: Any, heads: Any, by_mm: float) -> Any:
    """A point moved along a direction."""
    return point.Translated(gp_Vec(heads).Multiplied(by_mm))


def edge(start: Any, end: Any) -> Any:
    return BRepBuilderAPI_MakeEdge(start, end).Edge()


def edge_length(line: Any) -> float:
    return float(GCPnts_AbscissaPoint.Length_s(BRepAdaptor_Curve(line)))


def fillet(before: Any, after: Any, plane: gp_Ax2, radius_mm: float) -> tuple[Any, float]:
    """The kernel's arc between two edges that meet, and what it leaves of the first."""
    algorithm = ChFi2d_AnaFilletAlgo(before, after, gp_Pln(gp_Ax3(plane)))
    if not algorithm.Perform(radius_mm):
        raise AssertionError("the kernel found no fillet")
    left, right = TopoDS_Edge(), TopoDS_Edge()
    arc = BRepAdaptor_Curve(algorithm.Result(left, right))
    return arc, edge_length(left)


def arc_end_on(arc: Any, line: Any) -> Any:
    """Whichever end of an arc lies on a line."""
    ends = (arc.Value(arc.FirstParameter()), arc.Value(arc.LastParameter()))
    return min(ends, key=line.Distance)


def draw(
    legs: list[float], bends: list[tuple[float, float, bool]], radii: list[float], od_mm: float
) -> Drawn:
    """Draw centre legs and (angle, turn, crown) bends; the first leg along X, turn 0 towards Y."""
    frame = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1), gp_Dir(1, 0, 0))
    leaves = frame.Location()
    made: list[Bent] = []
    for place, (angle, turn, crown) in enumerate(bends):
        heads = frame.XDirection()
        frame = frame.Transformed(turned(gp_Ax1(frame.Location(), heads), turn))
        meets = along(frame.Location(), heads, legs[place])
        bend = crown_bend if crown else corner_bend
        made.append(bend(frame, leaves, meets, angle, radii[place], od_mm))
        leaves = made[-1].leaves
        frame = gp_Ax2(made[-1].next_point, frame.Direction(), made[-1].heads)
    end = along(frame.Location(), frame.XDirection(), legs[-1])
    return Drawn(tuple(made), edge_length(edge(leaves, end)), end, frame.XDirection())


def corner_bend(
    frame: Any, leaves: Any, corner: Any, angle_deg: float, radius_mm: float, od_mm: float
) -> Bent:
    """A bend whose legs meet in a corner."""
    axis = gp_Ax1(corner, frame.Direction())
    heads = frame.XDirection()
    after = heads.Transformed(turned(axis, angle_deg))
    far = along(corner, after, corner.Distance(leaves))
    arc, straight = fillet(edge(leaves, corner), edge(corner, far), frame, radius_mm)
    length = float(GCPnts_AbscissaPoint.Length_s(arc))
    into = frame.YDirection()
    into_after = into.Transformed(turned(axis, angle_deg))
    reach_in: dict[Side, float] = {"centre": 0.0}
    reach_out: dict[Side, float] = {"centre": 0.0}
    sides: tuple[tuple[Side, float], ...] = (("outside", -od_mm / 2), ("inside", od_mm / 2))
    for side, by in sides:
        here, there = along(corner, into, by), along(corner, into_after, by)
        reach_in[side] = crossing(here, heads, there, into_after)
        reach_out[side] = crossing(there, after, here, into)
    end = arc_end_on(arc, gp_Lin(corner, after))
    return Bent(straight, length, end, corner, after, reach_in, reach_out)


def crossing(point: Any, heads: Any, on_plane: Any, normal: Any) -> float:
    """How far along a line it meets a plane."""
    line = gp_Lin(point, heads)
    found = IntAna_IntConicQuad(line, gp_Pln(on_plane, normal), PARALLEL)
    return float(ElCLib.Parameter_s(line, found.Point(1)))


def crown_bend(
    frame: Any, leaves: Any, crown: Any, angle_deg: float, radius_mm: float, od_mm: float
) -> Bent:
    """A bend whose legs are measured to its farthest reach: it touches the square line there."""
    heads, before = frame.XDirection(), gp_Lin(crown, frame.XDirection())
    square = edge(crown, along(crown, frame.YDirection(), 3 * radius_mm))
    quarter, straight = fillet(edge(leaves, crown), square, frame, radius_mm)
    centre = quarter.Circle().Location()
    axis = gp_Ax1(centre, frame.Direction())
    start = arc_end_on(quarter, before)
    end = start.Transformed(turned(axis, angle_deg))
    circle = gp_Circ(gp_Ax2(centre, frame.Direction()), quarter.Circle().Radius())
    whole = GeomAdaptor_Curve(GC_MakeArcOfCircle(circle, start, end, True).Value())
    after = gp_Lin(end, heads.Transformed(turned(axis, angle_deg)))
    rear = end.Transformed(turned(axis, -90))
    next_point = ElCLib.Value_s(ElCLib.Parameter_s(after, rear), after)
    front = start.Transformed(turned(axis, 90))
    reach_in: dict[Side, float] = {"centre": 0.0}
    reach_out: dict[Side, float] = {"centre": 0.0}
    sides: tuple[tuple[Side, float], ...] = (("outside", od_mm / 2), ("inside", -od_mm / 2))
    for side, by in sides:
        reach_in[side] = reach_along(before, centre, front, by)
        reach_out[side] = reach_along(gp_Lin(next_point, after.Direction()), centre, rear, by)
    length = float(GCPnts_AbscissaPoint.Length_s(whole))
    return Bent(straight, length, end, next_point, after.Direction(), reach_in, reach_out)


def reach_along(line: Any, centre: Any, point: Any, by_mm: float) -> float:
    """Along a line, where a point moved outwards from the bend's centre lies."""
    outwards = gp_Dir(gp_Vec(centre, point))
    return float(ElCLib.Parameter_s(line, along(point, outwards, by_mm)))
