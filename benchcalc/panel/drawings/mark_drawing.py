"""The new mark beside the old one, after a correction moved it."""

from benchcalc.core.job import Units
from benchcalc.report.drawings import flag
from benchcalc.report.figures import length_text
from benchcalc.report.scene import Box, Fill, Label, Picture, Polygon, Shape, Stroke
from benchcalc.words.language import say

APART = 0.3
"""How far the marks stand apart, as a part of the picture's width: to scale they would touch."""


def moved_mark_picture(box: Box, past_mm: float, units: Units) -> Picture:
    """The tube with its flag at the left, the old mark crossed out, the new one, the way between.

    ``past_mm`` is how far the new mark lies past the old one, seen from the flag.
    """
    size = min(box.h * 0.16, box.w * 0.1)
    thick = box.h * 0.2
    top = box.y + box.h * 0.42
    left, right = box.x + 0.08 * box.w, box.right - 0.02 * box.w
    middle = box.x + 0.58 * box.w
    half = (APART if past_mm > 0 else -APART) * box.w / 2
    old, new = middle - half, middle + half
    shapes: list[Shape] = [Fill(Box(left, top, right - left, thick), "tube")]
    for edge in (top, top + thick):
        shapes.append(Stroke(((left, edge), (right, edge)), "tube_edge", 2.5))
    shapes += flag((left, top), thick)
    shapes.append(Stroke(((old, top), (old, top + thick)), "quiet", 2.5))
    arm = thick * 0.3
    for way in (-arm, arm):
        y = top + thick / 2
        shapes.append(Stroke(((old - arm, y - way), (old + arm, y + way)), "ink", 3.0))
    shapes.append(Stroke(((new, top - 0.4 * thick), (new, top + thick + 4)), "pen", 5.0))
    shapes += _arrow(old, new, top - 0.4 * thick)
    wide, below = size * 4.0, top + thick + 0.25 * size
    for x, key, role in ((old, "old", "quiet"), (new, "new", "pen")):
        at = min(max(x - wide / 2, box.x), box.right - wide)
        place = Box(at, below, wide, size)
        shapes.append(Label(place, say(f"mark.{key}"), size, role, "centre"))  # type: ignore[arg-type]
    says = length_text(abs(past_mm), units)
    place = Box(middle - box.w * 0.4, top - 0.55 * thick - 1.3 * size, box.w * 0.8, size)
    shapes.append(Label(place, says, size, "pen", "centre", heavy=True))
    return Picture(box, tuple(shapes), "sheet")


def _arrow(start: float, end: float, y: float) -> list[Shape]:
    """Level, from one mark to the other."""
    way = 1.0 if end > start else -1.0
    reach = abs(end - start) * 0.2
    base = end - way * reach
    head = Polygon(((end, y), (base, y - reach * 0.6), (base, y + reach * 0.6)), "ink")
    return [Stroke(((start, y), (base, y)), "ink", 3.0), head]
