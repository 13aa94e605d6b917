"""The keypad: where every key lies, on every screen that has it, and the signs on its keys."""

from collections.abc import Mapping, Sequence
from math import cos, radians, sin
from types import MappingProxyType

from benchcalc.panel.state.action import Action
from benchcalc.panel.state.fields import keys_for
from benchcalc.panel.widgets.entry import Entry, Form, typed
from benchcalc.panel.widgets.form_page import Key, put_key
from benchcalc.panel.widgets.grid import Canvas
from benchcalc.report.boxes import cells
from benchcalc.report.scene import ANY_CHARACTER, Box, Fill, Polygon, Stroke
from benchcalc.words.language import decimal_sign, say

PAD = (
    ("7", "8", "9", "back"),
    ("4", "5", "6", "unit"),
    ("1", "2", "3", "-"),
    ("0", ".", "/", "next"),
)
"""Where every key lies, on every screen that has the keypad."""

FLAT_PAD = (
    ("7", "8", "9", "back", "unit", "first"),
    ("4", "5", "6", "-", "/", "second"),
    ("1", "2", "3", "0", ".", "next"),
)
"""The same keys in three rows, for a small screen; two more belong to the screen in hand."""

DIGITS = "0123456789./-"
MIDDLE = "5"
"""Nearest to all other digits: a knob stands there while nothing is typed."""


def places(c: Canvas, box: Box) -> dict[str, Box]:
    """Where each key of the keypad lies in its box."""
    pad = FLAT_PAD if c.small else PAD
    names = [name for row in pad for name in row]
    return dict(zip(names, cells(box, len(pad[0]), len(pad)), strict=True))


def keypad(
    c: Canvas,
    box: Box,
    form: Form,
    entry: Entry,
    own: Sequence[Key] = (),
    go_on: Key | None = None,
    instead: Mapping[str, Key | None] = MappingProxyType({}),
) -> None:
    """The keypad of a form; keys that cannot be used now are not there.

    ``own`` are the screen's own keys, which only a small one has here, ``go_on`` the caption and
    colour of the key that goes on when they are others, ``instead`` what lies in the places of
    some keys, or that nothing does.
    """
    c.add(Fill(box, "ground"))
    at = places(c, box)
    for name, key in zip(("first", "second"), own if c.small else (), strict=False):
        put_key(c, at[name], key)
    digits = {name: _digit(form, name) for name in DIGITS[:10] + keys_for(entry.field)}
    keys = digits | _acts(c, form, entry, go_on) | dict(instead)
    for name, cell in at.items():
        if (key_here := keys.get(name)) is not None:
            act = name not in DIGITS
            if name == MIDDLE and keys.get("back") is None:
                key_here = key_here._replace(first=True)
            put_key(c, cell, key_here, c.unit * (1.0 if act else 1.4), 3 if act else 1)
    c.by_keyboard(ANY_CHARACTER, Action(typed, (form,)))


def _digit(form: Form, character: str) -> Key:
    caption = {"-": "\u2212", ".": decimal_sign()}.get(character, character)
    keys = (character, ",") if character == "." else (character,)
    return Key(f"key {character}", caption, "key", form.character(character), keys)


def _acts(c: Canvas, form: Form, entry: Entry, go_on: Key | None) -> dict[str, Key]:
    """The keys that erase, turn the unit and go on, as far as there is something for them to do."""
    on = go_on or Key("next", say("key.next"), "key_go")
    on = on._replace(target="next", does=form.go_on, keys=("enter",))
    if c.small and on.caption == say("key.next"):
        on = on._replace(caption="", sign=_next_sign)
    acts = {"next": on}
    if entry.text:
        acts["back"] = erase(form)
    if entry.is_length:
        acts["unit"] = Key("unit", say("key.unit"), does=form.turn_unit)
    return acts


def erase(form: Form) -> Key:
    """The key that takes the last character away."""
    return Key("back", "", "key_act", form.erase, ("back",), sign=_erase_sign)


def undo(does: Action) -> Key:
    """The key that takes the last edit of the job back: an arrow that turns back."""
    return Key("undo", "", "key_act", does, sign=_undo_sign)


def _erase_sign(c: Canvas, box: Box) -> None:
    """A tag that points back at what was typed, with a cross in it."""
    (x, y), half = box.centre, min(box.w, box.h) * 0.17
    left, right = x - half * 1.9, x + half * 1.5
    tag = ((left, y), (x - half * 0.7, y - half), (right, y - half), (right, y + half))
    c.add(Polygon((*tag, (x - half * 0.7, y + half)), "ink"))
    at, arm = x + half * 0.45, half * 0.45
    for way in (-1.0, 1.0):
        c.add(Stroke(((at - arm, y - way * arm), (at + arm, y + way * arm)), "key_act", 4.0))


def _undo_sign(c: Canvas, cell: Box) -> None:
    """An arrow that turns back."""
    x, y = cell.centre
    reach = min(cell.h, cell.w) * 0.2
    arc = [radians(angle) for angle in range(-90, 91, 15)]
    bow = [(x + reach * 0.3 + reach * cos(a), y + reach * sin(a)) for a in arc]
    c.add(Stroke(((x - reach, y - reach), *bow, (x - reach, y + reach)), "ink", 6.0))
    tip, neck, half = x - reach * 1.8, x - reach * 0.6, reach * 0.75
    c.add(Polygon(((tip, y - reach), (neck, y - reach - half), (neck, y - reach + half)), "ink"))


def _next_sign(c: Canvas, box: Box) -> None:
    """An arrow with a shaft: on to what comes next."""
    (x, y), half = box.centre, min(box.w, box.h) * 0.2
    c.add(Fill(Box(x - half * 1.3, y - half * 0.35, half * 1.6, half * 0.7), "ink"))
    c.add(Polygon(((x + half * 1.5, y), (x, y - half), (x, y + half)), "ink"))
