"""Units of everything but length: pressure and stress, angle, share.

The few that every sheet needs stand in a small table; others are asked of pint, which takes
longer to import than a whole sheet takes, so it is loaded when one is met. Only the unit's word
goes to pint, never a number: its parser reads ``1,5`` as 15.
"""

import re
from fractions import Fraction
from functools import cache
from typing import Any, Literal, NamedTuple

Kind = Literal["pressure", "angle", "share"]

MOST_DIGITS = 24
_QUANTITY = re.compile(r"([-+]?[0-9.]+)[ ]*([^0-9. ][^ ]*)?", re.ASCII)
_DECIMAL = re.compile(r"[-+]?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?|[-+]?\.[0-9]+", re.ASCII)
_WORD = re.compile(r"[A-Za-z]{1,12}", re.ASCII)

OWN: dict[Kind, dict[str, Fraction]] = {
    "pressure": {
        "MPa": Fraction(1),
        "GPa": Fraction(1000),
        "kPa": Fraction(1, 1000),
        "bar": Fraction(1, 10),
        "psi": Fraction(8896443230521, 1290320000000000),
    },
    "angle": {"deg": Fraction(1)},
    "share": {"%": Fraction(1, 100)},
}
"""Factor to the unit used inside (MPa, degree, fraction of one) of the common units.

psi is 0.45359237 kg * 9.80665 m/s2 over a square inch of 25.4 mm, all exact by definition.
"""

INSIDE: dict[Kind, str] = {"pressure": "MPa", "angle": "deg", "share": "one"}
EXAMPLE: dict[Kind, str] = {"pressure": "120 bar or 12 MPa", "angle": "45 deg", "share": "10 %"}

_DEFINITIONS = (
    "MPa = [pressure]",
    "Pa = 0.000001 * MPa",
    "mbar = 0.0001 * MPa",
    "atm = 0.101325 * MPa",
    "ksi = 453.59237 * 9.80665 / 25.4 / 25.4 * MPa",
    "deg = [angle]",
    "rad = 180 / 3.141592653589793 * deg",
    "one = [share]",
    "percent = 0.01 * one",
)


class QuantityError(ValueError):
    """A text that is no number with a unit; the message says what is wrong, then what to do."""


class Quantity(NamedTuple):
    """A number in the unit used inside, and the unit's word as written (empty: none)."""

    value: Fraction
    word: str


def parse_decimal(text: str) -> Fraction:
    """A plain decimal number, exact: ``12``, ``-0.5``, ``.5``.

    Raises QuantityError for anything else: exponents, commas, spare zeros, infinities.
    """
    body = text.strip(" ")
    if "," in body:
        raise QuantityError("a comma is no decimal point: write 12.5")
    if not _DECIMAL.fullmatch(body):
        raise QuantityError("not a plain decimal number: write it like 12 or 12.5")
    if sum(c.isdigit() for c in body) > MOST_DIGITS:
        raise QuantityError(f"over {MOST_DIGITS} digits: check the number")
    return Fraction(body)


def parse_quantity(text: str, kind: Kind) -> Quantity:
    """A decimal number and the word of a unit of ``kind``, in the unit used inside.

    A number without a word comes back unchanged, with an empty word; whether that will do is for
    the caller to say. Raises QuantityError.
    """
    body = text.strip(" ")
    if "," in body:
        raise QuantityError("a comma is no decimal point: write 12.5")
    found = _QUANTITY.fullmatch(body)
    if not found:
        raise QuantityError(f"not a number with a unit: write it like {EXAMPLE[kind]}")
    value, word = parse_decimal(found[1]), found[2] or ""
    if not word:
        return Quantity(value, "")
    factor = OWN[kind].get(word)
    return Quantity(value * (factor if factor is not None else _asked(word, kind)), word)


def _asked(word: str, kind: Kind) -> Fraction:
    """The factor of a unit that the small table lacks, from pint."""
    refusal = QuantityError(f"{word!r} is no unit of {kind} here: write it like {EXAMPLE[kind]}")
    if not _WORD.fullmatch(word):
        raise refusal
    import pint

    try:
        factor = _registry().Quantity(Fraction(1), word).to(INSIDE[kind]).magnitude
    except (pint.UndefinedUnitError, pint.DimensionalityError) as error:
        raise refusal from error
    return Fraction(factor)


@cache
def _registry() -> Any:
    """A registry that knows the units of this trade and no others."""
    import pint

    registry: Any = pint.UnitRegistry(None, non_int_type=Fraction)
    for line in _DEFINITIONS:
        registry.define(line)
    return registry
