"""Trial bends: a die's true radius and lines from offcuts.

Cut an offcut, make one bend, measure both legs to the corner and the angle. The gain is what the
legs have over the cut: most of it is radius, some the tube's stretch, and one bend cannot tell them
apart. A U can: its width over both legs is twice the radius and a diameter, whatever was stretched.
With both, the U gives the radius and what the gain has over that is stretch.
"""

from math import hypot, radians, sqrt, tan
from typing import Any, NamedTuple

from benchcalc.core.frozen import frozen, replace
from benchcalc.core.job import Bender, Line

LEAST_ANGLE_DEG = 30.0
"""Under this a bend has hardly any gain: half a millimetre on it is more than the radius itself."""

READ_MM, READ_DEG = 0.5, 0.5
"""How well a length and an angle of a trial are read, 95 % limits. Common practice, no source."""

EXPLAINED = 0.03
"""A finished radius is over what springback opens the die's to by this share at most, by readings
alone. A supposition, no source."""

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
    """A mean, the standard deviation of a single trial (None for one), and of how many.

    ``within`` are the 95 % limits of the mean, None where an older record does not say.
    """

    mean: float
    spread: float | None
    trials: int
    within: float | None = None


def average(values: list[float], within: float | None = None) -> Average:
    """Mean and spread of several trials, each read ``within`` so much. Raises TrialError for none.

    The mean is as good as the readings make it, or as the trials differ, if that is worse.
    """
    if not values:
        raise TrialError("no trial yet: bend an offcut and measure it")
    count, mean = len(values), sum(values) / len(values)
    if count == 1:
        return Average(mean, None, 1, within)
    spread = sqrt(sum((v - mean) ** 2 for v in values) / (count - 1))
    if within is not None:
        within = max(within, 2 * spread) / sqrt(count)
    return Average(mean, spread, count, within)


def gain_of(trial: Trial) -> float:
    """What both legs have over the cut, mm.

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
    return gain


def radius_of(trial: Trial, stretch_mm: float = 0.0) -> float:
    """Finished centreline radius, mm: (gain - stretch)/(2 tan(angle/2) - angle in radians).

    ``stretch_mm`` is that of 90 degrees. Raises TrialError as ``gain_of`` does.
    """
    gain = gain_of(trial) - stretch_mm * trial.angle_deg / 90
    return gain / gain_per_radius(trial.angle_deg)


def stretch_of_trial(trial: Trial, radius_mm: float) -> float:
    """How much longer 90 degrees make the tube, mm, when the radius is known from a U.

    Raises TrialError as ``gain_of`` does.
    """
    left = gain_of(trial) - radius_mm * gain_per_radius(trial.angle_deg)
    return left * 90 / trial.angle_deg


def gain_within(trial: Trial, radius_mm: float) -> float:
    """How well a trial's gain is known, mm, 95 % limits: three lengths and the angle are read."""
    per_deg = radius_mm * tan(radians(trial.angle_deg) / 2) ** 2 * radians(1.0)
    return sqrt(3 * READ_MM**2 + (per_deg * READ_DEG) ** 2)


def radius_within(trial: Trial | WidthTrial, radius_mm: float) -> float:
    """What one trial is worth for the radius, mm, 95 % limits either way."""
    if isinstance(trial, WidthTrial):
        return READ_MM / 2
    return gain_within(trial, radius_mm) / gain_per_radius(trial.angle_deg)


def stretch_within(trial: Trial, radius: Average) -> float:
    """What one trial beside a U is worth for the stretch of 90 degrees, mm, 95 % limits."""
    by_radius = (radius.within or 0.0) * gain_per_radius(trial.angle_deg)
    both = hypot(gain_within(trial, radius.mean), by_radius)
    return both * 90 / trial.angle_deg


def not_explained(radius_mm: float, bender: Bender, b: float) -> float | None:
    """By what share a finished radius is over what springback makes of the die's, R/(1 - b).

    None where it is within 3 %: beyond that it is no springback, but stretch, or another die.
    """
    over = radius_mm * (1 - b) / bender.radius_mm - 1
    return over if over > EXPLAINED else None


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
    """What trials say of a bender: its finished radius and its lines, each with its spread.

    ``stretch`` is that of 90 degrees; None where no bend lies beside a U.
    """

    radius: Average
    lines: tuple[tuple[str, Average], ...]
    stretch: Average | None = None


def measure(trials: list[Trial], widths: list[WidthTrial], stretch_mm: float = 0.0) -> TrialResult:
    """Average several trials. Where there is a U it decides the radius, and the others the stretch;
    without one the radius is what ``stretch_mm``, that of the profile, leaves of the gain."""
    radii = [radius_of_width(w) for w in widths] or [radius_of(t, stretch_mm) for t in trials]
    told: list[Trial | WidthTrial] = [*widths] or [*trials]
    worth = [radius_within(t, r) for t, r in zip(told, radii, strict=True)]
    radius = average(radii, max(worth, default=None))
    stretch = None
    if widths and trials:
        each = [stretch_within(t, radius) for t in trials]
        stretch = average([stretch_of_trial(t, radius.mean) for t in trials], max(each))
    found: dict[str, list[float]] = {}
    for trial in trials:
        offset = line_offset_of(trial, radius.mean)
        if offset is not None:
            found.setdefault(trial.line, []).append(offset)
    # A mark and the leg to the corner are read; the radius says where the bend began.
    read = hypot(READ_MM, READ_MM, radius.within or 0.0)
    lines = tuple((name, average(values, read)) for name, values in found.items())
    return TrialResult(radius, lines, stretch)


def with_measured(bender: Bender, measured: TrialResult) -> Bender:
    """The profile with measured values in place of nominal ones; the die's radius stays nominal."""
    lines = dict(measured.lines)

    def line(nominal: Line) -> Line:
        found = lines.get(nominal.name)
        if found is None:
            return nominal
        return replace(nominal, offset_mm=found.mean, within_mm=found.within)

    if measured.stretch is not None:
        bender = replace(
            bender,
            stretch_mm=measured.stretch.mean,
            stretch_within_mm=measured.stretch.within,
        )
    return replace(
        bender,
        radius_within_mm=measured.radius.within,
        finished_radius_mm=measured.radius.mean,
        lines=tuple(line(nominal) for nominal in bender.lines),
        trials=measured.radius.trials,
    )


def as_tried(bender: Bender, record: dict[str, Any]) -> Bender:
    """A profile with what the record of its trial bends measured in place of what is nominal."""
    lines = tuple((name, _average_of(line)) for name, line in record["lines"].items())
    told = record.get("stretch")
    stretch = None if told is None else _average_of(told)
    return with_measured(bender, TrialResult(_average_of(record["radius"]), lines, stretch))


def _average_of(plain: dict[str, Any]) -> Average:
    return Average(plain["mean_mm"], plain["spread_mm"], plain["trials"], plain.get("within_mm"))


def as_aimed(bender: Bender, record: dict[str, Any]) -> Bender:
    """A profile as the record of a first piece that missed corrected it, where it did."""
    after = record["bender_after"]
    if after is None:
        return bender
    return replace(
        bender,
        finished_radius_mm=after["finished_radius_mm"],
        lines=tuple(
            replace(line, offset_mm=after["lines"].get(line.name, line.offset_mm))
            for line in bender.lines
        ),
        trials=bender.trials + 1,
    )
