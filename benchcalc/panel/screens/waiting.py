"""What is shown while the records cannot be opened: why, and that it is tried again."""

from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
)
from benchcalc.panel.widgets.sizes import physical
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import foot
from benchcalc.report.scene import Scene
from benchcalc.report.settings import Settings
from benchcalc.words.language import say


def view(size: tuple[int, int], says: str, every_s: float) -> Scene:
    """A sentence about the disk; there is nothing to tap."""
    c = Canvas(size, [], [], physical(size, Settings()))
    status_line(c, c.status, say("waiting.title"), "")
    why, again = foot(c.below.inset(2 * GAP), 2 * c.unit)
    c.text(why, says, c.unit, "ink", "left", int(why.h / c.unit))
    c.text(again, say("waiting.again", every=f"{every_s:.0f}"), c.unit, "quiet", "left", 2)
    return c.scene()
