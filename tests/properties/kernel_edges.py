"""Pieces of tube as edges of the solid-geometry kernel, and the distances it finds for them."""

from functools import lru_cache
from math import inf, pi
from typing import Any

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec

from benchcalc.core.layout.path import Path, Piece

DEPTH = 0.25
"""Pairs are clipped to rows of the border no coarser than this part of the smallest radius."""


def edge_of(piece: Piece, low_mm: float = 0.0, high_mm: float = inf) -> Any:
    """A stretch of a straight or an arc, cut by the kernel's own parameters."""
    high_mm = min(high_mm, piece.length_mm)
    start, heads = gp_Pnt(*piece.point), gp_Vec(*piece.direction)
    if not piece.radius_mm:
        ends = (start.Translated(heads.Multiplied(at)) for at in (low_mm, high_mm))
        return BRepBuilderAPI_MakeEdge(*ends).Edge()
    radius, inwards = piece.radius_mm, gp_Vec(*piece.normal)
    centre = start.Translated(inwards.Multiplied(radius))
    frame = gp_Ax2(centre, gp_Dir(inwards.Crossed(heads).Reversed()), gp_Dir(inwards.Reversed()))
    circle = gp_Circ(frame, radius)
    return BRepBuilderAPI_MakeEdge(circle, low_mm / radius, high_mm / radius).Edge()


def distance(one: Any, other: Any) -> float:
    """The kernel's least distance of two shapes."""
    found = BRepExtrema_DistShapeShape(one, other)
    if not found.IsDone():
        raise AssertionError("the kernel found no distance")
    return float(found.Value())


def nearest_in_kernel(path: Path, depth: float = DEPTH) -> float:
    """The tube's least distance to itself over pairs pi R apart, by the kernel's edges.

    Pairs of pieces that the border cuts are halved until ``depth`` R is left of the border; what
    lies between is no nearer than 2 R cos(depth / 2).
    """
    pieces = [piece for piece in path.pieces if piece.length_mm > 1e-6]
    radius = min(piece.radius_mm for piece in pieces if piece.radius_mm)
    starts = [sum(piece.length_mm for piece in pieces[:i]) for i in range(len(pieces))]
    clip = _Clip(pieces, starts, pi * radius, depth * radius)
    best = inf
    for i, one in enumerate(pieces):
        for j in range(i, len(pieces)):
            spans = ((0.0, one.length_mm), (0.0, pieces[j].length_mm))
            best = min(best, clip.nearest(i, spans[0], j, spans[1]))
    return best


class _Clip:
    def __init__(
        self, pieces: list[Piece], starts: list[float], apart_mm: float, depth_mm: float
    ) -> None:
        self.pieces, self.starts = pieces, starts
        self.apart, self.depth = apart_mm, depth_mm
        self.edge = lru_cache(maxsize=None)(lambda i, low, high: edge_of(self.pieces[i], low, high))

    def nearest(
        self, i: int, one: tuple[float, float], j: int, other: tuple[float, float]
    ) -> float:
        nearest = self.starts[j] + other[0] - self.starts[i] - one[1]
        farthest = self.starts[j] + other[1] - self.starts[i] - one[0]
        if farthest <= self.apart:
            return inf
        if nearest >= self.apart:
            return distance(self.edge(i, *one), self.edge(j, *other))
        if max(one[1] - one[0], other[1] - other[0]) <= self.depth / 2:
            return inf
        if one[1] - one[0] >= other[1] - other[0]:
            middle = (one[0] + one[1]) / 2
            halves = [((one[0], middle), other), ((middle, one[1]), other)]
        else:
            middle = (other[0] + other[1]) / 2
            halves = [(one, (other[0], middle)), (one, (middle, other[1]))]
        return min(self.nearest(i, a, j, b) for a, b in halves)
