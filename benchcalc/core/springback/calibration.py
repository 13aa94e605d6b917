"""Trial bends: a die's true radius and lines from offcuts.

Cut an offcut, make one bend, measure both legs to the corner and the angle. The gain is what the
legs have over the cut; it gives the radius. For the radius a U is better: the width over both legs
is measured directly.
"""

from math import radians, sqrt, tan
from typing import NamedTuple

from benchcalc.core.frozen import frozen, replace
from benchcalc.core.job import Bender, Line

LEAST_ANGLE_DEG = 30.0
"""Under this a bend has hardly any gain: half a millimetre on it is more than the radius itself."""

MOST_ANGLE_DEG = 150.0
"""From here on the corner lies too far off to be measured to; make a U and measure its width."""


class TrialError(ValueError):
    """Measurements that fit no bend; the message says which and what to do."""


@frozen
class Trial:
    """One bent offcut: cut length, both legs to the corner, the finished angle.

    ``mark_mm`` from the end of the first leg, and the ``line`` it was set to, tell of that line
    too; the first leg's end was held. ``loaded_deg`` tells of springback.
    """

    cut_mm: float
    first_leg_mm: float
    second_leg_mm: float
    angle_deg: float
    mark_mm: float | None = None
    line: str = ""
    loaded_deg: float | None = None


@frozen
class WidthTrial:
    """One bent U: the width outside both legs and the tube's outside diameter."""

    width_mm: float
    od_mm: float


class Average(NamedTuple):
    """A mean, the standard deviation of a single trial (None for one), and of how many."""

    mean: float
    spread: float | None
    trials: int


def average(values: list[float]) -> Average:
    """Mean and spread of several trials. Raises TrialError for none."""
    if not values:
        raise TrialError("no trial yet: bend an offcut and measure it")
    mean = sum(values) / len(values)
    if len(values) == 1:
        return Average(mean, None, 1)
    spread = sqrt(sum((v - mean) ** 2 for v in values) / (len(values) - 1))
    return Average(mean, spread, len(values))


def radius_of(trial: Trial) -> float:
    """Finished centreline radius, mm: gain/(2 tan(angle/2) - angle in radians).

    Raises TrialError for an angle that tells too little or legs that leave no gain.
    """
    angle = trial.angle_deg
    if not LEAST_ANGLE_DEG <= angle < MOST_ANGLE_DEG:
        raise TrialError(
            f"the angle is {angle:g}°: take one from {LEAST_ANGLE_DEG:g}° to under "
            f"{MOST_ANGLE_DEG:g}°, 90° is best, or bend a U and measure its width"
        )
    gain = trial.first_leg_mm + trial.second_leg_mm - trial.cut_mm
    if gain <= 0:
        raise TrialError(
            f"both legs are {trial.first_leg_mm + trial.second_leg_mm:g} mm, the cut "
            f"{trial.cut_mm:g} mm: the legs must be longer together; measure them to the corner"
        )
    return gain / gain_per_radius(angle)


def gain_per_radius(angle_deg: float) -> float:
    """Gain of a bend of radius 1: 2 tan(angle/2) - angle in radians; 0.429204 at 90 degrees."""
    return 2 * tan(radians(angle_deg) / 2) - radians(angle_deg)


def radius_of_width(trial: WidthTrial) -> float:
    """Finished centreline radius of a U, mm: (outside width - OD)/2."""
    radius = (trial.width_mm - trial.od_mm) / 2
    if radius <= trial.od_mm / 2:
        raise TrialError(
            f"the width is {trial.width_mm:g} mm over a tube of {trial.od_mm:g} mm: "
            "measure outside both legs"
        )
    return radius


def line_offset_of(trial: Trial, radius_mm: float) -> float | None:
    """Where the line really lies from the start of bend, mm; None when no mark was noted.

    The corner fell at the first leg; it lies radius * tan(angle/2) past the start of bend, and the
    mark the line's offset past it.
    """
    if trial.mark_mm is None or not trial.line:
        return None
    start = trial.first_leg_mm - radius_mm * tan(radians(trial.angle_deg) / 2)
    return trial.mark_mm - start


class TrialResult(NamedTuple):
    """What trials say of a bender: its finished radius and its lines, each with its spread."""

    radius: Average
    lines: tuple[tuple[str, Average], ...]


def measure(trials: list[Trial], widths: list[WidthTrial]) -> TrialResult:
    """Average several trials. A U tells the radius better, so where there is one it decides."""
    radii = [radius_of_width(w) for w in widths] or [radius_of(t) for t in trials]
    radius = average(radii)
    found: dict[str, list[float]] = {}
    for trial in trials:
        offset = line_offset_of(trial, radius.mean)
        if offset is not None:
            found.setdefault(trial.line, []).append(offset)
    return TrialResult(radius, tuple((name, average(values)) for name, values in found.items()))


def with_measured(bender: Bender, measured: TrialResult) -> Bender:
    """The profile with measured values in place of nominal ones; the die's radius stays nominal."""
    lines = dict(measured.lines)

    def line(nominal: Line) -> Line:
        found = lines.get(nominal.name)
        return nominal if found is None else replace(nominal, offset_mm=found.mean)

    return replace(
        bender,
        finished_radius_mm=measured.radius.mean,
        lines=tuple(line(nominal) for nominal in bender.lines),
        trials=measured.radius.trials,
    )
