"""What becomes of a verdict until the step is left: it stands, is judged anew, or is doubted."""

from typing import Literal

from benchcalc.sensor.expectation import Expectation, Outcome
from benchcalc.sensor.falls import Falls
from benchcalc.sensor.settling import Seen, Verdict
from benchcalc.sensor.trace import Level, Trace

SAME_DEG = 0.06
"""A free tube may creep by so much, and a verdict stands; assumed."""

SURE_OFF = 4.0
"""Standard deviations by which a level lies off the one of the verdict."""

ON_S, SLACK_S = 1.3, 0.15
"""A fall from where it last lay still by the verdict to where it lies now takes no longer; what was
no fall, so that the two stretches lie over each other, or took longer, is a creep."""

LEAST_MORE_DEG = 1.0

Why = Literal["", "crept", "again"]

LEFT: dict[Verdict, Seen] = {"good": "left good", "under": "left under", "over": "left over"}
LAY: dict[Verdict, Seen] = {"good": "lay good", "under": "lay under", "over": "lay over"}


class After:
    """Follows the reading from a verdict on.

    A tube that was let go earlier than its verdict said falls by no more than its springback: what
    falls much farther is a tube that was taken out, or an arm that backed off.
    """

    def __init__(self, trace: Trace, falls: Falls, on_arm: bool, still_s: float) -> None:
        self._trace, self._falls, self._on_arm = trace, falls, on_arm
        self._still_s = still_s
        self._near_s = 0.0
        self.why: Why = ""

    def begin(self, at_s: float) -> None:
        """A verdict was just given."""
        self._near_s = at_s

    def look(self, outcome: Outcome) -> tuple[Seen, Level | None]:
        """What the readings show now, seen from the verdict."""
        short = self._trace.lately(0.1)
        rest = self._trace.at_rest(self._still_s)
        if rest is not None:
            return self._at_rest(rest, outcome)
        if short is not None and -self._off(short, outcome) > self._reach(short, outcome):
            far = -self._off(short, outcome) > self._explained(short, outcome)
            return (LEFT[outcome.verdict] if far else "fell on"), None
        return "moved", None

    def _at_rest(self, rest: Level, outcome: Outcome) -> tuple[Seen, Level | None]:
        off_deg = self._off(rest, outcome)
        if abs(off_deg) <= self._reach(rest, outcome):
            self._near_s = rest.end_s
            return LAY[outcome.verdict], None
        if off_deg > 0:
            return self._ask("crept")
        if -off_deg > self._explained(rest, outcome):
            return LEFT[outcome.verdict], None
        verdict = self._falls.expectation.verdict(rest.deg)
        quick = -SLACK_S < rest.start_s - self._near_s <= ON_S
        quick = quick and self._falls.surely_quick(self._near_s - self._still_s, outcome, rest)
        if self._on_arm or (verdict == "good" and not (quick and outcome.verdict == "good")):
            return self._ask("again" if quick else "crept")
        return LAY[verdict], rest

    def _ask(self, why: Why) -> tuple[Seen, Level | None]:
        self.why = why
        return "unclear", None

    def _off(self, level: Level, outcome: Outcome) -> float:
        return level.deg - outcome.released_deg

    def _reach(self, level: Level, outcome: Outcome) -> float:
        spread_deg = self._trace.spread_deg(level.n, outcome.readings)
        return SAME_DEG + SURE_OFF * spread_deg + self._trace.coarse_deg

    def _explained(self, level: Level, outcome: Outcome) -> float:
        """The most that a tube not yet free falls from here: more than a whole release."""
        expected = self._falls.expectation
        return expected.band_deg[1] + more_deg(expected) + self._reach(level, outcome)


def more_deg(expected: Expectation) -> float:
    """How much farther than it is thought to a tube may open."""
    return max(expected.release_deg, LEAST_MORE_DEG)
