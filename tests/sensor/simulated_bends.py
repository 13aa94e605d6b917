"""Thousands of bends on a bench made of code, each judged against what the tube really did."""

from collections import deque
from dataclasses import dataclass, field
from math import sqrt
from random import Random
from typing import NamedTuple

from benchcalc.sensor.expectation import Expectation, Outcome
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settle import STILL_S, Settler
from benchcalc.shell.simulated_bench import (
    Flaws,
    Habits,
    Hand,
    Move,
    Operator,
    SimulatedSensor,
    SimulatedTube,
    Springiness,
)

NOISES_DEG = (0.02, 0.05, 0.1, 0.2, 0.3)
RATES_HZ = (5, 10, 20, 50, 100)
ASKED = ("asking", "touching")
WATCH_S = 5.2
IN_TIME_S = 3.0
JUST_NOW_S = 0.25
TOUCH_DEG = 0.02
"""An arm nearer to the tube than this lies on it; one further past its spring loads it."""


class Cell(NamedTuple):
    """A place in the table."""

    noise_deg: float
    rate_hz: int

    @property
    def mean_noise_deg(self) -> float:
        """The standard deviation of the mean over the time of lying still."""
        return self.noise_deg / sqrt(STILL_S * self.rate_hz)


@dataclass(slots=True)
class Bend:
    """One bend and what came of it. Times in seconds, angles in degrees."""

    cell: Cell
    rides: str
    release_deg: float
    resolution_deg: float
    hold_s: float
    seen_loaded: int = 0
    gap_at_release: bool = False
    still_at_s: float | None = None
    by_itself_s: float | None = None
    asked: bool = False
    error_deg: float | None = None
    tap_error_deg: float | None = None
    faults: list[str] = field(default_factory=list)

    @property
    def clear(self) -> bool:
        """Whether the release stands out, so that the sensor is to see it by itself."""
        n = min(self.seen_loaded, STILL_S * self.cell.rate_hz)
        stands_out = n > 0 and self.release_deg >= 5 * self.cell.noise_deg / sqrt(n)
        return self.rides != "arm dropped" and stands_out


class Moment(NamedTuple):
    """How things truly stood when a reading was due."""

    at_s: float
    arm_deg: float
    set_deg: float
    seen_deg: float


class _Stage:
    """The bench while one bend is made."""

    def __init__(self, cell: Cell, random: Random) -> None:
        self.cell, self.random = cell, random
        self.rides = random.choices(("tube", "arm kept on", "arm dropped"), (0.6, 0.2, 0.2))[0]
        resolution_deg = random.choice((0.01, 0.02, 0.05, 0.1))
        self.profile = SensorProfile(
            "simulated", NmeaXdr(), rides="tube" if self.rides == "tube" else "arm",
            resolution_deg=resolution_deg, noise_deg=cell.noise_deg,
            lag_s=random.uniform(0, 0.15),
        )  # fmt: skip
        flaws = Flaws(cell.noise_deg, resolution_deg, self.profile.lag_s)
        self.sensor = SimulatedSensor(flaws, self.profile, random)
        self.tube = SimulatedTube(Springiness(random.uniform(0, 0.5), random.uniform(0.004, 0.04)))
        self.hand = Hand()
        self.operator = Operator(Habits(overshoots=0.0, pauses=0.0), random)
        self.loaded_deg = random.uniform(20, 140)
        self.release_deg = self.tube.springiness.release_deg(self.loaded_deg)
        off_deg = random.choice((0.0, 0.0, 0.0, -1.5, 1.0))
        self.settler = Settler(
            Expectation(
                self.loaded_deg - self.release_deg - off_deg, 0.5,
                self.release_deg * max(random.gauss(1, 0.08), 0.7), 0.1 * self.release_deg + 0.03,
            ),
            self.profile,
        )  # fmt: skip
        self.now_s, self.arm_deg, self.true_deg = 0.0, 0.0, 0.0
        self.quiet_until_s, self.drop_at_s = 0.0, random.uniform(2, 30)
        self.drop_s = random.uniform(0.2, 3.0) if random.random() < 0.2 else 0.0
        hold_s = 0.0 if random.random() < 0.05 else 30 * random.random() ** 2
        self.bend = Bend(cell, self.rides, self.release_deg, resolution_deg, hold_s)
        self.past: deque[Moment] = deque(maxlen=80)

    def step(self) -> Outcome | None:
        """One reading on: the hand, the tube, the sensor, what is made of it."""
        jitter = self.random.uniform(-0.05, 0.05)
        self.now_s += (1 + jitter) / self.cell.rate_hz
        self.arm_deg = self.hand.arm_deg(self.now_s)
        self.true_deg = self.tube.follow(self.arm_deg)
        seen_deg = self.true_deg if self.rides == "tube" else self.arm_deg
        self.past.append(Moment(self.now_s, self.arm_deg, self.tube.set_deg, seen_deg))
        raw_deg = self.sensor.raw_deg(seen_deg, self.now_s)
        if self.drop_s and self.now_s > self.drop_at_s:
            self.quiet_until_s, self.drop_s = self.now_s + self.drop_s, 0.0
        lost = self.now_s < self.quiet_until_s or self.random.random() < 0.01
        self.settler.tick(self.now_s)
        near_deg = max(self.cell.noise_deg / 2, self.profile.resolution_deg)
        if not lost and self.sensor.followed_deg > self.loaded_deg - near_deg:
            self.bend.seen_loaded += 1
        outcome = None if lost else self.settler.read(raw_deg, self.now_s)
        if outcome is not None and outcome.by == "sensor":
            self._judge(outcome)
        return outcome

    def _judge(self, outcome: Outcome) -> None:
        """What may not be when an angle is called final.

        What began since the last reading but one, and the sensor's lag, no sensor can have told.
        """
        bend = self.bend
        known_s = self.now_s - 1.2 / self.cell.rate_hz - self.profile.lag_s
        since = [moment for moment in self.past if moment.at_s >= known_s]
        loaded_deg = min(moment.arm_deg - moment.set_deg for moment in since)
        if loaded_deg > TOUCH_DEG:
            bend.faults.append(f"loaded by {loaded_deg:.2f}")
        air_deg = min(moment.set_deg - moment.arm_deg for moment in since)
        if self.rides != "tube" and air_deg > TOUCH_DEG:
            bend.faults.append(f"arm in the air by {air_deg:.2f}")
        before = next(m for m in self.past if m.at_s >= known_s - JUST_NOW_S)
        if abs(since[0].seen_deg - before.seen_deg) > TOUCH_DEG:
            bend.faults.append("moving")

    def moved(self, *moves: Move) -> None:
        """Make moves to their end; an outcome meanwhile is judged and else let be."""
        self.hand.do(*moves, at_s=self.now_s)
        while self.hand.busy:
            self.step()


def bends(cell: Cell, count: int, seed: str = "") -> list[Bend]:
    """The first ``count`` bends of a cell; each has a seed of its own, after the table's."""
    own = f"{seed}{cell.noise_deg}-{cell.rate_hz}"
    return [run_bend(cell, Random(f"{own}-{i}")) for i in range(count)]


def cells() -> list[Cell]:
    """All places of the table."""
    return [Cell(noise_deg, rate_hz) for noise_deg in NOISES_DEG for rate_hz in RATES_HZ]


class Row(NamedTuple):
    """What came of the bends of one cell, counted."""

    bends: int
    false: int
    clear: int
    in_time: int
    late: int
    asked: int
    taken: int
    off_by_3: int
    off_by_5: int
    neither: int


def row_of(made: list[Bend]) -> Row:
    """Count them. Off: farther from the truth than a resolution step and so many noise/sqrt(n)."""
    clear = [bend for bend in made if bend.clear]
    took = [b.by_itself_s - b.still_at_s for b in clear if b.by_itself_s and b.still_at_s]
    taken = [bend for bend in made if bend.error_deg is not None]
    off = [
        (abs(bend.error_deg or 0.0) - bend.resolution_deg) / bend.cell.mean_noise_deg
        for bend in taken
    ]
    return Row(
        len(made),
        sum(bool(bend.faults) for bend in made),
        len(clear),
        sum(seconds <= IN_TIME_S for seconds in took),
        sum(seconds > IN_TIME_S for seconds in took),
        sum(bend.asked for bend in clear),
        len(taken),
        sum(share > 3 for share in off),
        sum(share > 5 for share in off),
        sum(bend.by_itself_s is None and not bend.asked for bend in made),
    )


def run_bend(cell: Cell, random: Random) -> Bend:
    """Make one bend, from a straight tube to the angle taken or given up."""
    stage = _Stage(cell, random)
    bend, hand, tube = stage.bend, stage.hand, stage.tube
    hand.do(Move(0.0, random.uniform(0, 1.5)), at_s=0.0)
    _pull(stage, stage.loaded_deg)
    _hold(stage, bend.hold_s)
    bend.release_deg = stage.loaded_deg - tube.set_deg
    away_deg = random.uniform(5, 60) if stage.rides != "arm kept on" else 0.0
    let_go = stage.operator.let_go(stage.arm_deg, tube.set_deg - away_deg)
    hand.do(*let_go, at_s=stage.now_s)
    bend.gap_at_release = stage.quiet_until_s > stage.now_s
    while hand.busy or abs(stage.sensor.followed_deg - _seen(stage)) > bend.resolution_deg / 2:
        outcome = stage.step()
        if outcome is not None and stage.arm_deg <= tube.set_deg + TOUCH_DEG:
            _take(stage, outcome)
    bend.still_at_s = stage.now_s
    while stage.now_s < bend.still_at_s + WATCH_S:
        outcome = stage.step()
        if bend.by_itself_s is None and stage.quiet_until_s > bend.still_at_s:
            bend.still_at_s = stage.quiet_until_s  # lying still counts from where it is seen
        if outcome is not None:
            _take(stage, outcome)
    if stage.rides == "arm dropped":
        _touch(stage)
    until_s = max(stage.quiet_until_s, stage.now_s) + WATCH_S
    while bend.by_itself_s is None and stage.settler.state not in ASKED and stage.now_s < until_s:
        stage.step()  # nothing is asked for while the sensor is silent
    bend.asked = stage.settler.state in ASKED
    if bend.asked:
        tapped = stage.settler.tap(stage.now_s)
        if tapped is not None:
            bend.tap_error_deg = tapped.released_deg - tube.set_deg
    return bend


def _seen(stage: _Stage) -> float:
    return stage.true_deg if stage.rides == "tube" else stage.arm_deg


def _take(stage: _Stage, outcome: Outcome) -> None:
    bend = stage.bend
    if bend.by_itself_s is None:
        bend.by_itself_s = stage.now_s
        bend.error_deg = outcome.released_deg - stage.tube.set_deg


def _pull(stage: _Stage, to_deg: float) -> None:
    """Up to the loaded angle; now and then with a pause, slackening, a re-seat, an overshoot."""
    random, operator = stage.random, stage.operator
    if random.random() < 0.3:
        half_deg = random.uniform(0.3, 0.8) * to_deg
        stage.moved(*operator.pull(stage.arm_deg, half_deg))
        slack_deg = random.choice((0.0, 0.3)) * stage.tube.springiness.release_deg(half_deg)
        half_deg -= slack_deg
        stage.moved(Move(half_deg, 0.3), Move(half_deg, 4 * random.random()))
    if random.random() < 0.15:
        half_deg = max(random.uniform(0.3, 0.8) * to_deg, stage.arm_deg + 1)
        stage.moved(*operator.pull(stage.arm_deg, half_deg))
        stage.moved(*operator.re_seat(stage.arm_deg, stage.tube.set_deg))
    if random.random() < 0.1:
        stage.moved(*operator.pull(stage.arm_deg, to_deg - random.uniform(0.1, 1)))
    stage.moved(*operator.pull(stage.arm_deg, to_deg))


def _hold(stage: _Stage, hold_s: float) -> None:
    """Keep it loaded; now and then the hand tires and gives way a little, slowly."""
    give_deg = stage.random.choice((0.0, 0.0, 0.25)) * stage.release_deg * min(hold_s / 10, 1.0)
    if hold_s > 0:
        stage.moved(Move(stage.arm_deg - give_deg, hold_s))


def _touch(stage: _Stage) -> None:
    """The arm fell off the tube: bring it back, perhaps resting on the way, and lay it on."""
    random, set_deg = stage.random, stage.tube.set_deg
    if random.random() < 0.5:
        hover_deg = set_deg - random.uniform(0.1, 4)
        stage.moved(Move(hover_deg, 0.8), Move(hover_deg, random.uniform(0.5, 2.0)))
    stage.moved(Move(set_deg, 0.6), Move(set_deg, WATCH_S))
