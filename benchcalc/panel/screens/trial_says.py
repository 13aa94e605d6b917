"""What trial bends say: the radius, stretch and lines, and what the last of them is worth."""

from benchcalc.core.job import Bender, Units
from benchcalc.core.springback.calibration import (
    Average,
    Trial,
    TrialError,
    TrialResult,
    not_explained,
    radius_within,
    stretch_within,
)
from benchcalc.panel.state.fields import Refused
from benchcalc.panel.state.in_hand import springback_in_hand
from benchcalc.panel.state.model import Model
from benchcalc.panel.state.trials import Trials, measured_of, read_trial
from benchcalc.report.figures import decimal, in_units, length_text
from benchcalc.words.language import say


def trials_say(model: Model) -> tuple[str, list[str]]:
    """The radius as the trials have it, and what else they say, the weightiest first; without a
    radius, why there is none."""
    trials, bender = model.work.trials, model.draft.bender
    if bender is None or not trials.done:
        return "", []
    try:
        measured = measured_of(trials.done, bender, trials.od_mm)
    except (Refused, TrialError) as error:  # the profile was changed since they were added
        return "", [str(error)]
    units, radius = trials.typing.unit, measured.radius
    says = say("trial.radius", radius=_within(radius, units))
    lines = [
        say("trial.line", name=name, offset=length_text(line.mean, units))
        for name, line in measured.lines
    ]
    stretch = _stretch_says(measured, units)
    told = [
        _not_springback(model, bender, radius.mean),
        "" if measured.stretch is None else stretch,
        ", ".join(lines) + "." if lines else say("trial.no-lines"),
        _worth(trials, bender, measured),
        stretch if measured.stretch is None else "",
    ]
    return says, [one for one in told if one]


def _within(average: Average, units: Units) -> str:
    """A mean with its 95 % limits."""
    within = average.within or 0.0
    spread = decimal(in_units(within, units), 1 if units == "mm" else 3)
    return f"{length_text(average.mean, units)} ± {spread}"


def _stretch_says(measured: TrialResult, units: Units) -> str:
    """The stretch where a U lies beside a bend; else what tells it."""
    if measured.stretch is None:
        return say("trial.no-stretch")
    return say("trial.stretch", stretch=_within(measured.stretch, units))


def _not_springback(model: Model, bender: Bender, radius_mm: float) -> str:
    """A radius that springback does not explain is said."""
    known = springback_in_hand(model)
    over = not_explained(radius_mm, bender, known.b if known else 0.0)
    return "" if over is None else say("trial.not-springback", over=f"{100 * over:.0f} %")


def _worth(trials: Trials, bender: Bender, measured: TrialResult) -> str:
    """What the last trial by itself is worth."""
    units, last = trials.typing.unit, read_trial(trials.done[-1], bender, trials.od_mm)
    if isinstance(last, Trial) and measured.stretch is not None:
        within, what = stretch_within(last, measured.radius), "stretch"
    else:
        within, what = radius_within(last, measured.radius.mean), "radius"
    shown = f"{decimal(in_units(within, units), 1 if units == 'mm' else 3)} {units}"
    return say(f"trial.worth.{what}", within=shown)
