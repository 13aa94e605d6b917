"""Every measured bend re-aims the rest: the angles and turns that are still to come.

Before they are made they cost nothing to change, so they are changed at once and by little; marks
that are drawn stay. Each bend and turn counts as what its measurement makes one believe. The place
and the direction of the far end are weighed evenly against what the fit allows of either, for a
tube that misses either does not fit: a correction that is asked for puts the place first.

A mark is moved only where that brings the far end nearer by more than a pen line.
"""

from collections.abc import Mapping
from math import hypot
from typing import NamedTuple

from benchcalc.core.fit.correction import Correction, Off, home_of, off, shifts_of
from benchcalc.core.fit.expected_miss import PEN_LINE_MM, Miss, Tolerances
from benchcalc.core.fit.needed_tolerance import Need, needs_of
from benchcalc.core.fit.reading import Believed, Reading, believed
from benchcalc.core.fit.remaining import Home, Remaining
from benchcalc.core.fit.ring_ahead import UNMEASURED, Gauges, ring_ahead
from benchcalc.core.fit.shared_errors import levers_of, shared_errors
from benchcalc.core.fit.so_far import NONE, SoFar
from benchcalc.core.fit.take_up import NEAR, TakeUp, What, take_up_of
from benchcalc.core.fit.tube_job import job_of, remaining_of, with_lines
from benchcalc.core.frozen import replace
from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.job import Fit, Job
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import Layout, lay_out
from benchcalc.core.springback.first_guess import Springback

LEAST_DEG = 0.05
"""A change that no gauge and no scale shows is none."""


class UnderWay(NamedTuple):
    """A piece under way, by the numbers of its bends.

    ``bent`` are the bends that are made; one of them without a measured angle came out as drawn.
    ``angles`` and ``turns`` are what was meant and measured; a bend with a turn and no more is only
    turned. ``marked`` is where marks really lie by now, millimetres from the reference end, where
    that is not where they were drawn first. ``gauges`` measure what is still to come.
    """

    bent: frozenset[int] = frozenset()
    angles: Mapping[int, Reading] = {}
    turns: Mapping[int, Reading] = {}
    marked: Mapping[int, float] = NONE
    gauges: Gauges = UNMEASURED


class Reason(NamedTuple):
    """The measurement that moves the far end most: of which bend, what, meant and measured."""

    bend: int
    what: What
    meant_deg: float
    read_deg: float


class ReAimed(NamedTuple):
    """The job with its made bends as believed and the rest re-aimed, and what that achieves.

    ``aimed.shifts`` hold what changes from the job as drawn for each bend to come, in the order of
    bending. ``needs`` are how exact they must be. ``expected`` is how far the far end may come to
    lie from where ``aimed`` has it. ``marks`` is what moving marks as well would bring, where that
    is worth a new pen line.
    """

    aimed: Correction
    reason: Reason | None
    needs: tuple[Need, ...]
    expected: Miss
    marks: Correction | None

    @property
    def changes(self) -> bool:
        """Whether any angle or turn to come is another one than is drawn."""
        shifts = self.aimed.shifts
        return any(max(abs(s.angle_by_deg), abs(s.turn_by_deg)) >= LEAST_DEG for s in shifts)


def re_aim(
    job: Job,
    springback: Springback,
    piece: UnderWay,
    widths: Tolerances | None = None,
    home: Home | None = None,
) -> ReAimed:
    """The rest of a job as drawn, re-aimed by what was measured so far.

    ``widths`` are how near angles and turns come to what is meant, 95 % limits; ``home`` is where
    the far end belongs, when that is not where the job ends. Raises ValueError as ``correct`` does.
    """
    near = (widths or Tolerances()).on(job.tube.od_mm)
    planned = lay_out(job, springback)
    angles = {n: believed(one, near.angle_deg) for n, one in piece.angles.items()}
    turns = {n: believed(one, near.turning_deg) for n, one in piece.turns.items()}
    at = {n: planned.bends[n - 1].angle_deg for n in piece.bent}
    at |= {n: one.deg for n, one in angles.items() if n in piece.bent}
    so_far = SoFar(at, {n: one.deg for n, one in turns.items()}, piece.marked).checked(planned)
    rest = remaining_of(job, planned, springback, so_far, near)
    goal = home or home_of(trace(planned))
    kept = with_lines(job, planned)
    aimed = _aimed(kept, springback, planned, replace(rest, drawn=True), goal)
    marks = None
    if _worth(aimed.after, job.fit) > PEN_LINE_MM:
        moved = _aimed(kept, springback, planned, rest, goal)
        gains = _worth(aimed.after, job.fit) - _worth(moved.after, job.fit)
        marks = moved if gains > PEN_LINE_MM else None
    order = job.bending_order
    take_up = take_up_of(rest, order, job.fit)
    shared = shared_errors(rest.tube, planned, job.bender, near)
    known: dict[What, dict[int, Believed]] = {"angle": angles, "turn": turns}
    return ReAimed(
        aimed,
        _reason(take_up, piece, known),
        needs_of(take_up, order, piece.bent, job.fit),
        ring_ahead(take_up, order, near, known, piece.gauges, levers_of(shared)),
        marks,
    )


def _aimed(
    job: Job, springback: Springback, planned: Layout, rest: Remaining, home: Home
) -> Correction:
    fit = job.fit
    best = rest.nearest(home, fit.within_mm * NEAR, fit.angle_deg * NEAR)
    done = job_of(job, springback, best)
    layout = lay_out(done, springback)
    shifts = tuple(shifts_of(rest.made, planned, layout, job.tube.od_mm))
    return Correction(done, layout, trace(layout), shifts, off(rest.tube, home), off(best, home))


def _worth(miss: Off, fit: Fit) -> float:
    """A miss in millimetres, its direction counted as the fit counts it."""
    return hypot(miss.by_mm, miss.by_deg * fit.within_mm / fit.angle_deg)


def _reason(
    take_up: TakeUp, piece: UnderWay, known: Mapping[What, Mapping[int, Believed]]
) -> Reason | None:
    """The measurement that, for itself, moves the far end most; None when all came as meant."""
    found: list[tuple[float, Reason]] = []
    readings: tuple[tuple[What, Mapping[int, Reading]], ...] = (
        ("angle", piece.angles),
        ("turn", piece.turns),
    )
    for what, by_bend in readings:
        for number, reading in by_bend.items():
            off_deg = abs(wrapped(known[what][number].deg - reading.meant_deg))
            if off_deg >= LEAST_DEG:
                moved = off_deg * take_up.carried(what, number).by_mm
                found.append((moved, Reason(number, what, reading.meant_deg, reading.read_deg)))
    return max(found, default=(0.0, None))[1]
