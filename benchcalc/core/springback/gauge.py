"""What is known to be wrong with the readings that bends are learnt from.

A protractor or sensor may be off by the same for every bend, a bender's scale in proportion. Bends
alone show neither: a gauge that reads high looks like less springback, a scale that reads in
proportion wrong like another slope. A check against a known square, or the gauge reversed, finds
the one; a comparison of scale and gauge while the tube is held finds the other. Angles are degrees.
"""

from collections.abc import Sequence
from math import sqrt
from typing import Literal, NamedTuple

from benchcalc.core.finding import Finding
from benchcalc.core.springback.first_guess import READING_NOISE_DEG

Gauge = Literal["protractor", "sensor"]

UNCHECKED_DEG = 0.25
"""Standard deviation of the bias of the usual gauge that was never checked. Common practice, no
source. The far end's ring takes nearly twice that, so as to hold where one is off by half a degree.
"""

SCALE_READING_DEG = 0.25
"""Standard deviation of one reading of a bender's scale, graduated in degrees. Common practice, no
source."""

OLD_DAYS = 90
"""After so many days a check is old: gauges fall down, sensors are refitted. Common practice, no
source."""


class GaugeCheck(NamedTuple):
    """How much a gauge reads too much, how well that is known (95 %), and since when."""

    bias_deg: float
    within_deg: float
    day: str = ""


class ScaleCheck(NamedTuple):
    """What share a bender's scale reads too much, how well that is known (95 %), since when."""

    share: float
    within: float
    day: str = ""


def bias_of(faces_deg: Sequence[float], known_deg: float = 90.0) -> GaugeCheck:
    """A gauge's bias from readings of faces that stand at a known angle.

    Raises ValueError without any.
    """
    if not faces_deg:
        raise ValueError("no reading: read at least one face of the square")
    count = len(faces_deg)
    return GaugeCheck(sum(faces_deg) / count - known_deg, 2 * READING_NOISE_DEG / sqrt(count))


def bias_reversed(one_way_deg: float, other_way_deg: float) -> GaugeCheck:
    """A gauge's bias from the same angle read twice, the gauge turned end for end in between.

    Turned round it is off to the other side; the angle itself need not be known.
    """
    return GaugeCheck((one_way_deg - other_way_deg) / 2, 2 * READING_NOISE_DEG / sqrt(2))


def share_of(pairs_deg: Sequence[tuple[float, float]]) -> ScaleCheck:
    """The share that a scale reads too much, by least squares through the origin.

    ``pairs_deg`` are (scale, gauge) readings of the same tube while it is held. Raises ValueError
    without a pair under load.
    """
    squares = sum(gauge**2 for _, gauge in pairs_deg)
    if squares <= 0:
        raise ValueError("no comparison: read scale and gauge together at 45 degrees or more")
    share = sum(scale * gauge for scale, gauge in pairs_deg) / squares - 1
    return ScaleCheck(share, 2 * sqrt((SCALE_READING_DEG**2 + READING_NOISE_DEG**2) / squares))


def days_since(day: str, today: str) -> int | None:
    """How many days ago a check was; None where either day is not known."""
    then, now = _day_number(day), _day_number(today)
    return None if then is None or now is None else now - then


def _day_number(day: str) -> int | None:
    """A day written YYYY-MM-DD as a count of days; None for anything else.

    Years begin in March here, so that the leap day is their last.
    """
    parts = day.split("-")
    if len(parts) != 3 or not all(part.isdecimal() for part in parts):
        return None
    year, month, of_month = map(int, parts)
    year, month = (year, month - 3) if month > 2 else (year - 1, month + 9)
    leaps = year // 4 - year // 100 + year // 400
    return 365 * year + leaps + (153 * month + 2) // 5 + of_month


def is_old(day: str, today: str) -> bool:
    """Whether a check is too old to go by without a word."""
    days = days_since(day, today)
    return days is not None and days > OLD_DAYS


def old_check(check: GaugeCheck | None, today: str) -> Finding | None:
    """That a gauge was checked long ago; None where it is not, or never was."""
    days = None if check is None else days_since(check.day, today)
    if days is None or days <= OLD_DAYS:
        return None
    return Finding("note", "gauge-check", None, (("days", float(days)),))
