"""What is known of a pull whose readings stopped for a while."""

from typing import NamedTuple

from benchcalc.sensor.expectation import LEAST_SHARE
from benchcalc.sensor.falls import Falls
from benchcalc.sensor.trace import SURE, Level, Trace

BLIND_S = 0.25
"""In a gap this long the tube may have been let go unseen: a still reading may be a free tube."""

RESTED_S = 0.5
"""Lying still so long beside a gap tells where the reading stood."""

BACK_OFF_S = 1.5
"""In a shorter gap nobody pulls on from a hold and brings the arm back to where it was."""

FORGET_S = 5.0
"""After a silence this long it is not known what happened meanwhile: the operator is asked."""


class _Gap(NamedTuple):
    """What is known beside a gap: where it lay still before, and whether the fall was seen."""

    rest: Level | None
    seen: bool
    length_s: float


class Gaps:
    """The gap in the readings of one pull that matters, if there is one."""

    def __init__(self, trace: Trace, falls: Falls, on_arm: bool) -> None:
        self._trace, self._falls, self._on_arm = trace, falls, on_arm
        self._gap: _Gap | None = None
        self._after: Level | None = None
        self.forgot = False

    @property
    def open(self) -> bool:
        """Whether there was one since the tube was surely loaded."""
        return self._gap is not None

    @property
    def hid_fall(self) -> bool:
        """Whether a fall may lie in it."""
        return self._gap is not None and not self._gap.seen

    @property
    def rest(self) -> Level | None:
        """Where the reading lay before a gap that may hide a fall."""
        return self._gap.rest if self._gap is not None and self.hid_fall else None

    @property
    def hid_peak(self) -> bool:
        """Whether a higher peak may lie in it: long enough to pull on and back the arm off."""
        if self._gap is None or not self.hid_fall:
            return False
        known = self._gap.rest is not None and (not self._on_arm or self._gap.length_s < BACK_OFF_S)
        return not known

    def came(self, length_s: float) -> None:
        """Readings stopped for so long and are there again; the trace has none of them yet."""
        if length_s <= BLIND_S:
            return
        self._gap = self._gap or self._before(length_s)
        self._after = None
        self.forgot = self.forgot or length_s > FORGET_S

    def _before(self, length_s: float) -> _Gap:
        trace = self._trace
        last, peak, rest = trace.lately(0.0), trace.peak, trace.at_rest(RESTED_S)
        fallen = last and peak and trace.sure_high(last) < trace.sure_low(peak)
        return _Gap(rest, bool(fallen or (rest and self._came_down(rest))), length_s)

    def _came_down(self, rest: Level) -> bool:
        """Whether it lay still already where a release had brought it."""
        peak, recent = self._trace.peak, self._trace.recent_peak(rest.start_s)
        down = peak and recent and self._falls.surely(recent, rest, SURE)
        return bool(down and self._falls.in_band(peak or rest, recent or rest, rest))

    def see(self, short: Level | None, off_peak: bool) -> None:
        """After a gap it is not known whether the tube was let go meanwhile.

        Not until it is pulled on; a fall is seen all the same when it lay still near its peak.
        """
        if self._gap is None:
            return
        on_tube = None if self._on_arm else short  # a tube that is free falls no further
        if self._after is None:
            self._after = short
        elif self._falls.above(short, self._after) and not off_peak:
            self._gap = None
        elif not self._gap.seen and (rest := self._trace.at_rest(RESTED_S) or on_tube):
            peak = self._trace.peak or rest
            loaded = peak.deg - rest.deg < LEAST_SHARE * self._falls.expectation.band_deg[0]
            self._gap = self._gap._replace(seen=loaded)
