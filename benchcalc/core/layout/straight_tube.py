"""Where everything lies on the straight tube: starts, ends, corners, marks, the cut length.

Positions are millimetres from the reference end of the cut tube, allowance included.
"""

from math import pi, radians, tan
from operator import attrgetter
from typing import NamedTuple

from benchcalc.core.job import (
    CROWN_FROM_DEG,
    CROWN_LEAST_DEG,
    Bender,
    End,
    Job,
    Line,
    Measured,
    Segment,
)
from benchcalc.core.springback.first_guess import LEAST_OPENING, Springback, bend_to

TOUCH_MM = 1e-9
"""A mark this near a tangent point is on it: rounding of a sum of a few legs, no width of a pen."""


class Mark(NamedTuple):
    """Where the pen goes and the line of the bender it meets."""

    at_mm: float
    line: Line


class BendLayout(NamedTuple):
    """One bend on the straight tube.

    ``radius_mm`` is the finished radius, ``order`` its place in the order of bending. ``mark`` is
    None when no line's mark would fall on straight tube. ``stretch_mm`` is how much longer its arc
    is than the straight tube it takes, from ``start_mm`` to ``end_mm``.
    """

    number: int
    order: int
    held: End
    angle_deg: float
    turn_deg: float
    crown: bool
    radius_mm: float
    set_back_mm: float
    arc_mm: float
    start_mm: float
    end_mm: float
    straight_before_mm: float
    bend_to_deg: float
    mark: Mark | None
    stretch_mm: float = 0.0

    @property
    def gain_mm(self) -> float:
        """What the bend saves against its two set-backs, the stretch of its arc included."""
        return 2 * self.set_back_mm - self.arc_mm + self.stretch_mm

    @property
    def corner_mm(self) -> float | None:
        """The corner on the straight tube; None exactly when measured to the crown."""
        return None if self.crown else self.start_mm + self.set_back_mm


class Layout(NamedTuple):
    """A whole run on the straight tube; ``shift_mm`` is the allowance at the reference end."""

    bends: tuple[BendLayout, ...]
    shift_mm: float
    straight_after_mm: float
    cut_length_mm: float

    @property
    def in_order(self) -> tuple[BendLayout, ...]:
        """The bends in the order they are made."""
        return tuple(sorted(self.bends, key=attrgetter("order")))

    def from_last_corner_mm(self, number: int) -> float | None:
        """Along the leg as bent, from the last corner or crown to a bend's mark.

        For those who mark as they go. None for a bend without a mark and where no bend is made yet
        on its side of the reference end.
        """
        mark, last = self.bends[number - 1].mark, self.last_corner(number)
        return None if last is None or mark is None else mark.at_mm - last.end_mm + last.set_back_mm

    def last_corner(self, number: int) -> BendLayout | None:
        """The nearest bend towards the reference end that is made before this one."""
        order = self.bends[number - 1].order
        return next((b for b in reversed(self.bends[: number - 1]) if b.order < order), None)


def set_back(radius_mm: float, angle_deg: float, crown: bool) -> float:
    """From the start of bend to its corner, R tan(angle/2); to its crown, R.

    Source: FAA AC 43.13-1B (1998) Table 4-7 (K = tan(angle/2)).
    """
    return radius_mm if crown else radius_mm * tan(radians(angle_deg) / 2)


def arc_length(radius_mm: float, angle_deg: float) -> float:
    """Length of the bend's middle line, pi R angle/180."""
    return pi * radius_mm * angle_deg / 180


def stretch_of(bender: Bender, angle_deg: float) -> float:
    """How much longer a bend's middle line becomes, mm: the profile's stretch by 90 degrees."""
    return bender.stretch_mm * angle_deg / 90


def finished_radius(bender: Bender, springback: Springback) -> float:
    """Centreline radius of the released bend: measured, or R_d/(1 - b).

    The arc bent on the die keeps its length while it opens by b; the offset and the dip of the
    springback belong to the straight legs and open no radius. Where a bench was taught that a tube
    opens by all of its pull or more, b is taken for 0.95: such a tube has no radius at all, and
    its pull is beyond any bender's travel, of which a finding tells.
    """
    if bender.finished_radius_mm is not None:
        return bender.finished_radius_mm
    return bender.radius_mm / max(1 - springback.b, LEAST_OPENING)


def measuring_offset(od_mm: float, angle_deg: float, crown: bool) -> float:
    """From the centreline's corner or crown to that of the tube's heel or throat, one bend."""
    return od_mm / 2 if crown else od_mm / 2 * tan(radians(angle_deg) / 2)


def to_centre(leg_mm: float, how: Measured, offsets_mm: float) -> float:
    """A leg as it was measured, to the corners of the centrelines."""
    if how == "centre":
        return leg_mm
    return leg_mm - offsets_mm if how == "outside" else leg_mm + offsets_mm


class _Form(NamedTuple):
    """What a bend is, wherever it lies."""

    pull_deg: float
    radius_mm: float
    back_mm: float
    arc_mm: float
    offset_mm: float
    stretch_mm: float


def _form(segment: Segment, job: Job, springback: Springback) -> _Form:
    angle, crown = segment.angle_deg, segment.crown
    if not 0 < angle <= 180 or (crown and angle < CROWN_LEAST_DEG) or (angle == 180 and not crown):
        raise ValueError(f"a {'crown' if crown else 'corner'} bend of {angle} degrees has no shape")
    pull = bend_to(angle, springback)
    radius = finished_radius(job.bender, springback)
    return _Form(
        pull,
        radius,
        set_back(radius, angle, crown),
        arc_length(radius, angle),
        measuring_offset(job.tube.od_mm, angle, crown),
        stretch_of(job.bender, angle),
    )


_NOTHING = _Form(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def lay_out(job: Job, springback: Springback) -> Layout:
    """Lay a job's run out on the straight tube.

    Raises ValueError for a bend that has no such geometry: an angle of 0 or under or over 180, a
    corner at 180, a crown under 90 degrees.
    """
    forms = [_form(segment, job, springback) for segment in job.run.segments]
    straights: list[float] = []
    starts: list[float] = []
    before = _NOTHING
    at_mm = job.ends.start_mm
    for segment, form in zip(job.run.segments, forms, strict=True):
        how = segment.measured or job.measured
        leg = to_centre(segment.leg_mm, how, before.offset_mm + form.offset_mm)
        straights.append(leg - before.back_mm - form.back_mm)
        starts.append(at_mm + straights[-1])
        at_mm = starts[-1] + form.arc_mm - form.stretch_mm
        before = form
    how = job.run.last_measured or job.measured
    after = to_centre(job.run.last_leg_mm, how, before.offset_mm) - before.back_mm
    cut = at_mm + after + job.ends.finish_mm
    bends: list[BendLayout | None] = [None] * len(forms)
    made: list[tuple[float, float]] = []
    for place, number in enumerate(job.bending_order, 1):
        segment, form, start = job.run.segments[number - 1], forms[number - 1], starts[number - 1]
        angle, held = segment.angle_deg, segment.held or job.held
        end = start + form.arc_mm - form.stretch_mm
        lines = job.bender.lines
        drawn_for = tuple(line for line in lines if line.name == segment.line)
        mark = choose_mark(angle, held, (start, end), drawn_for, made, cut)
        mark = mark or choose_mark(angle, held, (start, end), lines, made, cut)
        made.append((start, end))
        bends[number - 1] = BendLayout(
            number, place, held, angle, segment.turn_deg, segment.crown, form.radius_mm,
            form.back_mm, form.arc_mm, start, end, straights[number - 1], form.pull_deg, mark,
            form.stretch_mm,
        )  # fmt: skip
    return Layout(tuple(b for b in bends if b), job.ends.start_mm, after, cut)


def choose_mark(
    angle_deg: float,
    held: End,
    bend_mm: tuple[float, float],
    lines: tuple[Line, ...],
    made_mm: list[tuple[float, float]],
    cut_mm: float,
) -> Mark | None:
    """The mark to make for a bend, or None when no line's mark lies on the straight being bent.

    ``bend_mm`` is where the bend starts and ends, ``made_mm`` the bent stretches there are already.
    The line made for the angle comes first, the 90 line from 150 degrees on; else the line made for
    the nearest angle, the larger on a tie, and lines made for no angle last.
    """
    begins_mm = bend_mm[0] if held == "reference" else bend_mm[1]
    exact = next((line for line in lines if line.angle_deg == angle_deg), None)
    if exact is not None:
        at_mm = mark_position(held, bend_mm, exact)
        if _straight_to(at_mm, begins_mm, made_mm, cut_mm):
            return Mark(at_mm, exact)
    wanted = 90.0 if angle_deg >= CROWN_FROM_DEG else angle_deg

    def rank(line: Line) -> tuple[bool, float, float]:
        if line.angle_deg is None:
            return (True, line.offset_mm, 0.0)
        return (False, abs(line.angle_deg - wanted), -line.angle_deg)

    for line in sorted(lines, key=rank):
        at_mm = mark_position(held, bend_mm, line)
        if _straight_to(at_mm, begins_mm, made_mm, cut_mm):
            return Mark(at_mm, line)
    return None


def mark_position(held: End, bend_mm: tuple[float, float], line: Line) -> float:
    """Where a line's mark lies on the straight tube.

    Lines are counted from the start of bend along the free side: forward from the bend's start when
    the reference end is held, back from its end when the reference end is free.
    """
    return bend_mm[0] + line.offset_mm if held == "reference" else bend_mm[1] - line.offset_mm


def _straight_to(
    at_mm: float, begins_mm: float, made_mm: list[tuple[float, float]], cut_mm: float
) -> bool:
    """Whether a mark lies on the tube, with no bent stretch between it and the start of bend.

    Past a bend made earlier the tube is straight again, but no longer lies along the bender.
    """
    if not -TOUCH_MM <= at_mm <= cut_mm + TOUCH_MM:
        return False
    low, high = min(at_mm, begins_mm) + TOUCH_MM, max(at_mm, begins_mm) - TOUCH_MM
    return not any(start < high and low < end for start, end in made_mm)
