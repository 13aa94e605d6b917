"""What is shown while the records cannot be opened: why, and that it is tried again."""

from benchcalc.panel.grid import Canvas, rows, status_height, status_line
from benchcalc.panel.language import say
from benchcalc.panel.scene import Box, Scene


def view(size: tuple[int, int], says: str, every_s: float) -> Scene:
    """A sentence about the disk; there is nothing to tap."""
    c = Canvas(size, None, [], [])
    width, height = float(size[0]), float(size[1])
    top = status_height(size)
    status_line(c, Box(0.0, 0.0, width, top), say("waiting.title"), "benchcalc")
    body = Box(0.0, top, width, height - top).inset(12.0)
    why, again = rows(body, 0.7, 0.3)
    c.text(why, says, c.unit * 1.3, "ink", "left", 6)
    c.text(again, say("waiting.again", every=f"{every_s:.0f}"), c.unit, "quiet", "left", 2)
    return c.scene()
