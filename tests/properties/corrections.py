"""Corrections on random runs, and the same problem put to scipy."""

from collections.abc import Iterator
from math import radians
from random import Random
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import least_squares

from benchcalc.core.fit.correction import CLOSE, DIRECTION_PART, Off, home_of, off
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.remaining import Home, Remaining
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.fit.tube_job import remaining_of
from benchcalc.core.job import Job
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.properties.bendable_jobs import LAW, bendable_job

WITHIN_MM = 2.0
NEAR_MM = WITHIN_MM * CLOSE
NEAR_DEG = DIRECTION_PART
STIFF = 1e4
"""How hard scipy, which knows no bounds but boxes, is held to the straights."""


class Case(NamedTuple):
    """A run of which one bend, ``number``, has just come out a little off."""

    seed: int
    job: Job
    number: int
    bent: dict[int, float]

    @property
    def left(self) -> int:
        """How many bends are still to be made."""
        return len(self.job.run.segments) - self.number


def cases(seed: int) -> Iterator[Case]:
    """Every bend of a run in turn, with an error of N(0, 1 degree); those before came out right."""
    job, rng = bendable_job(seed), Random(f"errors {seed}")
    planned = [segment.angle_deg for segment in job.run.segments]
    for number in range(1, len(planned) + 1):
        bent = {n: planned[n - 1] for n in range(1, number)}
        bent[number] = planned[number - 1] + rng.gauss(0, 1)
        yield Case(seed, job, number, bent)


def put(case: Case) -> tuple[Remaining, Home]:
    """The problem as it is solved."""
    planned = lay_out(case.job, LAW)
    rest = remaining_of(
        case.job, planned, LAW, SoFar(case.bent), Tolerances().on(case.job.tube.od_mm)
    )
    return rest, home_of(trace(planned))


def by_scipy(rest: Remaining, home: Home) -> Off:
    """What is missed after ``least_squares`` with the same weights, bounds as stiff springs."""
    unknowns = rest.unknowns()
    changes = {"mark": rest.widths.mark_mm, "angle": rest.widths.angle_deg}
    widths = np.array([changes.get(u.what, rest.widths.turn_deg) for u in unknowns])
    bounds = rest.bounds(unknowns, list(widths))
    rows, least = np.array([b.row for b in bounds]), np.array([b.least for b in bounds])
    near = np.array([NEAR_MM] * 3 + [radians(NEAR_DEG)] * 3)
    wanted = np.array((*home.point, *home.heads))

    def misses(x: Any) -> Any:
        end, heads = rest.tube.changed(unknowns, list(x * widths)).far_end()
        beyond = STIFF * np.minimum(rows @ x - least, 0.0)
        return np.concatenate([(np.array((*end, *heads)) - wanted) / near, x, beyond])

    found = least_squares(misses, np.zeros(len(unknowns)))
    return off(rest.tube.changed(unknowns, list(found.x * widths)), home)
