"""What one value of a file may be: each function makes a reader of scalars for one kind of value.

A reader takes a ``Scalar`` and gives the value, or raises ``Refused`` with the limit and what to
do. Numbers come back as floats in millimetres, degrees, MPa and fractions of one.
"""

import re
from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple, TypeVar

from benchcalc.core.job import Hardness, Units
from benchcalc.core.lengths import LengthError, parse_length
from benchcalc.jobfile.problems import BadValue, nearest
from benchcalc.jobfile.strict_yaml import Scalar, surprise
from benchcalc.jobfile.units import (
    EXAMPLE,
    Kind,
    Quantity,
    QuantityError,
    parse_decimal,
    parse_quantity,
)

T = TypeVar("T")
Word = TypeVar("Word", bound=str)
Reader = Callable[[Scalar], T]

MOST_TEXT = 400
ENDLESS = float("inf")
"""The upper end of a span for a quantity whose own grammar holds it within bounds."""

HARDNESS_SCALES = ("HRB", "HRC", "HRF", "HV", "HB")
_TIME = re.compile(r"([0-9.]+) ?(s|ms)", re.ASCII)
_HARDNESS = re.compile(r"([0-9.]+) ?([A-Z]{1,4})", re.ASCII)


class Span(NamedTuple):
    """The numbers a field takes, ends included unless ``over`` or ``under`` leaves one out."""

    least: float
    most: float
    over: bool = False
    under: bool = False

    def holds(self, value: float) -> bool:
        """Whether a number lies in the span."""
        above = value > self.least if self.over else value >= self.least
        return above and (value < self.most if self.under else value <= self.most)

    def words(self, unit: str, factor: float = 1.0) -> str:
        """The span in words; ``factor`` turns its numbers into ``unit``."""
        low, high = f"{self.least / factor:g}", f"{self.most / factor:g}"
        if self.most == ENDLESS:
            return f"over {low} {unit}" if self.over else f"{low} {unit} or more"
        low_word = "over" if self.over else "from"
        high_word = "to under" if self.under else "to"
        return f"{low_word} {low} {high_word} {high} {unit}".rstrip()


def text(empty: bool = False) -> Reader[str]:
    """Free text on one line; ``empty`` allows none."""

    def read(scalar: Scalar) -> str:
        if not scalar.quoted and (why := surprise(scalar.text)):
            raise BadValue(why, f'put it in quotes, "{scalar.text}"')
        if "\n" in scalar.text or "\t" in scalar.text or "\r" in scalar.text:
            raise BadValue("one line without tabs", "write it on one line")
        if len(scalar.text) > MOST_TEXT:
            raise BadValue(f"at most {MOST_TEXT} characters", "write it shorter")
        if not scalar.text.strip() and not (empty and scalar.quoted):
            raise BadValue("some text", "write it, or leave the key out")
        return scalar.text

    return read


def choice(*words: Word) -> Reader[Word]:
    """One of a few words."""

    def read(scalar: Scalar) -> Word:
        for word in words:
            if word == scalar.text:
                return word
        hint = nearest(scalar.text, words)
        todo = f"did you mean {hint}?" if hint else "write one of these words"
        raise BadValue("one of " + ", ".join(words), todo)

    return read


def whole(span: Span) -> Reader[int]:
    """A whole number."""

    def read(scalar: Scalar) -> int:
        value = _decimal(scalar)
        if value.denominator != 1 or "." in scalar.text or not span.holds(float(value)):
            raise BadValue("a whole number " + span.words(""), "write such a number")
        return int(value)

    return read


def number(span: Span) -> Reader[float]:
    """A plain decimal number without unit."""

    def read(scalar: Scalar) -> float:
        return _within(_decimal(scalar), span, "")

    return read


def length(bare: Units | None, span: Span | None = None) -> Reader[float]:
    """A length in mm; a number without unit is in ``bare``, or refused when that is None.

    ``span`` is in millimetres.
    """

    def read(scalar: Scalar) -> float:
        try:
            length_mm = float(parse_length(scalar.text, bare).mm)
        except LengthError as error:
            raise _refused_from(scalar, str(error), "write 120, 12.5 or 4 3/8") from None
        if span and not span.holds(length_mm):
            factor = 25.4 if bare == "in" else 1.0
            raise BadValue(span.words(bare or "mm", factor), "check the number")
        return length_mm

    return read


def angle(bare: bool, span: Span) -> Reader[float]:
    """An angle in degrees; ``bare`` allows a number without unit."""

    def read(scalar: Scalar) -> float:
        return _within(_quantity(scalar, "angle", bare).value, span, "deg")

    return read


def included_angle(span: Span) -> Reader[float]:
    """The bend angle, in degrees, from a drawing's included angle: 180 less it, exactly."""

    def read(scalar: Scalar) -> float:
        value = _quantity(scalar, "angle", True).value
        _within(value, span, "deg")
        return float(180 - value)

    return read


def pressure(span: Span) -> Reader[float]:
    """A pressure, stress or modulus in MPa; its unit must be written."""

    def read(scalar: Scalar) -> float:
        return _within(_quantity(scalar, "pressure", False).value, span, "MPa")

    return read


def share(span: Span) -> Reader[float]:
    """A share, ``10 %``, as a fraction of one; the sign must be written."""

    def read(scalar: Scalar) -> float:
        return _within(_quantity(scalar, "share", False).value, span, "%", 0.01)

    return read


def hardness(scalar: Scalar) -> Hardness:
    """A hardness with its scale: ``85 HRB``."""
    found = _HARDNESS.fullmatch(scalar.text.strip(" "))
    if not found or found[2] not in HARDNESS_SCALES:
        raise BadValue(
            "a number and one of " + ", ".join(HARDNESS_SCALES), 'write it like "85 HRB"'
        )
    try:
        value = parse_decimal(found[1])
    except QuantityError as error:
        raise _refused_from(scalar, str(error), 'write it like "85 HRB"') from None
    return Hardness(_within(value, Span(0, 2000, over=True), found[2]), found[2])


def seconds(span: Span) -> Reader[float]:
    """A time with its unit, s or ms, in seconds."""

    def read(scalar: Scalar) -> float:
        found = _TIME.fullmatch(scalar.text.strip(" "))
        if not found:
            raise BadValue("a time with s or ms", "write it like 0.5 s")
        found_number = number(Span(0, 1_000_000))(Scalar(scalar.line, found[1], scalar.quoted))
        time_s = found_number / 1000 if found[2] == "ms" else found_number
        if not span.holds(time_s):
            raise BadValue(span.words("s"), "check the number")
        return time_s

    return read


def line_bytes(scalar: Scalar) -> bytes:
    r"""Characters as they go over the wire; a line end in them is written as \r or \n."""
    plain = text()(scalar)
    if not plain.isascii():
        raise BadValue("plain characters only", "write the bytes of the manual")
    return plain.replace("\\r", "\r").replace("\\n", "\n").encode("ascii")


def _quantity(scalar: Scalar, kind: Kind, bare: bool) -> Quantity:
    try:
        found = parse_quantity(scalar.text, kind)
    except QuantityError as error:
        raise _refused_from(scalar, str(error), f"write it like {EXAMPLE[kind]}") from None
    if not found.word and not bare:
        raise BadValue("its unit must be written", f"write it like {EXAMPLE[kind]}")
    return found


def _decimal(scalar: Scalar) -> Fraction:
    try:
        return parse_decimal(scalar.text)
    except QuantityError as error:
        raise _refused_from(scalar, str(error), "write it like 12 or 12.5") from None


def _within(exact: Fraction, span: Span, unit: str, factor: float = 1.0) -> float:
    value = float(exact)
    if not span.holds(value):
        raise BadValue(span.words(unit, factor), "check the number")
    return value


def _refused_from(scalar: Scalar, says: str, otherwise: str) -> BadValue:
    """Why a text is no number: a surprise of YAML first, else its parser's sentence in two."""
    if not scalar.text.strip():
        return BadValue("a number", "write it, or leave the key out")
    if why := surprise(scalar.text):
        return BadValue(why, "write a plain decimal number, 12 or 12.5")
    limit, _, todo = says.rpartition(": ")
    if not limit or limit[0] == limit[-1] in "'\"":
        return BadValue(todo, otherwise)
    return BadValue(limit, todo)
