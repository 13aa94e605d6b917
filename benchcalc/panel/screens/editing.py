"""What a key does to the rows of a run: typing, moving, inserting, removing, undoing."""

from collections.abc import Callable
from dataclasses import replace
from typing import Concatenate, ParamSpec

from benchcalc.core.job import CROWN_LEAST_DEG, To
from benchcalc.panel.screens import findings
from benchcalc.panel.screens.shape_keys import open_row, open_shapes
from benchcalc.panel.state import undo
from benchcalc.panel.state.action import Action, press
from benchcalc.panel.state.draft import not_whole, read_segment, row_field
from benchcalc.panel.state.fields import Refused
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making.port_miss import aim_of_last_time
from benchcalc.panel.state.making.steps import begin, half_bent
from benchcalc.panel.state.model import Cursor, Making, Model, Row, RowField
from benchcalc.panel.state.run_edits import row_in_hand, text_of, with_row, with_rows, with_text
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.report.told import told

NEXT_FIELD: dict[RowField, RowField] = {"leg": "bend", "bend": "turn"}

P = ParamSpec("P")


def edit(act: Callable[Concatenate[Model, P], Model], *values: P.args, **_: P.kwargs) -> Action:
    """The action of a key that changes the run. A half bent piece keeps its run as it is."""
    return press(_edited, act, values)


def _edited(model: Model, act: Callable[..., Model], values: tuple[object, ...]) -> Model:
    """What an act did shows beside the keys; so does why it is not to be."""
    model = replace(model, face="keys")
    try:
        return act(_not_half_bent(model), *values)
    except Refused as refused:
        return replace(model, refusal=refused.said)


def _not_half_bent(model: Model) -> Model:
    """The model, when no piece of its run is half bent. Raises Refused."""
    if refusal := half_bent(model.work):
        raise Refused(refusal)
    return model


def entry_of(model: Model) -> Entry:
    """The field in hand."""
    cursor, row = model.work.cursor, row_in_hand(model)
    field = row_field(cursor.field, row.unit, model.draft.extras.angles == "included")
    return Entry(field, text_of(row, cursor.field), row.unit, cursor.fresh)


def _entry_to_change(model: Model) -> Entry:
    return entry_of(_not_half_bent(model))


def _kept(model: Model, entry: Entry) -> Model:
    row = with_text(row_in_hand(model), model.work.cursor.field, entry.text)
    return with_row(model, replace(row, unit=entry.unit), entry.fresh)


def next_field(model: Model) -> Model:
    """On to the next field; a refused one is kept in view with its reason."""
    cursor, row = model.work.cursor, row_in_hand(model)
    last = cursor.row == len(model.draft.rows) - 1
    if wrong := work_in_hand(model).why(cursor.row, cursor.field):
        raise Refused(wrong)
    if row.shape is not None:
        return make(model) if last else go(model, cursor.row + 1, "leg")
    if cursor.field == "leg" and not row.leg:
        raise Refused(told("plan.leg-first"))
    if cursor.field == "bend" and not row.bend:
        if last and cursor.row:
            return make(model)
        raise Refused(told("plan.bend-first"))
    if cursor.field == "leg" or (cursor.field == "bend" and cursor.row):
        return go(model, cursor.row, NEXT_FIELD[cursor.field])
    if not last:
        return go(model, cursor.row + 1, "leg")
    return with_rows(model, (*model.draft.rows, Row(unit=row.unit)), Cursor(cursor.row + 1, "leg"))


FORM = Form(_entry_to_change, _kept, next_field)
"""Leg, bend and turn, one after another."""


def _usual(model: Model, text: str) -> Model:
    """A usual angle into its field; a turn ends the segment, so it goes on to the next leg."""
    field = model.work.cursor.field
    filled = with_row(model, with_text(row_in_hand(model), field, text), fresh=True)
    return next_field(filled) if field == "turn" else filled


def usual(text: str) -> Action:
    """The action of a key with a usual angle on it."""
    return edit(_usual, text)


def _to_corner_or_crown(model: Model) -> Model:
    """Whether the leg goes to the bend's corner or to its crown."""
    row = row_in_hand(model)
    segment, _ = read_segment(model.draft, model.work.cursor.row)
    if segment is not None and segment.angle_deg < CROWN_LEAST_DEG:
        raise Refused(told("plan.no-crown"))
    if segment is not None and segment.angle_deg == 180.0:
        raise Refused(told("plan.only-crown"))
    to: To = "corner" if row.to == "crown" or (segment and segment.crown) else "crown"
    return with_row(model, replace(row, to=to))


def go(model: Model, row: int, field: RowField) -> Model:
    """To a field of a row."""
    return model.with_work(cursor=Cursor(row, field, fresh=True))


def step(model: Model, by: int) -> Model:
    """To the next bend or the one before, through each of a shape's."""
    read, cursor = work_in_hand(model), model.work.cursor
    bend = min(cursor.bend, max(read.bends_in(cursor.row) - 1, 0)) + by
    if 0 <= bend < read.bends_in(cursor.row):
        return model.with_work(cursor=replace(cursor, bend=bend))
    row = cursor.row + by
    if not 0 <= row < len(model.draft.rows):
        return model
    last = max(read.bends_in(row) - 1, 0) if by < 0 else 0
    return model.with_work(cursor=Cursor(row, "leg", fresh=True, bend=last))


def _insert(model: Model) -> Model:
    at, rows = model.work.cursor.row, model.draft.rows
    shape = rows[at].shape
    if shape is not None and shape.kind == "ports":
        raise Refused(told("shape.ports-whole"))
    empty = Row(unit=rows[at].unit)
    return with_rows(model, (*rows[:at], empty, *rows[at:]), Cursor(at, "leg"))


def _remove(model: Model) -> Model:
    """Take the segment out; the last leg is only emptied, for a run needs one."""
    at, rows = model.work.cursor.row, model.draft.rows
    if at == len(rows) - 1:
        return with_rows(model, (*rows[:at], Row(unit=rows[at].unit)), Cursor(at, "leg"))
    after = rows[at + 1 :]
    if at == 0 and after[0].shape is None:
        after = (replace(after[0], turn=""), *after[1:])  # a first bend is turned from nothing
    return with_rows(model, (*rows[:at], *after), Cursor(at, "leg"))


def make(model: Model) -> Model:
    """Go and make it, unless something is missing, wrong, or must not be bent."""
    read = work_in_hand(model)
    if read.wrong:
        wrong = read.wrong[0]
        return replace(go(model, wrong.row, wrong.field), refusal=wrong.says)
    if not read.whole or read.sheet is None:
        raise Refused(not_whole(read))
    if read.sheet.stopped:
        return findings.opened(replace(model, refusal=told("plan.stopped")))
    return model.with_work(screen="make", making=model.work.making or _first(model))


def _first(model: Model) -> Making:
    """The first piece, by what the job taught when it was made before."""
    return replace(begin(1), aim=aim_of_last_time(model.work))


INSERT, REMOVE, UNDO = edit(_insert), edit(_remove), edit(undo.undone)
SHAPES, OPEN_ROW = edit(open_shapes), edit(open_row)
CORNER_OR_CROWN = edit(_to_corner_or_crown)
