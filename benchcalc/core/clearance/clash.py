"""Findings about room: the finished tube against itself, and against the bender as it is bent."""

from collections.abc import Iterator

from benchcalc.core.clearance.self_clearance import Spot, nearest_to_itself
from benchcalc.core.finding import SAME_MM, Finding, Level, Value
from benchcalc.core.geometry.envelope import Envelope
from benchcalc.core.job import Job
from benchcalc.core.layout.path import Path
from benchcalc.core.layout.straight_tube import Layout

NEAR_MM = 1.0
"""Under this gap two stretches of one tube rub once it is clamped or warm: a person decides.
Common practice, no source."""

TOLD_MM = 0.005
"""How much nearer than told the tube can come to itself: a hundredth of a pen line."""


def self_clash(job: Job, layout: Layout, path: Path) -> Iterator[Finding]:
    """Whether the finished tube meets itself (stop), or nearly does (caution).

    The allowances at its ends are left out, as in the path. Nothing is told of a run with a
    straight under zero, which is no tube and has a finding of its own.
    """
    if _overlaps(layout):
        return
    od = job.tube.od_mm
    found = nearest_to_itself(path, od + NEAR_MM, TOLD_MM)
    if found is None:
        return
    gap = found.distance_mm - od
    level: Level = "stop" if gap < -SAME_MM else "caution"
    places = (*_place("first", found.first, layout), *_place("second", found.second, layout))
    yield Finding(level, "clash-self", None, (("gap_mm", gap), ("near_mm", NEAR_MM), *places))


def _place(name: str, spot: Spot, layout: Layout) -> Iterator[tuple[str, Value]]:
    """Where on the straight tube, and the number of the bend or of the leg."""
    yield f"{name}_mm", spot.at_mm + layout.shift_mm
    yield f"{name}_on", "leg" if spot.bend is None else "bend"
    yield f"{name}_number", float(spot.bend or spot.leg or 0)


def bender_clash(job: Job, layout: Layout) -> Iterator[Finding]:
    """What the tube meets (stop), or nearly meets (caution), in each pull; no envelope, nothing."""
    if _overlaps(layout) or job.bender.envelope == Envelope():
        return
    from benchcalc.core.clearance.swing import (
        meetings,  # much to load for the few who have an envelope
    )

    for one in meetings(job, layout):
        level: Level = "stop" if one.gap_mm < -SAME_MM else "caution"
        yield Finding(
            level,
            "clash-bender",
            one.bend,
            (
                ("body", one.body),
                ("gap_mm", one.gap_mm),
                ("angle_deg", one.angle_deg),
                ("at_mm", one.at_mm),
                ("side", "free" if one.swings else "held"),
            ),
        )


def _overlaps(layout: Layout) -> bool:
    straights = (*(bend.straight_before_mm for bend in layout.bends), layout.straight_after_mm)
    return min(straights) < -SAME_MM
