"""What a pull reached and what the bend came to, typed and judged; a doubted one is asked back."""

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from benchcalc.panel.screens.make_step import by_keyboard, more, others, step_back
from benchcalc.panel.screens.make_words import came_says
from benchcalc.panel.screens.making import judged, reached
from benchcalc.panel.screens.piece_in_hand import Held, held, with_making
from benchcalc.panel.state.action import press
from benchcalc.panel.state.making.judging import MEASURED, in_doubt
from benchcalc.panel.state.making.steps import REACHED, bend_in_hand, reading_to_pull_to
from benchcalc.panel.state.model import Making, Model
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.panel.widgets.form_page import Key, line_above, put_key, turned_to
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    key_rows,
    notice,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.stacking import sentence, stack
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import cells, columns, foot, rows
from benchcalc.report.figures import angle_text
from benchcalc.report.told import in_words
from benchcalc.words.language import number_shown, say


def _entry(model: Model) -> Entry:
    return Entry(MEASURED, held(model).making.typed)


def _typed(model: Model, entry: Entry) -> Model:
    return with_making(model, replace(held(model).making, typed=entry.text, came=None))


CHECK = Form(_entry, _typed, judged)
"""The measured angle is typed."""


def _entry_reached(model: Model) -> Entry:
    return Entry(REACHED, held(model).making.typed)


PULLED = Form(_entry_reached, _typed, reached)
"""The reading that the pull reached is typed; nothing typed is what was told."""


class Asked(NamedTuple):
    """What one of the two steps asks for: how it is typed, shown and worded."""

    form: Form
    field: str
    shown: str
    given: bool
    asks: tuple[str, str]
    short: str
    on: str


def _asked(in_hand: Held) -> Asked:
    making, sheet = in_hand.making, in_hand.sheet
    typed = making.typed
    if making.step == "reached":
        told = angle_text(reading_to_pull_to(making, sheet))
        asks = (say("make.reached.ask", told=told), say("make.reached.how"))
        on = say("key.next") if typed else say("make.reached.as-told")
        shown = number_shown(typed) + "°" if typed else told
        short = say("make.reached.short", told=told)
        return Asked(PULLED, say("make.reached.field"), shown, bool(typed), asks, short, on)
    bend = bend_in_hand(making, sheet)
    near = angle_text(sheet.tolerance_deg(bend.number))
    wanted = {"target": angle_text(bend.angle_deg), "tolerance": near}
    over = sheet.reads_over_deg
    taken_off = say("check.taken-off", by=angle_text(round(over, 2))) if over else ""
    asks = (f"{say('make.check.wanted', **wanted)} {taken_off}".strip(), say("make.check.how"))
    shown = number_shown(typed or " ") + "°"
    short = f"{say('make.check.short', **wanted)} {taken_off}".strip()
    return Asked(CHECK, say("make.check.field"), shown, True, asks, short, say("key.check"))


def draw(c: Canvas, model: Model, in_hand: Held, status: Callable[[Canvas], None]) -> None:
    """What the pull reached, or what it came to, typed; ``status`` draws the line on top.

    Where keypad and question have no room beside each other, the whole screen asks back.
    """
    making, asked = in_hand.making, _asked(in_hand)
    by_keyboard(c, making)
    wrong = in_words(model.refusal) or came_says(making, in_hand.sheet.job.units)
    z, doubted = c.zones(strip=False), bool(wrong) and in_doubt(making)
    if wrong and (c.small or (doubted and z.answer.h < 3 * c.key_h)):
        _asked_back(c, model, making, wrong, status)
        return
    if c.small:
        status_line(c, z.status, "", "", model.trouble)
        wanted, typed = columns(line_above(c), 0.55, 0.45)
        if not model.trouble:
            c.text(wanted.inset(2.0), asked.short, c.unit, lines=2)
            typed_field(c, typed, "", asked.shown, asked.given)
    else:
        status(c)
        field, rest = rows(z.answer, c.key_h, z.answer.h - c.key_h)
        says, low = foot(rest, c.key_h)
        if doubted:  # on a free place: no key was there to be pressed twice
            says, place = foot(says, c.key_h)
            put_key(c, place, _take_anyway())
            says = says._replace(y=field.y, h=says.bottom - field.y)  # it names the angle typed
        else:
            typed_field(c, field, asked.field, asked.shown, asked.given)
        if wrong:
            notice(c, says.inset(2.0), say("word.check"), wrong, "alarm")
        else:
            first, second = asked.asks
            told = (sentence(c, first, 0, says.w - 4.0), sentence(c, second, 1, says.w - 4.0))
            stack(c, says.inset(2.0), told)
        across, _ = key_rows(c, 3, low.w)
        beside = (step_back(("escape",)), *others(c, model, making)[1:])
        for key, cell in zip(beside, cells(low, across, 1), strict=False):
            put_key(c, cell, key)
    own, go_on = (step_back(("escape",)), more()), Key("next", asked.on, "key_go")
    keypad(c, z.pad, asked.form, asked.form.entry(model), own, go_on)


def _take_anyway() -> Key:
    does = press(judged, True)
    return Key("take anyway", say("make.take-anyway"), does=does, decides=True)


def _asked_back(
    c: Canvas, model: Model, making: Making, wrong: str, status: Callable[[Canvas], None]
) -> None:
    """The whole screen: what is wrong with the angle, and the two ways on.

    The one that takes it lies on top, where the typed angle was and no key.
    """
    body, low = foot(c.below, c.key_h)
    notice(c, body.inset(GAP), say("word.check"), wrong, "alarm")
    left, _ = columns(low, 0.5, 0.5)
    doubted = in_doubt(making)
    if not doubted or model.trouble:
        status(c)
    does = CHECK.erase if doubted else press(turned_to, "keys")
    again = Key("back" if doubted else "type", say("make.type-again"), does=does, keys=("back",))
    put_key(c, left, again, c.unit * 1.2)
    if doubted and not model.trouble:
        status_line(c, c.zones(strip=False).status, "", "")
        put_key(c, line_above(c), _take_anyway(), c.unit * 1.2)
