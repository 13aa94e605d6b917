"""Lengths as people type and write them, exact, and as a tape shows them.

The grammar, and nothing else (bare numbers take the unit the field or the file says):

    12.5    .5    4 3/8    4-3/8    3/8      with or without   mm   in   "
    1'      1' 2"    1' 2 1/2"    1'-2 1/2"      feet, always inches after

A fraction is part of an inch: halves to 128ths, less than one after a whole number. A value is a
``Fraction`` of a millimetre (1 in = 25.4 mm exactly), so nothing is lost by going to and fro.
"""

import re
from fractions import Fraction
from typing import NamedTuple

from benchcalc.core.job import Units

MM_PER_IN = Fraction(254, 10)
MOST_MM = 1_000_000
MOST_DIGITS = 24

_UNIT_WORDS: dict[str, Units] = {"mm": "mm", "in": "in", '"': "in"}
_DENOMINATORS = (2, 4, 8, 16, 32, 64, 128)
_DECIMAL = re.compile(r"([0-9]+(?:\.[0-9]*)?|\.[0-9]+)", re.ASCII)
_FRACTION = re.compile(r"(?:([0-9]+)(?:[ ]+|[ ]*-[ ]*))?([0-9]+)/([0-9]+)", re.ASCII)
_FEET = re.compile(r"([0-9]+)[ ]*'[ ]*-?[ ]*", re.ASCII)
_UNIT = re.compile(r"[ ]*([^0-9 ./'-]+)$")


class LengthError(ValueError):
    """A text that is no length; the message says what is wrong and what to write instead."""


class Length(NamedTuple):
    """An exact length and the unit it was written in."""

    mm: Fraction
    unit: Units


class Graduation(NamedTuple):
    """The tape line nearest to a length: ``steps`` times ``step`` in ``unit``.

    ``left_mm`` is what the tape line leaves over: positive when the length lies past the line.
    """

    steps: int
    step: Fraction
    unit: Units
    left_mm: float

    @property
    def value(self) -> Fraction:
        """The graduation's distance in its own unit."""
        return self.steps * self.step


class Tape(NamedTuple):
    """How finely a tape is divided."""

    unit: Units
    step: Fraction


TAPES: dict[str, Tape] = {
    "1 mm": Tape("mm", Fraction(1)),
    "0.5 mm": Tape("mm", Fraction(1, 2)),
    "1/16 in": Tape("in", Fraction(1, 16)),
    "1/32 in": Tape("in", Fraction(1, 32)),
    "1/64 in": Tape("in", Fraction(1, 64)),
}


def mm_per(unit: Units) -> Fraction:
    """Millimetres in one of ``unit``, exact."""
    return MM_PER_IN if unit == "in" else Fraction(1)


def parse_length(text: str, bare: Units | None) -> Length:
    """Read a length exactly.

    ``bare`` is the unit of a number without one; None when every number must carry its unit.
    Raises LengthError with a sentence for anything outside the grammar of this module.
    """
    body = text.strip(" ")
    sign = 1
    if body[:1] in ("-", "+"):
        sign = -1 if body[0] == "-" else 1
        body = body[1:].lstrip(" ")
    if not body:
        raise LengthError("nothing written: write a number such as 120 or 4 3/8")
    _refuse_surprises(body)
    feet, body = _take_feet(body)
    body, unit = _take_unit(body, "in" if feet is not None else bare)
    number = _parse_number(body, unit) if body else Fraction(0)
    if feet is not None:
        if number >= 12:
            raise LengthError(f"{text.strip()!r}: inches after feet must be under 12")
        number += feet * 12
    mm = sign * number * mm_per(unit)
    if abs(mm) > MOST_MM:
        raise LengthError(f"{text.strip()!r} is over the limit of 1000 m: check the digits")
    return Length(mm, unit)


def _refuse_surprises(body: str) -> None:
    """Answer the commonest slips with their own sentence."""
    if "," in body:
        raise LengthError(f"{body!r} has a comma: write the decimal point, 12.5")
    if not body.isascii():
        raise LengthError(f"{body!r} has a sign outside plain text: write fractions as 3 1/2")
    if sum(c.isdigit() for c in body) > MOST_DIGITS:
        raise LengthError(f"{body[:20]!r}... has more than {MOST_DIGITS} digits: check the number")


def _take_feet(body: str) -> tuple[int | None, str]:
    found = _FEET.match(body)
    if not found:
        return None, body
    rest = body[found.end() :]
    if not rest:
        if "-" in found.group():
            raise LengthError(f"{body!r} stops after the dash: write the inches, 1'-2 1/2\"")
        return int(found.group(1)), ""
    if not rest.endswith(('"', "in")):
        raise LengthError(f"{body!r}: inches after feet carry their sign, 1' 2 1/2\"")
    return int(found.group(1)), rest


def _take_unit(body: str, bare: Units | None) -> tuple[str, Units]:
    found = _UNIT.search(body)
    if found:
        word = found.group(1)
        if word not in _UNIT_WORDS:
            raise LengthError(f"{word!r} is no unit of length here: write mm or in")
        if not body[: found.start()]:
            raise LengthError(f"{body!r} has a unit and no number: write the number first")
        return body[: found.start()], _UNIT_WORDS[word]
    if bare is None:
        raise LengthError(f"{body!r} has no unit: write mm or in after it")
    return body, bare


def _parse_number(body: str, unit: Units) -> Fraction:
    whole = _DECIMAL.fullmatch(body)
    if whole:
        return _parse_decimal(body)
    found = _FRACTION.fullmatch(body)
    if not found:
        raise LengthError(f"{body!r} is no number: write 120, 12.5, 4 3/8 or 4-3/8")
    if unit != "in":
        raise LengthError(
            f"{body!r}: fractions belong to inches; write {unit} with a decimal point"
        )
    lead, top, bottom = found.group(1), int(found.group(2)), int(found.group(3))
    if bottom not in _DENOMINATORS:
        raise LengthError(f"{body!r}: a tape has halves to 128ths, not {bottom}ths")
    if lead is not None and top >= bottom:
        raise LengthError(f"{body!r}: the fraction after a whole number must be under one")
    return int(lead or 0) + Fraction(top, bottom)


def _parse_decimal(body: str) -> Fraction:
    if len(body) > 1 and body[0] == "0" and body[1].isdigit():
        raise LengthError(f"{body!r} starts with a spare zero: leave it out")
    return Fraction(body)


def format_exact(mm: Fraction, unit: Units) -> str:
    """The shortest decimal in ``unit`` that parses to the same value; no unit is written.

    Every value the grammar can read in ``unit`` has one. Raises LengthError for one that has no
    finite decimal (a millimetre decimal shown in inches, say).
    """
    value = mm / mm_per(unit)
    rest, places, tens = value.denominator, 0, 1
    while tens % rest:
        places, tens = places + 1, tens * 10
        if places > MOST_DIGITS:
            raise LengthError(f"{float(value)} {unit} has no exact decimal")
    digits = f"{abs(value.numerator) * tens // rest:0{places + 1}d}"
    sign = "-" if value < 0 else ""
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)


def round_half_away(value: Fraction) -> int:
    """The nearest whole number, halves away from zero as people round."""
    doubled = abs(value) * 2 + 1
    nearest = doubled.numerator // (doubled.denominator * 2)
    return nearest if value >= 0 else -nearest


def nearest_graduation(length_mm: float | Fraction, tape: Tape) -> Graduation:
    """The tape line to set a pen to, and what it leaves over."""
    exact = Fraction(length_mm)
    step_mm = tape.step * mm_per(tape.unit)
    steps = round_half_away(exact / step_mm)
    return Graduation(steps, tape.step, tape.unit, float(exact - steps * step_mm))


def format_graduation(mark: Graduation) -> str:
    """A graduation as a tape shows it: ``173.5 mm``, ``4 3/8 in``, ``-1/16 in``."""
    value = mark.value
    sign = "-" if value < 0 else ""
    whole, part = divmod(abs(value), 1)
    if mark.unit == "mm":
        places = 0 if mark.step.denominator == 1 else 1
        return f"{sign}{float(abs(value)):.{places}f} mm"
    if not part:
        return f"{sign}{whole} in"
    lead = f"{whole} " if whole else ""
    return f"{sign}{lead}{part.numerator}/{part.denominator} in"
