"""A shape put into the run, or changed there, or loosened to plain legs and bends."""

from dataclasses import replace
from functools import lru_cache

from benchcalc.core.clearance.self_clearance import nearest_to_itself
from benchcalc.core.finding import Finding
from benchcalc.core.fit.expected_miss import Miss, expected_miss, tolerances_on
from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.layout.path import Path
from benchcalc.core.shapes.drawing import way_taken, ways
from benchcalc.core.shapes.named_shapes import Shape, radius_of
from benchcalc.core.shapes.ports import Answer
from benchcalc.panel.state.draft import DraftSheet, not_whole
from benchcalc.panel.state.draft_rows import rows_of
from benchcalc.panel.state.fields import number_typed
from benchcalc.panel.state.in_hand import springback_in_hand, subject_of, work_in_hand
from benchcalc.panel.state.model import Cursor, Draft, Model, Row
from benchcalc.panel.state.shape_forms import FORMS, read_shape
from benchcalc.panel.state.typed_shapes import ShapeKind, ShapeTyped
from benchcalc.report.told import Told


def put_in(draft: Draft, cursor: Cursor, typed: ShapeTyped, new: bool) -> tuple[Draft, Cursor]:
    """The draft with a shape in it, and where the cursor then stands.

    A new one comes before the row of the cursor, into it when that is blank, and behind a last row
    that has its bend. A last leg that has none yet is the leg that leads up to it. A port takes the
    place of the last leg, two ports that of the whole run.
    """
    if typed.kind == "parallel":
        return replace(draft, beside=typed), cursor
    row, rows, at = Row(unit=typed.unit, shape=typed), draft.rows, cursor.row
    if typed.kind == "ports":
        return replace(draft, rows=(row,)), Cursor()
    if typed.kind == "port":
        return replace(draft, rows=(*rows[:-1], row)), Cursor(len(rows) - 1)
    here, last = rows[at], at == len(rows) - 1
    blank = here == Row(unit=here.unit)
    if not new or (blank and not last):
        made = (*rows[:at], row, *rows[at + 1 :])
    elif last and here.bend:
        at += 1
        made = (*rows, row, Row(unit=here.unit))
    elif open_leg(draft, at) and leg_leads(typed.kind):
        made = (*rows[:at], row, Row(unit=here.unit))
    else:
        made = (*rows[:at], row, *rows[at:])
    return replace(draft, rows=made), Cursor(at)


def open_leg(draft: Draft, at: int) -> bool:
    """Whether a row is a last leg with nothing behind it."""
    row = draft.rows[at]
    return at == len(draft.rows) - 1 and row == Row(row.leg, unit=row.unit) and bool(row.leg)


def leg_leads(kind: ShapeKind) -> bool:
    """Whether a shape asks first for the leg that leads up to it."""
    return FORMS[kind][0].key == "leg"


def tried(model: Model, typed: ShapeTyped) -> tuple[DraftSheet, int]:
    """The run worked out as if the shape was in it already, and the row where it is."""
    new = model.work.shaping.new
    draft, cursor = put_in(model.draft, model.work.cursor, typed, new)
    return work_in_hand(model.with_work(draft=draft)), cursor.row


def against(read: DraftSheet, row: int, whole_run: bool) -> Finding | None:
    """The gravest finding about a shape's bends, those beside it, or the run; no mere note."""
    if read.sheet is None or not (whole_run or read.bends_in(row)):
        return None
    first = read.firsts[row] if row < len(read.firsts) else 0
    near = range(first, first + read.bends_in(row) + 2)
    found = [
        finding
        for finding in read.sheet.findings
        if finding.level != "note" and (whole_run or finding.bend is None or finding.bend in near)
    ]
    return found[0] if found else None


def ways_of(model: Model, typed: ShapeTyped) -> tuple[Answer, ...]:
    """The ways to the port that is typed, the best first; none while it is not whole."""
    first = replace(typed, texts=(*typed.texts[:-1], ""), way=())
    sheet = tried(model, first)[0].sheet
    if sheet is None or sheet.drawing is None or sheet.drawing.goal is None:
        return ()
    return ways(sheet.job, sheet.drawing, sheet.springback)


def way_in_hand(model: Model, typed: ShapeTyped) -> Answer | None:
    """The way to the port that is taken; None while there is none."""
    sheet = tried(model, typed)[0].sheet
    if sheet is None or sheet.drawing is None or sheet.drawing.goal is None:
        return None
    return way_taken(sheet.job, sheet.drawing, sheet.springback)


def miss_of_way(model: Model, way: Answer) -> Miss:
    """How far the far end of a way to a port may come to lie from it, at 95 %."""
    known = springback_in_hand(model)
    usual, tolerance_deg = model.settings.widths, model.draft.extras.tolerance_deg
    about = subject_of(model.draft)
    usual = usual.on(about.key.size.od_mm) if about else usual
    widths = tolerances_on(way.layout, tolerance_deg, known, usual) if known else usual
    return expected_miss(way.layout, way.path, widths)


@lru_cache(16)
def clearance_mm(path: Path, od_mm: float) -> float | None:
    """How much room a run leaves to itself; None when it is too short to come near itself.

    Nor is there a number for bends that overlap, which the findings tell of.
    """
    if any(piece.length_mm < 0 for piece in path.pieces):
        return None
    found = nearest_to_itself(path)
    return None if found is None else found.distance_mm - od_mm


def loosened(model: Model) -> Draft | Told:
    """The draft with the shape in hand as plain legs and bends; or why that cannot be.

    The run stays the same: the turn behind a shape, counted from before it, is counted anew.
    """
    typed, draft = model.work.shaping.shape, model.draft
    inside = draft.extras.angles == "included"
    if typed is None or typed.kind in ("parallel", "port", "ports"):
        return _loosened_whole(model)
    shape, faults = read_shape(typed, inside)
    known = springback_in_hand(model)
    if faults or draft.bender is None or known is None or not isinstance(shape, Shape):
        if faults:
            return faults[0].says
        read = work_in_hand(model)
        return read.missing or not_whole(read)
    segments = shape.segments(radius_of(draft.bender, known))
    made = rows_of(segments, 0.0, None, typed.unit, inside)[:-1]
    at = model.work.cursor.row
    owed = -sum(segment.turn_deg for segment in segments)
    after = _turned_behind(draft.rows[at + 1 :], owed)
    return replace(draft, rows=(*draft.rows[:at], *made, *after))


def _loosened_whole(model: Model) -> Draft | Told:
    """A port or a tube beside another as the legs and bends of its whole run."""
    read, draft = work_in_hand(model), model.draft
    if read.sheet is None or not read.whole:
        return not_whole(read)
    run, inside = read.sheet.job.run, draft.extras.angles == "included"
    rows = rows_of(run.segments, run.last_leg_mm, run.last_measured, draft.units, inside)
    return replace(draft, rows=rows, beside=None)


def _turned_behind(rows: tuple[Row, ...], owed_deg: float) -> tuple[Row, ...]:
    """The rows behind a loosened shape: shapes leave the plane, so up to the first that is none."""
    end = next((n for n, row in enumerate(rows) if row.shape is None), len(rows) - 1) + 1
    return (*(_turned_on(row, owed_deg) for row in rows[:end]), *rows[end:])


def _turned_on(row: Row, owed_deg: float) -> Row:
    """A row with so much added to its turn; one without a bend, or with no turn, as it is."""
    if row.shape is None:
        return replace(row, turn=_added(row.turn, owed_deg)) if row.bend else row
    at = next((n for n, asked in enumerate(FORMS[row.shape.kind]) if asked.key == "turn"), None)
    if at is None:
        return row
    texts = list(row.shape.texts)
    texts[at] = _added(texts[at], owed_deg)
    return replace(row, shape=replace(row.shape, texts=tuple(texts)))


def _added(turn: str, owed_deg: float) -> str:
    try:
        turn_deg = wrapped(float(turn or 0) + owed_deg)
    except ValueError:
        return turn  # no number: it stays where it stands, with its reason
    return number_typed(turn_deg) if turn_deg else ""
