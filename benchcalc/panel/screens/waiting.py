"""What is shown while the records cannot be opened: why, and that it is tried again."""

from benchcalc.panel.grid import GAP, Canvas, foot, status_line
from benchcalc.panel.language import say
from benchcalc.panel.scene import Scene
from benchcalc.panel.settings import Settings
from benchcalc.panel.sizes import physical


def view(size: tuple[int, int], says: str, every_s: float) -> Scene:
    """A sentence about the disk; there is nothing to tap."""
    c = Canvas(size, None, [], [], physical(size, Settings()))
    status_line(c, c.status, say("waiting.title"), "")
    why, again = foot(c.below.inset(2 * GAP), 2 * c.unit)
    c.text(why, says, c.unit, "ink", "left", int(why.h / c.unit))
    c.text(again, say("waiting.again", every=f"{every_s:.0f}"), c.unit, "quiet", "left", 2)
    return c.scene()
