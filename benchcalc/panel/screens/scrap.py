"""Why a piece is scrapped: the reason is the second press, and lies elsewhere than the first."""

from benchcalc.panel.grid import Canvas, cells, columns
from benchcalc.panel.language import say
from benchcalc.panel.model import Making
from benchcalc.panel.scene import Box, Target

REASONS = ("over", "kinked", "mark", "other")


def draw(c: Canvas, making: Making, pressed: Target | None) -> None:
    """The reasons above the key that was pressed, or below it; in its place what leads back."""
    head, reasons, back = _places(c, pressed)
    size = min(head.h * 0.5, c.unit * 1.6)
    c.text(head, say("make.scrap.why", piece=making.piece), size, lines=2)
    across, down = (4, 1) if c.small else (2, 2)
    for reason, box in zip(REASONS, cells(reasons, across, down), strict=True):
        size = min(box.h * 0.24, c.unit * 1.2)
        c.key(f"because {reason}", box, say(f"make.scrap.{reason}"), "key", size, lines=3)
    no = columns(back, 0.5, 0.5)[0]
    c.key("step back", no, say("make.scrap.no"), "key_act", min(no.h * 0.4, c.unit * 1.2), lines=2)


def _places(c: Canvas, pressed: Target | None) -> tuple[Box, Box, Box]:
    """The question, the reasons and the way back, none of the reasons where the key was."""
    body = c.below.inset(6.0)
    head = Box(body.x, body.y, body.w, max(c.unit * 2.0, body.h * 0.14))
    low = body.bottom - max(c.unit * 2.4, body.h * 0.2)
    if pressed is None or pressed.box.centre[1] > body.centre[1]:
        end = low if pressed is None else min(pressed.box.y, low)
        reasons = Box(body.x, head.bottom, body.w, end - head.bottom)
        return head, reasons, Box(body.x, end, body.w, body.bottom - end)
    top = pressed.box.bottom
    back = Box(body.x, head.bottom, body.w, top - head.bottom)
    return head, Box(body.x, top, body.w, body.bottom - top), back
