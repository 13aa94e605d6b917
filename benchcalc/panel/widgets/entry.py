"""Typing a value: one form for every screen that asks for a number, a length or a word.

A screen says what is typed into now and how what is typed is kept; the keys are the same for all.
"""

from collections.abc import Callable
from typing import NamedTuple

from benchcalc.core.job import Units
from benchcalc.panel.state import fields
from benchcalc.panel.state.action import Acted, Action, press
from benchcalc.panel.state.fields import Field
from benchcalc.panel.state.model import Model
from benchcalc.words.language import number_shown


class Entry(NamedTuple):
    """What is typed into: the field, its text so far, the unit of a bare number.

    With ``fresh`` the next character replaces the text.
    """

    field: Field
    text: str
    unit: Units = "mm"
    fresh: bool = False

    @property
    def is_length(self) -> bool:
        """Whether it is typed with a unit, or in the one of the field."""
        return self.field.kind in ("length", "place")

    @property
    def shown(self) -> str:
        """What is typed, with its unit or sign for degrees; nothing for nothing."""
        minus = "-" if self.field.kind == "length" else "\u2212"
        return self.text and number_shown(self.text).replace("-", minus) + self.unit_shown

    @property
    def unit_shown(self) -> str:
        """The unit that follows what is typed, unless that has its own."""
        if self.is_length:
            return "" if fields.has_unit(self.text) else f" {self.unit}"
        return "°" if self.field.kind in ("angle", "turn") else ""


class Form(NamedTuple):
    """How a screen is typed into.

    ``entry`` is what is typed into now (it raises Refused where nothing may be typed), ``kept``
    the model with the entry as it was changed, ``done`` what the key that goes on does.
    """

    entry: Callable[[Model], Entry]
    kept: Callable[[Model, Entry], Model]
    done: Callable[[Model], Model | Acted]

    def character(self, character: str) -> Action:
        """The action of a digit or letter."""
        return press(typed, self, character)

    @property
    def erase(self) -> Action:
        """The action of the key that takes the last character away."""
        return press(erased, self)

    @property
    def turn_unit(self) -> Action:
        """The action of the key for the other unit."""
        return press(in_other_unit, self)

    @property
    def go_on(self) -> Action:
        """The action of the key that goes on."""
        return press(gone_on, self)


def typed(model: Model, form: Form, character: str) -> Model:
    """One more character. Raises Refused for one that has no place in the field."""
    entry = form.entry(model)
    before = "" if _replaced(entry, character) else entry.text
    text = fields.type_key(entry.field, before, character)
    return form.kept(model, entry._replace(text=text, fresh=False))


def _replaced(entry: Entry, character: str) -> bool:
    """A minus turns the value over that stands there; all else begins a new one."""
    either_way = entry.field.kind in ("turn", "number", "place")
    return entry.fresh and not (character == "-" and either_way)


def erased(model: Model, form: Form) -> Model:
    """Without its last character; a unit behind a length goes as a whole."""
    entry = form.entry(model)
    shorter = fields.erased(entry.text) if entry.is_length else entry.text[:-1]
    return form.kept(model, entry._replace(text=shorter, fresh=False))


def in_other_unit(model: Model, form: Form) -> Model:
    """A length in the other unit, exactly, or with its own unit behind it."""
    entry = form.entry(model)
    text, unit = fields.other_unit(entry.text, entry.unit)
    fresh = entry.fresh or fields.has_unit(text)
    return form.kept(model, entry._replace(text=text, unit=unit, fresh=fresh))


def gone_on(model: Model, form: Form) -> Model | Acted:
    """On to what follows. Raises Refused for a value that is none."""
    return form.done(model)
