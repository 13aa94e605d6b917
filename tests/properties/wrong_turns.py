"""Runs on the simulated bender by a hand that turns wrongly, with and without the turns measured.

The bender knows nothing of runs or frames: the tube is turned in the hands by what the sheet says
and something else besides, the clamp twists it, a level reads it with a bias and a noise of its
own, and the far end lies where the tube's last station is, seen from its first leg and bend.
"""

from dataclasses import dataclass, field, replace
from math import asin, degrees, dist, sqrt
from random import Random
from typing import Literal

import numpy as np

from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.reading import Reading
from benchcalc.core.fit.reaim import ReAimed, UnderWay, re_aim
from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.layout.hand_turns import hand_turns
from benchcalc.core.layout.straight_tube import BendLayout, Layout
from benchcalc.core.layout.turn_by_level import (
    FromLast,
    aim_by_level,
    best_aim,
    from_last,
    leans,
    turn_by_level,
    turn_of_hands,
)
from benchcalc.core.sheet import Sheet, work_out
from tests.properties.bendable_jobs import LAW, bendable_job
from tests.properties.level_on_bender import UP, leg_goes, outer_leg
from tests.properties.simulated_bender import SimulatedBender
from tests.properties.test_simulated_bender import stations

HAND_DEG, NUDGE_DEG, CLAMP_DEG = 2.0, 0.5, 0.3
LEVEL_BIAS_DEG, LEVEL_DEG = 0.1, 0.1
MARK_MM, PULL_DEG, GAUGE_DEG = 0.25, 0.25, 0.1
MOST_SET = 5
"""Standard deviations: a hand's turn (± 4 at 95 %) and a small one, a clamp's twist, a level's bias
and noise, a mark, a pull, a gauge. How often a turn that reads off is set again."""

How = Literal["drawn", "unmeasured", "across", "leg"]


def sheet_of(seed: int) -> Sheet:
    """A run of three to six bends that can be bent, by either end, in order or in reverse."""
    job = bendable_job(seed, 3, 6)
    numbers = tuple(range(1, len(job.run.segments) + 1))
    for order in (numbers[::-1], numbers) if seed % 2 else (numbers,):
        sheet = work_out(replace(job, order=order), LAW)
        if all(bend.mark for bend in sheet.layout.bends):
            return sheet
    raise ValueError(f"seed {seed}: no order with a mark for every bend")


@dataclass
class Hand:
    """One piece made one way: ``drawn`` and ``unmeasured`` read no turn, ``drawn`` re-aims none."""

    seed: int
    how: How
    angles: dict[int, Reading] = field(default_factory=dict)
    turns: dict[int, Reading] = field(default_factory=dict)
    slips_mm: dict[int, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.sheet, self.dice = sheet_of(self.seed), Random(f"hand {self.seed}")
        layout, job = self.sheet.layout, self.sheet.job
        where = stations(layout)
        self.bench = SimulatedBender(where, job.bender.radius_mm, 0.0, LAW.b)
        self.bias_deg = self.dice.gauss(0, LEVEL_BIAS_DEG)
        if layout.in_order[0].held == "far":
            self.bench.lay_end_for_end()
        for bend in layout.in_order:
            self._seat(bend)
            self._pull(bend)

    def told(self) -> ReAimed:
        """The rest re-aimed by what was measured so far."""
        turn = 2 * sqrt(HAND_DEG**2 + CLAMP_DEG**2)
        near = Tolerances(2 * MARK_MM, 2 * PULL_DEG, turn)
        piece = UnderWay(frozenset(self.angles), self.angles, self.turns)
        return re_aim(self.sheet.job, LAW, piece, near)

    def _now(self) -> Layout:
        return self.sheet.layout if self.how == "drawn" else self.told().aimed.layout

    def _seat(self, bend: BendLayout) -> None:
        layout = self._now()
        turn, last = hand_turns(layout)[bend.order - 1], from_last(layout, bend.number)
        if turn.end_for_end:
            self.bench.lay_end_for_end()
        by = turn.by_deg if turn.way == "clockwise" else -turn.by_deg
        stands = self._hands(by, HAND_DEG)
        self._clamp(bend)
        if last is None or self.how not in ("across", "leg"):
            return
        for _ in range(MOST_SET):
            seen = self._read(bend, last, stands)
            if abs(seen.read_deg - seen.meant_deg) <= self.sheet.job.turn_tolerance_deg:
                break
            stands += self._hands(by - stands, NUDGE_DEG)
        stands += self._hands(0.0, CLAMP_DEG)
        self._clamp(bend)
        self.turns[bend.number] = self._read(bend, last, stands)

    def _hands(self, by_deg: float, wrong_deg: float) -> float:
        """Turn the tube, clockwise over nothing; how far it truly went."""
        went = by_deg + self.dice.gauss(0, wrong_deg)
        self.bench.turn(abs(went), went > 0)
        return went

    def _clamp(self, bend: BendLayout) -> None:
        assert bend.mark is not None
        slip = self.slips_mm.setdefault(bend.number, self.dice.gauss(0, MARK_MM))
        self.bench.clamp(bend.mark.at_mm, bend.mark.line.offset_mm + slip)

    def _read(self, bend: BendLayout, last: FromLast, hands_deg: float) -> Reading:
        """The turn as a level has it, in the sign of the drawing."""
        noise = [self.dice.gauss(0, LEVEL_DEG) for _ in range(2)]
        width = 2 * sqrt(LEVEL_BIAS_DEG**2 + LEVEL_DEG**2)
        aim = best_aim(last.angle_deg, last.turn_deg, width)
        if (
            self.how == "leg"
            and aim.useful
            and aim.lay != "across"
            and self._leans_by_one(bend, last)
        ):
            sign = leans(bend.held, "left") if aim.lay == "flat" else 1
            goes = leg_goes(self.bench, self.sheet.layout, last.bend, bend.number)
            rises = degrees(asin(min(max(float(goes @ UP[aim.lay, "left"]), -1.0), 1.0)))
            shown = sign * (rises + self.bias_deg + noise[0])
            turn = turn_by_level(aim.lay, last.angle_deg, shown, last.turn_deg)
        else:
            aim = aim_by_level("across", last.angle_deg, last.turn_deg, 2 * LEVEL_DEG)
            turn = turn_of_hands(hands_deg + noise[0] - noise[1], bend.held)
        off = wrapped(turn - last.turn_deg)
        meant = last.turn_deg if last.bend < bend.number else -last.turn_deg
        return Reading(meant, meant + (off if last.bend < bend.number else -off), aim.width_deg)

    def _leans_by_one(self, bend: BendLayout, last: FromLast) -> bool:
        return outer_leg(self.sheet.layout, last.bend, bend.number)

    def _pull(self, bend: BendLayout) -> None:
        meant = self._now().bends[bend.number - 1].angle_deg
        came = meant + self.dice.gauss(0, PULL_DEG)
        self.bench.pull_to(came / (1 - LAW.b))
        read = came + self.dice.gauss(0, GAUGE_DEG)
        self.angles[bend.number] = Reading(meant, read, 2 * GAUGE_DEG)

    def far_end(self) -> tuple[float, float, float]:
        """Where the last station lies, seen along the first leg with the first bend to the side."""
        places, axes = self.bench.places, self.bench.axes
        travel = axes[0][:, 0]
        first = self.sheet.layout.bends[0]
        past = int(np.argmin(abs(self.bench.stations_mm - first.end_mm))) + 1
        aside = axes[past][:, 0] - (axes[past][:, 0] @ travel) * travel
        aside /= np.linalg.norm(aside)
        to = places[-1] - places[0]
        across = np.cross(travel, aside)
        return float(to @ travel), float(to @ aside), float(to @ across)

    def missed_mm(self) -> float:
        """How far the far end is from the drawing's."""
        return dist(self.far_end(), self.sheet.path.end_point)

    def in_ring(self) -> bool:
        """Whether it lies in the ring about where the measurements have it."""
        told = self.told()
        return dist(self.far_end(), told.aimed.path.end_point) <= told.expected.radius_mm
