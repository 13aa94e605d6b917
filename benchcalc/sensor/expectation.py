"""What is to come of a pull, and what came of it."""

from typing import Literal, NamedTuple

from benchcalc.sensor.settling import Verdict

BAND = 3.0
LEAST_SHARE = 0.5
"""Standard deviations that the release band reaches either way, never under half of the release."""

By = Literal["sensor", "tap", "handle"]
"""Who knew that the tube was free: the fall of the reading, the operator, the handle's switch."""


class Expectation(NamedTuple):
    """What is to come of this pull, in degrees: the target and what letting go gives back."""

    target_deg: float
    tolerance_deg: float
    release_deg: float
    release_spread_deg: float

    @property
    def band_deg(self) -> tuple[float, float]:
        """The least and the most that the reading falls when a loaded tube is let go."""
        reach = BAND * self.release_spread_deg
        least = max(self.release_deg - reach, LEAST_SHARE * self.release_deg)
        return least, self.release_deg + reach

    def verdict(self, released_deg: float) -> Verdict:
        """What a tube is that lies free at an angle."""
        off_deg = released_deg - self.target_deg
        if abs(off_deg) <= self.tolerance_deg:
            return "good"
        return "over" if off_deg > 0 else "under"


class Outcome(NamedTuple):
    """The angle of a bend, final: released and loaded angle, and what they rest on.

    ``spread_deg`` is the standard deviation of ``released_deg``, a mean of ``readings``.
    ``further_deg`` is what is missing to the target, negative past it. ``again`` when it takes the
    place of the outcome before it, as no pull lay between.
    """

    verdict: Verdict
    released_deg: float
    loaded_deg: float
    further_deg: float
    spread_deg: float
    readings: int
    by: By
    at_s: float
    again: bool = False
