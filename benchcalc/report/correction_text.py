"""A correction in words: what the far end misses now and then, and what changes at each bend."""

from collections.abc import Iterator

from benchcalc.core.fit.as_made import AsMade
from benchcalc.core.fit.correction import Correction, Off, Shift
from benchcalc.core.job import Units
from benchcalc.report.figures import angle_text, decimal, length_figure, length_text
from benchcalc.words.language import say

LEAST_MM, LEAST_DEG = 0.05, 0.05
"""Changes under half of what is shown are none."""


def correction_text(correction: Correction, made: AsMade | None = None) -> str:
    """The whole correction, a line a bend still to be made; once all are, the piece as made."""
    lines = _lines(correction) if made is None else _as_made(correction, made)
    return "\n".join(lines) + "\n"


def _as_made(c: Correction, made: AsMade) -> Iterator[str]:
    units, fit = c.job.units, c.job.fit
    yield "AS MADE"
    yield f"  the far end misses by {_off(made.off, units)}:"
    limits = f"{length_text(fit.within_mm, units)} and {angle_text(fit.angle_deg)}"
    within = f"  that is within {limits}."
    yield within if made.fits else f"  that is not within {limits}: no fit."
    yield f"  From end to end it is {length_text(made.end_to_end_mm, units)}, straight across."
    yield f"  Its corner points, X Y Z in {units}:"
    for point in made.points:
        yield "    " + "".join(f"{length_figure(x, units):>12}" for x in point)


def _lines(c: Correction) -> Iterator[str]:
    units = c.job.units
    yield "CORRECTED"
    yield f"  the far end would miss by {_off(c.now, units)};"
    yield f"  bent as below it misses by {_off(c.after, units)}"
    if not c.fits:
        within = length_text(c.job.fit.within_mm, units)
        yield f"  No correction brings it within {within}: this is the best there is."
    elif not c.points:
        yield f"  It arrives, but cannot be made to point within {angle_text(c.job.fit.angle_deg)}."
    for shift in c.shifts:
        yield "  " + shift_says(shift, units)


def _off(off: Off, units: Units) -> str:
    return f"{length_text(off.by_mm, units)} and point {angle_text(round(off.by_deg, 1))} off"


def off_says(off: Off, units: Units) -> str:
    """A miss of the far end in few words."""
    return say(
        "shift.miss", by=length_text(off.by_mm, units), angle=angle_text(round(off.by_deg, 1))
    )


def shift_says(shift: Shift, units: Units) -> str:
    """What changes at one bend: its mark from the old one and from the last heel, angle, turn."""
    parts = [say("shift.bend", bend=shift.bend, mark=mark_says(shift, units))]
    if abs(shift.angle_by_deg) >= LEAST_DEG:
        parts.append(say("shift.angle", by=_signed(shift.angle_by_deg)))
    if abs(shift.turn_by_deg) >= LEAST_DEG:
        parts.append(say("shift.turn", by=_signed(shift.turn_by_deg)))
    return ", ".join(parts)


def shift_short(shift: Shift, units: Units) -> str:
    """What changes at one bend, in signed figures: its mark past the old one, angle, turn."""
    parts = []
    if abs(shift.past_mm or 0.0) >= LEAST_MM:
        by = length_text(abs(shift.past_mm or 0.0), units)
        parts.append(say("shift.mark", by=("+" if (shift.past_mm or 0.0) > 0 else "-") + by))
    if abs(shift.angle_by_deg) >= LEAST_DEG:
        parts.append(say("shift.angle", by=_signed(shift.angle_by_deg)))
    if abs(shift.turn_by_deg) >= LEAST_DEG:
        parts.append(say("shift.turn", by=_signed(shift.turn_by_deg)))
    changes = ", ".join(parts) or say("shift.nothing")
    return say("shift.bend", bend=shift.bend, mark=changes)


def mark_says(shift: Shift, units: Units) -> str:
    """Where the new mark goes; a bent tube cannot be taped from its end."""
    if shift.past_mm is None:
        return say("shift.none")
    if abs(shift.past_mm) < LEAST_MM:
        said = say("shift.stays")
    else:
        way = "past" if shift.past_mm > 0 else "before"
        said = say(f"shift.{way}", by=length_text(abs(shift.past_mm), units))
    if shift.from_heel_mm is None:
        return said
    heel = length_text(shift.from_heel_mm, units)
    where = "shift.heel" if shift.touched else "shift.backs"
    return say(where, mark=said, from_heel=heel, bend=shift.heel_of)


def _signed(by_deg: float) -> str:
    return ("+" if by_deg > 0 else "") + decimal(by_deg, 1) + "°"
