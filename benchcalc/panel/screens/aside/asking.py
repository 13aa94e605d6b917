"""A question that lies over the screen until it is answered: what would be lost, and two keys."""

from dataclasses import replace

from benchcalc.panel.state.action import press
from benchcalc.panel.state.making.steps import begin, begin_again
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, key_row, turned_to
from benchcalc.panel.widgets.grid import GAP, canvas, notice
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import foot
from benchcalc.report.scene import Scene
from benchcalc.words.language import say

ANEW = "anew"
"""It is asked whether a piece that was cut or marked is to start anew."""


def question(model: Model, title: str, says: str, yes: Key, no: Key) -> Scene:
    """The whole of the screen for it; the key that changes nothing is the way on."""
    c = canvas(model)
    status_line(c, c.status, title, "", model.trouble)
    body, low = foot(c.below, c.key_h)
    notice(c, body.inset(2 * GAP), say("word.check"), says, "alarm")
    key_row(c, low, [no, yes] if c.hand == "left" else [yes, no])
    return c.scene()


def loses_piece(before: Model, after: Model) -> bool:
    """Whether an act throws away what is done to a piece that has no bend yet."""
    was, now = before.work.making, after.work.making
    if was is None or now is None or was.made or before.work.shelf != after.work.shelf:
        return False
    anew = begin(was.piece, was.stored)
    return now == anew and was.step not in ("cut", "port", "aim")


def anew_view(model: Model) -> Scene:
    """The piece is cut or marked by the run as it stands."""
    making = model.work.making
    says = say("asking.anew", piece=making.piece if making else 0)
    yes = Key("anew", say("asking.anew.yes"), does=press(_anew), decides=True)
    keep = press(turned_to, "keys")
    no = Key("keep run", say("asking.anew.no"), "key_go", keep, ("enter", "escape", "back"))
    return question(model, "", says, yes, no)


def _anew(model: Model) -> Model:
    """What was cut or marked of the piece is given up; the run may be changed."""
    return replace(model, work=begin_again(model.work), face="keys")


STARTS_ANEW = _anew
"""The act that gives a piece up; every other one asks first."""
