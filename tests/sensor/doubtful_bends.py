"""Recordings of bends that lie: spikes, gaps, slips, drifts, releases eased or made twice.

The bench here shares nothing with the one of ``simulated_bends`` or with what the settler believes:
the tube's release is no straight line, it creeps on after it was let go, the hand trembles, the
sensor averages over a while, and its noise remembers what it was. Each recording ends with the tube
free and lying still, and with the truth about it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, pi, sin, sqrt
from random import Random
from typing import NamedTuple

from benchcalc.sensor.expectation import Expectation
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settle import Settler
from benchcalc.sensor.settling import State

STEP_S = 0.01
REST_S = 7.0
TREMOR_DEG, TREMOR_HZ = 0.03, 9.0
"""Of a hand that holds a load; eight to twelve a second is what physiology books give, the size is
from common practice."""

CREEP, CREEP_S = 0.03, 0.7
"""Share of the release that comes late, and how late: assumed."""


class Reading(NamedTuple):
    """What the sensor said, and when."""

    at_s: float
    deg: float


@dataclass(frozen=True, slots=True)
class Recording:
    """What was heard of one bend, what was expected of it, and what the tube really came to."""

    kind: str
    profile: SensorProfile
    expectation: Expectation
    readings: tuple[Reading, ...]
    rest_deg: float
    let_go_s: float
    free_s: float

    @property
    def within(self) -> bool:
        """Whether the tube at rest is good, as far as this sensor can tell."""
        profile = self.profile
        known_deg = profile.resolution_deg + 4 * profile.noise_deg / sqrt(0.8 * self._rate_hz)
        off_deg = abs(self.rest_deg - self.expectation.target_deg)
        return off_deg <= self.expectation.tolerance_deg + known_deg

    @property
    def _rate_hz(self) -> float:
        first, last = self.readings[0].at_s, self.readings[-1].at_s
        return (len(self.readings) - 1) / max(last - first, 1e-6)


class Bent:
    """The truth of one bend, a point every hundredth of a second, drawn move by move."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.release_share = random.uniform(0.012, 0.04)
        self.release_bow = random.uniform(0.1, 0.6)
        self.true_deg: list[float] = []
        self.arm_deg, self.set_deg = 0.0, 0.0
        self.loaded_s = 0.0
        self._phase = random.uniform(0, 2 * pi)

    def release_deg(self, loaded_deg: float) -> float:
        """What this tube gives back from a loaded angle: of the first degrees more."""
        bow = 1 - exp(-loaded_deg / 12)
        return (self.release_share * loaded_deg + self.release_bow) * bow

    @property
    def now_s(self) -> float:
        return len(self.true_deg) * STEP_S

    def hand(self, to_deg: float, seconds: float) -> None:
        """The hand brings the arm somewhere, or holds it."""
        steps, start_deg = max(round(seconds / STEP_S), 1), self.arm_deg
        for step in range(1, steps + 1):
            share = step / steps
            smooth = share * share * (3 - 2 * share)
            self.arm_deg = start_deg + (to_deg - start_deg) * smooth
            shake_deg = TREMOR_DEG * sin(2 * pi * TREMOR_HZ * self.now_s + self._phase)
            bent_deg = self.arm_deg - self.release_deg(self.arm_deg)
            self.set_deg = max(self.set_deg, bent_deg)
            under_load = self.arm_deg > self.set_deg
            shaken_deg = self.arm_deg + (shake_deg if under_load else 0.0)
            self.true_deg.append(max(self.set_deg, shaken_deg))
        self.loaded_s = self.now_s

    def let_go(self, seconds: float, rest_s: float) -> None:
        """The hand opens; most of the release at once, the rest of it creeps."""
        from_deg, began = max(self.arm_deg, self.set_deg), len(self.true_deg)
        late_deg = CREEP * (from_deg - self.set_deg)
        for step in range(round((seconds + rest_s) / STEP_S)):
            at_s = step * STEP_S
            share = min(at_s / seconds, 1.0)
            quick = 1 - share * share * (3 - 2 * share)
            height_deg = (from_deg - self.set_deg - late_deg) * quick
            self.true_deg.append(self.set_deg + height_deg + late_deg * exp(-at_s / CREEP_S))
        self.arm_deg = self.set_deg
        self.loaded_s = began * STEP_S


@dataclass(slots=True)
class Sensor:
    """How the truth becomes readings; ``added`` are errors of its own by time, in degrees."""

    random: Random
    profile: SensorProfile
    rate_hz: float
    memory: float = 0.3

    def readings(
        self, true_deg: list[float], added: Callable[[float], float] = lambda _: 0.0
    ) -> list[Reading]:
        """What it says of this; the mean of a while, noise that remembers, steps."""
        span = max(round(2 * self.profile.lag_s / STEP_S), 1)
        heard, at_s, noise_deg = [], self.random.uniform(0, 1 / self.rate_hz), 0.0
        fresh_deg = self.profile.noise_deg * sqrt(1 - self.memory**2)
        while (now := round(at_s / STEP_S)) < len(true_deg):
            seen = true_deg[max(now - span + 1, 0) : now + 1]
            noise_deg = self.memory * noise_deg + self.random.gauss(0, fresh_deg)
            deg = sum(seen) / len(seen) + noise_deg + added(at_s)
            step_deg = self.profile.resolution_deg
            heard.append(Reading(at_s, round(deg / step_deg) * step_deg))
            at_s += self.random.uniform(0.97, 1.03) / self.rate_hz
        return heard


class Base(NamedTuple):
    """A bend drawn so far that only its release is missing."""

    bent: Bent
    sensor: Sensor
    loaded_deg: float
    target_deg: float
    expected_deg: float
    let_go_s: float


def base(random: Random, hold_s: float | None = None) -> Base:
    """Seated, pulled, held. Half are pulled only to the target: let go they come out under."""
    noise_deg = random.choice((0.02, 0.05, 0.1))
    resolution_deg = random.choice((0.01, 0.05, 0.1))
    rate_hz = random.choice((5.0, 10.0, 10.0, 20.0, 50.0))
    profile = SensorProfile(
        "doubtful", NmeaXdr(), resolution_deg=resolution_deg, noise_deg=noise_deg,
        lag_s=random.choice((0.0, 0.05, 0.1)),
    )  # fmt: skip
    bent = Bent(random)
    loaded_deg = random.uniform(25, 130)
    release_deg = bent.release_deg(loaded_deg)
    expected_deg = release_deg * random.uniform(0.8, 1.2)
    off_deg = random.choice((0.0, 0.4, -0.4, release_deg, release_deg, release_deg - 0.4))
    bent.hand(0.0, random.uniform(1.0, 2.0))
    near_deg = loaded_deg - random.uniform(1.0, 4.0)
    if random.random() < 0.3:
        bent.hand(near_deg * random.uniform(0.3, 0.8), random.uniform(0.6, 2.0))
        bent.hand(bent.arm_deg, random.uniform(0.3, 3.0))
    bent.hand(near_deg, max(near_deg - bent.arm_deg, 10) / random.uniform(15, 60) * 1.5)
    bent.hand(loaded_deg, random.uniform(0.6, 2.0))
    bent.hand(loaded_deg, random.uniform(1.0, 6.0) if hold_s is None else hold_s)
    target_deg = loaded_deg - release_deg + off_deg
    sensor = Sensor(random, profile, rate_hz)
    return Base(bent, sensor, loaded_deg, target_deg, expected_deg, bent.now_s)


def recorded(made: Base, kind: str, readings: list[Reading]) -> Recording:
    """A recording of a base whose tube is free by now."""
    expectation = Expectation(
        made.target_deg, 0.5, made.expected_deg, 0.15 * made.expected_deg + 0.05
    )
    bent = made.bent
    return Recording(
        kind, made.sensor.profile, expectation, tuple(readings), bent.set_deg, made.let_go_s,
        bent.now_s - REST_S,
    )  # fmt: skip


def _let_go(made: Base) -> None:
    made.bent.let_go(made.bent.random.uniform(0.1, 0.6), REST_S)


def plain(random: Random) -> Recording:
    """Nothing is wrong with it."""
    made = base(random, random.uniform(0.3, 6.0))
    _let_go(made)
    return recorded(made, "plain", made.sensor.readings(made.bent.true_deg))


def spikes(random: Random) -> Recording:
    """Readings that are nowhere near the truth: alone or two together; most while it is held."""
    made = base(random)
    _let_go(made)
    readings = made.sensor.readings(made.bent.true_deg)
    high_deg = made.bent.release_deg(made.loaded_deg)
    for _ in range(random.choice((1, 1, 2, 5))):
        held = random.random() < 0.7
        at_s = random.uniform(made.let_go_s - 1.5 if held else 0.5, made.let_go_s + 3 * (not held))
        first = min(range(len(readings)), key=lambda i: abs(readings[i].at_s - at_s))
        off_deg = random.choice((high_deg, high_deg, -high_deg, random.uniform(-90, 90)))
        for i in range(first, min(first + random.choice((1, 1, 2)), len(readings))):
            readings[i] = replace_deg(readings[i], readings[i].deg + off_deg)
    return recorded(made, "spikes", readings)


def replace_deg(reading: Reading, deg: float) -> Reading:
    """The same moment with another angle."""
    return Reading(reading.at_s, deg)


def gaps(random: Random) -> Recording:
    """Readings are missing: somewhere, or just while it was let go."""
    made = base(random)
    _let_go(made)
    readings = made.sensor.readings(made.bent.true_deg)
    for _ in range(random.choice((1, 1, 2))):
        length_s = random.choice((0.3, 0.6, 1.5, 3.0, 6.0)) * random.uniform(0.8, 1.2)
        near = random.random() < 0.6
        at_s = random.uniform(1, made.let_go_s + 3)
        if near:
            at_s = made.let_go_s - random.uniform(0, 1) * length_s
        readings = [r for r in readings if not at_s <= r.at_s < at_s + length_s]
    return recorded(made, "gaps", readings)


def slips(random: Random) -> Recording:
    """The sensor moves on its seat, once, while the tube is held or lies free."""
    made = base(random, random.uniform(2.0, 6.0))
    _let_go(made)
    release_deg = made.bent.release_deg(made.loaded_deg)
    size_deg = random.choice((release_deg, -release_deg, random.uniform(0.6, 5)))
    size_deg *= random.choice((1, 1, -1))
    at_s = random.choice((
        made.let_go_s - random.uniform(0.6, 1.4), made.let_go_s + random.uniform(1.2, 4.0),
    ))  # fmt: skip
    readings = made.sensor.readings(
        made.bent.true_deg, lambda now_s: size_deg if now_s >= at_s else 0.0
    )
    return recorded(made, "slips", readings)


def drifts(random: Random) -> Recording:
    """The sensor creeps: to the end, or up while held and down again at another speed."""
    made = base(random, random.uniform(4.0, 12.0))
    _let_go(made)
    if random.random() < 0.5:
        rate_deg_s = random.choice((-1, 1)) * random.uniform(0.1, 0.5)
        from_s = random.uniform(1.0, made.let_go_s)
        readings = made.sensor.readings(
            made.bent.true_deg, lambda now_s: rate_deg_s * max(now_s - from_s, 0)
        )
        return recorded(made, "drifts", readings)
    return _there_and_back(made)


def _there_and_back(made: Base) -> Recording:
    """Up by about a release while the hand holds, and down again in some seconds."""
    random, bent = made.bent.random, made.bent
    size_deg = bent.release_deg(made.loaded_deg) * random.uniform(0.6, 1.3)
    up_s, down_s = random.uniform(3, 60), random.uniform(3, 15)
    del bent.true_deg[round(made.let_go_s / STEP_S) :]
    bent.arm_deg = made.loaded_deg
    began_s = bent.now_s
    bent.hand(made.loaded_deg, up_s + down_s + random.uniform(1, 4))
    made = made._replace(let_go_s=bent.now_s)
    _let_go(made)

    def added(now_s: float) -> float:
        since_s = now_s - began_s
        if since_s < up_s:
            return size_deg * max(since_s, 0) / up_s
        return size_deg * max(1 - (since_s - up_s) / down_s, 0)

    return recorded(made, "drifts", made.sensor.readings(bent.true_deg, added))


def eased(random: Random) -> Recording:
    """The hand gives way bit by bit, holds on the way, and lets go in the end."""
    made = base(random)
    bent = made.bent
    left = 1.0
    for _ in range(random.choice((1, 1, 2, 3))):
        left *= random.uniform(0.1, 0.8)
        release_deg = bent.release_deg(made.loaded_deg)
        bent.hand(bent.set_deg + left * release_deg, random.choice((0.2, 0.5, 1.0, 4.0)))
        bent.hand(bent.arm_deg, random.uniform(0.3, 4.0))
    made = made._replace(let_go_s=bent.now_s)
    _let_go(made)
    return recorded(made, "eased", made.sensor.readings(bent.true_deg))


def twice(random: Random) -> Recording:
    """Let go, taken up again, less far or a little farther, and let go again."""
    made = base(random)
    bent = made.bent
    for _ in range(random.choice((1, 1, 2))):
        bent.let_go(random.uniform(0.1, 0.6), random.uniform(0.2, 3.0))
        release_deg = bent.release_deg(made.loaded_deg)
        again_deg = bent.set_deg + random.choice((0.3, 0.6, 1.0, 1.3)) * release_deg
        bent.hand(again_deg, random.uniform(0.3, 1.0))
        bent.hand(again_deg, random.uniform(0.2, 4.0))
    made = made._replace(let_go_s=bent.now_s)
    _let_go(made)
    return recorded(made, "twice", made.sensor.readings(bent.true_deg))


MUTATIONS = (spikes, gaps, slips, drifts, eased, twice)


def mutated(count: int, seed: str = "") -> list[Recording]:
    """So many doubtful bends, each kind as often as the next."""
    return [
        MUTATIONS[i % len(MUTATIONS)](Random(f"doubtful {seed}{i}")) for i in range(count)
    ]  # fmt: skip


def ended_as(recording: Recording) -> State:
    """The state in which the settler leaves it; nobody is there to tap."""
    settler = Settler(recording.expectation, recording.profile)
    for at_s, deg in recording.readings:
        settler.tick(at_s)
        settler.read(deg, at_s)
    return settler.state
