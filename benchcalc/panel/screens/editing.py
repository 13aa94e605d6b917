"""What a key does to the rows of a run: typing, moving, inserting, removing, undoing."""

from collections.abc import Callable
from dataclasses import replace

from benchcalc.core.job import CROWN_LEAST_DEG, To
from benchcalc.panel.screens import minds, quick
from benchcalc.panel.screens.shape import open_row, open_shapes
from benchcalc.panel.state.draft import not_whole, read_segment, row_field
from benchcalc.panel.state.fields import Refused, erased, has_unit, other_unit, type_key
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making import begin, begin_again, half_bent
from benchcalc.panel.state.model import Cursor, Draft, Model, Row, RowField
from benchcalc.panel.state.undo import undone
from benchcalc.panel.widgets.form_page import TURNS, turned
from benchcalc.report.told import Told, told

NEXT_FIELD: dict[RowField, RowField] = {"leg": "bend", "bend": "turn"}
STAYS = ("earlier", "later", "minds", "make")
"""Acts that leave the screen on the face that it shows."""

CHANGES = ("back", "unit", "insert", "remove", "undo", "shape", "open shape")


def act(model: Model, target: str) -> Model:
    """One tap on the planning screen. A half bent piece keeps its run as it is."""
    if target not in (*STAYS, *TURNS):
        model = replace(model, face="keys")  # what an act did shows beside the keys
    if target.startswith(("key ", "quick ")) or target in CHANGES:
        refusal = half_bent(model.work)
        if refusal:
            return replace(model, refusal=refusal)
    if target in TURNS:
        return turned(model, target)
    if target.startswith("key "):
        return _type(model, target[4:])
    if target.startswith("quick "):
        return _quick(model, target[6:])
    if target.startswith("field "):
        return _go(model, model.work.cursor.row, target[6:])
    moves: dict[str, Callable[[Model], Model]] = {
        "back": _back,
        "unit": _unit,
        "next": _next,
        "insert": _insert,
        "remove": _remove,
        "undo": undone,
        "make": _make,
        "earlier": lambda m: _step(m, -1),
        "later": lambda m: _step(m, 1),
        "bench": lambda m: m.with_work(screen="bench"),
        "minds": minds.opened,
        "shape": open_shapes,
        "open shape": open_row,
    }
    move = moves.get(target)
    return move(model) if move else model


def _changed(model: Model, rows: tuple[Row, ...], cursor: Cursor) -> Model:
    """New rows; with the same ones only the cursor moves."""
    if rows == model.draft.rows:
        return model.with_work(cursor=cursor)
    return changed_to(model, replace(model.draft, rows=rows), cursor)


def changed_to(model: Model, draft: Draft, cursor: Cursor) -> Model:
    """A draft with another run, no longer that of a drawing's points."""
    draft = replace(draft, extras=replace(draft.extras, points=(), in_line=()))
    changed = model.with_work(draft=draft, cursor=cursor)
    return replace(changed, work=begin_again(changed.work))


def _with_row(model: Model, row: Row, fresh: bool = False) -> Model:
    cursor = model.work.cursor
    rows = model.draft.rows
    changed = (*rows[: cursor.row], row, *rows[cursor.row + 1 :])
    return _changed(model, changed, replace(cursor, fresh=fresh))


def _text(row: Row, field: RowField) -> str:
    return {"leg": row.leg, "bend": row.bend, "turn": row.turn}[field]


def _set(row: Row, field: RowField, text: str) -> Row:
    if field == "leg":
        return replace(row, leg=text)
    return replace(row, bend=text) if field == "bend" else replace(row, turn=text)


def _type(model: Model, key: str) -> Model:
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    if row.shape is not None:
        return model
    inside = model.draft.extras.angles == "included"
    field = row_field(cursor.field, row.unit, inside)
    turning_over = key == "-" and cursor.field == "turn"
    text = "" if cursor.fresh and not turning_over else _text(row, cursor.field)
    try:
        typed = type_key(field, text, key)
    except Refused as refused:
        return replace(model, refusal=refused.said)
    return _with_row(model, _set(row, cursor.field, typed))


def _quick(model: Model, text: str) -> Model:
    """A usual angle into its field; a turn ends the segment, so it goes on to the next leg."""
    if text not in quick.offered(model).values():
        return model
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    filled = _with_row(model, _set(row, cursor.field, text), fresh=True)
    return _next(filled) if cursor.field == "turn" else filled


def _back(model: Model) -> Model:
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    return _with_row(model, _set(row, cursor.field, erased(_text(row, cursor.field))))


def _unit(model: Model) -> Model:
    """The other unit for a leg; corner or crown for a bend."""
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    if cursor.field == "leg":
        text, unit = other_unit(row.leg, row.unit)
        return _with_row(model, replace(row, leg=text, unit=unit), fresh=has_unit(text))
    if cursor.field == "bend":
        segment, _ = read_segment(model.draft, cursor.row)
        if segment is not None and segment.angle_deg < CROWN_LEAST_DEG:
            return replace(model, refusal=told("plan.no-crown"))
        if segment is not None and segment.angle_deg == 180.0:
            return replace(model, refusal=told("plan.only-crown"))
        to: To = "corner" if row.to == "crown" or (segment and segment.crown) else "crown"
        return _with_row(model, replace(row, to=to))
    return model


def _go(model: Model, row: int, field: str) -> Model:
    if field not in ("leg", "bend", "turn"):
        return model
    cursor = Cursor(row, field, fresh=True)  # type: ignore[arg-type]
    return replace(model.with_work(cursor=cursor), refusal="")


def _step(model: Model, by: int) -> Model:
    """To the next bend or the one before, through each of a shape's."""
    read, cursor = work_in_hand(model), model.work.cursor
    bend = min(cursor.bend, max(read.bends_in(cursor.row) - 1, 0)) + by
    if 0 <= bend < read.bends_in(cursor.row):
        return model.with_work(cursor=replace(cursor, bend=bend))
    row = cursor.row + by
    if not 0 <= row < len(model.draft.rows):
        return model
    last = max(read.bends_in(row) - 1, 0) if by < 0 else 0
    moved = _go(model, row, "leg")
    return moved.with_work(cursor=replace(moved.work.cursor, bend=last))


def _next(model: Model) -> Model:
    """On to the next field; a refused one is kept in view with its reason."""
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    last = cursor.row == len(model.draft.rows) - 1
    wrong = work_in_hand(model).why(cursor.row, cursor.field)
    if wrong:
        return replace(model, refusal=wrong)
    if row.shape is not None:
        return _make(model) if last else _go(model, cursor.row + 1, "leg")
    if cursor.field == "leg" and not row.leg:
        return replace(model, refusal=told("plan.leg-first"))
    if cursor.field == "bend" and not row.bend:
        if last and cursor.row:
            return _make(model)
        return replace(model, refusal=told("plan.bend-first"))
    if cursor.field == "leg" or (cursor.field == "bend" and cursor.row):
        return _go(model, cursor.row, NEXT_FIELD[cursor.field])
    if not last:
        return _go(model, cursor.row + 1, "leg")
    rows = (*model.draft.rows, Row(unit=row.unit))
    return _changed(model, rows, Cursor(cursor.row + 1, "leg"))


def _insert(model: Model) -> Model:
    at, rows = model.work.cursor.row, model.draft.rows
    shape = rows[at].shape
    if shape is not None and shape.kind == "ports":
        return replace(model, refusal=told("shape.ports-whole"))
    empty = Row(unit=rows[at].unit)
    return _changed(model, (*rows[:at], empty, *rows[at:]), Cursor(at, "leg"))


def _remove(model: Model) -> Model:
    """Take the segment out; the last leg is only emptied, for a run needs one."""
    at, rows = model.work.cursor.row, model.draft.rows
    if at == len(rows) - 1:
        return _changed(model, (*rows[:at], Row(unit=rows[at].unit)), Cursor(at, "leg"))
    after = rows[at + 1 :]
    if at == 0 and after[0].shape is None:
        after = (replace(after[0], turn=""), *after[1:])  # a first bend is turned from nothing
    return _changed(model, (*rows[:at], *after), Cursor(at, "leg"))


def _make(model: Model) -> Model:
    """Go and make it, unless something is missing, wrong, or must not be bent."""
    read = work_in_hand(model)
    if read.wrong:
        return _go_with(model, read.wrong[0].row, read.wrong[0].field, read.wrong[0].says)
    if not read.whole or read.sheet is None:
        return replace(model, refusal=not_whole(read))
    if read.sheet.stopped:
        return minds.opened(replace(model, refusal=told("plan.stopped")))
    making = model.work.making or begin(1)
    return model.with_work(screen="make", making=making)


def _go_with(model: Model, row: int, field: RowField, says: Told) -> Model:
    return replace(_go(model, row, field), refusal=says)
