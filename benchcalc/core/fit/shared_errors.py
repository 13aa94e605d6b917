"""What all bends of a piece share: the bender's lines, its radius, stretch, the gauge, the cut.

A line that lies half a millimetre off is off for every bend set to it; such errors add up where
independent ones partly cancel. Each is one error of its own with its own width: as nominal, or as
well as it was measured. What is worth measuring is what makes the far end's ring smaller by most.
"""

from collections.abc import Callable
from math import pi, radians
from typing import NamedTuple

from benchcalc.core.fit.bent_tube import BendAsMade, BentTube
from benchcalc.core.fit.expected_miss import (
    LIMIT_OF_TWO,
    Lever,
    SharedCause,
    Tolerances,
    miss_of,
)
from benchcalc.core.frozen import replace
from benchcalc.core.geometry.vectors import scale, subtract
from benchcalc.core.job import Bender
from benchcalc.core.layout.straight_tube import Layout

NOMINAL_MM = 0.8
"""A line or a finished radius that nobody measured, 95 % limits. Common practice, no source."""

GIVEN_MM = 0.5
"""A radius or a stretch that the profile gives as measured and does not say how well."""

NOMINAL_STRETCH = 0.03
"""A stretch that nobody measured, as a share of the bend's arc, 95 % limits: rigid-plastic theory
has 2 to 3 %, and none at all is what a profile without one supposes."""

CUT_MM = 0.5
"""How well a tube is cut to length, 95 % limits. Common practice, no source."""

TRIALS_MM, CHECKED_DEG = 0.3, 0.2
"""What a line, a radius or a stretch is known by after a few trials, and a gauge after its check,
95 % limits: what is promised to whoever measures them."""

STEP = 0.01

SMALLER = 0.9
"""It is worth measuring what leaves no more than this of the ring."""


class Shared(NamedTuple):
    """One error that all bends share: of what, its 95 % limits, and those once it is measured.

    ``lever`` is what one unit of it, a millimetre or a degree, carries.
    """

    cause: SharedCause
    name: str
    within: float
    measured: float
    lever: Lever


class Measure(NamedTuple):
    """What to measure first: which of the shared errors, and the ring that is left then."""

    cause: SharedCause
    radius_mm: float


def shared_errors(
    tube: BentTube, layout: Layout, bender: Bender, widths: Tolerances
) -> list[Shared]:
    """Every error that the bends of a tube share."""
    names = {bend.number: bend.mark.line.name for bend in layout.bends if bend.mark is not None}
    within = {line.name: line.within_mm for line in bender.lines}
    found = []
    for name in dict.fromkeys(names.values()):
        at = [number for number, line in names.items() if line == name]
        width = within.get(name)
        width = NOMINAL_MM if width is None else width
        found.append(_shared("line", name, width, TRIALS_MM, tube, _lines_off(tube, at)))
    radius, stretch = radius_width(bender), stretch_width(bender)
    found.append(_shared("radius", "", radius, TRIALS_MM, tube, _rounder(tube)))
    found.append(_shared("stretch", "", stretch, TRIALS_MM, tube, _longer(tube)))
    if widths.gauge_deg:
        angles = _each(tube, lambda bend: replace(bend, angle_deg=bend.angle_deg + STEP))
        found.append(_shared("gauge", "", widths.gauge_deg, CHECKED_DEG, tube, angles))
    cut = replace(tube, ends_mm=tube.ends_mm + STEP)
    return [*found, _shared("cut", "", CUT_MM, CUT_MM, tube, cut)]


def radius_width(bender: Bender) -> float:
    """How well the finished radius is known, mm, 95 % limits."""
    if bender.radius_within_mm is not None:
        return bender.radius_within_mm
    return NOMINAL_MM if bender.finished_radius_mm is None else GIVEN_MM


def stretch_width(bender: Bender) -> float:
    """How well the stretch of 90 degrees is known, mm, 95 % limits."""
    if bender.stretch_within_mm is not None:
        return bender.stretch_within_mm
    return GIVEN_MM if bender.stretch_mm else NOMINAL_STRETCH * bender.radius_mm * pi / 2


def levers_of(shared: list[Shared]) -> list[Lever]:
    """The same as levers, one standard deviation large."""
    return [_sized(one, one.within) for one in shared]


def best_measured(levers: list[Lever], shared: list[Shared]) -> Measure | None:
    """What to measure to make the ring smallest; None where nothing makes it smaller by a tenth.

    ``levers`` are those of the independent errors. Lines, radius and stretch are measured by the
    same trials and go together.
    """
    now = miss_of([*levers, *levers_of(shared)]).radius_mm
    found = []
    for causes in (("line", "radius", "stretch"), ("gauge",)):
        after = [
            _sized(one, min(one.measured, one.within) if one.cause in causes else one.within)
            for one in shared
        ]
        found.append((miss_of([*levers, *after]).radius_mm, causes[-1]))
    radius_mm, cause = min(found)
    if radius_mm > SMALLER * now:
        return None
    return Measure("gauge" if cause == "gauge" else "radius", radius_mm)


def _sized(one: Shared, within: float) -> Lever:
    lever = one.lever
    return lever._replace(carried_mm=scale(lever.carried_mm, within / LIMIT_OF_TWO))


def _shared(
    cause: SharedCause, name: str, within: float, measured: float, tube: BentTube, other: BentTube
) -> Shared:
    moved = scale(subtract(other.far_end()[0], tube.far_end()[0]), 1 / STEP)
    return Shared(cause, name, within, measured, Lever(cause, 0, moved))


def _each(tube: BentTube, change: Callable[[BendAsMade], BendAsMade]) -> BentTube:
    return replace(tube, bends=tuple(change(bend) for bend in tube.bends))


def _lines_off(tube: BentTube, numbers: list[int]) -> BentTube:
    bends = list(tube.bends)
    for number in numbers:
        bend = bends[number - 1]
        by = STEP if bend.held == "reference" else -STEP
        bends[number - 1] = replace(bend, hold_mm=bend.hold_mm + by)
    return replace(tube, bends=tuple(bends))


def _rounder(tube: BentTube) -> BentTube:
    return _each(
        tube, lambda bend: replace(bend, arc_per_deg=bend.arc_per_deg + radians(1.0) * STEP)
    )


def _longer(tube: BentTube) -> BentTube:
    return _each(tube, lambda bend: replace(bend, stretch_per_deg=bend.stretch_per_deg + STEP / 90))
