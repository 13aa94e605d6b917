"""From what was typed to a job that can be worked out, and back from a job file to rows."""

from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from benchcalc.core.layout import lay_out
from benchcalc.core.lengths import LengthError, format_exact
from benchcalc.core.parts import CROWN_LEAST_DEG, Job, Measured, Run, Segment, Tube, Units
from benchcalc.core.sheet import Sheet, work_out
from benchcalc.core.springback import Springback, first_guess
from benchcalc.panel.keypad import Field, Refused, read_length, read_number
from benchcalc.panel.language import say
from benchcalc.panel.model import Draft, Extras, Row, RowField

OPEN_RULES = ("straight-last", "stock")
"""Findings about the far end, which an unfinished run has not got yet."""


class Wrong(NamedTuple):
    """A typed value that is refused, and why."""

    row: int
    field: RowField
    says: str


class DraftSheet(NamedTuple):
    """What can be worked out of a draft so far.

    ``bends`` rows in front are complete; ``whole`` is true when the run has its last leg and
    nothing is wrong or missing. ``sheet`` is None before the first bend or without a tube.
    """

    sheet: Sheet | None
    bends: int
    whole: bool
    wrong: tuple[Wrong, ...]
    missing: str

    def why(self, row: int, field: RowField) -> str:
        """Why a field is refused, or nothing."""
        return next((w.says for w in self.wrong if (w.row, w.field) == (row, field)), "")


def row_field(field: RowField, unit: Units, inside: bool = False) -> Field:
    """The typed field of a row; ``inside`` when the drawing gives included angles."""
    if field == "leg":
        return Field(say("field.leg"), "length", 0.0, 100_000.0, unit, over_least=True)
    if field == "turn":
        return Field(say("field.turn"), "turn", -360.0, 360.0)
    if inside:
        return Field(say("field.inside"), "angle", 0.0, 179.999999)
    return Field(say("field.bend"), "angle", 0.0, 180.0, over_least=True)


def read_segment(draft: Draft, number: int) -> tuple[Segment | None, list[Wrong]]:
    """One row as a segment, or what is wrong with it; a row without a bend is no segment."""
    row, inside = draft.rows[number], draft.extras.angles == "included"
    wrong: list[Wrong] = []

    def value(field: RowField, text: str) -> float:
        spec = row_field(field, row.unit, inside)
        try:
            return float(read_length(spec, text) if field == "leg" else read_number(spec, text))
        except Refused as refused:
            wrong.append(Wrong(number, field, str(refused)))
            return 0.0

    leg = value("leg", row.leg) if row.leg else 0.0
    turn = value("turn", row.turn) if row.turn else 0.0
    bend = value("bend", row.bend) if row.bend else 0.0
    if wrong or not row.leg or not row.bend:
        return None, wrong
    bend = 180.0 - bend if inside else bend
    if row.to == "corner" and bend == 180.0:
        return None, [Wrong(number, "bend", say("draft.no-corner"))]
    if row.to == "crown" and bend < CROWN_LEAST_DEG:
        return None, [Wrong(number, "bend", say("draft.no-crown"))]
    return Segment(leg, bend, turn, row.to, row.measured, row.held), []


def read_draft(
    draft: Draft, springback: Springback | None = None, live: Springback | None = None
) -> DraftSheet:
    """Work out as much of a draft as is complete, and say what is wrong or missing.

    With what the bench has learnt, or else with the first guess.
    """
    segments: list[Segment] = []
    wrong: list[Wrong] = []
    gap = False
    for number in range(len(draft.rows)):
        segment, problems = read_segment(draft, number)
        wrong += problems
        gap = gap or segment is None
        if segment is not None and not gap:
            segments.append(segment)
    last = draft.rows[-1]
    closed = len(segments) == len(draft.rows) - 1 and bool(last.leg) and not last.bend
    missing = _missing(draft, len(segments), closed)
    if not segments or draft.bender is None or draft.material is None or draft.wall_mm is None:
        return DraftSheet(None, 0, False, tuple(wrong), missing)
    whole = closed and not wrong
    last_leg = 0.0
    if whole:
        last_leg = float(read_length(row_field("leg", last.unit), last.leg))
    job = job_of(draft, tuple(segments), last_leg, last.measured if whole else None)
    sheet = work_out(job, springback, live) if whole else _open_sheet(job, springback)
    return DraftSheet(sheet, len(segments), whole, tuple(wrong), missing)


def _missing(draft: Draft, bends: int, closed: bool) -> str:
    """The first thing still to be given before the run can be made."""
    if draft.bender is None:
        return say("draft.bender")
    if draft.wall_mm is None:
        return say("draft.wall")
    if draft.material is None:
        return say("draft.material")
    if not draft.rows[0].leg:
        return say("draft.first-leg")
    if bends < len(draft.rows) - 1:
        row = draft.rows[bends]
        return say("draft.no-angle" if row.leg else "draft.no-leg", number=bends + 1)
    return "" if closed and bends else say("draft.last-leg")


def _open_sheet(job: Job, learnt: Springback | None) -> Sheet:
    """The sheet of a run whose last leg is not given yet: the shortest one that can be bent."""
    springback = learnt or first_guess(job.tube, job.bender, job.material)
    short = lay_out(job, springback).straight_after_mm
    need = max(job.bender.grip_mm, job.bender.free_mm, job.straight.finish_mm)
    run = replace(job.run, last_leg_mm=need - short, last_measured="centre")
    sheet = work_out(replace(job, run=run), springback)
    return sheet._replace(findings=tuple(f for f in sheet.findings if f.rule not in OPEN_RULES))


def job_of(
    draft: Draft, segments: tuple[Segment, ...], last_leg_mm: float, measured: Measured | None
) -> Job:
    """A draft as a job; bender, material and wall must have been chosen."""
    if draft.bender is None or draft.material is None or draft.wall_mm is None:
        raise ValueError("a job needs bender, material and wall")
    more = draft.extras
    od = draft.bender.od_mm if draft.od_mm is None else draft.od_mm
    order = more.order if sorted(more.order) == list(range(1, len(segments) + 1)) else ()
    return Job(
        name=draft.name,
        tube=Tube(od, draft.wall_mm, draft.material.key, draft.lot, more.hardness, more.wall_under),
        material=draft.material,
        bender=draft.bender,
        run=Run(segments, last_leg_mm, measured),
        drawing=more.drawing,
        note=more.note,
        operator=more.operator,
        pieces=draft.pieces,
        units=draft.units,
        angles=more.angles,
        measured=more.measured,
        ends=more.ends,
        straight=more.straight,
        slip_on=more.slip_on,
        held=more.held,
        order=order,
        tolerance_deg=more.tolerance_deg,
        fit=more.fit,
        pressure=more.pressure,
        stock_mm=more.stock_mm,
    )


def draft_of(job: Job) -> Draft:
    """A job file's job as rows that can be changed on the panel."""
    inside = job.angles == "included"
    rows = [
        Row(
            leg=length_typed(s.leg_mm, job.units),
            bend=number_typed(180.0 - s.angle_deg if inside else s.angle_deg),
            turn=number_typed(s.turn_deg) if s.turn_deg else "",
            unit=job.units,
            to=s.to,
            measured=s.measured,
            held=s.held,
        )
        for s in job.run.segments
    ]
    last = length_typed(job.run.last_leg_mm, job.units)
    rows.append(Row(leg=last, unit=job.units, measured=job.run.last_measured))
    return Draft(
        name=job.name,
        bender=job.bender,
        material=job.material,
        od_mm=job.tube.od_mm,
        wall_mm=job.tube.wall_mm,
        lot=job.tube.lot,
        pieces=job.pieces,
        units=job.units,
        rows=tuple(rows),
        extras=Extras(
            drawing=job.drawing,
            note=job.note,
            operator=job.operator,
            angles=job.angles,
            measured=job.measured,
            ends=job.ends,
            straight=job.straight,
            slip_on=job.slip_on,
            held=job.held,
            order=job.order,
            tolerance_deg=job.tolerance_deg,
            fit=job.fit,
            pressure=job.pressure,
            stock_mm=job.stock_mm,
            hardness=job.tube.hardness,
            wall_under=job.tube.wall_under,
        ),
    )


def length_typed(length_mm: float, units: Units) -> str:
    """A stored length as someone would have typed it in ``units``.

    To a ten-thousandth of a millimetre or a millionth of an inch, far under any pen; a length that
    has no such decimal in inches is written in millimetres with its unit.
    """
    exact = Fraction(round(length_mm * 10**7), 10**7)
    if units == "mm":
        return format_exact(exact, "mm")
    inches = Fraction(round(length_mm / 25.4 * 10**6), 10**6)
    try:
        return format_exact(inches * Fraction(254, 10), "in")
    except LengthError:
        return format_exact(exact, "mm") + " mm"


def number_typed(value: float) -> str:
    """An angle as someone would have typed it."""
    return f"{value:.6f}".rstrip("0").rstrip(".")
