"""The rest of a piece after a bend came out wrong: what it would miss, and what to change."""

from benchcalc.core.job import Units
from benchcalc.core.sheet import Sheet
from benchcalc.panel.screens.make_words import came_says
from benchcalc.panel.screens.making import answered, asked_why, gone_back, to_plan
from benchcalc.panel.state.action import press
from benchcalc.panel.state.making.correcting import Offer, offer
from benchcalc.panel.state.model import Face, Making
from benchcalc.panel.widgets.form_page import (
    Key,
    Told,
    for_hand,
    key_row,
    more_of_it,
    paged,
    tell,
    turned_to,
)
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    lines_of,
    notice,
    notice_lines,
    paragraph,
)
from benchcalc.panel.widgets.stacking import Line, stack
from benchcalc.report.boxes import (
    columns,
    foot,
    rows,
)
from benchcalc.report.correction_text import off_says, shift_says, shift_short
from benchcalc.report.drawings import run_picture
from benchcalc.report.figures import angle_text, length_text
from benchcalc.report.finding_text import headline
from benchcalc.report.scene import Box, Fill, Role
from benchcalc.words.language import say

MOST_SHIFTS = 4
"""Bends that are told on the screen; more of them are told one at a time, as they are made."""


def draw(c: Canvas, making: Making, drawn: Sheet, face: Face) -> None:
    """The miss as it stands beside the run, and what is offered; behind it what would change."""
    c.by_keyboard("delete", press(asked_why))
    offered = offer(drawn, making)
    body, low = foot(c.below, c.key_h)
    room = body.inset(GAP / 2 if c.small else 2 * GAP)
    changes = _changes(c, offered, drawn.job.units)
    if face != "keys":
        _behind(c, room, low, [came_says(making), *changes] if c.small else changes, face)
        return
    says, picture = rows(room, 0.66, 0.34) if c.tall else columns(room, 0.64, 0.36)
    if c.small:
        says = room
    else:
        place = picture.inset(GAP)
        bend = drawn.layout.in_order[making.place].number
        c.add(Fill(place, "sheet", 6.0), run_picture(place.inset(6.0), drawn, bend, "sheet"))
    _offered(c, says, making, drawn, offered, changes)
    key_row(c, low, for_hand(c, _keys(offered, making.re_aims)))


def _behind(c: Canvas, room: Box, low: Box, says: list[str], face: Face) -> None:
    """What would change at each bend, on as many as two pages, and what else can be done."""
    first, rest = paged(c, room, [Told(one, at) for at, one in enumerate(says) if one])
    tell(c, room, rest if face == "more" and rest else first)
    back = press(turned_to, "keys")
    keys = [Key("type", say("back"), does=back, keys=("escape", "back"))]
    keys.append(Key("plan", say("make.plan"), does=press(to_plan)))
    keys.append(Key("scrap", say("make.scrap"), does=press(asked_why), decides=True))
    if rest and face != "more":
        keys.append(Key("more", say("more"), does=press(turned_to, "more")))
    key_row(c, low, keys)


def _offered(
    c: Canvas, box: Box, making: Making, drawn: Sheet, offered: Offer, changes: list[str]
) -> None:
    """The figure and what is left come before what the last act came to; then the changes."""
    large = c.unit * 1.3 if c.small else min(c.figure, box.w / 9)
    now = off_says(offered.correction.now, drawn.job.units)
    nearest = next((shift_short(s, drawn.job.units) for s in offered.shifts), "")
    lines = [
        Line(c.unit * 1.1, 0, lambda at: c.text(at, say("correct.now"), c.unit)),
        Line(large * 1.05, 0, lambda at: c.text(at, now, large)),
        _line(c, box.w, _comes_to(drawn, offered), 1),
    ]
    if nearest and not offered.stops:
        lines.insert(2, _line(c, box.w, nearest, 1))
    if making.came:
        came = came_says(making)
        high = (notice_lines(c, came, box.w) + 0.6) * c.unit
        word = say("word.kept")
        kept = Line(high, 2, lambda at: notice(c, at, word, came, "sheet"))
        lines.insert(0, kept)
    told = [_line(c, box.w, says, 3) for says in changes]
    if sum(line.height for line in (*lines, *told)) <= box.h:
        lines += told
    stack(c, box, lines)


def _line(c: Canvas, width: float, says: str, rank: int) -> Line:
    lines = lines_of(c, says, width)
    high = (lines if c.small else 1.02 * lines + 0.25) * c.unit
    return Line(high, rank, lambda box: paragraph(c, box, says))


def _comes_to(drawn: Sheet, offered: Offer) -> str:
    """What the correction leaves, or why there is none."""
    units, fit, found = drawn.job.units, drawn.job.fit, offered.correction
    within, angle = length_text(fit.within_mm, units), angle_text(fit.angle_deg)
    after = off_says(found.after, units)
    if offered.stops:
        return say("correct.stopped", why=headline(offered.stops[0]))
    if not found.fits:
        return say("correct.best", within=within, after=after)
    if not found.points:
        return say("correct.points", after=after, angle=angle)
    return say("correct.how", after=after, within=within, angle=angle)


def _changes(c: Canvas, offered: Offer, units: Units) -> list[str]:
    """A sentence a bend, in the order they are made."""
    most = 2 if c.small else MOST_SHIFTS
    says = [shift_says(shift, units) for shift in offered.shifts]
    if len(says) > most:
        rest = ", ".join(str(shift.bend) for shift in offered.shifts[most - 1 :])
        says = [*says[: most - 1], say("correct.more", numbers=rest)]
    return says


def _keys(offered: Offer, re_aims: bool) -> list[Key]:
    leave = say("correct.leave-marks" if re_aims else "correct.leave")
    role: Role = "key_go" if offered.stops else "key_act"
    keys = [
        Key("step back", say("back"), does=press(gone_back), keys=("escape", "back")),
        more_of_it(),
    ]
    if offered.moved or not re_aims or offered.stops:
        go_on = Key("answer leave", leave, role, press(answered, False))
        keys.append(go_on._replace(decides=True, choice=True))
    if not offered.stops:
        take = Key("answer take", say("correct.take"), "key_go", press(answered, True))
        keys.append(take._replace(decides=True, choice=True))
    return keys
