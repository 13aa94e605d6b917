"""Correcting the rest of a piece after a bend came out wrong: what is offered, and what was taken.

Bends that are made keep the sheet they were bent by; the rest goes by the last correction taken.
The old marks are those that were drawn on the straight tube, however many corrections there were.
"""

from dataclasses import replace
from typing import Any, NamedTuple

from benchcalc.core.finding import Finding
from benchcalc.core.fit.as_made import AsMade, as_made
from benchcalc.core.fit.correction import (
    Correction,
    Off,
    Shift,
    correct,
    home_of,
    left_over,
    shifts_of,
)
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.serialize import serialize
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.aiming.under_way import re_aimed, turns_read
from benchcalc.panel.state.making.piece import Came
from benchcalc.panel.state.making.steps import bent_so_far, on_to_bend
from benchcalc.panel.state.model import Answered, Making

RE_MARK_MM = 0.3
"""A mark that moves by less than its line is thick cannot be drawn beside the old one."""


class Offer(NamedTuple):
    """What can be done about the rest; ``stops`` are findings that forbid it."""

    bent: tuple[tuple[int, float], ...]
    correction: Correction
    shifts: tuple[Shift, ...]
    stops: tuple[Finding, ...]

    @property
    def moved(self) -> tuple[int, ...]:
        """The bends whose marks move so far that they are drawn anew."""
        return tuple(s.bend for s in self.shifts if abs(s.past_mm or 0.0) >= RE_MARK_MM)


def sheet_by(drawn: Sheet, answered: Answered | None) -> Sheet:
    """The sheet that a taken correction makes of the job as drawn, what it leaves among its
    findings."""
    if answered is None:
        return drawn
    sheet = drawn.of(replace(drawn.job, run=answered.run))
    left = left_over(Off(answered.after_mm, answered.after_deg), drawn.job.fit)
    return sheet._replace(findings=(*sheet.findings, left)) if left else sheet


def sheet_now(drawn: Sheet, making: Making) -> Sheet:
    """The sheet that the rest of the piece is bent by."""
    return sheet_by(drawn, next((c for c in reversed(making.corrections) if c.taken), None))


def sheet_of_bend(drawn: Sheet, making: Making, number: int) -> Sheet:
    """The sheet that a bend was bent by, or is to be bent by."""
    before = [c for c in making.corrections if c.taken and number not in dict(c.bent)]
    return sheet_by(drawn, before[-1] if before else None)


def correction_now(drawn: Sheet, making: Making) -> Correction:
    """The rest of the piece chosen anew, by what is measured of it so far."""
    job, bent = sheet_now(drawn, making).job, bent_so_far(making, drawn)
    home, turned = home_of(drawn.path), turns_read(making)
    return correct(job, drawn.springback, bent, drawn.usual, home, turned)


def offer(drawn: Sheet, making: Making) -> Offer:
    """The correction after the bends made so far."""
    bent = bent_so_far(making, drawn)
    found = asked(drawn, making) if making.re_aims else None
    found = found or correction_now(drawn, making)
    sheet = drawn.of(found.job)
    stops = tuple(f for f in sheet.findings if f.level == "stop" and f.bend not in bent)
    shifts = shifts_of(bent, drawn.layout, found.layout, drawn.job.tube.od_mm)
    return Offer(tuple(bent.items()), found, tuple(shifts), stops)


class Finished(NamedTuple):
    """A piece whose bends are all made: what it is, and how near its ends are known to that."""

    made: AsMade
    within_mm: float


def finished(drawn: Sheet, making: Making) -> Finished | None:
    """The piece as made; None before all is bent, or with an angle that no bend can have."""
    bent = bent_so_far(making, drawn)
    if len(bent) < len(drawn.layout.bends) or not all(0 < angle <= 180 for angle in bent.values()):
        return None
    found = correction_now(drawn, making)
    measured = drawn.of(found.job)._replace(so_far=SoFar(bent))
    return Finished(as_made(found), measured.expected_miss().radius_mm)


def asked(drawn: Sheet, making: Making) -> Correction | None:
    """What is to be asked about after a bend where bends re-aim the rest by themselves.

    That is moving marks as well, where it is worth it, and a rest that will not fit whatever is
    changed. None where there is nothing to decide.
    """
    found = re_aimed(drawn, making)
    if found is None:
        return None
    if found.marks is not None:
        return found.marks._replace(now=found.aimed.after)
    return None if found.aimed.fits else found.aimed


def answer(making: Making, drawn: Sheet, taken: bool) -> Making:
    """The correction is taken or refused; on to the next bend, by the sheet that then holds."""
    offered = offer(drawn, making)
    bent, found, moved = offered.bent, offered.correction, offered.moved
    if taken and offered.stops:
        return making
    now, after = found.now, found.after
    last = next((c for c in reversed(making.corrections) if c.taken), None)
    moved += tuple(number for number in last.moved if number in dict(bent)) if last else ()
    turned = tuple(turns_read(making))
    answered = Answered(
        bent, found.job.run, taken, now.by_mm, now.by_deg, after.by_mm, after.by_deg, moved,
        turned=turned,
    )  # fmt: skip
    making = replace(making, corrections=(*making.corrections, answered))
    left = after if taken else now
    came = Came(
        "corrected" if taken else "left uncorrected", miss_mm=left.by_mm, miss_deg=left.by_deg
    )
    return replace(on_to_bend(making, sheet_now(drawn, making)), came=came)


def new_mark(drawn: Sheet, making: Making) -> Shift | None:
    """Where the mark of the bend in hand lies after a correction; None when none was taken.

    Re-aiming alone moves no mark.
    """
    sheet = sheet_now(drawn, making)
    if all(c.re_aims for c in making.corrections if c.taken):
        return None
    before = [bend.number for bend in drawn.layout.in_order[: making.place]]
    shifts = shifts_of(before, drawn.layout, sheet.layout, drawn.job.tube.od_mm)
    return next(shifts, None)


def corrections_plain(drawn: Sheet, making: Making) -> list[dict[str, Any]]:
    """The corrections as the record has them; shifts count from the marks as they were drawn."""
    return [_plain(drawn, answered) for answered in making.corrections]


def as_made_plain(drawn: Sheet, making: Making) -> dict[str, Any] | None:
    """The piece as made as the record has it; None where that is not known."""
    done = finished(drawn, making)
    if done is None:
        return None
    return {
        "points": [
            {"kind": kind, "x_mm": x, "y_mm": y, "z_mm": z}
            for kind, (x, y, z) in zip(done.made.kinds, done.made.points, strict=True)
        ],
        "end_to_end_mm": done.made.end_to_end_mm,
        "within_mm": done.within_mm,
        "missed_mm": done.made.off.by_mm,
        "points_off_deg": done.made.off.by_deg,
        "fits": done.made.fits,
    }


def _plain(drawn: Sheet, answered: Answered) -> dict[str, Any]:
    layout = sheet_by(drawn, answered).layout
    shifts = shifts_of(dict(answered.bent), drawn.layout, layout, drawn.job.tube.od_mm)
    return {
        "after_bend": answered.bent[-1][0],
        "taken": answered.taken,
        "re_aimed": answered.re_aims,
        "why": serialize(answered.why),
        "miss_now_mm": answered.now_mm,
        "miss_after_mm": answered.after_mm,
        "points_off_now_deg": answered.now_deg,
        "points_off_after_deg": answered.after_deg,
        "bent": [{"bend": number, "angle_deg": angle} for number, angle in answered.bent],
        "shifts": [dict(shift._asdict()) for shift in shifts],
    }
