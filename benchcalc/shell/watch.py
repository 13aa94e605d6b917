"""One sensor watched: its port, its conversation, its angle, and whether the bend is final.

The loop calls ``look`` at each turn and gets what happened, oldest first. Nothing here waits.
"""

from collections import deque
from typing import NamedTuple, Protocol

from benchcalc.report.told import Told, told, verbatim
from benchcalc.sensor.angle import BendAngle, bend_angle, mean_raw
from benchcalc.sensor.events import BadFrame, Event, Reading, Silence, Unused
from benchcalc.sensor.expectation import Expectation, Outcome
from benchcalc.sensor.link import Link
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settle import STILL_S, Doubt, Settler
from benchcalc.sensor.settling import State
from benchcalc.sensor.sieve import SetAside
from benchcalc.sensor.trace import Trace
from benchcalc.shell.port import Chunk, HandleSaid, Item, PortNews

RATE_OVER_S = 2.0


class Wire(Protocol):
    """What is needed of a port."""

    def take(self) -> list[Item]:
        """What came since the last call."""

    def send(self, data: bytes) -> None:
        """Send soon."""


class Live(NamedTuple):
    """What may be shown now. A stale reading is shown with its age, never as the angle."""

    bend: BendAngle | None
    raw_deg: float | None
    age_s: float
    stale: bool
    rate_hz: float
    state: State | None
    loaded_deg: float | None
    doubt: Doubt = ""


class StateChanged(NamedTuple):
    """The bend went into another state of ``sensor.settle.TABLE``."""

    state: State
    at_s: float


News = PortNews | Event | SetAside | Outcome | StateChanged


class SensorWatch:
    """A sensor and what is made of its readings; ``zero_deg`` is None until it is known."""

    def __init__(self, profile: SensorProfile, wire: Wire, at_s: float) -> None:
        self.profile = profile
        self.zero_deg = profile.zero_deg
        self._wire = wire
        self._link = Link(profile, at_s)
        self._settler: Settler | None = None
        self._last: Reading | None = None
        self._cut = False
        self._released: HandleSaid | None = None
        self._times: deque[float] = deque()
        self._raws: deque[tuple[float, float]] = deque()

    def look(self, at_s: float) -> list[News]:
        """Everything that happened since the last look."""
        news: list[News] = []
        for item in self._wire.take():
            if isinstance(item, Chunk):
                self._link.receive_data(item.data, item.at_s)
            elif isinstance(item, HandleSaid):
                self._hear(item)
            elif item.kind == "no line":
                news.append(item)
            else:
                self._hear(HandleSaid(False, item.at_s))  # what it says meanwhile nobody knows
                self._cut = True  # what was read before is not what a line says now
                if item.kind == "opened":
                    self._link.line_lost(item.at_s)
                news.append(item)
            self._draw(news)
        self._wire.send(self._link.tick(at_s))
        self._draw(news)
        if self._settler is not None:
            before = self._settler.state
            self._settler.tick(at_s)
            self._note(before, at_s, news)
        return news

    def _hear(self, said: HandleSaid) -> None:
        """The handle's switch; a bend that is expected later begins with what it said last."""
        self._released = said
        if self._settler is not None:
            self._settler.handle.heard(*said)

    def released(self, at_s: float) -> None:
        """A key or pedal says that the handle was let go just now."""
        if self._settler is not None:
            self._settler.handle.pressed(at_s)

    def _draw(self, news: list[News]) -> None:
        while (event := self._link.next_event()) is not None:
            news.append(event)
            if isinstance(event, Reading):
                self._take(event, news)

    def _take(self, reading: Reading, news: list[News]) -> None:
        if not self.profile.least_deg <= reading.value_deg <= self.profile.most_deg:
            news.append(SetAside("outside", reading.value_deg, reading.at_s))
            return
        self._last, self._cut = reading, False
        self._times.append(reading.at_s)
        self._raws.append((reading.at_s, reading.value_deg))
        while self._times[0] < reading.at_s - RATE_OVER_S:
            self._times.popleft()
        while self._raws[0][0] < reading.at_s - STILL_S - self.profile.stale_s:
            self._raws.popleft()
        settler, angle = self._settler, self._angle(reading)
        if settler is None or angle is None:
            return
        before = settler.state
        outcome = settler.read(angle.bend_deg, reading.at_s)
        news.extend(settler.aside)
        settler.aside.clear()
        self._note(before, reading.at_s, news)
        if outcome is not None:
            news.append(outcome)

    def _note(self, before: State, at_s: float, news: list[News]) -> None:
        if self._settler is not None and self._settler.state != before:
            news.append(StateChanged(self._settler.state, at_s))

    def _angle(self, reading: Reading) -> BendAngle | None:
        if self.zero_deg is None:
            return None
        return bend_angle(reading.value_deg, self.zero_deg, self.profile)

    def expect(self, expectation: Expectation | None) -> bool:
        """Begin to follow a bend, from before its pull; None ends it. Whether it is another bend.

        A bend that has a verdict and the same target is followed on: what comes is its next pull.
        """
        settler = self._settler
        judged = settler is not None and settler.outcome is not None
        if settler and expectation and judged and _same_bend(settler.expectation, expectation):
            settler.aim(expectation)
            return False
        self._settler = self._begun(expectation) if expectation else None
        return True

    def _begun(self, expectation: Expectation) -> Settler:
        settler = Settler(expectation, self.profile)
        if self._released is not None:
            settler.handle.heard(*self._released)
        return settler

    @property
    def outcome(self) -> Outcome | None:
        """What the bend that is followed came to, by the last verdict on it."""
        return self._settler.outcome if self._settler is not None else None

    def tap(self, at_s: float) -> Outcome | None:
        """The operator says that the tube is free; None when the reading does not lie still."""
        return self._settler.tap(at_s) if self._settler is not None else None

    def take_zero(self, at_s: float) -> float | None:
        """Take what the sensor says now as the zero; None when it is silent or does not lie still.

        A bend that was being followed begins anew: its readings had another zero.
        """
        profile, wrap_deg = self.profile, self.profile.wrap_deg
        if self._last is None or self._stale(at_s):
            return None
        origin_deg = self._last.value_deg
        trace = Trace(profile.noise_deg, profile.resolution_deg, profile.stale_s)
        near = [mean_raw([origin_deg, raw], wrap_deg) * 2 - origin_deg for _, raw in self._raws]
        for (time_s, _), raw_deg in zip(self._raws, near, strict=True):
            trace.add(raw_deg, time_s)
        level = trace.at_rest(STILL_S)
        if level is None:
            return None
        self.zero_deg = level.deg
        if self._settler is not None:
            self._settler = self._begun(self._settler.expectation)
        return self.zero_deg

    def _stale(self, at_s: float) -> bool:
        """Whether the last reading is too old to stand for now, or from before the line was cut."""
        return self._cut or self._last is None or at_s - self._last.at_s > self.profile.stale_s

    def live(self, at_s: float) -> Live:
        """What may be shown at this moment."""
        last, settler = self._last, self._settler
        age_s = at_s - last.at_s if last else float("inf")
        times = [time_s for time_s in self._times if time_s > at_s - RATE_OVER_S]
        span_s = times[-1] - times[0] if len(times) > 1 else 0.0
        return Live(
            self._angle(last) if last else None,
            last.value_deg if last else None,
            age_s,
            self._stale(at_s),
            (len(times) - 1) / span_s if span_s > 0 else 0.0,
            settler.state if settler else None,
            settler.loaded_deg if settler else None,
            settler.doubt if settler and settler.state == "asking" else "",
        )


def _same_bend(one: Expectation, other: Expectation) -> bool:
    return one[:2] == other[:2]


def trouble_told(event: Silence | BadFrame | Unused) -> Told:
    """What is wrong with the conversation, and what to do."""
    if isinstance(event, Silence):
        seconds = f"{event.at_s - event.since_s:.0f}"
        return told("sensor.garbled" if event.heard else "sensor.silent", seconds=seconds)
    return verbatim(f"{event.why}: {ascii(event.raw)[2:-1]}")
