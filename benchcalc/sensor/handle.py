"""A second sign that the tube is free: a switch in the handle, or a pedal, that says it was let go.

With one, a hand that eases the tube is told from one that lets go: no verdict comes before it, and
after it a verdict needs no quick fall that stands out from the noise. It is a sign, no proof: what
the readings say against it is asked about.
"""

from benchcalc.sensor.falls import Falls
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.trace import GUARD_S, LAGS, Level, Trace

STILL_S, STILL_READINGS = 0.5, 4
"""Lying still so long, seen by so many readings, is enough once the handle was let go."""

LATE_S = 0.25
"""The height of the pull may begin so much later than the handle was let go, besides the lag."""


class Handle:
    """What was heard of the handle; nothing at all where none is fitted."""

    def __init__(self, profile: SensorProfile, trace: Trace, falls: Falls) -> None:
        self.fitted = profile.handle != "none"
        self._trace, self._falls = trace, falls
        self._lag_s = profile.lag_s
        self._released_s: float | None = None

    def heard(self, released: bool, at_s: float) -> None:
        """It is held, or was let go."""
        if not released or not self.fitted:
            self._released_s = None
        elif self._released_s is None:
            self._released_s = at_s

    def pressed(self, at_s: float) -> None:
        """A key or pedal, which tells of letting go alone, was pressed."""
        self._released_s = at_s if self.fitted else None

    @property
    def released(self) -> bool:
        """Whether it says that it is let go."""
        return self._released_s is not None

    @property
    def let_go(self) -> bool:
        """Whether it was let go after the pull came to its height."""
        peak, late_s = self._trace.peak, LATE_S + LAGS * self._lag_s
        released_s = self._released_s
        return released_s is not None and peak is not None and peak.start_s <= released_s + late_s

    def rest(self) -> Level | None:
        """What has lain still since it was let go, and what was on its way down then."""
        if not self.let_go or self._released_s is None:
            return None
        since_s = self._released_s + GUARD_S + LAGS * self._lag_s
        rest = self._trace.rest_after_fall(self._released_s - STILL_S, STILL_S)
        if rest is None or rest.start_s < since_s:
            rest = self._trace.at_rest(STILL_S)
        enough = rest is not None and rest.n >= STILL_READINGS and rest.start_s >= since_s
        return rest if enough else None

    def fell(self, rest: Level) -> bool:
        """Whether it fell since the peak as far as a release makes it, if not all at once."""
        peak = self._trace.peak
        return peak is not None and self._falls.may_be_release(peak, rest)
