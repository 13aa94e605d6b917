"""How the panel is set: one key for each setting, and each tap takes the next choice."""

from dataclasses import replace

from benchcalc.panel.grid import Canvas, canvas, cells, rows, status_height, status_line
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
    """A key for each setting, then the screen's size and the way back."""
    c = canvas(model)
    width, height = model.size
    top = status_height(model.size)
    status_line(c, Box(0, 0, width, top), say("settings.title"), "benchcalc", model.trouble)
    body = Box(0, top, width, height - top).inset(4.0)
    across, down = (2, 5) if height > width else (4, 3) if c.small else (3, 4)
    places = cells(body, across, down)
    for name, box in zip(SETTINGS, places, strict=False):
        _setting(c, model.settings, name, box)
    *low, back = places[-across:]
    measured = Box(low[0].x, low[0].y, low[-1].right - low[0].x, low[0].h)
    _size(c, model, measured)
    exact = places[len(SETTINGS)]
    c.key("widths", exact, say("settings.widths"), "key_act", min(exact.h * 0.3, c.unit * 1.2))
    c.key("bench", back, say("back"), "key_act", min(back.h * 0.36, back.w * 0.2))
    return c.scene()


def _size(c: Canvas, model: Model, box: Box) -> None:
    size = physical(model.size, model.settings, model.told)
    wide, high = (f"{side:.0f}" for side in size.mm)
    says = say(f"settings.size.{size.source}", width=wide, height=high)
    c.key("ruler", box, "", "key_act")
    c.text(box.inset(8.0), says, c.unit, "ink", "left", 4)


def _setting(c: Canvas, settings: Settings, name: SettingName, box: Box) -> None:
    c.key(f"set {name}", box, "", "key_act")
    label, value = rows(box.inset(10.0), 0.46, 0.54)
    c.text(label, say(f"settings.{name}"), min(label.h * 0.9, c.unit), "quiet", lines=2)
    c.text(value, shown(settings, name), min(value.h * 0.95, c.unit * (1.1 if c.small else 1.5)))


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
