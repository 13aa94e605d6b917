"""Numbers as people read them: always with their unit, rounded only here, at the last step."""

from benchcalc.core.job import Scale, Units
from benchcalc.core.lengths import TAPES, Tape, format_graduation, mm_per, nearest_graduation
from benchcalc.report.units_shown import fraction_of, is_fraction, shown_now, tube_units
from benchcalc.words.language import decimal_sign, number_shown, say

MINUS = "−"
DEFAULT_TAPE: dict[Units, str] = {"mm": "0.5 mm", "in": "1/32 in"}
LENGTH_PLACES: dict[Units, int] = {"mm": 1, "in": 3}


def in_units(length_mm: float, units: Units) -> float:
    """A length in the job's units, unrounded."""
    return length_mm if units == "mm" else length_mm / float(mm_per(units))


def decimal(value: float, places: int) -> str:
    """A decimal with a real minus sign, and no minus before nothing."""
    text = f"{abs(value):.{places}f}"
    sign = MINUS if value < 0 and float(text) else ""
    return sign + number_shown(text)


def without_tenths(figure: str) -> str:
    """A figure without a tenth that is none: ``45``, ``47.1``."""
    return figure.removesuffix(f"{decimal_sign()}0")


def length_figure(length_mm: float, units: Units) -> str:
    """The bare figure of a length: ``173.4``, ``6.827``; ``6 53/64−`` where fractions are set."""
    whole = in_units(length_mm, units)
    return fraction_of(length_mm, units) or decimal(whole, LENGTH_PLACES[units])


def length_text(length_mm: float, units: Units) -> str:
    """A length with its unit: ``173.4 mm``, ``6.827 in``."""
    return f"{length_figure(length_mm, units)} {units}"


def size_text(length_mm: float, units: Units) -> str:
    """A size of tube or wall without spare zeros: ``10 mm``, ``0.049 in``."""
    figure = f"{in_units(length_mm, units):.4f}".rstrip("0").rstrip(".")
    return f"{number_shown(figure)} {units}"


def tube_text(length_mm: float, units: Units) -> str:
    """A size of tube or wall on the panel: in inches where they are mixed, ``1/4 in`` by fractions.

    A wall that lies on no 64th is a gauge and stays a decimal.
    """
    units = tube_units(units, shown_now())
    fraction = fraction_of(length_mm, units) if is_fraction(length_mm) else ""
    return f"{fraction} in" if fraction else size_text(length_mm, units)


def angle_figure(angle_deg: float) -> str:
    """The bare figure of an angle, to a tenth of a degree."""
    return decimal(angle_deg, 1)


def angle_text(angle_deg: float) -> str:
    """An angle without a spare zero: ``45°``, ``47.1°``."""
    return without_tenths(angle_figure(angle_deg)) + "°"


def tape_for(name: str | None, units: Units) -> Tape:
    """The tape by name; the ordinary one for the units when there is none of that name."""
    return TAPES.get(name or "", TAPES[DEFAULT_TAPE[units]])


def tape_text(length_mm: float, tape: Tape) -> str:
    """The nearest graduation and what it leaves over: ``173.5 mm less 0.1``."""
    line = nearest_graduation(length_mm, tape)
    left = abs(in_units(line.left_mm, tape.unit))
    shown = number_shown(format_graduation(line))
    places = LENGTH_PLACES[tape.unit]
    if not float(f"{left:.{places}f}"):
        return shown
    return f"{shown} {_left_over(line.left_mm)} {decimal(left, places)}"


def scale_text(angle_deg: float, scale: Scale) -> str:
    """What the bender's own scale reads at a true angle, to its nearest graduation."""
    reading = angle_deg + scale.zero_deg
    steps = round(reading / scale.step_deg)
    left = reading - steps * scale.step_deg
    shown = angle_text(steps * scale.step_deg)
    if not float(f"{abs(left):.1f}"):
        return shown
    return f"{shown} {_left_over(left)} {decimal(abs(left), 1)}"


def _left_over(left: float) -> str:
    return say("tape.and") if left > 0 else say("tape.less")


def brief(name: str, letters: int) -> str:
    """A name that somebody gave, cut where a line is too short for it."""
    return name if len(name) <= letters else name[: letters - 1].rstrip() + "…"
