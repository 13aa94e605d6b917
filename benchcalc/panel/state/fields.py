"""Typed fields: what a key does to the text, what it means or why it is refused; and back again.

An editor never drops a digit by itself: a key that cannot be part of a value is refused with a
reason, and a text that is out of range stays where it stands until the operator changes it.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from benchcalc.core.job import Units
from benchcalc.core.lengths import MOST_MM, LengthError, format_exact, mm_per
from benchcalc.jobfile.table import Field as Declared
from benchcalc.jobfile.values import ENDLESS
from benchcalc.panel.state.caches import parse_length
from benchcalc.report.told import Number, Told, Value, told

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
    """A text that is no value of its field; ``said`` is the sentence for the operator."""

    def __init__(self, said: Told) -> None:
        super().__init__(said)
        self.said = said

    def __str__(self) -> str:
        """The sentence, in the language and units in use."""
        return self.said.shown


@dataclass(frozen=True, slots=True)
class Field:
    """A field by the phrase of its name, kind, unit and range.

    ``least`` is excluded when ``over_least`` is set.
    """

    phrase: str
    kind: Kind
    least: float = 0.0
    most: float = 1e6
    unit: Units = "mm"
    over_least: bool = False

    def refuses(self, phrase: str, **values: str | int | Value) -> Refused:
        """That a text is no value of this field, and why."""
        return Refused(told(phrase, name=told(self.phrase), **values))


def field_of(phrase: str, kind: Kind, declared: Declared, unit: Units = "mm") -> Field:
    """The typed field of a field that job files have too: with the same limits."""
    span = declared.span
    if span is None:
        return Field(phrase, kind, -MOST_MM, MOST_MM, unit)
    most = MOST_MM if span.most == ENDLESS else span.most
    return Field(phrase, kind, span.least, most, unit, span.over)


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
            raise field.refuses("refused.letters", most=MOST_TEXT)
        return text + key
    if key == "-" and _turns_over(field, text):
        return text[1:] if text.startswith("-") else "-" + text
    if key not in keys_for(field):
        raise field.refuses("refused.key", key=Number(key))
    if len(text) >= MOST_CHARACTERS:
        raise field.refuses("refused.long", most=MOST_CHARACTERS)
    if key == "." and "." in text:
        raise field.refuses("refused.point")
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
        raise field.refuses("refused.length", text=Number(text), why=str(error)) from None
    _check_range(field, float(length.mm), text if has_unit(text) else f"{text} {length.unit}")
    return length.mm


def read_number(field: Field, text: str) -> float:
    """An angle, turn or count, or Refused with a reason."""
    if not text.strip("-"):
        raise field.refuses("refused.empty")
    if not _DECIMAL.fullmatch(text):
        raise field.refuses("refused.number", text=Number(text))
    value = float(text)
    _check_range(field, value, text + ("" if field.kind in _BARE else "°"))
    return value


def _check_range(field: Field, value: float, shown: str) -> None:
    under = value <= field.least if field.over_least else value < field.least
    if under or value > field.most:
        least, most = (Number(_limit_typed(field, limit)) for limit in (field.least, field.most))
        which = "over" if field.over_least else "range"
        raise field.refuses(f"refused.{which}", shown=Number(shown), least=least, most=most)


def _limit_typed(field: Field, limit: float) -> str:
    """A limit in the field's unit, without spare zeros."""
    if field.kind in ("length", "place"):
        value = limit if field.unit == "mm" else limit / float(mm_per("in"))
        return f"{value:.4f}".rstrip("0").rstrip(".") + f" {field.unit}"
    text = f"{limit:.6f}".rstrip("0").rstrip(".")
    return text if field.kind in _BARE else text + "°"


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


def length_typed(length_mm: float, units: Units) -> str:
    """A stored length as someone would have typed it in ``units``.

    To a ten-thousandth of a millimetre or a millionth of an inch, far under any pen; a length that
    has no such decimal in inches is written in millimetres with its unit.
    """
    exact = Fraction(round(length_mm * 10**7), 10**7)
    if units == "mm":
        return format_exact(exact, "mm")
    inches = Fraction(round(length_mm / 25.4 * 10**6), 10**6)
    try:
        return format_exact(inches * Fraction(254, 10), "in")
    except LengthError:
        return format_exact(exact, "mm") + " mm"


def number_typed(value: float) -> str:
    """An angle as someone would have typed it."""
    return f"{value + 0.0:.6f}".rstrip("0").rstrip(".")
