"""``benchcalc trial BENDER``: a die's true radius and lines from bent offcuts."""

import argparse
from pathlib import Path

from benchcalc.commands.parser import BAD, DONE, LACKS, parser_of, tell
from benchcalc.core.job import Bender, Units
from benchcalc.core.springback.calibration import (
    Average,
    Trial,
    TrialError,
    not_explained,
    radius_within,
    stretch_within,
)
from benchcalc.core.springback.lessons import TRIAL
from benchcalc.files.loading import config_folder, load_shop
from benchcalc.jobfile.problems import BadFile, nearest
from benchcalc.panel.state.fields import Refused
from benchcalc.panel.state.trials import Measurements, measured_of, read_trial, trial_record
from benchcalc.report.figures import decimal, in_units, length_text
from benchcalc.runlog.store import Store, StoreError
from benchcalc.shell import clock

USUAL_B = 0.03
"""What the slope of springback is about in annealed tube: trials do not say what tube they are of.
Common practice, no source."""


def run(words: list[str], state: Path) -> int:
    """Average the trials and print what they say; the exit code as the command line has them."""
    given = _parser().parse_args(words)
    try:
        shop = load_shop(config_folder())
    except BadFile as bad:
        return tell(str(bad), BAD)
    bender = shop.bender(given.bender)
    if bender is None:
        hint = nearest(given.bender, tuple(b.key for b in shop.benders))
        return tell(f"benchcalc: no bender is called {given.bender}: {hint or 'see README'}", BAD)
    try:
        done = (
            *(_bend(text, given.units) for text in given.bend or ()),
            *(Measurements(width=text, unit=given.units) for text in given.u or ()),
        )
        _print(bender, done, given.units)
        if given.keep:
            record = {**trial_record(bender, done, bender.od_mm), "lessons": []}
            with Store.open(state, clock.boot_id(), mend=False) as store:
                number = store.append(TRIAL, record, clock.wall_time(), clock.clock_trusted())
            print(f"kept for {bender.key}, number {number} in the log")
    except (Refused, TrialError) as error:
        return tell(f"benchcalc: {error}", BAD)
    except StoreError as error:
        return tell(f"benchcalc: {error}", LACKS)
    return DONE


def _parser() -> argparse.ArgumentParser:
    parser = parser_of(
        "trial",
        "Average trial bends: each an offcut's cut length, both legs to the corner and "
        "the measured angle; with the mark's place from the held end it tells of the line made for "
        "that angle too. A U by its outside width tells the radius best.",
    )
    parser.add_argument("bender", metavar="BENDER", help="a key of the bender profiles")
    parser.add_argument(
        "--bend", action="append", metavar="CUT,LEG,LEG,ANGLE[,MARK]", help="one bent offcut"
    )
    parser.add_argument("--u", action="append", metavar="WIDTH", help="one bent U")
    parser.add_argument("--units", choices=("mm", "in"), default="mm", help="of bare numbers")
    parser.add_argument("--keep", action="store_true", help="keep them for this bench's sheets")
    return parser


def _bend(text: str, units: Units) -> Measurements:
    parts = [part.strip() for part in text.split(",")]
    if len(parts) not in (4, 5):
        raise TrialError(f"--bend {text}: give four numbers, CUT,LEG,LEG,ANGLE, or the mark fifth")
    cut, first, second, angle, mark = (*parts, "")[:5]
    return Measurements(cut, first, second, angle, mark, unit=units)


def _print(bender: Bender, done: tuple[Measurements, ...], units: Units) -> None:
    measured = measured_of(done, bender, bender.od_mm)
    nominal = length_text(bender.radius_mm, units)
    print(f"{bender.key}: finished radius {_shown(measured.radius, units)}; die {nominal}, nominal")
    if measured.stretch is not None:
        print(f"stretch of 90°: {_shown(measured.stretch, units)}")
    else:
        print("stretch: a bend and a U together tell it; the radius here takes it as", end=" ")
        print(f"{length_text(bender.stretch_mm, units)} for 90°, as the profile has it")
    over = not_explained(measured.radius.mean, bender, USUAL_B)
    if over is not None:
        print(
            f"the radius is {100 * over:.0f} % over what springback opens the die's to: that is "
            "stretch or another die; bend a U and measure its width"
        )
    for number, typed in enumerate(done, 1):
        trial = read_trial(typed, bender, bender.od_mm)
        worth = f"radius ± {_mm(radius_within(trial, measured.radius.mean), units)}"
        if isinstance(trial, Trial) and measured.stretch is not None:
            worth = f"stretch ± {_mm(stretch_within(trial, measured.radius), units)}"
        print(f"trial {number} by itself: {worth} (95 %)")
    for name, line in measured.lines:
        was = next(x.offset_mm for x in bender.lines if x.name == name)
        print(f"line {name}: {_shown(line, units)}; {length_text(was, units)}, nominal")


def _mm(length_mm: float, units: Units) -> str:
    return f"{decimal(in_units(length_mm, units), 2 if units == 'mm' else 4)} {units}"


def _shown(average: Average, units: Units) -> str:
    """A mean with its 95 % limits, and of how many trials."""
    count = f"{average.trials} trial{'s' if average.trials > 1 else ''}"
    within = decimal(in_units(average.within or 0.0, units), 2 if units == "mm" else 4)
    return f"{length_text(average.mean, units)} ± {within} ({count})"
