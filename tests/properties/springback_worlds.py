"""Benches whose springback is not what the learner supposes, and how each way of learning fares.

A world draws benches; a method is told what was bent and says how far to pull. The truth is told to
nobody. Every world differs from the learner in its law, its biases or its slips; ``own`` alone is
drawn from what the learner supposes.

Finite-element curves: springback at 10 to 180 degrees under load of six Ti-6Al-4V tubes, rotary
draw bending, github.com/bailizhidi/Tube-Bending-and-Springback,
03_SPRINGBACK/predictions/AW_SpringMGN_150_test/angle_metrics_centerline_fixed.csv, column
true_springback_deg. Simulated, not measured.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from math import sqrt
from typing import Protocol

from benchcalc.core.job import Bender, Material, Tube
from benchcalc.core.springback.first_guess import first_guess

MATERIAL = Material("316", (1400.0, 1275.0), (0.44, 0.45), 193000.0, 0.35)
BENDER = Bender("bench-6mm", 6.0, 15.0, 190.0, ())
TUBE = Tube(6.0, 1.0, "316")
GUESS = first_guess(TUBE, BENDER, MATERIAL)

ANGLES = (30.0, 45.0, 60.0, 90.0, 90.0, 90.0, 120.0, 135.0)
LOTS, BENDS = 4, 8
TOLERANCE_DEG = 0.5
NOISE_DEG, PULL_DEG, READING_DEG = 0.15, 0.15, 0.1

LOADED = (0.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 150.0, 180.0)
FINITE_ELEMENT = {
    0: (3.266, 4.075, 4.720, 5.449, 6.063, 7.112, 8.139, 9.161, 9.981),
    16: (3.368, 4.269, 5.000, 5.949, 6.827, 8.577, 10.387, 12.259, 14.141),
    20: (3.293, 4.134, 4.787, 5.529, 6.142, 7.275, 8.271, 9.001, 9.636),
    27: (3.462, 4.370, 5.066, 5.878, 6.583, 8.042, 9.512, 11.023, 12.544),
    71: (3.402, 4.166, 4.796, 5.564, 6.126, 7.125, 8.079, 8.910, 9.857),
    119: (3.131, 3.723, 4.162, 4.760, 5.258, 5.960, 6.302, 6.514, 6.743),
}


@dataclass(frozen=True)
class World:
    """How benches of this kind are: offset and slope against the guess, and what is off."""

    offset: float = 1.0
    slope: float = 1.0
    offset_deg: float | None = None
    lots: float = 0.12
    slips: float = 0.0
    gauge_deg: float = 0.0
    scale: float = 0.0
    curved: bool = False
    own: bool = False
    blank: bool = False
    angles: tuple[float, ...] = ANGLES


WORLDS = {
    "as supposed": World(own=True),
    "offset 0.9": World(offset_deg=0.9, slope=1 / 1.2),
    "three times": World(3.0, 3.0),
    "half": World(0.5, 0.5),
    "scale 2 %": World(scale=0.02),
    "curved": World(curved=True),
    "lots 8 %": World(lots=0.08),
    "lots 12 %": World(lots=0.12),
    "lots 20 %": World(lots=0.20),
    "lots 8 %, no name": World(lots=0.08, blank=True),
    "lots 12 %, no name": World(lots=0.12, blank=True),
    "lots 20 %, no name": World(lots=0.20, blank=True),
    "slips": World(slips=1 / 30),
    "90s alone": World(angles=(90.0,)),
    "gauge + 0.5": World(gauge_deg=0.5),
    "all of it": World(lots=0.2, slips=1 / 30, gauge_deg=0.5, scale=0.02, curved=True, blank=True),
}
GAUGE_TRUE = [name for name, world in WORLDS.items() if world.gauge_deg == 0]


class Method(Protocol):
    """A way of learning how far to pull."""

    def teach(self, pulled_deg: float, read_deg: float, lot: str, day: str) -> None:
        """One bend."""

    def pulls(self, angle_deg: float, lot: str, day: str) -> tuple[float, float]:
        """The pull told for an angle, and the first pull."""


class Bench:
    """One bench of a world, with its own draw of what the world leaves open."""

    def __init__(self, world: World, rng: random.Random) -> None:
        self.world, self.rng, self.lot = world, rng, 0.0
        self.a = GUESS.a_deg * world.offset if world.offset_deg is None else world.offset_deg
        self.b = GUESS.b * world.slope
        if world.own:
            together = max(rng.gauss(1.0, 0.35), 0.3)
            self.a = GUESS.a_deg * (together + rng.gauss(0.0, 1.0))
            self.b = GUESS.b * max(together + rng.gauss(0.0, 0.3), 0.2)
        self.scale = 1 + world.scale * rng.choice((-1, 1))
        self.curve = (0.0, *rng.choice(list(FINITE_ELEMENT.values()))) if world.curved else None
        self.metal = rng.uniform(0.3, 0.8)

    def springback(self, loaded: float) -> float:
        """What comes back from an angle under load, without chance."""
        if self.curve is None:
            return (self.a + self.b * loaded) * (1 + self.lot)
        k = max(i for i in range(len(LOADED) - 1) if LOADED[i] <= max(loaded, 0.0))
        part = (loaded - LOADED[k]) / (LOADED[k + 1] - LOADED[k])
        at = self.curve[k] + part * (self.curve[k + 1] - self.curve[k])
        return self.metal * at * (1 + self.lot)

    def needed(self, angle: float) -> float:
        """The reading that opens to an angle, without chance."""
        loaded = angle
        for _ in range(30):
            loaded = angle + self.springback(loaded)
        return loaded * self.scale

    def bend(self, reading: float) -> tuple[float, float]:
        """The true angle and what the gauge says of it."""
        rng, world = self.rng, self.world
        loaded = reading / self.scale + rng.gauss(0.0, PULL_DEG)
        angle = loaded - self.springback(loaded) + rng.gauss(0.0, NOISE_DEG)
        read = angle + world.gauge_deg + rng.gauss(0.0, READING_DEG)
        if rng.random() < world.slips:
            read -= rng.choice((1, 1, -1)) * rng.uniform(1.5, 6.0)
        return angle, read


@dataclass
class Errors:
    """Degrees by which what was told missed what was needed, and what became of first pulls."""

    early: list[float] = field(default_factory=list)
    late: list[float] = field(default_factory=list)
    fourth: list[float] = field(default_factory=list)
    over: list[float] = field(default_factory=list)
    short: list[float] = field(default_factory=list)

    @property
    def figures(self) -> tuple[float, float, float, float]:
        """RMS at bends 3 and 4 and at 5 to 8 of a lot, share over, mean shortfall after four."""
        return (rms(self.early), rms(self.late), mean(self.over), mean(self.short))


def mean(values: list[float]) -> float:
    return sum(values) / len(values)


def rms(values: list[float]) -> float:
    return sqrt(mean([value * value for value in values]))


def tried(name: str, method: Callable[[], Method], benches: int, seed: int = 1) -> Errors:
    """What a method does on so many benches of a world; the same benches for every method."""
    world, errors = WORLDS[name], Errors()
    for number in range(benches):
        rng = random.Random(f"{name} {seed} {number}")
        _one_bench(world, Bench(world, rng), method(), rng, errors)
    return errors


def _one_bench(
    world: World, bench: Bench, method: Method, rng: random.Random, errors: Errors
) -> None:
    for lot in range(LOTS):
        bench.lot = rng.gauss(0.0, world.lots)
        label, day = ("" if world.blank else f"lot {lot}"), f"2026-03-{lot + 1:02}"
        for bend in range(BENDS):
            angle = rng.choice(world.angles)
            told, first = method.pulls(angle, label, day)
            needed = bench.needed(angle)
            if bend in (2, 3):
                errors.early.append(told - needed)
            elif bend > 3:
                errors.late.append(told - needed)
                errors.short.append(max(needed - first, 0.0))
            if lot == 0 and bend in (3, 4, 5):
                errors.fourth.append(told - needed)
            came_out, read = bench.bend(first)
            if bend == 0:
                errors.over.append(float(came_out > angle + TOLERANCE_DEG))
            method.teach(first, read, label, day)
