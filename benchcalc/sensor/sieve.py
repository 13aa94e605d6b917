"""Readings that no bend can have made are set aside before they are looked at, and said.

A reading counts when one beside it agrees, within the noise, or when it lies on the way from the
one before to the one after. One that stands alone is set aside: a spike, a damaged line that still
reads as a number. One that no arm could reach in the time is held back; when the readings stay
there, the sensor was moved on its seat, which is told as a jump.
"""

from math import hypot, sqrt
from typing import Literal, NamedTuple

from benchcalc.core.frozen import frozen
from benchcalc.sensor.profile import SensorProfile

AGREES = 4.0
"""Standard deviations of a difference within which two readings agree."""

STAYS, STAYS_S = 3, 0.3
"""So many readings over so long at a place out of reach are no spike."""

LATE_S = 0.1
"""So much later than they were sent readings arrive, several at once."""

Why = Literal["alone", "out of reach", "outside"]


class Passed(NamedTuple):
    """A reading that counts."""

    deg: float
    at_s: float


@frozen
class SetAside:
    """A reading that does not count: it stood alone, no arm could have brought it there, or the
    sensor cannot read it."""

    why: Why
    deg: float
    at_s: float


@frozen
class Jumped:
    """The readings went to another place faster than an arm can, and stay there."""

    by_deg: float
    at_s: float


Sifted = Passed | SetAside | Jumped


class Sieve:
    """Takes one reading after the other; angles in degrees, times in seconds that only grow."""

    def __init__(self, profile: SensorProfile) -> None:
        noise_deg = hypot(profile.noise_deg, profile.resolution_deg / sqrt(12))
        self._near_deg = AGREES * sqrt(2) * noise_deg + profile.resolution_deg / 2
        self._fastest_deg_s = profile.fastest_deg_s
        self._last: Passed | None = None
        self._held: list[Passed] = []

    def feed(self, deg: float, at_s: float) -> list[Sifted]:
        """What this reading decides about itself and those held back."""
        new, last = Passed(deg, at_s), self._last
        if last is None:
            self._last = new
            return [new]
        if not self._held:
            return self._next(last, new)
        if self._reachable(last, self._held[0]):
            return self._beside(last, self._held[0], new)
        return self._far(last, new)

    def _next(self, last: Passed, new: Passed) -> list[Sifted]:
        if not self._near(last, new):
            self._held = [new]
            return []
        self._last = new
        return [new]

    def _beside(self, last: Passed, held: Passed, new: Passed) -> list[Sifted]:
        """Whether the one held back agrees with the new one, or lies on the way to it."""
        self._held = []
        low_deg, high_deg = sorted((last.deg, new.deg))
        on_way = low_deg - self._near_deg <= held.deg <= high_deg + self._near_deg
        if not (on_way or self._near(held, new)):
            return [SetAside("alone", held.deg, held.at_s), *self._next(last, new)]
        self._last = held
        return [held, *self._next(held, new)]

    def _far(self, last: Passed, new: Passed) -> list[Sifted]:
        """Whether the readings stay where no arm could have brought them."""
        held = self._held
        if not self._near(held[-1], new) and self._reachable(last, new):
            self._held = []
            aside: list[Sifted] = [SetAside("out of reach", one.deg, one.at_s) for one in held]
            return [*aside, *self._next(last, new)]
        held.append(new)
        if len(held) < STAYS or new.at_s - held[0].at_s < STAYS_S:
            return []
        self._held, self._last = [], new
        return [Jumped(new.deg - last.deg, held[0].at_s), *held]

    def _near(self, one: Passed, other: Passed) -> bool:
        return abs(one.deg - other.deg) <= self._near_deg

    def _reachable(self, one: Passed, other: Passed) -> bool:
        reach_deg = self._fastest_deg_s * (other.at_s - one.at_s + LATE_S)
        return abs(other.deg - one.deg) <= reach_deg + self._near_deg
