"""From what a sensor says to the angle of the bend: sense, zero, and where the reading wraps."""

from collections.abc import Sequence
from typing import NamedTuple

from benchcalc.sensor.profile import SensorProfile

LOWEST = 0.25
"""Share of a full wrap that a bend angle may lie under zero: -90 to 270 of 360 degrees."""


class BendAngle(NamedTuple):
    """The angle of the bend with what it was made from, all in degrees."""

    raw_deg: float
    zero_deg: float
    bend_deg: float


def bend_angle(raw_deg: float, zero_deg: float, profile: SensorProfile) -> BendAngle:
    """The bend angle from a raw reading and the raw reading of the zero.

    With a wrap of W the result lies from -W/4 to under 3W/4.
    """
    bend_deg = profile.sign * (raw_deg - zero_deg)
    if profile.wrap_deg > 0:
        low = LOWEST * profile.wrap_deg
        bend_deg = (bend_deg + low) % profile.wrap_deg - low
    return BendAngle(raw_deg, zero_deg, bend_deg)


def mean_raw(raw_deg: Sequence[float], wrap_deg: float) -> float:
    """The mean of raw readings that lie close together, on either side of the wrap perhaps.

    Raises ValueError for none.
    """
    if not raw_deg:
        raise ValueError("no reading to take the mean of: wait for the sensor")
    first = raw_deg[0]
    if wrap_deg <= 0:
        return sum(raw_deg) / len(raw_deg)
    half = wrap_deg / 2
    return first + sum((x - first + half) % wrap_deg - half for x in raw_deg) / len(raw_deg)
