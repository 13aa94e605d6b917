"""What comes out of a sensor's line: readings, frames that were refused and why, silence."""

import re

from benchcalc.core.frozen import frozen

MOST_DEG = 1_000_000.0
"""No angle is larger; a number past it is a damaged one."""

_NUMBER = re.compile(rb"[+-]?(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})")


@frozen
class Reading:
    """An angle as the sensor gave it, in degrees, with its arrival time and its frame."""

    value_deg: float
    at_s: float
    raw: bytes


@frozen
class BadFrame:
    """Bytes that are no reading, and what is wrong with them in words."""

    why: str
    raw: bytes
    at_s: float


@frozen
class Unused:
    """A frame in good order that does not hold the angle asked for."""

    why: str
    raw: bytes
    at_s: float


@frozen
class Silence:
    """No reading since ``since_s``; ``heard`` counts the bytes that came all the same."""

    since_s: float
    heard: int
    at_s: float


Event = Reading | BadFrame | Unused | Silence
Framed = Reading | BadFrame | Unused


def plain_number(text: bytes) -> float | None:
    """A plain decimal number, None for anything else: no exponent, no spaces, no words."""
    return float(text) if _NUMBER.fullmatch(text) else None
