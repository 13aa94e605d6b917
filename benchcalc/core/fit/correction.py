"""After a bend came out at another angle: what to change in the rest so that the far end arrives.

The tube is cut, so its length stays; a bend that is made keeps its tangent point on the held side
and takes its measured angle; a leg between two made bends cannot change. What is left are the
marks, angles and turns of the bends still to be made. The far end is brought to its place first,
then to its direction, and of all that do so the least change is taken, each in its own width.

The aim is the place itself, not the edge of what ``fit`` allows: the bends still to be made bring
errors of their own. Only where place and direction cannot both be had is that room used.
"""

from collections.abc import Collection, Iterator, Mapping
from math import radians, sqrt, tan
from typing import NamedTuple

from benchcalc.core.finding import Finding
from benchcalc.core.fit.bent_tube import BentTube
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.remaining import Home, Remaining
from benchcalc.core.fit.so_far import NONE, SoFar
from benchcalc.core.fit.tube_job import job_of, remaining_of, with_lines
from benchcalc.core.geometry.frames import angle_between, length, wrapped
from benchcalc.core.geometry.vectors import subtract
from benchcalc.core.job import Fit, Job
from benchcalc.core.layout.path import Path, trace
from benchcalc.core.layout.straight_tube import BendLayout, Layout, lay_out
from benchcalc.core.springback.first_guess import Springback

CLOSE = 1 / 200
"""How near the place is aimed at, as a part of ``fit.within``; the direction at a tenth."""

DIRECTION_PART = 1 / 10
LOOSEST, HALVINGS = 4.0, 9
"""How loosely the place is held at most, the same part, and how often the span is halved."""

ANY_DEG = 1e4
"""A width that lets the direction be what it comes to."""


HEEL_FROM_DEG = 90.0
"""From here on a bend has a heel that a square touches: its outer surface reaches farthest."""


class Off(NamedTuple):
    """How far the far end lies from its place, and how many degrees it points off."""

    by_mm: float
    by_deg: float


class Shift(NamedTuple):
    """What changes for one bend still to be made.

    ``past_mm`` is how far the new mark lies past (before, when under zero) the old one, along the
    tube from the reference end. ``from_heel_mm`` is where it lies on the tube as it is now, along
    the leg from the heel of ``heel_of``, the nearest made bend on its reference side. The heel of a
    bend of 90 degrees or more is the farthest reach of its outer surface back along that leg,
    R + D/2 before the end of the bend; of less, it is where the outer surfaces of its two legs
    would cross, (R + D/2) tan(angle/2) before: no metal is there to touch, and ``touched`` is then
    false. None when no bend on that side is made.
    """

    bend: int
    past_mm: float | None
    from_heel_mm: float | None
    heel_of: int | None
    angle_by_deg: float
    turn_by_deg: float
    touched: bool = True


class Correction(NamedTuple):
    """The job with its made bends as measured and the rest corrected, and what that achieves.

    ``now`` is what the far end misses when the rest is bent as it stands, ``after`` when bent as
    corrected. ``shifts`` stand in the order of bending.
    """

    job: Job
    layout: Layout
    path: Path
    shifts: tuple[Shift, ...]
    now: Off
    after: Off

    @property
    def fits(self) -> bool:
        """Whether the far end comes to lie within what the job allows; if not, this is the best."""
        return self.after.by_mm <= self.job.fit.within_mm

    @property
    def points(self) -> bool:
        """Whether it points as the job allows."""
        return self.after.by_deg <= self.job.fit.angle_deg


def correct(
    job: Job,
    springback: Springback,
    bent: Mapping[int, float],
    widths: Tolerances | None = None,
    home: Home | None = None,
    turned: Mapping[int, float] = NONE,
    marked: Mapping[int, float] = NONE,
) -> Correction:
    """The correction after the bends in ``bent``, by number, came out at their measured angles.

    ``turned`` are measured turns and ``marked`` where marks really lie (``SoFar``). The job is the
    one that was bent by. Where an earlier correction was taken that is its job, and ``home`` is
    then where the far end belongs, from the job as drawn (``home_of``); else the job itself says
    so. Changes are weighed in ``widths``. Raises ValueError for a bend that is not there and for an
    angle, a turn or a place that no bend can have.
    """
    planned = lay_out(job, springback)
    so_far, job = SoFar(bent, turned, marked).checked(planned), with_lines(job, planned)
    rest = remaining_of(job, planned, springback, so_far, widths or Tolerances())
    return corrected(job, springback, planned, rest, home or home_of(trace(planned)))


def home_of(path: Path) -> Home:
    """Where the far end of a run belongs: where the path ends and points."""
    return Home(path.end_point, path.end_direction)


def corrected(
    job: Job, springback: Springback, planned: Layout, rest: Remaining, home: Home
) -> Correction:
    """The job with what remains of it chosen so that the far end comes home."""
    best = brought_home(rest, home, job.fit)
    done = job_of(job, springback, best)
    layout = lay_out(done, springback)
    shifts = tuple(shifts_of(rest.made, planned, layout, job.tube.od_mm))
    now, after = off(rest.tube, home), off(best, home)
    return Correction(done, layout, trace(layout), shifts, now, after)


def off(tube: BentTube, home: Home) -> Off:
    """How far a tube's far end is from where it belongs."""
    point, heads = tube.far_end()
    return Off(length(subtract(point, home.point)), angle_between(heads, home.heads))


def left_over(after: Off, fit: Fit) -> Finding | None:
    """What a correction leaves of the miss, as a finding when it is more than the job allows."""
    if after.by_mm <= fit.within_mm:
        return None
    return Finding("caution", "fit", None, (("miss_mm", after.by_mm), ("within_mm", fit.within_mm)))


def brought_home(rest: Remaining, home: Home, fit: Fit) -> BentTube:
    """The tube with the rest chosen: place within fit, then direction within fit, then change."""
    toward = fit.angle_deg * DIRECTION_PART
    best = rest.nearest(home, fit.within_mm * CLOSE, toward)
    there = off(best, home)
    if there.by_mm > fit.within_mm:
        found = [best, rest.nearest(home, fit.within_mm * CLOSE, ANY_DEG)]
    elif there.by_deg > fit.angle_deg:
        found = [best, *_looser(rest, home, fit)]
    else:
        return best

    def rank(tube: BentTube) -> tuple[float, float, float]:
        past = off(tube, home)
        over = max(past.by_mm - fit.within_mm, 0.0), max(past.by_deg - fit.angle_deg, 0.0)
        return (*over, past.by_mm)

    return min(found, key=rank)


def _looser(rest: Remaining, home: Home, fit: Fit) -> Iterator[BentTube]:
    """Tubes that use the room the place has, for the sake of the direction, and no more of it.

    By bisection, for the looser the place is held, the better the direction.
    """
    tight, loose = CLOSE, LOOSEST
    for _ in range(HALVINGS):
        part = sqrt(tight * loose)
        tube = rest.nearest(home, fit.within_mm * part, fit.angle_deg * DIRECTION_PART)
        yield tube
        there = off(tube, home)
        if there.by_mm <= fit.within_mm and there.by_deg > fit.angle_deg:
            tight = part
        else:
            loose = part


def shifts_of(
    made: Collection[int], planned: Layout, layout: Layout, od_mm: float
) -> Iterator[Shift]:
    """What changes from ``planned`` for each bend still to be made, in the order of bending."""
    for bend in layout.in_order:
        if bend.number in made:
            continue
        old = planned.bends[bend.number - 1]
        past = bend.mark.at_mm - old.mark.at_mm if bend.mark and old.mark else None
        last = max((n for n in made if n < bend.number), default=None)
        from_heel, touched = None, True
        if last is not None and bend.mark is not None:
            heel = layout.bends[last - 1]
            from_heel = bend.mark.at_mm - heel.end_mm + heel_back(heel, od_mm)
            touched = heel.angle_deg >= HEEL_FROM_DEG
        angle_by, turn_by = bend.angle_deg - old.angle_deg, wrapped(bend.turn_deg - old.turn_deg)
        yield Shift(bend.number, past, from_heel, last, angle_by, turn_by, touched)


def heel_back(bend: BendLayout, od_mm: float) -> float:
    """How far the heel lies before the end of a bend, along the leg after it (see ``Shift``)."""
    outer = bend.radius_mm + od_mm / 2
    return outer if bend.angle_deg >= HEEL_FROM_DEG else outer * tan(radians(bend.angle_deg) / 2)
