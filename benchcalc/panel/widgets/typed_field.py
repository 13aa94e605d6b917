"""The field in hand as every typing screen shows it: its name, what is typed, the ways aside."""

from benchcalc.panel.state.action import Action
from benchcalc.panel.widgets.grid import Canvas
from benchcalc.report.boxes import (
    columns,
    rows,
)
from benchcalc.report.scene import Box, Fill, Polygon

UNDERLINE_PX = 6.0


def typed_field(
    c: Canvas, box: Box, name: str, shown: str, given: bool = True, wrong: bool = False
) -> None:
    """A name over its value, edged and underlined: digits go here.

    ``given`` is False for a hint in the place of a value; ``wrong`` shows the sign of a refusal.
    """
    face = box.inset(2.0)
    c.add(Fill(face, "sheet", 6.0, "focus", 3.0))
    c.add(Fill(Box(face.x, face.bottom - UNDERLINE_PX, face.w, UNDERLINE_PX), "focus", 3.0))
    inner = Box(face.x + 6.0, face.y + 2.0, face.w - 12.0, face.h - 4.0 - UNDERLINE_PX)
    if inner.h < 2.1 * c.unit:  # no room for a name above: beside it
        head, value = columns(inner, 0.4, 0.6)
    else:
        head, value = rows(inner, c.unit * 1.1, inner.h - c.unit * 1.1)
    c.text(head, name, c.unit, "quiet")
    size = min(value.h, c.unit * (1.8 if given else 1.0))
    if wrong:
        wrong_sign(c, Box(value.right - value.h, value.y, value.h, value.h))
        value = value._replace(w=value.w - value.h)
    c.text(value, shown, size, "ink" if given else "quiet", lines=1 if given else 2)


def with_arrows(
    c: Canvas,
    box: Box,
    earlier: bool,
    later: bool,
    before: Action | None = None,
    after: Action | None = None,
) -> Box:
    """Keys to the field before and the one after at both ends; what is left between them."""
    left, middle, right = columns(box, c.key_w, box.w - 2 * c.key_w, c.key_w)
    if earlier:
        c.arrow_key("earlier", left, True, before, ("shift tab",) if before else ())
    if later:
        c.arrow_key("later", right, False, after, ("tab",) if after else ())
    return middle


def wrong_sign(c: Canvas, box: Box) -> None:
    """A triangle that says: look here."""
    x, y = box.centre
    half = box.h * 0.42
    points = ((x, y - half), (x + half, y + half), (x - half, y + half))
    c.add(Polygon(points, "alarm"))
    c.text(Box(box.x, y - half * 0.5, box.w, half * 1.5), "!", half * 1.4, "alarm_ink", "centre")
