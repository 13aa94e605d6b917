"""What is wrong with a run, or worth knowing, all at once and before the metal is spoiled.

What the tube is made of has its own module, ``metal``.
"""

from collections.abc import Iterable, Iterator

from benchcalc.core.checks.metal import metal_findings
from benchcalc.core.checks.seam import seam_findings
from benchcalc.core.clearance.clash import bender_clash, self_clash
from benchcalc.core.finding import SAME_MM, Finding, Level, Value
from benchcalc.core.job import Bender, Job
from benchcalc.core.layout.path import Path, trace
from benchcalc.core.layout.straight_tube import BendLayout, Layout
from benchcalc.core.springback.calibration import not_explained
from benchcalc.core.springback.first_guess import Springback, bend_to, overbend_spread

__all__ = ["Finding", "Level", "Value", "find_all", "wall_range"]

OTHER_DIE_MM = 0.1
"""A tube this far off the die's size is not that die's tube. Common practice, no source."""

_RANK: dict[Level, int] = {"stop": 0, "caution": 1, "note": 2}


def find_all(
    job: Job, layout: Layout, springback: Springback, path: Path | None = None
) -> tuple[Finding, ...]:
    """Every finding, stops first, then in the order of the bends.

    ``path`` is the run in space where it has been traced already.
    """
    found = [
        *_die(job),
        *_straights(job, layout),
        *_bends(job, layout),
        *_stick(job, layout),
        *_parts_to_slide_on(job),
        *_guess(layout, springback),
        *_stretch(job, springback),
        *metal_findings(job),
        *seam_findings(layout),
        *self_clash(job, layout, path or trace(layout)),
        *bender_clash(job, layout),
    ]
    return ranked(found)


def ranked(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings with the stops first, then in the order of the bends."""
    return tuple(sorted(found, key=lambda f: (_RANK[f.level], f.bend or 0)))


def _die(job: Job) -> Iterator[Finding]:
    tube, bender = job.tube, job.bender
    off = abs(tube.od_mm - bender.od_mm)
    if off > SAME_MM:
        level: Level = "stop" if off > OTHER_DIE_MM + SAME_MM else "caution"
        yield Finding(level, "od-die", None, (("od_mm", tube.od_mm), ("die_mm", bender.od_mm)))
    walls = wall_range(bender, tube.material)
    if walls is None:
        unsaid: Level = "caution" if bender.walls else "note"
        yield Finding(unsaid, "wall-die", None, (("wall_mm", tube.wall_mm),))
    elif not walls[0] - SAME_MM <= tube.wall_mm <= walls[1] + SAME_MM:
        sizes = (("wall_mm", tube.wall_mm), ("least_mm", walls[0]), ("most_mm", walls[1]))
        yield Finding("stop", "wall-die", None, (*sizes, ("material", tube.material)))


def wall_range(bender: Bender, material: str) -> tuple[float, float] | None:
    """The walls this die takes in a material, or in any; None when the profile says nothing."""
    for key in (material, "any"):
        for walls in bender.walls:
            if walls.material == key:
                return walls.least_mm, walls.most_mm
    return None


def _straights(job: Job, layout: Layout) -> Iterator[Finding]:
    first, last = layout.bends[0], layout.bends[-1]
    yield from _end_straight(
        job, first, "straight-first", first.straight_before_mm, job.ends.start_mm,
        job.straight.start_mm, first.held == "reference",
    )  # fmt: skip
    need, grip = job.bender.between_mm, job.bender.grip_mm
    for bend in layout.bends[1:]:
        straight = bend.straight_before_mm
        if straight < -SAME_MM:
            yield Finding("stop", "negative-straight", bend.number, (("straight_mm", straight),))
        elif straight < need - SAME_MM:
            values = (("straight_mm", straight), ("need_mm", need))
            yield Finding("stop", "straight-between", bend.number, values)
        elif _is_held(layout.bends[bend.number - 2], bend) and straight < grip - SAME_MM:
            held = (("straight_mm", straight), ("need_mm", grip), ("for", "held"))
            yield Finding("caution", "straight-between", bend.number, held)
    yield from _end_straight(
        job, last, "straight-last", layout.straight_after_mm, job.ends.finish_mm,
        job.straight.finish_mm, last.held == "far",
    )  # fmt: skip


def _is_held(before: BendLayout, after: BendLayout) -> bool:
    """Whether the straight between two bends is what the bender holds when the later is made.

    Else it lies on the free side, and the held side is still straight beyond the earlier bend.
    """
    later = max(before, after, key=lambda bend: bend.order)
    return later.held == ("reference" if later is after else "far")


def _end_straight(
    job: Job,
    bend: BendLayout,
    rule: str,
    straight_mm: float,
    allowance_mm: float,
    fitting_mm: float,
    on_held_side: bool,
) -> Iterator[Finding]:
    """An outer straight against what the bender needs (allowance counts) and the fitting (not)."""
    if straight_mm < -SAME_MM:
        yield Finding("stop", "negative-straight", bend.number, (("straight_mm", straight_mm),))
        return
    need = job.bender.grip_mm if on_held_side else job.bender.free_mm
    there = straight_mm + allowance_mm
    if there < need - SAME_MM:
        side = "held" if on_held_side else "free"
        values = (("straight_mm", there), ("need_mm", need), ("for", side))
        yield Finding("stop", rule, bend.number, values)
    if straight_mm < fitting_mm - SAME_MM:
        values = (("straight_mm", straight_mm), ("need_mm", fitting_mm), ("for", "fitting"))
        yield Finding("stop", rule, bend.number, values)


def _bends(job: Job, layout: Layout) -> Iterator[Finding]:
    travel = job.bender.max_angle_deg
    for bend in layout.bends:
        if bend.bend_to_deg > travel:
            values = (
                ("angle_deg", bend.angle_deg),
                ("bend_to_deg", bend.bend_to_deg),
                ("travel_deg", travel),
            )
            yield Finding("stop", "angle-travel", bend.number, values)
        if bend.mark is None:
            span = (("start_mm", bend.start_mm), ("end_mm", bend.end_mm))
            yield Finding("stop", "mark-off-straight", bend.number, span)


def _stretch(job: Job, springback: Springback) -> Iterator[Finding]:
    """A finished radius that springback does not explain: stretch taken for radius, as a rule."""
    finished = job.bender.finished_radius_mm
    over = None if finished is None else not_explained(finished, job.bender, springback.b)
    if finished is not None and over is not None:
        values = (
            ("radius_mm", finished),
            ("explained_mm", job.bender.radius_mm / (1 - springback.b)),
            ("over", over),
        )
        yield Finding("caution", "stretch", None, values)


def _stick(job: Job, layout: Layout) -> Iterator[Finding]:
    if job.stock_mm is not None and layout.cut_length_mm > job.stock_mm + SAME_MM:
        values = (("cut_length_mm", layout.cut_length_mm), ("stock_mm", job.stock_mm))
        yield Finding("stop", "stock", None, values)


def _parts_to_slide_on(job: Job) -> Iterator[Finding]:
    count = len(job.run.segments)
    for end, parts, bend in (
        ("start", job.slip_on.start, 1),
        ("finish", job.slip_on.finish, count),
    ):
        if parts:
            yield Finding("note", "slip-on", bend, (("parts", parts), ("end", end)))


def _guess(layout: Layout, springback: Springback) -> Iterator[Finding]:
    if springback.source == "estimate":
        widest = max(bend.angle_deg for bend in layout.bends)
        over = bend_to(widest, springback) - widest
        spread = overbend_spread(widest, springback)
        values = (("angle_deg", widest), ("overbend_deg", over), ("spread_deg", spread))
        yield Finding("note", "overbend-guess", None, values)
