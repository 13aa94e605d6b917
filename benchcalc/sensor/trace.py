"""What the last readings amount to: levels with their certainty, the peak, the lowest since.

Readings closer than 50 ms are taken together, so that the work does not grow with the rate. A
stretch of readings has a level, its mean; with n readings of noise s that is known to s/sqrt(n).
A peak is the stretch that is highest *for certain* (its mean less 4.5 of those), among those that
several readings saw; what one or two saw is none.
"""

from bisect import bisect_left
from collections import deque
from math import hypot, inf, sqrt
from typing import NamedTuple

BIN_S = 0.05
SURE = 3.0
"""Standard deviations that a difference of two given levels has for certain."""

CHOSEN = 4.5
"""The same for a level chosen as the highest of very many, of which some are high by chance."""

STEADIER = 3.5
"""The same for one part of the readings at rest against the other, wherever they are parted."""

LENGTHS = (1, 2, 3, 4, 5, 6, 8, 16, 32, 64)
"""How many bins the stretches have that compete for the peak and the trough."""

PEAK_S, PEAK_READINGS = 0.3, 3
"""A peak is one only when so many readings saw it over so long."""

KEPT = 512
RECENT_S = 3.0
"""How far back a quick fall may have begun, gaps in the readings left out."""

GUARD_S = 0.1
LAGS = 2.0
"""Left out after a fall, for what is still on its way down: this, and so many lags."""

STEADY = 4.0
"""Standard deviations that one of the readings at rest may lie off their mean."""


class Level(NamedTuple):
    """A stretch of readings: mean, how many, and the times of the first and the last.

    ``low_deg`` is what it, or a part of it, is at least, where that was looked at.
    """

    deg: float
    n: int
    start_s: float
    end_s: float
    low_deg: float = -inf


class Trace:
    """The readings of the last seconds. Angles in degrees, times in seconds that only grow."""

    def __init__(
        self, noise_deg: float, resolution_deg: float, stale_s: float, lag_s: float = 0.0
    ) -> None:
        self.coarse_deg = resolution_deg if noise_deg < resolution_deg / 2 else 0.0
        self._slack_deg = self.coarse_deg or resolution_deg / 2
        self._noise_deg = max(hypot(noise_deg, resolution_deg / sqrt(12)), 1e-6)
        self._stale_s = stale_s
        self._guard_s = GUARD_S + LAGS * lag_s
        self._starts: list[float] = []
        self._ends: list[float] = []
        self._sums: list[float] = [0.0]
        self._counts: list[int] = [0]
        self._gap = 0
        self._low_from = self._high_from = 0
        self._recent: deque[tuple[float, Level]] = deque()
        self._silent_s = 0.0
        self.peak: Level | None = None
        self.crest_deg = -inf
        self.trough: Level | None = None

    def spread_deg(self, n: int, other_n: int | None = None) -> float:
        """Standard deviation of a level of ``n`` readings, or of its difference from another."""
        return self._noise_deg * sqrt(1 / n + 1 / other_n if other_n else 1 / n)

    def sure_low(self, level: Level) -> float:
        """What a level is at least."""
        return max(level.low_deg, level.deg - CHOSEN * self._noise_deg / sqrt(level.n))

    def sure_high(self, level: Level) -> float:
        """What a level is at most."""
        return level.deg + CHOSEN * self._noise_deg / sqrt(level.n)

    @property
    def last_s(self) -> float | None:
        """The time of the newest reading."""
        return self._ends[-1] if self._ends else None

    def add(self, deg: float, at_s: float) -> bool:
        """Take a reading; whether there is reason to look again."""
        if self._ends and at_s - self._ends[-1] > self._stale_s:
            self._gap = len(self._ends)
            self._silent_s += at_s - self._ends[-1]
        if len(self._ends) > self._gap and at_s - self._starts[-1] < BIN_S:
            self._ends[-1] = at_s
            self._sums[-1] += deg
            self._counts[-1] += 1
            return False
        self._starts.append(at_s)
        self._ends.append(at_s)
        self._sums.append(self._sums[-1] + deg)
        self._counts.append(self._counts[-1] + 1)
        self._prune()
        self._extremes()
        return True

    def _prune(self) -> None:
        if len(self._ends) < 2 * KEPT:
            return
        del self._starts[:KEPT], self._ends[:KEPT]
        base, count = self._sums[KEPT], self._counts[KEPT]
        self._sums = [total - base for total in self._sums[KEPT:]]
        self._counts = [total - count for total in self._counts[KEPT:]]
        self._gap = max(self._gap - KEPT, 0)
        self._low_from = max(self._low_from - KEPT, 0)
        self._high_from = max(self._high_from - KEPT, 0)

    def _level(self, first: int, end: int) -> Level:
        n = self._counts[end] - self._counts[first]
        mean = (self._sums[end] - self._sums[first]) / n
        return Level(mean, n, self._starts[first], self._ends[end - 1])

    def _extremes(self) -> None:
        """Let the stretches that end now compete for the peak and the trough."""
        end = len(self._ends)
        if end - 1 > self._gap:  # the newest bin may still grow, the one before is whole
            n = self._counts[end - 1] - self._counts[end - 2]
            self.crest_deg = max(self.crest_deg, (self._sums[end - 1] - self._sums[end - 2]) / n)
        highest, most, enough = 0, -inf, -inf
        lowest, least = 0, inf
        for length in LENGTHS:
            if end - length < self._gap:
                break
            n = self._counts[end] - self._counts[end - length]
            span_s = self._ends[end - 1] - self._starts[end - length]
            seen = n >= PEAK_READINGS and span_s >= PEAK_S and end - length >= self._high_from
            mean = (self._sums[end] - self._sums[end - length]) / n
            error = self._noise_deg / sqrt(n)
            if seen and mean - CHOSEN * error > most:
                most = mean - CHOSEN * error
                enough = most - error
            if seen and mean - CHOSEN * error > enough:
                highest = length  # hardly lower and longer: less of it is chance
            if mean + CHOSEN * error < least and end - length >= self._low_from:
                least, lowest = mean + CHOSEN * error, length
        self._note_top(end, highest, most)
        if lowest and (self.trough is None or least < self.sure_high(self.trough)):
            self.trough = self._level(end - lowest, end)

    def _note_top(self, end: int, highest: int, most: float) -> None:
        if not highest:
            return
        top = self._level(end - highest, end)._replace(low_deg=most)
        heard_s = top.end_s - self._silent_s
        self._recent.append((heard_s, top))
        while self._recent[0][0] < heard_s - RECENT_S:
            self._recent.popleft()
        if self.peak is None or most > self.sure_low(self.peak):
            self.peak = top

    def trough_from_here(self) -> None:
        """Look for the lowest stretch among what comes from now on."""
        self.trough, self._low_from = None, len(self._ends)

    def peak_from_trough(self) -> None:
        """Look for the highest stretch after the lowest; what was before is no part of one."""
        self.peak = self.trough
        self._high_from = bisect_left(self._starts, self.trough.start_s if self.trough else 0.0)
        self._recent.clear()
        self.crest_deg = -inf

    def recent_peak(self, before_s: float) -> Level | None:
        """The surest high stretch of the last seconds that ended before a time."""
        most, found = -inf, None
        for _, level in self._recent:
            if level.end_s > before_s:
                break
            if level.low_deg > most:
                most, found = level.low_deg, level
        return found

    def lately(self, span_s: float) -> Level | None:
        """The level of the last ``span_s``; None while readings do not reach back so far."""
        first = self._first_of(span_s)
        return None if first is None else self._level(first, len(self._ends))

    def _first_of(self, span_s: float) -> int | None:
        end = len(self._ends)
        since_s = self._ends[-1] - span_s + 1e-9 if end else 0.0
        first = end - 1
        while first >= self._gap and self._starts[first] > since_s:
            first -= 1
        return first if first >= self._gap else None

    def at_rest(self, span_s: float) -> Level | None:
        """The level of the last ``span_s`` if the readings lay still all the time."""
        first = self._first_of(span_s)
        return self._still(first) if first is not None else None

    def _still(self, first: int) -> Level | None:
        """The level from a bin on, None when a reading strays or an earlier part lies elsewhere."""
        end, sums, counts = len(self._ends), self._sums, self._counts
        if end - first < 2:
            return None
        level = self._level(first, end)
        noise_deg, slack_deg, mean_deg = self._noise_deg, self._slack_deg, level.deg
        whole = counts[end] - counts[first]
        for i in range(first, end):
            n = counts[i + 1] - counts[i]
            off_deg = (sums[i + 1] - sums[i]) / n - mean_deg
            if abs(off_deg) > slack_deg + STEADY * noise_deg / sqrt(n):
                return None
            before = counts[i + 1] - counts[first]
            after = whole - before
            if not after:
                return level
            # The part before lies off the part after by this, as their common mean is known.
            part_deg = ((sums[i + 1] - sums[first]) / before - mean_deg) * whole / after
            if abs(part_deg) > slack_deg + STEADIER * noise_deg * sqrt(whole / before / after):
                return None
        return level

    def rest_after_fall(self, since_s: float, span_s: float) -> Level | None:
        """The level of what lies still since the fall after ``since_s``, ``span_s`` at least."""
        latest = self._first_of(span_s)
        if latest is None:
            return None
        earliest = self._fall_end(since_s)
        if earliest > latest:
            return None
        for first in sorted({earliest, (earliest + latest) // 2, latest}):
            level = self._still(first)
            if level is not None:
                return level
        return None

    def _fall_end(self, since_s: float) -> int:
        """Where the readings best part into a higher stretch and a lower one, and a little on."""
        end, found = len(self._ends), self._parting(since_s)
        ready_s = self._starts[found] + self._guard_s
        while found < end - 1 and self._starts[found] < ready_s:
            found += 1
        return max(found, self._gap)

    def _parting(self, since_s: float) -> int:
        """The first bin of the lower stretch, where the readings best part into two."""
        end = len(self._ends)
        first = end - 1
        while first > 0 and self._starts[first - 1] >= since_s:
            first -= 1
        sums, counts = self._sums, self._counts
        whole_sum, whole_n = sums[end] - sums[first], counts[end] - counts[first]
        best, found = -inf, first
        for i in range(first + 1, end):
            n, total = counts[i] - counts[first], sums[i] - sums[first]
            part = total / n - (whole_sum - total) / (whole_n - n)
            score = part * part * n * (whole_n - n)
            if part > 0 and score > best:
                best, found = score, i
        return found

    def parted(self, since_s: float) -> float:
        """When the readings since then best part into a higher stretch and a lower one."""
        return self._starts[self._parting(since_s)]

    def bins(self, since_s: float) -> list[Level]:
        """The bins since a time, oldest first; of those before a silence none."""
        end = len(self._ends)
        first = end
        while first > self._gap and self._starts[first - 1] >= since_s:
            first -= 1
        return [self._level(i, i + 1) for i in range(first, end)]
