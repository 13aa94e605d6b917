"""A run's centreline as edges in the solid-geometry kernel, and the kernel's least distances."""

from typing import Any

from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex, BRepBuilderAPI_Transform
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.ChFi2d import ChFi2d_AnaFilletAlgo
from OCP.gp import gp_Ax3, gp_Dir, gp_Pln, gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopoDS import TopoDS_Compound, TopoDS_Edge

from benchcalc.core.job import Run
from benchcalc.core.shapes.named_shapes import Radius
from tests.properties.kernel_tube import draw, edge


def corners(run: Run, radius: Radius) -> list[Any]:
    """Both ends and the corners, placed by the kernel's own rotations."""
    legs = [*(segment.leg_mm for segment in run.segments), run.last_leg_mm]
    bends = [(s.angle_deg, s.turn_deg, s.crown) for s in run.segments]
    drawn = draw(legs, bends, [radius(s.angle_deg) for s in run.segments], 1.0)
    return [gp_Pnt(0, 0, 0), *(bend.next_point for bend in drawn.bends), drawn.end]


def centreline(run: Run, radius: Radius) -> list[Any]:
    """Straight, arc, straight ... as the kernel's edges; corner bends only."""
    points = corners(run, radius)
    made: list[Any] = []
    before = edge(points[0], points[1])
    for number, segment in enumerate(run.segments, 1):
        a, b, c = points[number - 1 : number + 2]
        normal = gp_Vec(a, b).Crossed(gp_Vec(b, c))
        plane = gp_Pln(gp_Ax3(b, gp_Dir(normal)))
        fillet = ChFi2d_AnaFilletAlgo(before, edge(b, c), plane)
        if not fillet.Perform(radius(segment.angle_deg)):
            raise AssertionError("the kernel found no fillet")
        left, before = TopoDS_Edge(), TopoDS_Edge()
        arc = fillet.Result(left, before)
        made += [left, arc]
    return [*made, before]


def together(edges: list[Any]) -> Any:
    """Edges as one shape."""
    whole, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(whole)
    for one in edges:
        builder.Add(whole, one)
    return whole


def moved(shape: Any, by: tuple[float, float, float]) -> Any:
    """A shape shifted."""
    shift = gp_Trsf()
    shift.SetTranslation(gp_Vec(*by))
    return BRepBuilderAPI_Transform(shape, shift, True).Shape()


def block(low: tuple[float, float, float], high: tuple[float, float, float]) -> Any:
    """A solid box."""
    return BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Shape()


def dot_at(point: tuple[float, float, float]) -> Any:
    """A single point as a shape."""
    return BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Shape()


def apart(one: Any, other: Any) -> float:
    """The kernel's least distance between two shapes."""
    found = BRepExtrema_DistShapeShape(one, other)
    if not found.IsDone():
        raise AssertionError("the kernel found no distance")
    return float(found.Value())
