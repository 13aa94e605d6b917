"""Numbers as people read them: always with their unit, rounded only here, at the last step."""

from benchcalc.core.lengths import TAPES, Tape, format_graduation, mm_per, nearest_graduation
from benchcalc.core.parts import Scale, Units

MINUS = "−"
DEFAULT_TAPE: dict[Units, str] = {"mm": "0.5 mm", "in": "1/32 in"}
LENGTH_PLACES: dict[Units, int] = {"mm": 1, "in": 3}


def in_units(length_mm: float, units: Units) -> float:
    """A length in the job's units, unrounded."""
    return length_mm if units == "mm" else length_mm / float(mm_per(units))


def decimal(value: float, places: int) -> str:
    """A decimal with a real minus sign, and no minus before nothing."""
    text = f"{abs(value):.{places}f}"
    return MINUS + text if value < 0 and float(text) else text


def length_figure(length_mm: float, units: Units) -> str:
    """The bare figure of a length: ``173.4``, ``6.827``."""
    return decimal(in_units(length_mm, units), LENGTH_PLACES[units])


def length_text(length_mm: float, units: Units) -> str:
    """A length with its unit: ``173.4 mm``, ``6.827 in``."""
    return f"{length_figure(length_mm, units)} {units}"


def size_text(length_mm: float, units: Units) -> str:
    """A size of tube or wall without spare zeros: ``10 mm``, ``0.049 in``."""
    return f"{in_units(length_mm, units):.4f}".rstrip("0").rstrip(".") + f" {units}"


def angle_figure(angle_deg: float) -> str:
    """The bare figure of an angle, to a tenth of a degree."""
    return decimal(angle_deg, 1)


def angle_text(angle_deg: float) -> str:
    """An angle without a spare zero: ``45°``, ``47.1°``."""
    return angle_figure(angle_deg).removesuffix(".0") + "°"


def tape_for(name: str | None, units: Units) -> Tape:
    """The tape by name; the ordinary one for the units when there is none of that name."""
    return TAPES.get(name or "", TAPES[DEFAULT_TAPE[units]])


def tape_text(length_mm: float, tape: Tape) -> str:
    """The nearest graduation and what it leaves over: ``173.5 mm less 0.1``."""
    line = nearest_graduation(length_mm, tape)
    left = abs(in_units(line.left_mm, tape.unit))
    shown = format_graduation(line)
    figure = decimal(left, LENGTH_PLACES[tape.unit])
    if not float(figure):
        return shown
    return f"{shown} {'and' if line.left_mm > 0 else 'less'} {figure}"


def scale_text(angle_deg: float, scale: Scale) -> str:
    """What the bender's own scale reads at a true angle, to its nearest graduation."""
    reading = angle_deg + scale.zero_deg
    steps = round(reading / scale.step_deg)
    left = reading - steps * scale.step_deg
    shown = angle_text(steps * scale.step_deg)
    if not float(f"{abs(left):.1f}"):
        return shown
    return f"{shown} {'and' if left > 0 else 'less'} {abs(left):.1f}"
