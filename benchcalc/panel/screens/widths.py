"""How far off a mark, an angle and a turn of this bench may be: one key each, the next at a tap."""

from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.acts import changed, to_screen
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, face_key, key_row, more_of_it
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
)
from benchcalc.panel.widgets.stacking import sentence, stack
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    columns,
    foot,
    rows,
)
from benchcalc.report.figures import angle_text, length_text
from benchcalc.report.scene import Box, Scene
from benchcalc.report.settings import WIDTHS, Settings, WidthName
from benchcalc.words.language import say


def shown(settings: Settings, name: WidthName) -> str:
    """A width either way, in the units that are set."""
    value = getattr(settings, name)
    if value is None:
        return say("widths.by-eye")
    return "± " + (length_text(value, settings.lengths) if name == "mark_mm" else angle_text(value))


def view(model: Model) -> Scene:
    """The three widths, what they are for, and the way back."""
    c = canvas(model)
    status_line(c, c.status, say("widths.title"), "", model.trouble)
    body, low = foot(c.below, c.key_h)
    turn = model.face != "keys" and c.small
    if not turn:
        keys_h = min((3.0 if c.tall else 1.0) * 1.3 * c.key_h, body.h)
        keys, body = rows(body, keys_h, body.h - keys_h)
        divide = rows if c.tall else columns
        for name, box in zip(WIDTHS, divide(keys, 1.0, 1.0, 1.0), strict=True):
            _width(c, model.settings, name, box)
    if turn or not c.small:
        told = (say("widths.how"), say("widths.learnt"))
        room = body.inset(GAP)
        stack(c, room, (sentence(c, text, rank, room.w) for rank, text in enumerate(told)))
    leaves = ("enter", "back", "escape")
    back = Key("settings", say("back"), does=press(to_screen, "settings"), keys=leaves)
    if c.small:
        other = face_key("keys", say("plan.type")) if turn else more_of_it()
        key_row(c, low, (back, other))
    else:
        key_row(c, columns(low, 0.4, 0.6)[0], (back,))
    return c.scene()


def _width(c: Canvas, settings: Settings, name: WidthName, box: Box) -> None:
    c.key(f"set {name}", box, "", "key_act", does=press(_next_of, name), choice=True)
    label, value = rows(box.inset(5.0), 0.46, 0.54)
    c.text(label, say(f"widths.{name}"), c.unit, "quiet", lines=2)
    c.text(value, shown(settings, name), c.unit * 1.2)


def _next_of(model: Model, name: WidthName) -> Acted:
    """The next choice of a width, kept at once."""
    return changed(model, model.settings.with_next(name))
