"""A bench made of code: a tube that springs back, a hand on the arm, a sensor that is not perfect.

Nothing here knows a clock or a port: times go in, angles and bytes come out. It stands in for the
bench in the demo and in the tests. With what reads and judges the sensor it shares the settings of
the protocols and Modbus's check number; the tests hold both against other people's libraries.
"""

import struct
from collections import deque
from dataclasses import dataclass
from math import exp
from random import Random
from typing import NamedTuple

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.modbus_rtu import FORMATS, ModbusRtu, with_crc
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile, Settings


class Springiness(NamedTuple):
    """Let go from a loaded angle L the tube opens by a + b L, in degrees; never by more than L."""

    a_deg: float
    b: float

    def release_deg(self, loaded_deg: float) -> float:
        """What the tube gives back."""
        return min(max(self.a_deg + self.b * loaded_deg, 0.0), max(loaded_deg, 0.0))


class SimulatedTube:
    """One bend of a tube: it keeps what was bent into it and gives back the rest."""

    def __init__(self, springiness: Springiness) -> None:
        self.springiness = springiness
        self.set_deg = 0.0

    def follow(self, arm_deg: float) -> float:
        """The tube's angle while the arm stands at ``arm_deg``; past its spring it stays bent."""
        self.set_deg = max(self.set_deg, arm_deg - self.springiness.release_deg(arm_deg))
        return max(self.set_deg, arm_deg)


class Move(NamedTuple):
    """The hand brings the arm to an angle, within a time; to where it is, it rests."""

    to_deg: float
    takes_s: float


class Hand:
    """A hand on the arm: it makes one move after the other, each begun and ended gently."""

    def __init__(self, arm_deg: float = 0.0) -> None:
        self._from_deg, self._arm_deg = arm_deg, arm_deg
        self._began_s = 0.0
        self._moves: deque[Move] = deque()

    @property
    def busy(self) -> bool:
        """Whether there are moves to be made."""
        return bool(self._moves)

    def do(self, *moves: Move, at_s: float, drop: bool = False) -> None:
        """Make these moves after those planned, or, with ``drop``, instead of them."""
        if drop:
            self._from_deg = self.arm_deg(at_s)
            self._moves.clear()
        if not self._moves:
            self._began_s = at_s
        self._moves.extend(moves)

    def arm_deg(self, at_s: float) -> float:
        """Where the arm stands; times must not run back."""
        while self._moves:
            to_deg, takes_s = self._moves[0]
            share = (at_s - self._began_s) / takes_s if takes_s > 0 else 1.0
            if share < 1.0:
                smooth = share * share * share * (10 - 15 * share + 6 * share * share)
                self._arm_deg = self._from_deg + (to_deg - self._from_deg) * smooth
                return self._arm_deg
            self._moves.popleft()
            self._began_s += takes_s
            self._from_deg = self._arm_deg = to_deg
        return self._arm_deg


@dataclass(slots=True)
class Flaws:
    """What a sensor adds to the truth; all in degrees and seconds."""

    noise_deg: float = 0.05
    resolution_deg: float = 0.01
    lag_s: float = 0.05
    mounted_deg: float = 0.0


class SimulatedSensor:
    """Follows the truth late, unsteadily, in steps, from its own zero."""

    def __init__(self, flaws: Flaws, profile: SensorProfile, random: Random) -> None:
        self.flaws = flaws
        self._profile, self._random = profile, random
        self.followed_deg = 0.0
        self._last_s = 0.0

    def raw_deg(self, true_deg: float, at_s: float) -> float:
        """What the sensor says at ``at_s``; times must not run back."""
        flaws, wrap = self.flaws, self._profile.wrap_deg
        share = 1 - exp((self._last_s - at_s) / flaws.lag_s) if flaws.lag_s > 0 else 1.0
        self._last_s = at_s
        self.followed_deg += (true_deg - self.followed_deg) * share
        noisy = self.followed_deg + self._random.gauss(0, flaws.noise_deg)
        raw = flaws.mounted_deg + self._profile.sign * noisy
        if wrap > 0:
            raw = (raw + wrap / 2) % wrap - wrap / 2
        step = flaws.resolution_deg
        return round(raw / step) * step if step > 0 else raw


class Habits(NamedTuple):
    """How an operator works: speed of the arm, and chances of what a person does now and then."""

    speed_deg_s: float = 30.0
    pauses: float = 0.3
    overshoots: float = 0.1
    re_seats: float = 0.1
    hold_s: float = 0.6


class Operator:
    """Plans the moves of a pull: away, perhaps a pause, slowly onto the number, hold, let go."""

    def __init__(self, habits: Habits, random: Random) -> None:
        self._habits, self._random = habits, random

    def pull(self, from_deg: float, to_deg: float) -> list[Move]:
        """Up to the loaded angle and not let go yet; now and then with a pause, or too far."""
        habits, random = self._habits, self._random
        if random.random() < habits.overshoots:
            to_deg += random.uniform(0.2, 1.5)
        moves = []
        span_deg = to_deg - from_deg
        near_deg = to_deg - min(4.0, 0.3 * abs(span_deg))
        if random.random() < habits.pauses and span_deg > 10:
            half_deg = from_deg + random.uniform(0.3, 0.7) * span_deg
            moves += [self._move(from_deg, half_deg), Move(half_deg, random.uniform(0.5, 4.0))]
            from_deg = half_deg
        moves += [self._move(from_deg, near_deg), Move(to_deg, random.uniform(0.6, 1.4))]
        return moves

    def re_seat(self, loaded_deg: float, released_deg: float) -> list[Move]:
        """Let go half-way, take the arm off, set it on again up to the angle it had."""
        away_deg = released_deg - self._random.uniform(10, 40)
        return [
            *self.let_go(loaded_deg, away_deg),
            Move(away_deg, self._random.uniform(0.3, 2.0)),
            self._move(away_deg, released_deg),
            self._move(released_deg, loaded_deg),
        ]

    def let_go(self, loaded_deg: float, to_deg: float) -> list[Move]:
        """Ease the arm back."""
        return [Move(to_deg, max(self._random.uniform(0.2, 0.5), (loaded_deg - to_deg) / 120))]

    def _move(self, from_deg: float, to_deg: float) -> Move:
        speed = self._habits.speed_deg_s * self._random.uniform(0.7, 1.3)
        return Move(to_deg, max(abs(to_deg - from_deg) / speed * 1.875, 0.2))


def frame_of(settings: Settings, value_deg: float) -> bytes:
    """The bytes with which an instrument of this kind tells a value (an answer, for Modbus)."""
    value = value_deg / settings.scale
    if isinstance(settings, NmeaXdr):
        return _sentence(settings, value)
    if isinstance(settings, AsciiLine):
        number = b"%+08.3f" % value
        if settings.decimal == b",":
            number = number.replace(b".", b",")
        return settings.prefix + number + settings.suffix + settings.end
    return _answer(settings, value)


def _sentence(settings: NmeaXdr, value: float) -> bytes:
    groups = ["C,18.5,C,WATER"] * (settings.place - 1) if not settings.name else ["C,18.5,C,WATER"]
    body = ",".join(["IIXDR", *groups, f"A,{value:.3f},D,{settings.name or 'BEND'}"])
    check = 0
    for character in body.encode():
        check ^= character
    return f"${body}*{check:02X}\r\n".encode()


def _answer(settings: ModbusRtu, value: float) -> bytes:
    number = value if settings.kind == "float32" else round(value)
    data = struct.pack(FORMATS[settings.kind], number)
    if len(data) == 4 and settings.words == "low first":
        data = data[2:] + data[:2]
    return with_crc(bytes((settings.unit, settings.function, len(data))) + data)
