"""How a box is divided: side by side, one below the other, in a grid."""

from benchcalc.report.scene import Box


def rows(box: Box, *heights: float) -> list[Box]:
    """Divide a box from top to bottom in proportion."""
    total, y, parts = sum(heights), box.y, []
    for height in heights:
        part = box.h * height / total
        parts.append(Box(box.x, y, box.w, part))
        y += part
    return parts


def columns(box: Box, *widths: float) -> list[Box]:
    """Divide a box from left to right in proportion."""
    total, x, parts = sum(widths), box.x, []
    for width in widths:
        part = box.w * width / total
        parts.append(Box(x, box.y, part, box.h))
        x += part
    return parts


def cells(box: Box, across: int, down: int) -> list[Box]:
    """A regular grid, row by row."""
    return [cell for row in rows(box, *[1.0] * down) for cell in columns(row, *[1.0] * across)]


def foot(box: Box, height: float) -> tuple[Box, Box]:
    """What is left of a box above a row of a given height, and that row."""
    left = max(box.h - height, 0.0)
    return Box(box.x, box.y, box.w, left), Box(box.x, box.y + left, box.w, box.h - left)
