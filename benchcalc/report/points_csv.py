"""Corner points as a drawing office takes them, and as ``benchcalc sheet`` reads them again."""

from collections.abc import Iterable

from benchcalc.core.geometry.vectors import Vector


def points_csv(points: Iterable[Vector]) -> str:
    """X, Y, Z in millimetres to a thousandth, a line each with a header on top (RFC 4180)."""
    lines = (",".join(f"{x + 0.0:.3f}" for x in point) for point in points)
    return "\r\n".join(("X mm,Y mm,Z mm", *lines, ""))
