"""The turn of a tube about itself, by a sensor clipped square across it.

What it reads more than its zero is what the hands turned, whatever they did in between. It says
that the tube is turned when it lies still within what was asked: still as a thing that lies, not as
one that is held. What it cannot know it says: nothing heard lately, no zero, an angle that it
cannot read, and a jump that no hand makes or that nobody saw, after which the zero is worth
nothing. A sensor that slips by less, or slowly, looks like a turn.
"""

from collections import deque
from typing import Literal, NamedTuple

from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.trace import Trace

STILL_S = 1.0
"""So long it must lie still before it counts as turned."""

CLAMPED_S = 0.6
"""So long when it is looked at clamped: the operator says when."""

JUMP_DEG, JUMP_S = 4.0, 0.25
"""So far from one calm stretch to another in so short a time goes a sensor that slips, no hand."""

AT_ONCE, ONCE_S = 0.4, 0.1
"""So large a part of a jump comes in so short a time; a hand that turns slowly takes all of it."""

CALM_S, CALM_DEG = 0.3, 0.9
"""A stretch is calm that on average stays so near its mean: a hand that holds trembles less."""

NEAR_DEG, SOON_S, EASING = 12.0, 0.2, 1.5
"""So near the wanted angle a hand eases: in so short a time it goes no further than a jump past so
many times what it went before."""

UNMOVED_DEG = 0.5
"""What lies so near where it was heard last has not been moved."""

MISSED_S, MISSED_PART = 0.3, 1.6
"""A jump over so long a silence is one that nobody saw; so is a sudden one over half of that, where
so many times the usual span is missing."""

TurnState = Literal["", "no zero", "out of reach", "waiting", "slipped", "turning", "turned"]
"""What is known: nothing asked; no zero to count from; the wanted angle lies past what it can read;
no reading now; it jumped; readings come; it lies still within what was asked."""


class Asked(NamedTuple):
    """What the hands are to turn, clockwise over zero seen from the held end, and how near."""

    wanted_deg: float
    tolerance_deg: float


class TurnFollower:
    """The readings of one sensor as a turn; times in seconds that only grow."""

    def __init__(self, profile: SensorProfile) -> None:
        self.profile = profile
        self.zero_deg: float | None = None
        self.slipped = False
        self._asked: Asked | None = None
        self._trace = self._new_trace()
        self._last: tuple[float, float] | None = None
        self._lately: deque[tuple[float, float]] = deque()
        self._round_deg = 0.0
        self._since_s = 0.0

    def _new_trace(self) -> Trace:
        profile = self.profile
        return Trace(profile.noise_deg, profile.resolution_deg, profile.stale_s)

    def read(self, raw_deg: float, at_s: float) -> None:
        """One reading of the sensor."""
        profile = self.profile
        if not profile.least_deg <= raw_deg <= profile.most_deg:
            return
        on_deg = self._step(raw_deg - self._last[0]) if self._last else raw_deg
        silent_s = at_s - self._last[1] if self._last else 0.0
        far = UNMOVED_DEG + 3.0 * profile.noise_deg
        unseen = silent_s > MISSED_S and abs(on_deg) > far
        if unseen or (silent_s > MISSED_S / 2 and self._sudden(on_deg, silent_s)):
            self.slipped, self.zero_deg = True, None
        self._round_deg += on_deg
        self._last = (raw_deg, at_s)
        self._trace.add(self._round_deg, at_s)
        self._lately.append((at_s, self._round_deg))
        while self._lately[0][0] < at_s - 2 * CALM_S - JUMP_S - profile.stale_s:
            self._lately.popleft()
        if self._jumped(at_s) or self._left_quickly(at_s):
            self.slipped, self.zero_deg = True, None
            self._lately.clear()

    def _sudden(self, on_deg: float, silent_s: float) -> bool:
        """Whether it went further while readings were missing than it went before."""
        if len(self._lately) < 3:
            return False
        (then_s, then_deg), (now_s, now_deg) = self._lately[-3], self._lately[-1]
        usual_s = (now_s - then_s) / 2
        speed_deg_s = abs(now_deg - then_deg) / max(now_s - then_s, 1e-3)
        far = JUMP_DEG + 3.0 * self.profile.noise_deg + EASING * speed_deg_s * silent_s
        return silent_s > MISSED_PART * usual_s and abs(on_deg) > far

    def _left_quickly(self, at_s: float) -> bool:
        """Whether it went off from near the wanted angle, quicker than it came there."""
        asked, zero_deg = self._asked, self.zero_deg
        if asked is None or zero_deg is None:
            return False
        earlier = [one for one in self._lately if one[0] <= at_s - SOON_S]
        if len(earlier) < 2:
            return False
        then_s, then_deg = earlier[-1]
        if abs(_wrapped((self._from_zero(then_deg) or 0.0) - asked.wanted_deg)) > NEAR_DEG:
            return False
        long_before = [one for one in earlier if one[0] <= then_s - ONCE_S + 1e-9]
        before_s, before_deg = long_before[-1] if long_before else earlier[-2]
        came_deg_s = abs(then_deg - before_deg) / max(then_s - before_s, 1e-3)
        far = JUMP_DEG + 3.0 * self.profile.noise_deg + EASING * came_deg_s * (at_s - then_s)
        return abs(self._round_deg - then_deg) > far

    def _jumped(self, at_s: float) -> bool:
        """Whether it went from one calm stretch to another quicker than a hand does."""
        after = [deg for time_s, deg in self._lately if time_s > at_s - CALM_S]
        ended_s = at_s - CALM_S - JUMP_S
        before = [deg for time_s, deg in self._lately if ended_s - CALM_S < time_s <= ended_s]
        if len(after) < 2 or len(before) < 2:
            return False
        calm = CALM_DEG + 2.0 * self.profile.noise_deg
        (was, rough), (now, rougher) = _mean_and_rough(before), _mean_and_rough(after)
        if max(rough, rougher) > calm or abs(now - was) <= JUMP_DEG:
            return False
        return self._quickest(ended_s - CALM_S) > AT_ONCE * abs(now - was)

    def _quickest(self, since_s: float) -> float:
        """How far it went at most in about a tenth of a second."""
        most, behind = 0.0, 0
        every = [one for one in self._lately if one[0] > since_s]
        for ahead, (time_s, deg) in enumerate(every):
            while behind + 1 < ahead and every[behind + 1][0] <= time_s - ONCE_S:
                behind += 1
            most = max(most, abs(deg - every[behind][1]))
        return most

    def _step(self, deg: float) -> float:
        """The way from one reading to the next, the short way where they go round."""
        turn = self.profile.wrap_deg
        return (deg + turn / 2) % turn - turn / 2 if turn > 0 else deg

    def stale(self, at_s: float) -> bool:
        """Whether the last reading is too old to stand for now."""
        return self._last is None or at_s - self._last[1] > self.profile.stale_s

    def take_zero(self, at_s: float) -> bool:
        """Count from where it lies now; whether it lies still enough for that."""
        level = None if self.stale(at_s) else self._trace.at_rest(CLAMPED_S)
        self.zero_deg = None if level is None else level.deg
        self.slipped = False
        return level is not None

    def lose_zero(self) -> None:
        """Forget it: the sensor was taken off, or the tube laid end for end."""
        self.zero_deg = None

    def ask(self, asked: Asked | None, at_s: float) -> None:
        """What the hands are to turn now; None for nothing. What lay before is not taken for it."""
        self._asked, self._since_s = asked, at_s

    def turned_deg(self) -> float | None:
        """What the hands have turned by the last reading, clockwise over zero."""
        return None if self._last is None else self._from_zero(self._round_deg)

    def clamped_deg(self, at_s: float) -> float | None:
        """The same where it lies still now, looked at because the tube was clamped."""
        level = None if self.stale(at_s) else self._trace.at_rest(CLAMPED_S)
        return None if level is None else self._from_zero(level.deg)

    def lies_at(self, at_s: float) -> float | None:
        """Where it lies still now, whatever it counts from; None while it does not."""
        level = None if self.stale(at_s) else self._trace.at_rest(CLAMPED_S)
        return None if level is None else level.deg

    def _from_zero(self, deg: float) -> float | None:
        if self.zero_deg is None:
            return None
        return _wrapped(self.profile.sign * (deg - self.zero_deg))

    def state(self, at_s: float) -> TurnState:
        """What is known now."""
        if self._asked is None:
            return ""
        if self.slipped:
            return "slipped"
        if self.zero_deg is None:
            return "no zero"
        if not self._reaches(self._asked.wanted_deg):
            return "out of reach"
        if self.stale(at_s):
            return "waiting"
        return "turned" if self._lies(at_s) else "turning"

    def _reaches(self, wanted_deg: float) -> bool:
        """Whether the sensor can read the angle that is wanted."""
        profile = self.profile
        assert self.zero_deg is not None
        raw = self.zero_deg + profile.sign * wanted_deg
        turns = (0.0,) if profile.wrap_deg <= 0 else (-2, -1, 0, 1, 2)
        around = (raw + n * profile.wrap_deg for n in turns)
        return any(profile.least_deg <= one <= profile.most_deg for one in around)

    def _lies(self, at_s: float) -> bool:
        """Whether it lies still within what was asked, and did so since it was asked."""
        level = self._trace.at_rest(STILL_S)
        if level is None or self._asked is None or level.start_s < self._since_s:
            return False
        by = self._from_zero(level.deg)
        off = None if by is None else abs(_wrapped(by - self._asked.wanted_deg))
        return off is not None and off <= self._asked.tolerance_deg


def _mean_and_rough(degs: list[float]) -> tuple[float, float]:
    """The mean, and how far off it they are on average."""
    mean = sum(degs) / len(degs)
    return mean, sum(abs(deg - mean) for deg in degs) / len(degs)


def _wrapped(turn_deg: float) -> float:
    """The same turn from over -180 to 180 degrees."""
    return 180.0 - (180.0 - turn_deg) % 360.0
