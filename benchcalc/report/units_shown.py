"""How lengths are shown on the panel, for as long as something is drawn or said there.

Sheets, records and job files know nothing of it: theirs are as the job says.
"""

from contextvars import ContextVar
from typing import Literal

from benchcalc.core.job import Units
from benchcalc.core.lengths import TAPES, format_graduation, nearest_graduation

LengthsShown = Literal["mm", "in", "fraction", "mixed"]

_SHOWN: ContextVar[LengthsShown | None] = ContextVar("shown", default=None)

FINEST = TAPES["1/64 in"]
EXACT_MM = 0.05
"""What is nearer to a graduation than this is on it: it is shown to a tenth of a millimetre."""


class showing:  # noqa: N801 - reads as a verb: with showing("fraction")
    """Show every length in there so; None as the job says."""

    def __init__(self, lengths: LengthsShown | None) -> None:
        self._lengths = lengths

    def __enter__(self) -> None:
        self._before = _SHOWN.set(self._lengths)

    def __exit__(self, *_: object) -> None:
        _SHOWN.reset(self._before)


def shown_now() -> LengthsShown | None:
    """How lengths are shown where something is drawn now."""
    return _SHOWN.get()


def tube_units(units: Units, shown: LengthsShown | None) -> Units:
    """The units of tube and wall where lengths are in ``units``: inches beside mm, when mixed."""
    return "in" if shown == "mixed" else units


def fraction_of(length_mm: float, units: Units) -> str:
    """A length as a fraction of an inch, "" where fractions are not shown.

    To the nearest 64th, with ``+`` or ``−`` behind it where the length lies a hair beyond or short
    of it: nothing is rounded unsaid.
    """
    if _SHOWN.get() != "fraction" or units != "in":
        return ""
    mark = nearest_graduation(length_mm, FINEST)
    beyond = (mark.left_mm > 0) == (length_mm > 0)
    hair = "" if abs(mark.left_mm) < EXACT_MM else "+" if beyond else "−"
    return format_graduation(mark).removesuffix(" in").replace("-", "−") + hair


def is_fraction(length_mm: float) -> bool:
    """Whether a length lies on a 64th of an inch, as sizes of tube do and gauges of wall do not."""
    return abs(nearest_graduation(length_mm, FINEST).left_mm) < 1e-6
