"""When is a bend's angle final? Only when the tube was pulled, let go, and lies still.

A still reading alone says nothing: the operator may pause half-way or hold the loaded angle. So a
bend counts as let go only after the reading fell from a peak that several readings saw, quickly, by
an amount inside the expected release band, and by more than noise could feign. Nor is a verdict the
end: the reading is followed, and where it falls on the bend becomes what it now is. What is seen in
the readings is one ``Seen`` a look; what follows from it is in the table of ``settling`` alone.
"""

from math import inf, nan
from typing import Literal, NamedTuple

from benchcalc.sensor.expectation import By, Expectation, Outcome
from benchcalc.sensor.falls import Falls
from benchcalc.sensor.following import LAY, After, more_deg
from benchcalc.sensor.gaps import Gaps
from benchcalc.sensor.handle import Handle
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settling import (
    FINAL,
    FOLLOWED,
    OFF_PEAK,
    TABLE,
    TOLD,
    NoSuchStep,
    Seen,
    State,
    Verdict,
)
from benchcalc.sensor.sieve import Jumped, Passed, SetAside, Sieve
from benchcalc.sensor.trace import SURE, Level, Trace

STILL_S = 0.8
FALL_SPANS_S = (STILL_S, 1.1, 1.4)
"""Stretches in which to look for a fall: what noise hides in a short one shows in a longer one."""

UNCLEAR_S = 1.5
"""After lying still so long without a fall that noise could not feign, the operator is asked."""

TOP_S = 1.0
"""So much of the time before a fall is looked at to find where it began."""

SURE_REST = 4.0
"""Standard deviations by which the readings at rest alone, fewer, must have fallen."""

SHORT_S = 0.1
QUICK_S = 0.25
"""A quick release takes this long; a sensor that lags rounds a peak without a hold off."""

LEAST_ON_DEG = 0.5
"""Pulled so far past the level of a step, the step is forgotten."""

HALF_WAY, HALF_WAY_DEG = 5.0, 3.0
"""Short of the target by so many releases, and so many degrees, it is likelier a pause with an
easing hand than a bend made; the operator is asked."""

Doubt = Literal[
    "", "small", "slow", "sudden", "unseen", "half way", "gap", "lifted", "slipped", "crept",
    "again", "frozen", "held", "early", "no fall",
]  # fmt: skip
"""Why the operator is asked: no fall that stands out from the noise; a fall too slow for a release,
too sudden for a tube, from a height hardly seen, or far short of the target; one that a gap in the
readings may hide; the reading was lower before; it stepped while it was held; after a verdict it
crept on, or fell again; the very same reading comes for too long; and what a handle's switch says
against it: still held, let go before the pull ended, or let go and nothing fell."""


class _Step(NamedTuple):
    """A step while it was held: the highest by then, when it was seen, and its sense."""

    deg: float
    seen_s: float
    down: bool


class Settler:
    """Follows one bend from before the pull until the step is left.

    Feed every reading with its time to ``read`` and the time alone to ``tick``; ``read`` and
    ``tap`` give the Outcome when there is one. After an outcome the bend may be pulled further: it
    follows. An angle alone cannot tell a tube that was let go from one that a hand eases back by
    just about its springback and holds there; when it falls on, the outcome is given anew.
    ``aside`` has the readings that were set aside, for whoever tells of them to take out.
    """

    def __init__(self, expectation: Expectation, profile: SensorProfile) -> None:
        self.expectation = expectation
        self.state: State = "waiting"
        self.doubt: Doubt = ""
        self.outcome: Outcome | None = None
        self.aside: list[SetAside] = []
        self._on_arm = profile.rides == "arm"
        self._trace = Trace(
            profile.noise_deg, profile.resolution_deg, profile.stale_s, profile.lag_s
        )
        self._sieve = Sieve(profile)
        self._falls = Falls(self._trace, expectation, profile.lag_s)
        self._gaps = Gaps(self._trace, self._falls, self._on_arm)
        self._after = After(self._trace, self._falls, self._on_arm, STILL_S)
        self.handle = Handle(profile, self._trace, self._falls)
        self._stale_s = profile.stale_s
        self._shown = QUICK_S / (QUICK_S + 2 * profile.lag_s)
        self._silent = self._crept = False
        self._frozen_s = profile.frozen_s
        self._same = (nan, 0.0)
        self._stepped: _Step | None = None
        self._top: Level | None = None
        self._peak_told: Level | None = None
        self._heard_s: float | None = None

    @property
    def loaded_deg(self) -> float | None:
        """The highest angle of this pull so far, None before there was one."""
        peak = self._trace.peak
        return None if peak is None or self.state == "waiting" else peak.deg

    def aim(self, expectation: Expectation) -> None:
        """Follow the same bend on, with what is to come of its next pull."""
        self.expectation = self._falls.expectation = expectation

    def read(self, angle_deg: float, at_s: float) -> Outcome | None:
        """Take a reading; times must not run back."""
        self._silent, self._heard_s = False, at_s
        if angle_deg != self._same[0]:
            self._same = (angle_deg, at_s)
        outcome = None
        for sifted in self._sieve.feed(angle_deg, at_s):
            if isinstance(sifted, SetAside):
                self.aside.append(sifted)
            elif isinstance(sifted, Jumped):
                self._follow("jumped", None, "sensor", at_s)
            else:
                outcome = self._passed(sifted) or outcome
        return outcome

    def _passed(self, reading: Passed) -> Outcome | None:
        """Take a reading that counts."""
        angle_deg, at_s = reading
        last_s = self._trace.last_s
        if last_s is not None:
            self._gaps.came(at_s - last_s)
        self._falls.read(angle_deg, at_s)
        if not self._trace.add(angle_deg, at_s):
            return None
        seen, level = self._look()
        return self._follow(seen, level, "sensor", at_s)

    def tick(self, at_s: float) -> None:
        """Let time pass: readings that do not come any more count for nothing."""
        if self._silent or self._heard_s is None or at_s - self._heard_s <= self._stale_s:
            return
        self._silent = True
        self._follow("went silent", None, "sensor", at_s)

    def tap(self, at_s: float) -> Outcome | None:
        """The operator says that the tube is free (and the arm on it); None when not yet still."""
        self.tick(at_s)
        deaf = self._silent or self.state in ("waiting", "slipped")
        level = None if deaf else self._trace.at_rest(STILL_S)
        if level is None or (self._on_arm and self._falls.out_of_band(level)):
            return self._follow("tapped early", None, "tap", at_s)
        tapped: dict[Verdict, Seen] = {
            "good": "tapped good", "under": "tapped under", "over": "tapped over",
        }  # fmt: skip
        return self._follow(tapped[self.expectation.verdict(level.deg)], level, "tap", at_s)

    def _follow(self, seen: Seen, level: Level | None, by: By, at_s: float) -> Outcome | None:
        before = self.state
        after = TABLE[before].get(seen)
        if after is None:
            raise NoSuchStep(before, seen)
        self.state = after
        if level is None or after not in FINAL or not seen.startswith(("lay", "tapped")):
            return None
        return self._conclude(level, by, at_s)

    def _conclude(self, level: Level, by: By, at_s: float) -> Outcome | None:
        known, peak = self.outcome, self._trace.peak or level
        again = known is not None and peak is self._peak_told
        verdict = self.expectation.verdict(level.deg)
        by = "handle" if by == "sensor" and self.handle.fitted else by
        self._peak_told = peak
        self._after.begin(at_s)
        spread_deg = self._trace.spread_deg(level.n)
        further_deg = self.expectation.target_deg - level.deg
        self.outcome = Outcome(
            verdict, level.deg, peak.deg, further_deg, spread_deg, level.n, by, at_s, again
        )
        return self.outcome

    def _look(self) -> tuple[Seen, Level | None]:
        """What the readings show now."""
        if self.state == "slipped":
            return "moved", None
        if self._rose():
            return "rose", None
        if self.state == "waiting":
            return "moved", None
        if 0 < self._frozen_s <= (self._heard_s or 0.0) - self._same[1]:
            self.doubt = "frozen"
            return "unclear", None
        if self.state in FOLLOWED and self.outcome is not None:
            return self._looked_after(self.outcome)
        short = self._trace.lately(SHORT_S)
        self._gaps.see(short, self.state in OFF_PEAK)
        self._see_step()
        if short is not None and self._falls.out_of_band(short, self._more_deg):
            return "fell out", None
        if (rest := self.handle.rest()) is not None:
            return self._by_handle(rest)
        level = self._trace.lately(STILL_S)
        if level is None:
            return "moved", None
        for span_s in FALL_SPANS_S:
            stretch = self._trace.lately(span_s)
            if stretch is not None and self._falls.fell(stretch):
                return self._fallen(stretch)
        return self._not_fallen(level)

    @property
    def _more_deg(self) -> float:
        """How much farther than expected a tube may fall that was surely let go."""
        return 0.0 if self._on_arm or not self.handle.let_go else more_deg(self.expectation)

    def _looked_after(self, outcome: Outcome) -> tuple[Seen, Level | None]:
        seen, level = self._after.look(outcome)
        if seen == "unclear":
            self._crept, self.doubt = True, self._after.why
        return seen, level

    def _see_step(self) -> None:
        """A step while it is held, up, or down by less than a release: a sensor that slipped?"""
        peak = self._trace.peak
        if self._stepped and peak and peak.deg > self._stepped.deg + LEAST_ON_DEG:
            self._stepped = None  # pulled on: a step on the way is a hand's as well
        loaded = self.state in ("pulling", "holding")
        if peak is None or not loaded or self._stepped is not None:
            return
        step_deg = self._falls.step_deg()
        short = self._trace.lately(SHORT_S) or peak
        free_deg = self.outcome.released_deg if self.outcome is not None else -inf
        if short.deg - step_deg < free_deg + self.expectation.band_deg[0] / 2:
            return  # from where the tube lay free a hand is soon at its spring's end
        if step_deg > 0 or -0.8 * self.expectation.band_deg[0] < step_deg < 0:
            self._stepped = _Step(max(peak.deg, short.deg), short.end_s, step_deg < 0)

    def _rose(self) -> bool:
        """Whether the reading rose from the lowest: a pull begins, or goes on after an outcome."""
        trace = self._trace
        if self.state == "waiting":
            if trace.peak and trace.trough and trace.trough.end_s >= trace.peak.end_s:
                trace.peak_from_trough()
            return self._falls.above(trace.peak, trace.trough)
        if trace.peak is not self._top:  # higher than ever: what was lower before says nothing now
            told = self.state in TOLD
            risen = told and self._falls.above(trace.peak, self._top)
            if risen or not told:
                self._top, self._gaps.forgot = trace.peak, False
                self._crept = False
                trace.trough_from_here()
            return risen
        short, trough = trace.lately(SHORT_S), trace.trough
        later = short and trough and short.start_s >= trough.end_s
        return bool(self.state in FOLLOWED and later and self._falls.above(short, trough))

    def _fallen(self, level: Level) -> tuple[Seen, Level | None]:
        """What to call a fall: it must be in the band as a whole, and what fell of late as well.

        A hand that tires lets the arm sink a little over many seconds; a release is quick.
        """
        trace, peak = self._trace, self._trace.peak or level
        recent = trace.recent_peak(level.start_s) or peak
        recent = self._gaps.rest or recent  # how quickly it fell, nobody saw
        if not self._falls.in_band(peak, recent, level):
            return self._ask("slow", "fell short")
        if self._falls.out_of_band(level, self._more_deg):
            return "fell out", None
        since_s = max(recent.start_s, recent.end_s - TOP_S)
        rest = trace.rest_after_fall(since_s, STILL_S)
        if rest is None:
            return "fell in", None
        doubt = self._doubt_of(peak, recent, rest, since_s)
        if doubt in ("lifted", "slipped"):
            self.doubt = doubt
            return "unclear", None
        if not doubt and self.handle.let_go:
            return "fell in", None  # it is not known yet to have lain still since then
        if doubt or self._crept or self.handle.fitted:
            return self._ask(doubt, "fell in")
        return LAY[self.expectation.verdict(rest.deg)], rest

    def _doubt_of(self, peak: Level, recent: Level, rest: Level, since_s: float) -> Doubt:
        """Why this fall to a rest is not believed; empty when it is."""
        falls = self._falls
        sure = falls.in_band(peak, recent, rest) and falls.surely(recent, rest, SURE_REST)
        if not sure:
            return "small"
        if against := self._against(rest):
            return against
        shape = "release" if self._gaps.hid_fall else falls.shape(since_s, recent, rest)
        return "" if shape == "release" else shape

    def _against(self, rest: Level) -> Doubt:
        """What speaks against a rest, however it was come to."""
        short_deg = max(HALF_WAY * self.expectation.release_deg, HALF_WAY_DEG)
        if rest.deg < self.expectation.target_deg - self.expectation.tolerance_deg - short_deg:
            return "half way"
        if self._gaps.hid_peak or self._gaps.forgot:
            return "gap"
        if self._falls.above(rest, self._trace.trough):
            return "lifted"  # it was lower before: something lifts it
        step = self._stepped
        if step is None or (step.down and self._trace.parted(step.seen_s - TOP_S) <= step.seen_s):
            return ""  # a step that nothing fell after is the fall itself
        return "slipped"

    def _by_handle(self, rest: Level) -> tuple[Seen, Level | None]:
        """The handle was let go, and it has lain still since."""
        if not self.handle.fell(rest):
            return self._ask("no fall", "moved")
        doubt = self._against(rest)
        if doubt or self._crept:
            return self._ask(doubt, "fell in")
        return LAY[self.expectation.verdict(rest.deg)], rest

    def _ask(self, doubt: Doubt, otherwise: Seen) -> tuple[Seen, Level | None]:
        """Ask once it has lain still for long enough; what was doubted after a verdict stays so."""
        if self._crept:
            return "unclear", None
        if self._trace.at_rest(UNCLEAR_S) is None:
            return otherwise, None
        self.doubt = doubt
        if doubt in ("", "small", "slow") and self.handle.fitted and not self.handle.let_go:
            self.doubt = "early" if self.handle.released else "held"
        return "unclear", None

    def _not_fallen(self, level: Level) -> tuple[Seen, Level | None]:
        trace, peak = self._trace, self._trace.peak or level
        if trace.at_rest(STILL_S) is None:
            return "moved", None
        highest_deg = max(peak.deg, trace.crest_deg)  # a short peak that may have been no chance
        reach = SURE * trace.spread_deg(peak.n, level.n) + trace.coarse_deg
        loaded = highest_deg - level.deg + reach < self._shown * self.expectation.band_deg[0]
        if loaded and not self._gaps.open:
            return "held", None
        return self._ask("gap" if self._gaps.open else "small", "moved")
