"""From what was typed to a job that can be worked out, and back from a job file to rows."""

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from benchcalc.core.job import CROWN_LEAST_DEG, Job, Segment, Units
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.first_guess import Springback
from benchcalc.jobfile.job_fields import BEND, LEG, TURN_BEFORE
from benchcalc.panel.state.caches import first_guess, work_out
from benchcalc.panel.state.draft_rows import job_of, rows_of
from benchcalc.panel.state.fields import Field, Refused, field_of, read_length, read_number
from benchcalc.panel.state.model import Cursor, Draft, Extras, RowField
from benchcalc.report.told import Told, told

if TYPE_CHECKING:
    from benchcalc.panel.state.shape_forms import ShapeOrGoal
    from benchcalc.panel.state.shaped import Item

OPEN_RULES = ("straight-last", "stock")
"""Findings about the far end, which an unfinished run has not got yet."""


class Wrong(NamedTuple):
    """A typed value that is refused, and why."""

    row: int
    field: RowField
    says: Told


class DraftSheet(NamedTuple):
    """What can be worked out of a draft so far.

    ``bends`` are those of the rows in front that are complete; ``firsts`` has for each row how many
    bends come before it, and last how many there are. ``whole`` is true when the run has its last
    leg or port and nothing is wrong or missing. ``sheet`` is None before the first bend or without
    a tube.
    """

    sheet: Sheet | None
    bends: int
    whole: bool
    wrong: tuple[Wrong, ...]
    missing: Told | None
    firsts: tuple[int, ...] = ()

    def why(self, row: int, field: RowField) -> Told | None:
        """Why a field is refused, or None."""
        return next((w.says for w in self.wrong if (w.row, w.field) == (row, field)), None)

    def bends_in(self, row: int) -> int:
        """How many bends a row comes to; none where it is not complete."""
        return self.firsts[row + 1] - self.firsts[row] if row + 1 < len(self.firsts) else 0

    def bend_at(self, cursor: Cursor) -> int | None:
        """The number of the bend that the cursor stands at; None at a leg or an incomplete row."""
        count = self.bends_in(cursor.row)
        return self.firsts[cursor.row] + min(cursor.bend, count - 1) + 1 if count else None


def not_whole(read: DraftSheet) -> Told:
    """What is wrong with a run that cannot be made yet, or else still to be given."""
    missing = read.wrong[0].says if read.wrong else read.missing
    return told("plan.not-whole", missing=missing or "")


def row_field(field: RowField, unit: Units, inside: bool = False) -> Field:
    """The typed field of a row; ``inside`` when the drawing gives included angles."""
    if field == "leg":
        return field_of("field.leg", "length", LEG, unit)
    if field == "turn":
        return field_of("field.turn", "turn", TURN_BEFORE)
    if inside:
        return Field("field.inside", "angle", 0.0, 179.999999)
    return field_of("field.bend", "angle", BEND)


def read_segment(draft: Draft, number: int) -> tuple[Segment | None, list[Wrong]]:
    """One row as a segment, or what is wrong with it; a row without a bend is no segment."""
    row, inside = draft.rows[number], draft.extras.angles == "included"
    wrong: list[Wrong] = []

    def value(field: RowField, text: str) -> float:
        spec = row_field(field, row.unit, inside)
        try:
            return float(read_length(spec, text) if field == "leg" else read_number(spec, text))
        except Refused as refused:
            wrong.append(Wrong(number, field, refused.said))
            return 0.0

    leg = value("leg", row.leg) if row.leg else 0.0
    turn = value("turn", row.turn) if row.turn else 0.0
    bend = value("bend", row.bend) if row.bend else 0.0
    if wrong or not row.leg or not row.bend:
        return None, wrong
    bend = 180.0 - bend if inside else bend
    if row.to == "corner" and bend == 180.0:
        return None, [Wrong(number, "bend", told("draft.no-corner"))]
    if row.to == "crown" and bend < CROWN_LEAST_DEG:
        return None, [Wrong(number, "bend", told("draft.no-crown"))]
    return Segment(leg, bend, turn, row.to, row.measured, row.held), []


def read_draft(
    draft: Draft, springback: Springback | None = None, live: Springback | None = None
) -> DraftSheet:
    """Work out as much of a draft as is complete, and say what is wrong or missing.

    With what the bench has learnt, or else with the first guess; shapes are worked out with the
    radius that follows from it.
    """
    items, goal, wrong = _read_rows(draft)
    last = draft.rows[-1]
    ended = goal is not None or (bool(last.leg) and not last.bend)
    closed = len(items) == len(draft.rows) - 1 and ended
    missing = _missing(draft, len(items), closed)
    nothing = not items and goal is None
    if nothing or draft.bender is None or draft.material is None or draft.wall_mm is None:
        return DraftSheet(None, 0, False, tuple(wrong), missing)
    whole = closed and not wrong
    last_leg, measured = 0.0, None
    if whole and goal is None:
        last_leg = float(read_length(row_field("leg", last.unit), last.leg))
        measured = last.measured
    if not _shaped(draft):
        segments = tuple(item for item in items if isinstance(item, Segment))
        job = job_of(draft, segments, last_leg, measured)
        firsts = (*range(len(segments) + 1),)
    else:
        from benchcalc.panel.state.shaped import drawn_job  # most runs are legs and bends alone

        ending = (last_leg, measured, goal if whole else None)
        made = drawn_job(draft, tuple(items), ending, springback)
        if isinstance(made, Told):
            says = (*wrong, Wrong(len(draft.rows) - 1 if goal else 0, "leg", made))
            return DraftSheet(None, 0, False, says, made)
        job, firsts = made
    if not job.run.segments:
        return DraftSheet(None, 0, False, tuple(wrong), missing)
    sheet = work_out(job, springback, live) if whole else _open_sheet(job, springback)
    return DraftSheet(sheet, firsts[-1], whole, tuple(wrong), missing, firsts)


def _shaped(draft: Draft) -> bool:
    """Whether the run is drawn by more than legs and bends."""
    shapes = any(row.shape is not None for row in draft.rows)
    return shapes or draft.beside is not None or bool(draft.extras.points)


def _read_rows(draft: Draft) -> "tuple[list[Item], ShapeOrGoal | None, list[Wrong]]":
    """The complete rows in front, the port they lead to, and all that is wrong."""
    items: list[Item] = []
    goal: ShapeOrGoal | None = None
    wrong: list[Wrong] = []
    gap = False
    for number, row in enumerate(draft.rows):
        item: Item | None
        if row.shape is None:
            item, problems = read_segment(draft, number)
        else:
            from benchcalc.panel.state.shaped import read_shape_row

            item, goal, says = read_shape_row(row.shape, draft.extras.angles == "included")
            problems = [Wrong(number, "leg", says)] if says else []
        wrong += problems
        gap = gap or item is None
        if item is not None and not gap:
            items.append(item)
    return items, goal, wrong


def _missing(draft: Draft, done: int, closed: bool) -> Told | None:
    """The first thing still to be given before the run can be made; ``done`` rows are complete."""
    if draft.bender is None:
        return told("draft.bender")
    if draft.wall_mm is None:
        return told("draft.wall")
    if draft.material is None:
        return told("draft.material")
    first = draft.rows[0]
    if not first.leg and first.shape is None:
        return told("draft.first-leg")
    if done < len(draft.rows) - 1:
        row = draft.rows[done]
        return told("draft.no-angle" if row.leg else "draft.no-leg", number=done + 1)
    ports = closed and first.shape is not None
    return None if closed and (done or ports) else told("draft.last-leg")


def _open_sheet(job: Job, learnt: Springback | None) -> Sheet:
    """The sheet of a run whose last leg is not given yet: the shortest one that can be bent."""
    springback = learnt or first_guess(job.tube, job.bender, job.material)
    short = lay_out(job, springback).straight_after_mm
    need = max(job.bender.grip_mm, job.bender.free_mm, job.straight.finish_mm)
    run = replace(job.run, last_leg_mm=job.run.last_leg_mm + need - short, last_measured="centre")
    sheet = work_out(replace(job, run=run), springback)
    return sheet._replace(findings=tuple(f for f in sheet.findings if f.rule not in OPEN_RULES))


def draft_of(job: Job) -> Draft:
    """A job file's job as rows that can be changed on the panel; what was drawn stays as drawn."""
    inside, run = job.angles == "included", job.run
    rows = rows_of(run.segments, run.last_leg_mm, run.last_measured, job.units, inside)
    beside = None
    drawing = None
    if type(job) is not Job:  # most runs are legs and bends alone
        from benchcalc.core.shapes.drawing import drawing_of
        from benchcalc.panel.state.shaped import rows_drawn

        drawing = drawing_of(job)
        rows, beside = rows_drawn(drawing, job.units, inside) if drawing else (rows, None)
    return Draft(
        name=job.name,
        bender=job.bender,
        material=job.material,
        od_mm=job.tube.od_mm,
        wall_mm=job.tube.wall_mm,
        lot=job.tube.lot,
        pieces=job.pieces,
        units=job.units,
        rows=rows,
        beside=beside,
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
            turn_tolerance_deg=job.turn_tolerance_deg,
            hardness=job.tube.hardness,
            wall_under=job.tube.wall_under,
            service=job.service,
            outside_mpa=job.outside_mpa,
            points=drawing.points if drawing else (),
            in_line=drawing.in_line if drawing else (),
        ),
    )
