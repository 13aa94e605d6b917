"""Stored numbers as someone would have typed them."""

from fractions import Fraction

from benchcalc.core.job import Units
from benchcalc.core.lengths import LengthError, format_exact


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
