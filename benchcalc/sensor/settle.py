"""When is a bend's angle final? Only when the tube was pulled, let go, and lies still.

A still reading alone says nothing: the operator may pause half-way or hold the loaded angle. So a
bend counts as let go only after the reading fell from its peak, within seconds, by an amount inside
the expected release band, and by more than noise could feign. What is seen in the readings is one
``Seen`` a look; what follows from it is in the table of ``settling`` and nowhere else.
"""

from math import hypot
from typing import Literal, NamedTuple

from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settling import FINAL, OFF_PEAK, TABLE, TOLD, NoSuchStep, Seen, State, Verdict
from benchcalc.sensor.trace import SURE, Level, Trace

STILL_S = 0.8
FALL_SPANS_S = (STILL_S, 1.1, 1.4)
"""Stretches in which to look for a fall: what noise hides in a short one shows in a longer one."""

UNCLEAR_S = 1.5
"""After lying still so long without a fall that noise could not feign, the operator is asked."""

SURE_FALL = 4.8
"""Standard deviations of a difference that a fall must exceed; by chance once in a million."""

TOP_S = 1.0
"""So much of the time before a fall is looked at to find where it began."""

SURE_REST = 4.0
"""The same for the readings at rest alone, fewer than those in which the fall was seen."""

LIKELY = 2.0
"""The same for how much of the release must have been quick."""

PICKED = 1.0
"""Standard deviations by which chance has raised, in the mean, what was picked as the highest."""
SHORT_S = 0.1
BLIND_S = 0.25
"""In a gap this long the tube may have been let go unseen: a still reading may be a free tube."""
QUICK_S = 0.25
"""A quick release takes this long; a sensor that lags rounds a peak without a hold off."""

RESTED_S = 0.5
"""Lying still so long beside a gap tells where the reading stood."""
BACK_OFF_S = 1.5
"""In a shorter gap nobody pulls on from a hold and brings the arm back to where it was."""
FORGET_S = 5.0
"""After a silence this long it is not known what happened meanwhile: the operator is asked."""

HALF_WAY, HALF_WAY_DEG = 5.0, 3.0
"""Short of the target by so many releases, and so many degrees, it is likelier a pause with an
easing hand than a bend made; the operator is asked."""

LEAST_RISE_DEG = 0.15
BAND = 3.0
LEAST_SHARE = 0.5
"""Standard deviations that the release band reaches either way, never under half of the release."""


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


class Outcome(NamedTuple):
    """The angle of a bend, final: released and loaded angle, and what they rest on.

    ``spread_deg`` is the standard deviation of ``released_deg``, a mean of ``readings``. ``by``
    says who knew that the tube was free. ``further_deg`` is what is missing to the target,
    negative past it.
    """

    verdict: Verdict
    released_deg: float
    loaded_deg: float
    further_deg: float
    spread_deg: float
    readings: int
    by: Literal["sensor", "tap"]
    at_s: float


class _Gap(NamedTuple):
    """What is known beside a gap: where it lay still before, and whether the fall was seen."""

    rest: Level | None
    seen: bool
    length_s: float


class Settler:
    """Follows one bend from before the pull until its angle is final.

    Feed every reading with its time to ``read`` and the time alone to ``tick``; ``read`` and
    ``tap`` give the Outcome when there is one. After an outcome the bend may be pulled further: it
    follows. An angle alone cannot tell a tube that was let go from one that a hand eases back by
    just about its springback and holds there; when it falls on, the outcome is given anew.
    """

    def __init__(self, expectation: Expectation, profile: SensorProfile) -> None:
        self.expectation = expectation
        self.state: State = "waiting"
        self.outcome: Outcome | None = None
        self._on_arm = profile.rides == "arm"
        self._trace = Trace(
            profile.noise_deg, profile.resolution_deg, profile.stale_s, profile.lag_s
        )
        short_deg = max(HALF_WAY * expectation.release_deg, HALF_WAY_DEG)
        self._half_way_deg = expectation.target_deg - expectation.tolerance_deg - short_deg
        self._stale_s = profile.stale_s
        self._shown = QUICK_S / (QUICK_S + 2 * profile.lag_s)
        self._silent, self._forgot = False, False
        self._gap: _Gap | None = None
        self._after_gap: Level | None = None
        self._top: Level | None = None

    @property
    def loaded_deg(self) -> float | None:
        """The highest angle of this pull so far, None before there was one."""
        peak = self._trace.peak
        return None if peak is None or self.state == "waiting" else peak.deg

    def read(self, angle_deg: float, at_s: float) -> Outcome | None:
        """Take a reading; times must not run back."""
        last_s = self._trace.last_s
        gap_s = at_s - last_s if last_s is not None else 0.0
        if gap_s > BLIND_S:
            self._gap = self._gap or self._before_gap(gap_s)
            self._after_gap = None
            self._forgot = self._forgot or gap_s > FORGET_S
        self._silent = False
        if not self._trace.add(angle_deg, at_s):
            return None
        seen, level = self._look()
        return self._follow(seen, level, "sensor", at_s)

    def tick(self, at_s: float) -> None:
        """Let time pass: readings that do not come any more count for nothing."""
        last_s = self._trace.last_s
        if self._silent or last_s is None or at_s - last_s <= self._stale_s:
            return
        self._silent = True
        self._follow("went silent", None, "sensor", at_s)

    def tap(self, at_s: float) -> Outcome | None:
        """The operator says that the tube is free (and the arm on it); None when not yet still."""
        self.tick(at_s)
        level = None if self._silent or self.state == "waiting" else self._trace.at_rest(STILL_S)
        if level is None or (self._on_arm and self._out_of_band(level)):
            return self._follow("tapped early", None, "tap", at_s)
        tapped: dict[Verdict, Seen] = {
            "good": "tapped good", "under": "tapped under", "over": "tapped over",
        }  # fmt: skip
        return self._follow(tapped[self._verdict(level)], level, "tap", at_s)

    def _follow(
        self, seen: Seen, level: Level | None, by: Literal["sensor", "tap"], at_s: float
    ) -> Outcome | None:
        before = self.state
        after = TABLE[before].get(seen)
        if after is None:
            raise NoSuchStep(before, seen)
        self.state = after
        if level is None or after not in FINAL or not seen.startswith(("lay", "tapped")):
            return None
        return self._conclude(level, by, at_s, repeated=before == after)

    def _conclude(
        self, level: Level, by: Literal["sensor", "tap"], at_s: float, repeated: bool
    ) -> Outcome | None:
        spread_deg = self._trace.spread_deg(level.n)
        known = self.outcome if repeated else None
        if known and abs(known.released_deg - level.deg) <= LEAST_RISE_DEG + 4 * spread_deg:
            return None
        peak = self._trace.peak or level
        further_deg = self.expectation.target_deg - level.deg
        self.outcome = Outcome(
            self._verdict(level), level.deg, peak.deg, further_deg, spread_deg, level.n, by, at_s
        )
        return self.outcome

    def _verdict(self, level: Level) -> Verdict:
        off_deg = level.deg - self.expectation.target_deg
        if abs(off_deg) <= self.expectation.tolerance_deg:
            return "good"
        return "over" if off_deg > 0 else "under"

    def _look(self) -> tuple[Seen, Level | None]:
        """What the readings show now."""
        if self._rose():
            return "rose", None
        if self.state == "waiting":
            return "moved", None
        short = self._trace.lately(SHORT_S)
        self._see_after_gap(short)
        if short is not None and self._out_of_band(short):
            return "fell out", None
        level = self._trace.lately(STILL_S)
        if level is None:
            return "moved", None
        for span_s in FALL_SPANS_S:
            stretch = self._trace.lately(span_s)
            if stretch is not None and self._fell(stretch):
                return self._fallen(stretch)
        return self._not_fallen(level)

    def _before_gap(self, length_s: float) -> _Gap:
        """How things stood when the readings stopped."""
        trace = self._trace
        last, peak, rest = trace.lately(0.0), trace.peak, trace.at_rest(RESTED_S)
        fallen = last and peak and trace.sure_high(last) < trace.sure_low(peak)
        return _Gap(rest, bool(fallen or (rest and self._came_down(rest))), length_s)

    def _came_down(self, rest: Level) -> bool:
        """Whether it lay still already where a release had brought it."""
        peak, recent = self._trace.peak, self._trace.recent_peak(rest.start_s)
        down = peak and recent and self._surely(recent, rest, SURE)
        return bool(down and self._in_band(peak or rest, recent or rest, rest))

    def _peak_known(self, gap: _Gap) -> bool:
        """Whether no higher peak hides in a gap: too short to pull on and back the arm off."""
        return gap.rest is not None and (not self._on_arm or gap.length_s < BACK_OFF_S)

    def _see_after_gap(self, short: Level | None) -> None:
        """After a gap it is not known whether the tube was let go meanwhile.

        Not until it is pulled on; a fall is seen all the same when it lay still near its peak.
        """
        if self._gap is None:
            return
        on_tube = None if self._on_arm else short  # a tube that is free falls no further
        if self._after_gap is None:
            self._after_gap = short
        elif self._above(short, self._after_gap) and self.state not in OFF_PEAK:
            self._gap = None
        elif not self._gap.seen and (rest := self._trace.at_rest(RESTED_S) or on_tube):
            peak = self._trace.peak or rest
            loaded = peak.deg - rest.deg < LEAST_SHARE * self.expectation.band_deg[0]
            self._gap = self._gap._replace(seen=loaded)

    def _rose(self) -> bool:
        """Whether the reading rose from the lowest: a pull begins, or goes on after an outcome."""
        trace = self._trace
        if self.state == "waiting":
            if trace.peak and trace.trough and trace.trough.end_s >= trace.peak.end_s:
                trace.peak_from_trough()
            return self._above(trace.peak, trace.trough)
        if trace.peak is not self._top:  # higher than ever: what was lower before says nothing now
            told = self.state in TOLD
            risen = told and self._above(trace.peak, self._top)
            if risen or not told:
                self._top, self._forgot = trace.peak, False
                trace.trough_from_here()
            return risen
        return self.state in FINAL and self._above(trace.lately(SHORT_S), trace.trough)

    def _above(self, level: Level | None, other: Level | None) -> bool:
        """Whether one level is surely higher than the other, by more than a hand resting on it."""
        if level is None or other is None:
            return False
        least_deg = max(LEAST_RISE_DEG, 2 * self._trace.coarse_deg)
        return self._trace.sure_low(level) - self._trace.sure_high(other) > least_deg

    def _out_of_band(self, level: Level) -> bool:
        peak = self._trace.peak
        if peak is None or level.start_s < peak.end_s:
            return False
        reach = 4 * self._trace.spread_deg(peak.n, level.n) + self._trace.coarse_deg
        return peak.deg - level.deg > self.expectation.band_deg[1] + reach

    def _fell(self, level: Level) -> bool:
        """Whether this lies lower than the last seconds' peak by more than noise could feign."""
        trace, peak = self._trace, self._trace.peak
        if peak is None or level.start_s < peak.end_s:
            return False
        recent = trace.recent_peak(level.start_s)
        return self._surely(peak, level) and recent is not None and self._surely(recent, level)

    def _surely(self, high: Level, low: Level, sure: float = SURE_FALL) -> bool:
        least_deg = sure * self._trace.spread_deg(high.n, low.n) + self._trace.coarse_deg
        return self._fall(high, low) > least_deg

    def _fallen(self, level: Level) -> tuple[Seen, Level | None]:
        """What to call a fall: it must be in the band as a whole, and what fell of late as well.

        A hand that tires lets the arm sink a little over many seconds; a release is quick.
        """
        trace, peak = self._trace, self._trace.peak or level
        recent = trace.recent_peak(level.start_s) or peak
        hidden = self._gap is not None and not self._gap.seen
        if self._gap and hidden:
            recent = self._gap.rest or recent  # how quickly it fell, nobody saw
        if not self._in_band(peak, recent, level):
            return ("unclear" if trace.at_rest(UNCLEAR_S) else "fell short"), None
        if self._out_of_band(level):
            return "fell out", None
        since_s = max(recent.start_s, recent.end_s - TOP_S)
        rest = trace.rest_after_fall(since_s, STILL_S)
        if rest is None:
            return "fell in", None
        sure = self._in_band(peak, recent, rest) and self._surely(recent, rest, SURE_REST)
        sure = sure and rest.deg >= self._half_way_deg
        if not sure or (self._gap and hidden and not self._peak_known(self._gap)):
            return ("unclear" if trace.at_rest(UNCLEAR_S) else "fell in"), None
        if self._forgot or self._above(rest, trace.trough):
            return "unclear", None  # it was lower before: something lifts it
        lay: dict[Verdict, Seen] = {"good": "lay good", "under": "lay under", "over": "lay over"}
        return lay[self._verdict(rest)], rest

    def _in_band(self, peak: Level, recent: Level, level: Level) -> bool:
        quick_deg = LEAST_SHARE * self.expectation.release_deg
        quick_deg -= LIKELY * self._trace.spread_deg(recent.n, level.n)
        enough = self._fall(peak, level) >= self._least_fall(peak, level)
        return enough and self._fall(recent, level) >= quick_deg

    def _fall(self, high: Level, low: Level) -> float:
        """How far it fell; a stretch picked as the highest is likely one that chance has raised."""
        return high.deg - PICKED * self._trace.spread_deg(high.n) - low.deg

    def _least_fall(self, high: Level, low: Level) -> float:
        """The least that a release makes a reading fall, as far as these two levels are known."""
        expected, spread_deg = self.expectation, self._trace.spread_deg(high.n, low.n)
        by_spread = expected.release_deg - BAND * hypot(expected.release_spread_deg, spread_deg)
        by_share = LEAST_SHARE * expected.release_deg - SURE * spread_deg
        return max(by_spread, by_share) - self._trace.coarse_deg

    def _not_fallen(self, level: Level) -> tuple[Seen, Level | None]:
        trace, peak = self._trace, self._trace.peak or level
        if trace.at_rest(STILL_S) is None:
            return "moved", None
        highest_deg = max(peak.deg, trace.crest_deg)  # a short peak that may have been no chance
        reach = SURE * trace.spread_deg(peak.n, level.n) + trace.coarse_deg
        loaded = highest_deg - level.deg + reach < self._shown * self.expectation.band_deg[0]
        if loaded and self._gap is None:
            return "held", None
        return ("unclear" if trace.at_rest(UNCLEAR_S) else "moved"), None
