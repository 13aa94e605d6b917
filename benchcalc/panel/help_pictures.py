"""The pictures of the help, one for each quantity that a step is about."""

from benchcalc.panel.help_drawing import Plate, arc, rounded
from benchcalc.panel.language import say
from benchcalc.panel.model import Model
from benchcalc.panel.scene import Box, Picture


def signs(box: Box, unit: float, model: Model) -> Picture:
    """A tube with its flag, a mark, the held side, and a turn."""
    p = Plate(box, unit)
    p.tube([(8, 34), (152, 34)])
    p.held(22, 34, 34)
    p.mark(100, 34)
    p.word((39, 52), say("help.word.held"), "quiet")
    p.word((112, 15), say("help.word.mark"), "pen")
    p.tube(rounded([(8, 92), (60, 92), (96, 62)], 16), flagged=False)
    p.ring((130, 78), 13)
    p.arrow(arc((130, 78), 18, 180, 290))
    p.dot((130, 91), 2.4, "ink")
    return p.picture()
