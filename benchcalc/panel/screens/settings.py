"""How the panel is set: one key for each setting, and each tap takes the next choice."""

from dataclasses import replace

from benchcalc.panel.grid import Canvas, canvas, cells, columns, foot, rows, status_line
from benchcalc.panel.language import say
from benchcalc.panel.messages import Command, KeepSettings
from benchcalc.panel.model import Model
from benchcalc.panel.scene import Box, Scene
from benchcalc.panel.settings import SETTINGS, SettingName, Settings, settings_plain
from benchcalc.panel.sizes import physical

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


def view(model: Model) -> Scene:
    """Two columns of settings, and the way back."""
    c = canvas(model)
    status_line(c, c.status, say("settings.title"), "benchcalc", model.trouble)
    grid, low = foot(c.below, c.key_h)
    for name, box in zip(SETTINGS, cells(grid, 2, 3), strict=True):
        _setting(c, model.settings, name, box)
    back, exact, measured = columns(low, 0.22, 0.26, 0.52)
    size = physical(model.size, model.settings, model.told)
    wide, high = (f"{side:.0f}" for side in size.mm)
    says = say(f"settings.size.{size.source}", width=wide, height=high)
    c.key("ruler", measured, "", "key_act")
    c.text(measured.inset(8.0), says, c.unit, "ink", "left", 3)
    c.key("widths", exact, say("settings.widths"), "key_act", c.unit, lines=2)
    c.key("bench", back, say("back"), "key_act")
    return c.scene()


def _setting(c: Canvas, settings: Settings, name: SettingName, box: Box) -> None:
    c.key(f"set {name}", box, "", "key_act")
    label, value = rows(box.inset(10.0), 0.42, 0.58)
    c.text(label, say(f"settings.{name}"), min(label.h * 0.9, c.unit), "quiet")
    c.text(value, shown(settings, name), min(value.h * 0.95, c.unit * 1.5))


def act(model: Model, target: str) -> Acted:
    """The next choice of a setting, kept at once; or on to the widths, or back to the bench."""
    if target == "widths":
        return model.with_work(screen="widths"), ()
    name = next((s for s in SETTINGS if target == f"set {s}"), None)
    if name is None:
        return (model.with_work(screen="bench") if target in ("bench", "cancel") else model), ()
    return changed(model, model.settings.with_next(name))


def changed(model: Model, settings: Settings) -> Acted:
    """The model with other settings; a screen hung on its side has its sides exchanged."""
    size = model.size
    if (settings.rotation - model.settings.rotation) % 180:
        size = (size[1], size[0])
    turned = size != model.size and model.told is not None
    told = model.told.turned() if turned and model.told else model.told
    after = replace(model, settings=settings, size=size, told=told)
    return after, (KeepSettings(settings_plain(settings)),)
