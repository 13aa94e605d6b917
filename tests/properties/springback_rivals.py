"""Ways of learning springback that a fitter has, to hold ours against."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from benchcalc.core.springback.first_guess import bend_to, first_pull_to
from benchcalc.core.springback.learning import Bent, Taught, key_of, springback_of, teach
from tests.properties.springback_worlds import BENDER, GUESS, TOLERANCE_DEG, TUBE, Method

FIXED = bend_to(90.0, GUESS) / 90.0
"""The fixed percentage: what the first guess comes to on a square bend."""


class Ours:
    """What benchcalc does."""

    def __init__(self) -> None:
        self.taught = Taught()

    def teach(self, pulled_deg: float, read_deg: float, lot: str, day: str) -> None:
        key = key_of(replace(TUBE, lot=lot), BENDER)
        bent = Bent(pulled_deg, read_deg, loaded_read=False)
        self.taught = teach(self.taught, key, GUESS, bent, day)

    def pulls(self, angle_deg: float, lot: str, day: str) -> tuple[float, float]:
        law = springback_of(self.taught, key_of(replace(TUBE, lot=lot), BENDER), GUESS, day)
        return bend_to(angle_deg, law), first_pull_to(angle_deg, TOLERANCE_DEG, law)


class Fixed:
    """The same percentage for every bend."""

    def teach(self, pulled_deg: float, read_deg: float, lot: str, day: str) -> None:
        pass

    def pulls(self, angle_deg: float, lot: str, day: str) -> tuple[float, float]:
        return angle_deg * FIXED, angle_deg * FIXED


class LastFive:
    """The mean of the last five springbacks, whatever their angles."""

    def __init__(self) -> None:
        self.seen: list[float] = []

    def teach(self, pulled_deg: float, read_deg: float, lot: str, day: str) -> None:
        self.seen.append(pulled_deg - read_deg)

    def pulls(self, angle_deg: float, lot: str, day: str) -> tuple[float, float]:
        last = self.seen[-5:] or [angle_deg * (FIXED - 1)]
        told = angle_deg + sum(last) / len(last)
        return told, told


class LeastSquares:
    """A straight line through the bends of each lot, once it has two angles."""

    def __init__(self) -> None:
        self.lots: dict[tuple[str, str], list[tuple[float, float]]] = {}

    def teach(self, pulled_deg: float, read_deg: float, lot: str, day: str) -> None:
        seen = self.lots.setdefault((lot, day), [])
        seen.append((pulled_deg, pulled_deg - read_deg))

    def pulls(self, angle_deg: float, lot: str, day: str) -> tuple[float, float]:
        seen = self.lots.get((lot, day), [])
        if not seen:
            return angle_deg * FIXED, angle_deg * FIXED
        loaded, back = np.array(seen).T
        if np.ptp(loaded) < 10:
            told = angle_deg + float(back.mean())
        else:
            slope, offset = np.polyfit(loaded, back, 1)
            told = float((angle_deg + offset) / (1 - slope))
        return told, told


METHODS: dict[str, Callable[[], Method]] = {
    "fixed": Fixed,
    "last five": LastFive,
    "least squares": LeastSquares,
    "ours": Ours,
}
