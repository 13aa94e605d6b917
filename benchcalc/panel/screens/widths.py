"""How far off a mark, an angle and a turn of this bench may be: one key each, the next at a tap."""

from benchcalc.panel.figures import angle_text, length_text
from benchcalc.panel.grid import Canvas, canvas, columns, rows, status_height, status_line
from benchcalc.panel.language import say
from benchcalc.panel.messages import Command
from benchcalc.panel.model import Model
from benchcalc.panel.scene import Box, Scene
from benchcalc.panel.screens.settings import changed
from benchcalc.panel.settings import WIDTHS, Settings, WidthName

Acted = tuple[Model, tuple[Command, ...]]


def shown(settings: Settings, name: WidthName) -> str:
    """A width either way, in the units that are set."""
    value = getattr(settings, name)
    return "± " + (length_text(value, settings.units) if name == "mark_mm" else angle_text(value))


def view(model: Model) -> Scene:
    """What the widths are for, the three of them, and the way back."""
    c = canvas(model)
    width, height = model.size
    top = status_height(model.size)
    status_line(c, Box(0, 0, width, top), say("widths.title"), "benchcalc", model.trouble)
    body = Box(0, top, width, height - top).inset(4.0)
    says, keys, low = rows(body, 1.0, *((2.4, 0.7) if c.tall else (1.2, 1.0)))
    c.text(says.inset(4.0), say("widths.how"), min(c.unit, says.h / 3.2), "quiet", lines=3)
    divide = rows if c.tall else columns
    for name, box in zip(WIDTHS, divide(keys, 1.0, 1.0, 1.0), strict=True):
        _width(c, model.settings, name, box)
    back, learnt = columns(low, 0.3, 0.7)
    c.key("settings", back, say("back"), "key_act", min(low.h * 0.36, back.w * 0.2))
    c.text(learnt.inset(8.0), say("widths.learnt"), min(c.unit, low.h / 3.2), "quiet", lines=3)
    return c.scene()


def _width(c: Canvas, settings: Settings, name: WidthName, box: Box) -> None:
    c.key(f"set {name}", box, "", "key_act")
    label, value = rows(box.inset(10.0), 0.42, 0.58)
    c.text(label, say(f"widths.{name}"), min(label.h * 0.9, c.unit), "quiet")
    c.text(value, shown(settings, name), min(value.h * 0.95, c.unit * 1.5))


def act(model: Model, target: str) -> Acted:
    """The next choice of a width, kept at once; or back to the settings."""
    name = next((w for w in WIDTHS if target == f"set {w}"), None)
    if name is None:
        return (model.with_work(screen="settings") if target == "settings" else model), ()
    return changed(model, model.settings.with_next(name))
