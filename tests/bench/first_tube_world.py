"""A bench, a hand and a tube drawn wider than any sheet assumes, with a geometry of their own.

The widths are drawn, not measured: nobody has published how well a fitter turns a tube by eye.
Nothing here is taken from the program: the drawing is followed corner by corner, and the tube in
the bender by the roll of a pen line along its side, carried from bend to bend without twist.
Millimetres and degrees; standard deviations of normal draws unless a pair is given, then evenly.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import cos, degrees, exp, pi, radians, sin
from random import Random
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

Array = NDArray[np.float64]

OD_MM, WALL_MM, DIE_MM = 10.0, 1.0, 25.0
ANGLES_DEG = (30.0, 45.0, 60.0, 90.0, 90.0)
LEGS_MM = (90.0, 240.0)
FEWEST, MOST = 2, 5
WITHIN_MM, WITHIN_DEG = 2.0, 1.0


@dataclass(frozen=True)
class Errors:
    """How wide each error is drawn; 0 switches one off."""

    radius_mm: float = 0.2
    offset_deg: tuple[float, float] = (0.2, 1.3)
    slope: tuple[float, float] = (0.016, 0.034)
    lot: float = 0.12
    stretch_mm: tuple[float, float] = (0.2, 1.1)
    line_mm: float = 0.3
    mark_mm: float = 0.25
    moved_mm: float = 0.2
    cut_mm: float = 0.25
    hand_deg: float = 0.25
    gauge_bias_deg: float = 0.15
    gauge_deg: float = 0.2
    turn_set_deg: float = 1.5
    turn_read_deg: float | None = None
    """How well the turn is read once it is set; None where nobody reads it."""
    learnt: float = 0.15
    """What is left of pull, radius, lines and stretch after learning and trials."""


BY_EYE = Errors()
BY_HAND_GAUGES = replace(BY_EYE, turn_set_deg=0.35, turn_read_deg=0.25)
BY_SENSORS = replace(
    BY_EYE, gauge_bias_deg=0.05, gauge_deg=0.05, turn_set_deg=0.25, turn_read_deg=0.1
)


class Leg(NamedTuple):
    """A leg to a corner, the bend there, and how far it lies clockwise of the bend before."""

    leg_mm: float
    bend_deg: float
    turn_deg: float


class Drawing(NamedTuple):
    """Legs with their bends, and the last leg."""

    legs: tuple[Leg, ...]
    last_mm: float


class End(NamedTuple):
    """Where a tube ends and points."""

    point: Array
    heads: Array

    def missed(self, other: "End") -> tuple[float, float]:
        """How far apart two ends are, and how many degrees."""
        off = float(np.dot(self.heads, other.heads))
        square = float(np.linalg.norm(np.cross(self.heads, other.heads)))
        return float(np.linalg.norm(self.point - other.point)), degrees(np.arctan2(square, off))


def any_drawing(dice: Random) -> Drawing:
    """A run of 2 to 5 bends, in space."""
    legs = []
    for place in range(dice.randint(FEWEST, MOST)):
        turn = dice.choice((0.0, 90.0, -90.0, 180.0, dice.uniform(-180, 180))) if place else 0.0
        legs.append(Leg(dice.uniform(*LEGS_MM), dice.choice(ANGLES_DEG), turn))
    return Drawing(tuple(legs), dice.uniform(*LEGS_MM))


class _Seen:
    """Someone who walks along the tube: looks along +x, up is +y, clockwise is from up to +z.

    The pen line starts up; at each bend it stays where it was on the tube's side.
    """

    def __init__(self) -> None:
        self.at: Array = np.zeros(3)
        self.walk: Array = np.array([1.0, 0.0, 0.0])
        self.line: Array = np.array([0.0, 1.0, 0.0])

    def ahead(self, by_mm: float) -> None:
        """Along the straight tube."""
        self.at = self.at + by_mm * self.walk

    def bend(self, clock_deg: float, angle_deg: float, radius_mm: float) -> None:
        """Round a bend that curves so far clockwise of the pen line."""
        right = np.cross(self.walk, self.line)
        towards = cos(radians(clock_deg)) * self.line + sin(radians(clock_deg)) * right
        self.at = self.at + radius_mm * (
            sin(radians(angle_deg)) * self.walk + (1 - cos(radians(angle_deg))) * towards
        )
        about = Rotation.from_rotvec(radians(angle_deg) * np.cross(self.walk, towards))
        self.walk, self.line = about.apply(self.walk), about.apply(self.line)

    @property
    def end(self) -> End:
        """Where this is."""
        return End(self.at, self.walk)


def drawn_end(drawing: Drawing) -> End:
    """Where the drawing's far end is, from its corners alone."""
    seen, clock = _Seen(), 0.0
    for leg in drawing.legs:
        seen.ahead(leg.leg_mm)
        clock += leg.turn_deg
        seen.bend(clock, leg.bend_deg, 0.0)
    seen.ahead(drawing.last_mm)
    return seen.end


class _Bent(NamedTuple):
    starts_mm: float
    clock_deg: float
    angle_deg: float


@dataclass
class Bench:
    """One bench with one tube in it, held at its reference end; ``dice`` throw its errors."""

    errors: Errors
    dice: Random
    radius_mm: float = field(init=False)
    a_deg: float = field(init=False)
    b: float = field(init=False)
    stretch_mm: float = field(init=False)
    line_mm: float = field(init=False)
    bias_deg: float = field(init=False)

    def __post_init__(self) -> None:
        off, dice = self.errors, self.dice
        self.radius_mm = DIE_MM + dice.gauss(0, off.radius_mm)
        lot = exp(dice.gauss(0, off.lot))
        self.a_deg, self.b = dice.uniform(*off.offset_deg) * lot, dice.uniform(*off.slope) * lot
        self.stretch_mm = dice.uniform(*off.stretch_mm)
        self.line_mm, self.bias_deg = dice.gauss(0, off.line_mm), dice.gauss(0, off.gauge_bias_deg)
        self._marks: dict[int, float] = {}
        self._bent: list[_Bent] = []
        self._rolled_deg = 0.0
        self._length_mm = 0.0

    @property
    def finished_mm(self) -> float:
        """The radius of a released bend."""
        return self.radius_mm / (1 - self.b)

    def cut(self, to_mm: float, marks_mm: Sequence[float]) -> None:
        """Cut the tube and draw every mark on it, in order from the reference end."""
        self._length_mm = to_mm + self.dice.gauss(0, self.errors.cut_mm)
        for number, at in enumerate(marks_mm, 1):
            self._marks[number] = at + self.dice.gauss(0, self.errors.mark_mm)

    def move_mark(self, number: int, by_mm: float) -> None:
        """Draw a mark anew, so far past the old one."""
        self._marks[number] += by_mm + self.dice.gauss(0, self.errors.moved_mm)

    def turn(self, by_deg: float, clockwise: bool) -> float | None:
        """Turn the tube in the hands, seen from the held end; what a level then says it was.

        Clockwise is over nothing. None where nobody reads it.
        """
        told = by_deg if clockwise else -by_deg
        turned = told + self.dice.gauss(0, self.errors.turn_set_deg)
        self._rolled_deg += turned
        read = self.errors.turn_read_deg
        return None if read is None else turned + self.dice.gauss(0, read)

    def pull(self, told_deg: float, loaded_deg: float) -> float:
        """Pull to a reading; the angle under load, of a tube that was under ``loaded_deg``."""
        return max(told_deg + self.dice.gauss(0, self.errors.hand_deg), loaded_deg)

    def released(self, loaded_deg: float) -> float:
        """The angle it opens to."""
        return loaded_deg - (self.a_deg + self.b * loaded_deg)

    def read(self, angle_deg: float) -> float:
        """What the gauge says."""
        return angle_deg + self.bias_deg + self.dice.gauss(0, self.errors.gauge_deg)

    def bend(self, number: int, line_mm: float, angle_deg: float) -> None:
        """The bend as it stays: mark on the bender's line, which lies where it truly lies.

        The bender curves up. A tube rolled clockwise brings up what lay counter-clockwise.
        """
        starts = self._marks[number] - line_mm - self.line_mm
        self._bent.append(_Bent(starts, -self._rolled_deg, angle_deg))

    def far_end(self) -> End:
        """Where the tube ends, laid with its start as drawn."""
        seen, fed = _Seen(), 0.0
        for bent in self._bent:
            arc = self.finished_mm * radians(bent.angle_deg)
            seen.ahead(bent.starts_mm - fed)
            seen.bend(bent.clock_deg, bent.angle_deg, self.finished_mm)
            fed = bent.starts_mm + arc - self.stretch_mm * bent.angle_deg / 90
        seen.ahead(self._length_mm - fed)
        return seen.end


def arc_of(radius_mm: float, angle_deg: float) -> float:
    """What a fitter with a pocket book takes the tube in a bend to be."""
    return radius_mm * pi * angle_deg / 180
