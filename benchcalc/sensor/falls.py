"""What a fall of the reading amounts to: a release, or something that only looks like one.

A release is one fall, seen from a height that several readings saw, quick but not quicker than a
tube. What falls slowly is a hand that eases or a sensor that drifts; what stands in another place
from one reading to the next may be a sensor that slipped.
"""

from collections import deque
from itertools import pairwise
from math import exp, hypot, inf
from typing import Literal, NamedTuple

from benchcalc.sensor.expectation import BAND, LEAST_SHARE, Expectation, Outcome
from benchcalc.sensor.trace import SURE, Level, Trace

Shape = Literal["release", "slow", "sudden", "unseen"]

SURE_FALL = 4.8
"""Standard deviations of a difference that a fall must exceed; by chance once in a million."""

LIKELY = 2.0
"""The same for how much of the release must have been quick."""

PICKED = 1.0
"""Standard deviations by which chance has raised, in the mean, what was picked as the highest."""

LEAST_RISE_DEG = 0.15

QUICK_S, QUICK_SHARE = 1.0, 0.6
"""So much of a release takes less than this before the readings part; from common practice."""

HEIGHT_S, HEIGHT_BINS, HEIGHT_BACK_S = 0.4, 4, 1.2
"""The height a fall began from was seen for so long, by so many bins, the highest left out."""

SUDDEN_S, SUDDEN_SHARE, SUDDEN_SURE, MANY = 0.015, 0.8, 6.0, 20
"""A tube and the arm on it take longer for so much of their release; worked out for a small tube
and a light arm: about 20 ms. Looked for where so many readings come as fast as that."""

STEP_S, AFTER_S, BEFORE_S = 0.35, 0.8, 0.6
"""A step stands between two stretches that lie still: the one after it for so long or longer, the
one before it for so long; a hand that stops for less before it pulls on makes none."""

STEP_DEG, STEP_SURE = 0.5, 5.0
"""It is at least so high."""

HIGH_STEP_DEG, HIGH_SHARE, STILL_DEG = 1.2, 0.8, 0.3
STILL_SHARE, STILLER_SHARE = 0.1, 0.05
"""A stretch that lies still beside a step goes no farther than this, or than this share of it: the
smaller one where the step may be as wide as a hand's."""

EDGE_SHARE, EDGE_SURE = 0.15, 2.5
"""What lies right beside a step lies where the rest of its side does: a hand begins gently."""

STEP_BACK_S, MIXED_S = 1.8, 0.08
ONE_BIN_S = 0.26
"""A step is sudden when it is made between two bins no farther apart."""


class _Step(NamedTuple):
    """What step is looked for: so many bins on it, noise so much louder than of the readings, at
    least so high, beside it still but for this share of it, over so long at most after it."""

    within: int
    louder: float
    least_deg: float
    share: float
    after_s: float


class Falls:
    """Compares levels of one trace with what is expected of a release."""

    def __init__(self, trace: Trace, expectation: Expectation, lag_s: float) -> None:
        self.expectation = expectation
        self._trace, self._lag_s = trace, lag_s
        self._drops: list[tuple[float, float]] = []
        self._last: tuple[float, float] | None = None
        self._times: deque[float] = deque([-inf], MANY + 1)

    def read(self, deg: float, at_s: float) -> None:
        """Keep what fell between two readings that came faster than a tube moves."""
        self._times.append(at_s)
        if self._last is not None and self._times[0] > at_s - MANY * SUDDEN_S:
            self._drops = [drop for drop in self._drops if drop[1] > at_s - 3.0]
            if self._last[0] - deg > SUDDEN_SURE * self._trace.spread_deg(1, 1):
                self._drops.append((self._last[0] - deg, at_s))
        self._last = (deg, at_s)

    def above(self, level: Level | None, other: Level | None) -> bool:
        """Whether one level is surely higher than the other, by more than a hand resting on it."""
        if level is None or other is None:
            return False
        least_deg = max(LEAST_RISE_DEG, 2 * self._trace.coarse_deg)
        return self._trace.sure_low(level) - self._trace.sure_high(other) > least_deg

    def out_of_band(self, level: Level, more_deg: float = 0.0) -> bool:
        """Whether it lies lower under the peak than a release, and so much more, can bring it."""
        peak = self._trace.peak
        if peak is None or level.start_s < peak.end_s:
            return False
        reach = 4 * self._trace.spread_deg(peak.n, level.n) + self._trace.coarse_deg
        return peak.deg - level.deg > self.expectation.band_deg[1] + more_deg + reach

    def fell(self, level: Level) -> bool:
        """Whether this lies lower than the last seconds' peak by more than noise could feign."""
        trace, peak = self._trace, self._trace.peak
        if peak is None or level.start_s < peak.end_s:
            return False
        recent = trace.recent_peak(level.start_s)
        return self.surely(peak, level) and recent is not None and self.surely(recent, level)

    def surely(self, high: Level, low: Level, sure: float = SURE_FALL) -> bool:
        """Whether one level lies under another by more than noise could feign."""
        least_deg = sure * self._trace.spread_deg(high.n, low.n) + self._trace.coarse_deg
        return self._fall(high, low) > least_deg

    def in_band(self, peak: Level, recent: Level, level: Level) -> bool:
        """Whether it fell enough for a release, and enough of it of late."""
        quick_deg = LEAST_SHARE * self.expectation.release_deg
        quick_deg -= LIKELY * self._trace.spread_deg(recent.n, level.n)
        return self.may_be_release(peak, level) and self._fall(recent, level) >= quick_deg

    def may_be_release(self, peak: Level, rest: Level) -> bool:
        """Whether it fell enough for a release, however quickly; noise may have hidden some."""
        return self._fall(peak, rest) >= self._least_fall(peak, rest)

    def _fall(self, high: Level, low: Level) -> float:
        """How far it fell; a stretch picked as the highest is likely one that chance has raised."""
        return high.deg - PICKED * self._trace.spread_deg(high.n) - low.deg

    def _least_fall(self, high: Level, low: Level) -> float:
        """The least that a release makes a reading fall, as far as these two levels are known."""
        expected, spread_deg = self.expectation, self._trace.spread_deg(high.n, low.n)
        by_spread = expected.release_deg - BAND * hypot(expected.release_spread_deg, spread_deg)
        by_share = LEAST_SHARE * expected.release_deg - SURE * spread_deg
        return max(by_spread, by_share) - self._trace.coarse_deg

    def shape(self, since_s: float, high: Level, rest: Level) -> Shape:
        """What the fall to this rest looks like that began after ``since_s``."""
        trace, fall_deg = self._trace, high.deg - rest.deg
        parted_s = trace.parted(since_s)
        if any(deg >= SUDDEN_SHARE * fall_deg for deg, at_s in self._drops if at_s > since_s):
            return "sudden"
        before = [bin_ for bin_ in trace.bins(parted_s - HEIGHT_BACK_S) if bin_.end_s < parted_s]
        near = [bin_ for bin_ in before if bin_.start_s >= parted_s - HEIGHT_S]
        near = before[-HEIGHT_BINS:] if len(near) < HEIGHT_BINS else near
        if len(near) >= HEIGHT_BINS:  # else the readings stopped there
            near.remove(max(near, key=lambda bin_: bin_.deg))
            height = _mean(near)
            if height.deg - rest.deg < fall_deg / 2 - LIKELY * trace.spread_deg(height.n, rest.n):
                return "unseen"
        return "release" if self._quick(parted_s, fall_deg, rest) else "slow"

    def surely_quick(self, since_s: float, outcome: Outcome, rest: Level) -> bool:
        """Whether it fell on from a verdict as quickly as a release; noise is not allowed for."""
        fall_deg = outcome.released_deg - rest.deg
        return self._quick(self._trace.parted(since_s), fall_deg, rest, 0.0)

    def _quick(self, parted_s: float, fall_deg: float, rest: Level, likely: float = LIKELY) -> bool:
        """Whether most of the fall lies in the last second before the readings part."""
        bins = [b for b in self._trace.bins(parted_s - QUICK_S - self._lag_s) if b.end_s < parted_s]
        if not bins:
            return True  # the readings stopped there
        ends = (parted_s - QUICK_S / 2, parted_s - QUICK_S / 4, parted_s)
        for begin_s, end_s in pairwise((-inf, *ends)):  # let go at once, the height was short
            part = [b for b in bins if begin_s <= b.start_s and b.end_s < end_s]
            if part:
                level = _mean(part)
                spread_deg = self._trace.spread_deg(level.n, rest.n)
                if level.deg - rest.deg >= QUICK_SHARE * fall_deg - likely * spread_deg:
                    return True
        return False

    def step_deg(self) -> float:
        """The height of a step that no hand makes, 0 for none.

        It stands between one reading and the next, or, when it is higher, within two: how a sensor
        that lags rounds it, its lag alone does not say.
        """
        bins = self._trace.bins((self._trace.last_s or 0.0) - STEP_BACK_S)
        if len(bins) < 7:
            return 0.0
        every_s = (bins[-1].start_s - bins[0].start_s) / (len(bins) - 1)
        keeps = exp(-every_s / self._lag_s) if self._lag_s > 0 else 0.0
        unlagged = [
            new._replace(deg=(new.deg - keeps * old.deg) / (1 - keeps))
            for old, new in pairwise(bins)
        ]
        louder = hypot(1, keeps) / (1 - keeps)
        within = 1 if every_s < MIXED_S else 0  # it may lie within a bin
        wider = within + round(2 * self._lag_s / every_s)
        high_deg = min(HIGH_STEP_DEG, max(HIGH_SHARE * self.expectation.release_deg, STEP_DEG))
        quick = _Step(within, louder, STEP_DEG, STILL_SHARE, AFTER_S)
        rounded = _Step(wider, 1.0, high_deg, STILLER_SHARE, STEP_S)
        return self._step(unlagged, quick) or self._step(bins, rounded)

    def _step(self, bins: list[Level], sought: _Step) -> float:
        """The height of a step; what is no higher than noise is none.

        What noise hides at first shows as more readings come: it is looked for more than once.
        """
        last_s = bins[-1].start_s
        fewest = max(sum(bin_.start_s > last_s - STEP_S for bin_ in bins), 3)
        most = max(sum(bin_.start_s > last_s - sought.after_s for bin_ in bins), fewest)
        for count in range(fewest, most + 1):
            early, after = bins[: len(bins) - count - sought.within], bins[len(bins) - count :]
            step_deg = self._step_between(early, after, sought.within, sought.louder)
            still_deg = sought.share * abs(step_deg)
            if abs(step_deg) >= sought.least_deg and all(
                self._still(part, still_deg, sought.louder) for part in (_end(early), after)
            ):
                return step_deg
        return 0.0

    def _step_between(
        self, early: list[Level], after: list[Level], within: int, louder: float
    ) -> float:
        """How much higher what came after lies, 0 where that may be noise or took too long."""
        trace = self._trace
        if len(early) < 3 or after[0].start_s - early[-1].start_s > ONE_BIN_S * (1 + within):
            return 0.0
        low, high = _mean(_end(early)), _mean(after)
        sure_deg = STEP_SURE * trace.spread_deg(low.n, high.n) * louder + trace.coarse_deg
        step_deg = high.deg - low.deg
        beside_deg = max(abs(early[-1].deg - low.deg), abs(after[0].deg - high.deg))
        bin_deg = EDGE_SURE * trace.spread_deg(min(early[-1].n, after[0].n)) * louder
        sharp = beside_deg <= max(EDGE_SHARE * abs(step_deg), bin_deg + trace.coarse_deg)
        return step_deg if sharp and abs(step_deg) >= sure_deg else 0.0

    def _still(self, bins: list[Level], least_deg: float, louder: float) -> bool:
        """Whether a stretch beside a step lies still, by its two halves."""
        half = len(bins) // 2
        early, late = _mean(bins[:half]), _mean(bins[-half:])
        spread_deg = self._trace.spread_deg(early.n, late.n) * louder
        sure_deg = 2 * spread_deg + self._trace.coarse_deg
        return abs(late.deg - early.deg) <= max(least_deg, min(sure_deg, STILL_DEG))


def _end(bins: list[Level]) -> list[Level]:
    """The last of what lay still before a step."""
    end = [bin_ for bin_ in bins if bin_.start_s > bins[-1].start_s - BEFORE_S]
    return bins[-3:] if len(end) < 3 else end


def _mean(bins: list[Level]) -> Level:
    """Some bins as one level."""
    n = sum(bin_.n for bin_ in bins)
    mean_deg = sum(bin_.deg * bin_.n for bin_ in bins) / n
    return Level(mean_deg, n, bins[0].start_s, bins[-1].end_s)
