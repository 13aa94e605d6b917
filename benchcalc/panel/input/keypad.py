"""Typed fields: what a key does to the text, and what the text means or why it is refused.

An editor never drops a digit by itself: a key that cannot be part of a value is refused with a
reason, and a text that is out of range stays where it stands until the operator changes it.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from benchcalc.core.job import Units
from benchcalc.core.lengths import LengthError, format_exact, mm_per
from benchcalc.panel.state.caches import parse_length
from benchcalc.words.language import number_shown, say

Kind = Literal["length", "place", "angle", "turn", "number", "count", "text"]
"""A place is a length either way of nought; a number has no unit and goes either way too."""

MOST_CHARACTERS = 24
MOST_TEXT = 60
_DECIMAL = re.compile(r"-?(?:[0-9]{1,6}(?:\.[0-9]{0,6})?|\.[0-9]{1,6})", re.ASCII)
_KEYS: dict[Kind, str] = {
    "angle": "0123456789.",
    "turn": "0123456789.-",
    "number": "0123456789.-",
    "count": "0123456789",
}
_BARE: tuple[Kind, ...] = ("count", "number")
_LENGTH_KEYS: dict[Units, str] = {"mm": "0123456789.", "in": "0123456789./- '\""}


class Refused(Exception):
    """A text that is no value of its field; the message is the sentence for the operator."""


@dataclass(frozen=True, slots=True)
class Field:
    """A field by name, kind, unit and range. ``least`` is excluded when ``over_least`` is set."""

    name: str
    kind: Kind
    least: float = 0.0
    most: float = 1e6
    unit: Units = "mm"
    over_least: bool = False


def keys_for(field: Field) -> str:
    """The characters this field takes."""
    if field.kind == "length":
        return _LENGTH_KEYS[field.unit]
    if field.kind == "place":
        return _LENGTH_KEYS[field.unit].replace("-", "") + "-"
    return _KEYS.get(field.kind, "")


def type_key(field: Field, text: str, key: str) -> str:
    """The text after one more character; Refused when that character has no place here."""
    if field.kind == "text":
        if not key.isprintable() or len(text) >= MOST_TEXT:
            raise Refused(say("refused.letters", name=field.name, most=MOST_TEXT))
        return text + key
    if key == "-" and _turns_over(field, text):
        return text[1:] if text.startswith("-") else "-" + text
    if key not in keys_for(field):
        raise Refused(say("refused.key", name=field.name, key=number_shown(key)))
    if len(text) >= MOST_CHARACTERS:
        raise Refused(say("refused.long", name=field.name, most=MOST_CHARACTERS))
    if key == "." and "." in text:
        raise Refused(say("refused.point", name=field.name))
    return text + key


def _turns_over(field: Field, text: str) -> bool:
    """Whether a minus changes the sign; behind whole inches it leads on to their fraction."""
    if field.kind == "place":
        return field.unit == "mm" or not text.strip("-")
    return field.kind in ("turn", "number")


def has_unit(text: str) -> bool:
    """Whether a typed length carries its own unit, whatever the field's."""
    return text.endswith(("mm", "in", '"', "'"))


def erased(text: str) -> str:
    """The text without its last character; a unit goes as a whole."""
    for unit in ("mm", "in"):
        if text.endswith(unit):
            return text.removesuffix(unit).rstrip()
    return text[:-1]


def read_length(field: Field, text: str) -> Fraction:
    """The exact length in mm, or Refused with a reason."""
    try:
        length = parse_length(text, field.unit)
    except LengthError as error:
        raise Refused(
            say("refused.length", name=field.name, text=number_shown(text), why=error)
        ) from None
    _check_range(field, float(length.mm), text if has_unit(text) else f"{text} {length.unit}")
    return length.mm


def read_number(field: Field, text: str) -> float:
    """An angle, turn or count, or Refused with a reason."""
    if not text.strip("-"):
        raise Refused(say("refused.empty", name=field.name))
    if not _DECIMAL.fullmatch(text):
        raise Refused(say("refused.number", name=field.name, text=number_shown(text)))
    value = float(text)
    _check_range(field, value, text + ("" if field.kind in _BARE else "°"))
    return value


def _check_range(field: Field, value: float, shown: str) -> None:
    under = value <= field.least if field.over_least else value < field.least
    if under or value > field.most:
        least, most = (limit_text(field, limit) for limit in (field.least, field.most))
        which = "over" if field.over_least else "range"
        value_shown = number_shown(shown)
        raise Refused(
            say(f"refused.{which}", name=field.name, shown=value_shown, least=least, most=most)
        )


def limit_text(field: Field, limit: float) -> str:
    """A limit in the field's unit, without spare zeros."""
    if field.kind in ("length", "place"):
        value = limit if field.unit == "mm" else limit / float(mm_per("in"))
        return number_shown(f"{value:.4f}".rstrip("0").rstrip(".")) + f" {field.unit}"
    shown = number_shown(f"{limit:.6f}".rstrip("0").rstrip("."))
    return shown if field.kind in _BARE else shown + "°"


def other_unit(text: str, unit: Units) -> tuple[str, Units]:
    """The same typed length in the other unit, exact; the text with its own unit when it is not.

    Nothing typed is changed by rounding: 25.4 mm becomes 1, but 10 mm has no finite decimal in
    inches and stays ``10 mm`` under the new unit.
    """
    other: Units = "in" if unit == "mm" else "mm"
    try:
        length = parse_length(text, unit)
    except LengthError:
        return text, other
    try:
        return format_exact(length.mm, other), other
    except LengthError:
        bare = text.removesuffix("mm").removesuffix("in").removesuffix('"').strip()
        return f"{bare} {length.unit}", other
