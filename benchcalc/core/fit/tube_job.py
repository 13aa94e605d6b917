"""A job as a tube with bends along it, and such a tube as a job again."""

from math import radians

from benchcalc.core.fit.bent_tube import BendAsMade, BentTube
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.remaining import Remaining
from benchcalc.core.fit.so_far import SoFar, turns_so_far
from benchcalc.core.frozen import replace
from benchcalc.core.job import CROWN_LEAST_DEG, Job, Measured, Run, Segment
from benchcalc.core.layout.straight_tube import (
    BendLayout,
    Layout,
    finished_radius,
    measuring_offset,
    set_back,
    stretch_of,
)
from benchcalc.core.springback.first_guess import Springback, springback_at

LEAST_DEG = 1.0
"""No bend is changed to less."""

HAIR_MM, HAIR_DEG = 1e-3, 1e-3
"""What a correction keeps from a limit: more than the search comes to lie past it by, under 1e-4,
so that what was found is not refused for a rounding; far under any pen or scale."""

CORNER_MOST_DEG = 179.0
"""No bend that is measured to its corner is changed to more."""


def tube_of(job: Job, planned: Layout, springback: Springback, so_far: SoFar) -> BentTube:
    """The tube as planned, with the angles, turns and marks that it has so far.

    Every bend keeps its tangent point on the held side, as far from its mark as planned.
    """
    per_deg = radians(1.0) * finished_radius(job.bender, springback)
    turns = turns_so_far(planned, so_far.turned)
    bends = tuple(
        BendAsMade(
            _hold_mm(bend, so_far),
            bend.held,
            so_far.bent.get(bend.number, bend.angle_deg),
            turns[bend.number],
            0.0,
            per_deg,
            stretch_of(job.bender, 1.0),
        )
        for bend in planned.bends
    )
    return BentTube(bends, planned.shift_mm, planned.cut_length_mm - job.ends.finish_mm)


def _hold_mm(bend: BendLayout, so_far: SoFar) -> float:
    """The tangent point on the held side: it moves with the mark."""
    hold = bend.start_mm if bend.held == "reference" else bend.end_mm
    at = so_far.marked.get(bend.number)
    return hold if at is None or bend.mark is None else hold + at - bend.mark.at_mm


def remaining_of(
    job: Job,
    planned: Layout,
    springback: Springback,
    so_far: SoFar,
    widths: Tolerances,
    cut: bool = True,
) -> Remaining:
    """What can still be chosen of a job that is made so far."""
    tube = tube_of(job, planned, springback, so_far)
    made, placed = frozenset(so_far.bent), frozenset({*so_far.bent, *so_far.turned})
    return Remaining(
        tube, made, placed, _rooms(job, planned), _spans(job, springback), widths, cut
    )  # fmt: skip


def _rooms(job: Job, planned: Layout) -> tuple[float, ...]:
    """The least straights; one that is planned shorter is not asked to grow."""
    bender, ends, fitting = job.bender, job.ends, job.straight
    first, last = planned.bends[0], planned.bends[-1]
    before = bender.grip_mm if first.held == "reference" else bender.free_mm
    after = bender.free_mm if last.held == "reference" else bender.grip_mm
    asked = [max(before - ends.start_mm, fitting.start_mm, 0.0)]
    asked += [bender.between_mm] * (len(planned.bends) - 1)
    asked.append(max(after - ends.finish_mm, fitting.finish_mm, 0.0))
    there = [*(bend.straight_before_mm for bend in planned.bends), planned.straight_after_mm]
    return tuple(
        min(need + HAIR_MM, planned_mm) for need, planned_mm in zip(asked, there, strict=True)
    )


def _spans(job: Job, springback: Springback) -> tuple[tuple[float, float], ...]:
    """The least and the most angle of each bend; one that is planned past it is left there."""
    most_deg = job.bender.max_angle_deg
    travel = most_deg - springback_at(most_deg, springback) - HAIR_DEG
    spans = []
    for segment in job.run.segments:
        least = CROWN_LEAST_DEG if segment.crown else LEAST_DEG
        most = min(travel, 180.0 if segment.crown else CORNER_MOST_DEG)
        spans.append((min(least, segment.angle_deg), max(most, segment.angle_deg)))
    return tuple(spans)


def with_lines(job: Job, planned: Layout) -> Job:
    """The job whose bends stay by the lines that their marks are drawn for."""
    segments = tuple(
        replace(segment, line=bend.mark.line.name) if bend.mark else segment
        for segment, bend in zip(job.run.segments, planned.bends, strict=True)
    )
    return replace(job, run=replace(job.run, segments=segments))


def job_of(job: Job, springback: Springback, tube: BentTube) -> Job:
    """The job whose layout is this tube, its legs written as the job's were measured."""
    straights = tube.straights_mm()
    segments: list[Segment] = []
    before_mm = before_off_mm = 0.0
    for segment, bend, straight in zip(job.run.segments, tube.bends, straights, strict=False):
        made = _kept(segment, bend)
        angle, crown = made.angle_deg, made.crown
        back = set_back(finished_radius(job.bender, springback), angle, crown)
        off = measuring_offset(job.tube.od_mm, angle, crown)
        how = segment.measured or job.measured
        leg = _as_measured(before_mm + straight + back, how, before_off_mm + off)
        segments.append(replace(made, leg_mm=leg))
        before_mm, before_off_mm = back, off
    how = job.run.last_measured or job.measured
    last = _as_measured(before_mm + straights[-1], how, before_off_mm)
    return replace(job, run=Run(tuple(segments), last, job.run.last_measured))


def _kept(segment: Segment, bend: BendAsMade) -> Segment:
    """A segment with its bend's angle and turn, measured to corner or crown as before it can be."""
    made = replace(segment, angle_deg=bend.angle_deg, turn_deg=bend.turn_deg)
    crown = segment.crown
    if crown and bend.angle_deg < CROWN_LEAST_DEG:
        crown = False
    if bend.angle_deg == 180:
        crown = True
    return made if made.crown == crown else replace(made, to="crown" if crown else "corner")


def _as_measured(centre_mm: float, how: Measured, offsets_mm: float) -> float:
    """A centre leg as it is measured: the other way of ``layout.to_centre``."""
    if how == "centre":
        return centre_mm
    return centre_mm + offsets_mm if how == "outside" else centre_mm - offsets_mm
