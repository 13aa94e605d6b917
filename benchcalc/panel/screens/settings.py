"""How the panel is set: one key for each setting, each tap takes the next choice; by pages."""

from dataclasses import replace
from typing import NamedTuple

from benchcalc.core.job import Units
from benchcalc.panel.state.fields import has_unit
from benchcalc.panel.state.messages import Command, KeepSettings
from benchcalc.panel.state.missing import LogLook
from benchcalc.panel.state.model import Making, Model, Row
from benchcalc.panel.state.settings import (
    SETTINGS,
    SettingName,
    Settings,
    settings_plain,
)
from benchcalc.panel.widgets.form_page import Key, key_row
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
from benchcalc.words.language import say

Acted = tuple[Model, tuple[Command, ...]]

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
    """A key of the page: its target, what it is about, what it is now."""

    target: str
    name: str
    value: str


def _choices(model: Model) -> list[Choice]:
    """Every setting, the screen's size, how far off this bench may be, and the state of its log."""
    size = measures(model)
    wide, high = (f"{side:.0f}" for side in size.mm)
    listed = [
        Choice(f"set {name}", say(f"settings.{name}"), shown(model.settings, name))
        for name in SETTINGS
    ]
    ruler = Choice("ruler", say(f"settings.size.{size.source}"), f"{wide} x {high} mm")
    mark = length_text(model.settings.mark_mm, model.settings.lengths)
    widths = Choice("widths", say("settings.widths"), f"± {mark}")
    return [*listed, ruler, widths, Choice("machine", say("settings.log"), _log(model.log))]


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
    choices, room = _choices(model), across * down
    pages = -(-len(choices) // room)
    page = model.page % pages
    title = say("settings.title")
    status_line(c, c.status, title, f"{page + 1}/{pages}" if pages > 1 else "", model.trouble)
    listed = choices[page * room : (page + 1) * room]
    for choice, box in zip(listed, cells(grid, across, down), strict=False):
        _setting(c, choice, box)
    keys = [Key("bench", say("back")), Key("more", say("more"))]
    key_row(c, columns(low, 2.0, 1.0)[0], keys[: min(pages, 2)])
    return c.scene()


def _setting(c: Canvas, choice: Choice, box: Box) -> None:
    c.key(choice.target, box, "", "key_act")
    inner = Box(box.x + 10.0, box.y + 4.0, box.w - 20.0, box.h - 8.0)
    label, value = rows(inner, 0.45, 0.55)
    c.text(label, choice.name, c.unit, "quiet")
    c.text(value, choice.value, min(value.h * 0.95, c.unit * 1.3))


def act(model: Model, target: str) -> Acted:
    """The next choice of a setting, kept at once; or on to the widths, or back to the bench."""
    if target == "widths":
        return replace(model.with_work(screen="widths"), face="keys"), ()
    name = next((s for s in SETTINGS if target == f"set {s}"), None)
    if target == "more":
        return replace(model, page=model.page + 1), ()
    if name is None:
        left = replace(model.with_work(screen="bench"), page=0)
        return (left if target in ("bench", "cancel") else model), ()
    after, commands = changed(model, model.settings.with_next(name))
    if name == "units":
        after = in_units_shown(after)
    return after, commands


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


def changed(model: Model, settings: Settings) -> Acted:
    """The model with other settings; a screen hung on its side has its sides exchanged."""
    size = model.size
    if (settings.rotation - model.settings.rotation) % 180:
        size = (size[1], size[0])
    turned = size != model.size and model.told is not None
    told = model.told.turned() if turned and model.told else model.told
    after = replace(model, settings=settings, size=size, told=told)
    return after, (KeepSettings(settings_plain(settings)),)


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
