"""The rest of a piece after a bend came out wrong: what it would miss, and what to change."""

from benchcalc.core.sheet import Sheet
from benchcalc.panel.correcting import Offer, offer
from benchcalc.panel.correction_text import off_says, shift_says
from benchcalc.panel.drawings import run_picture
from benchcalc.panel.figures import angle_text, length_text
from benchcalc.panel.grid import Canvas, columns, notice, rows
from benchcalc.panel.language import say
from benchcalc.panel.model import Making
from benchcalc.panel.scene import Box, Fill, Role
from benchcalc.panel.wording import headline

ANSWERS = {"answer take": True, "answer leave": False}
"""The keys, and whether the correction is taken by them."""

MOST_SHIFTS = 4
"""Bends that are told on the screen; more of them are told one at a time, as they are made."""

TWO_LINES_PX = 28.0
"""From this height on a line a bend may be broken in two, still large enough to be read."""


def draw(c: Canvas, making: Making, drawn: Sheet) -> None:
    """The miss as it stands on the left, the run on the right, below them what would change."""
    offered = offer(drawn, making)
    body = c.below.inset(4.0)
    upper, middle, foot = rows(body, 0.44, 0.38, 0.18)
    left, right = columns(upper, 0.68, 0.32)
    if making.says:
        told, left = rows(left, 0.22, 0.78)
        notice(c, told.inset(2.0), say("word.kept"), making.says, "sheet")
    _misses(c, left.inset(5.0), drawn, offered)
    c.add(Fill(right.inset(3.0), "sheet", 6.0))
    bend = drawn.layout.in_order[making.place].number
    c.add(run_picture(right.inset(8.0), drawn, bend, "sheet"))
    _shifts(c, middle.inset(5.0), drawn, offered)
    _keys(c, foot, offered)


def _misses(c: Canvas, box: Box, drawn: Sheet, offered: Offer) -> None:
    units, fit = drawn.job.units, drawn.job.fit
    found = offered.correction
    does, figure, more = rows(box, 0.24, 0.36, 0.4)
    c.text(
        does,
        say("correct.now"),
        min(does.h * 0.95, c.unit * (1.0 if c.tall else 1.4)),
        lines=1 + c.tall,
    )
    c.text(
        figure, off_says(found.now, units), min(figure.h * 0.95, c.unit * (1.5 if c.tall else 2.4))
    )
    within, angle = length_text(fit.within_mm, units), angle_text(fit.angle_deg)
    after = off_says(found.after, units)
    if offered.stops:
        says = say("correct.stopped", why=headline(offered.stops[0]))
    elif not found.fits:
        says = say("correct.best", within=within, after=after)
    elif not found.points:
        says = say("correct.points", after=after, angle=angle)
    else:
        says = say("correct.how", after=after, within=within, angle=angle)
    c.text(
        more, says, min(c.unit, more.h / (4 if c.tall else 2)), "ink", "left", 4 if c.tall else 2
    )


def _shifts(c: Canvas, box: Box, drawn: Sheet, offered: Offer) -> None:
    """A line a bend, in the order they are made."""
    shifts, units = offered.shifts, drawn.job.units
    says = [shift_says(shift, units) for shift in shifts[:MOST_SHIFTS]]
    if len(shifts) > MOST_SHIFTS:
        rest = ", ".join(str(shift.bend) for shift in shifts[MOST_SHIFTS - 1 :])
        says = [*says[: MOST_SHIFTS - 1], say("correct.more", numbers=rest)]
    height = min(box.h / max(len(says), 2), c.unit * 2.2)
    lines = 2 if height >= TWO_LINES_PX else 1
    for at, line in enumerate(says):
        place = Box(box.x, box.y + at * height, box.w, height)
        c.text(place, line, min(c.unit, height * 0.95 / lines), "ink", "left", lines)


def _keys(c: Canvas, box: Box, offered: Offer) -> None:
    back, plan, scrap, leave, take = columns(box, 1.0, 1.1, 1.0, 1.5, 1.5)
    c.key("step back", back, say("back"), "key_act", min(back.h * 0.36, c.unit))
    c.key("plan", plan, say("make.plan"), "key_act", min(plan.h * 0.36, c.unit), lines=2)
    c.key("scrap", scrap, say("make.scrap"), "key_act", min(scrap.h * 0.36, c.unit))
    alone: Role = "key_go" if offered.stops else "key_act"
    c.key("answer leave", leave, say("correct.leave"), alone, min(leave.h * 0.34, c.unit), lines=2)
    if not offered.stops:
        c.key("answer take", take, say("correct.take"), "key_go", take.h * 0.4)
