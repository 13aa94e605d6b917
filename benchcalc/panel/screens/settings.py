"""How the panel is set: one key for each setting, each tap takes the next choice; by pages."""

from dataclasses import replace
from typing import NamedTuple

from benchcalc.core.job import Units
from benchcalc.panel.screens import ruler
from benchcalc.panel.state.action import Acted, Action, aside, carried_out, press
from benchcalc.panel.state.acts import changed, machine_asked, to_screen
from benchcalc.panel.state.fields import has_unit
from benchcalc.panel.state.missing import LogLook
from benchcalc.panel.state.model import Making, Model, Row
from benchcalc.panel.widgets.form_page import Key, key_row, part_of
from benchcalc.panel.widgets.grid import (
    Canvas,
    canvas,
    measures,
)
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    cells,
    columns,
    foot,
    rows,
)
from benchcalc.report.figures import length_text
from benchcalc.report.scene import Box, Scene
from benchcalc.report.settings import SETTINGS, SettingName, Settings
from benchcalc.words.language import say

LEAVES = ("enter", "back", "escape")

LANGUAGE_NAMES = {"en": "English", "de": "Deutsch", "es": "Español"}
"""Each in itself: whoever set the wrong one must find the way back."""


def shown(settings: Settings, name: SettingName) -> str:
    """What a setting is now, in words."""
    if name == "language":
        return LANGUAGE_NAMES[settings.language]
    if name == "rotation":
        return f"{settings.rotation}°"
    return say(f"settings.{name}.{str(getattr(settings, name)).lower()}")


class Choice(NamedTuple):
    """A key of the page: its target, what it is about, what it is now, what it does."""

    target: str
    name: str
    value: str
    does: Action
    choice: bool = False


def _choices(model: Model) -> list[Choice]:
    """Every setting, the screen's size, how far off this bench may be, and the state of its log."""
    size = measures(model)
    wide, high = (f"{side:.0f}" for side in size.mm)
    listed = [
        Choice(f"set {name}", say(f"settings.{name}"), shown(model.settings, name),
               press(_next_of, name), choice=True)
        for name in SETTINGS
    ]  # fmt: skip
    said = say(f"settings.size.{size.source}")
    measure = Choice("ruler", said, f"{wide} x {high} mm", press(ruler.opened))
    mark = length_text(model.settings.mark_mm, model.settings.lengths)
    widths = Choice("widths", say("settings.widths"), f"± {mark}", press(to_screen, "widths"))
    log = Choice("machine", say("settings.log"), _log(model.log), aside(machine_asked))
    return [*listed, measure, widths, log]


def _log(log: LogLook) -> str:
    if log.wrong:
        return say("settings.log-wrong")
    return say("settings.log-unseen") if log.whole is None else say("settings.log-whole")


def view(model: Model) -> Scene:
    """As many settings a page as have room, and the way back."""
    c = canvas(model)
    grid, low = foot(c.below, c.key_h)
    across = 1 if c.tall else 2
    down = max(1, int(grid.h / max(c.key_h, 2.3 * c.unit) + 0.01))
    part = part_of(_choices(model), across * down, model.settings_at)
    page = f"{part.page + 1}/{part.pages}" if part.pages > 1 else ""
    status_line(c, c.status, say("settings.title"), page, model.trouble)
    for at, (choice, box) in enumerate(zip(part.items, cells(grid, across, down), strict=False)):
        _setting(c, choice, box, part.page * across * down + at)
    keys = [Key("bench", say("back"), does=press(to_screen, "bench"), keys=LEAVES)]
    if part.pages > 1:
        keys.append(Key("more", say("more"), does=press(_turned, part.next)))
    key_row(c, columns(low, 2.0, 1.0)[0], keys)
    return c.scene()


def _setting(c: Canvas, choice: Choice, box: Box, at: int) -> None:
    does = choice.does._replace(act=_from, values=(at, choice.does))
    c.key(choice.target, box, "", "key_act", does=does, choice=choice.choice)
    inner = Box(box.x + 10.0, box.y + 4.0, box.w - 20.0, box.h - 8.0)
    label, value = rows(inner, 0.45, 0.55)
    c.text(label, choice.name, c.unit, "quiet")
    c.text(value, choice.value, min(value.h * 0.95, c.unit * 1.3))


def _next_of(model: Model, name: SettingName) -> Acted:
    """The next choice of a setting, kept at once."""
    after, commands = changed(model, model.settings.with_next(name))
    return (in_units_shown(after) if name == "units" else after), commands


def _turned(model: Model, at: int) -> Model:
    return replace(model, settings_at=at)


def _from(model: Model, at: int, action: Action) -> Acted:
    """What a key does; its page is the one that is shown afterwards."""
    return carried_out(action, _turned(model, at))


def in_units_shown(model: Model) -> Model:
    """The job in hand in the units that are set; what is typed stays as it is, to the letter."""
    units, were = model.settings.lengths, model.draft.units
    if units == were:
        return model
    blank, making = Row(unit=were), model.work.making
    if making is not None:
        model = model.with_work(making=_with_their_unit(making, were))
    rows_ = tuple(Row(unit=units) if row == blank else row for row in model.draft.rows)
    return model.with_draft(units=units, rows=rows_)


def _with_their_unit(making: Making, units: Units) -> Making:
    """Lengths typed about a piece, with the unit that they were typed in."""

    def kept(text: str) -> str:
        return f"{text} {units}" if text and not has_unit(text) else text

    port = replace(
        making.port,
        ahead=kept(making.port.ahead),
        up=kept(making.port.up),
        right=kept(making.port.right),
    )
    typed = kept(making.typed) if making.step in ("largest", "smallest") else making.typed
    return replace(making, typed=typed, largest=kept(making.largest), port=port)
