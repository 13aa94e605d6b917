"""A screen that asks for one value at a time and says one thing beside it."""

from collections.abc import Sequence
from typing import NamedTuple

from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.panel.widgets.form_page import (
    Key,
    back_to_typing,
    face_of,
    form,
    form_status,
    key_row,
    more_of_it,
    said,
)
from benchcalc.panel.widgets.grid import GAP, canvas
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import foot, rows
from benchcalc.report.scene import Scene
from benchcalc.words.language import say


class Asked(NamedTuple):
    """What is asked: the title, the value, a sentence and its short form, the way back, and what
    else can be done."""

    title: str
    entry: Entry
    says: str
    short: str
    back: Key
    keys: Sequence[Key] = ()


def asking(model: Model, typing: Form, asked: Asked) -> Scene:
    """The value in hand beside the keypad; on a small screen all else is on the second page."""
    c, entry, places = canvas(model), asked.entry, form(canvas(model))
    if face_of(c, model) != "keys":
        status_line(c, c.status, asked.title, "", model.trouble)
        ways, others = [asked.back, back_to_typing()], [*asked.keys]
        lines = [ways, others] if c.tall and others else [[*ways, *others]]
        says, low = foot(c.below, c.key_h * len(lines))
        said(c, model, says.inset(2 * GAP), asked.says)
        for box, line in zip(rows(low, *[1.0] * len(lines)), lines, strict=True):
            key_row(c, box, line)
        return c.scene()
    if form_status(c, model, asked.title):
        shown = entry.shown or say("plan.leg.empty")
        typed_field(c, places.field, say(entry.field.phrase), shown, bool(entry.text))
    if not c.small:
        all_said = said(c, model, places.says, asked.says, asked.short)
        more = [] if all_said and len(asked.keys) <= 2 else [more_of_it()]
        key_row(c, places.keys, [asked.back, *([] if more else asked.keys), *more])
    keypad(c, places.pad, typing, entry, (more_of_it(), asked.back._replace(caption="")))
    return c.scene()
