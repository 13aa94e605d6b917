"""The rows of a run, changed: what every edit of the run goes through."""

from dataclasses import replace

from benchcalc.panel.state.making.steps import begin_again
from benchcalc.panel.state.model import Cursor, Draft, Model, Row, RowField


def changed_to(model: Model, draft: Draft, cursor: Cursor) -> Model:
    """A draft with another run, no longer that of a drawing's points."""
    draft = replace(draft, extras=replace(draft.extras, points=(), in_line=()))
    changed = model.with_work(draft=draft, cursor=cursor)
    return replace(changed, work=begin_again(changed.work))


def with_rows(model: Model, rows: tuple[Row, ...], cursor: Cursor) -> Model:
    """New rows; with the same ones only the cursor moves."""
    if rows == model.draft.rows:
        return model.with_work(cursor=cursor)
    return changed_to(model, replace(model.draft, rows=rows), cursor)


def with_row(model: Model, row: Row, fresh: bool = False) -> Model:
    """Another row in the place of the one in hand."""
    cursor, rows = model.work.cursor, model.draft.rows
    changed = (*rows[: cursor.row], row, *rows[cursor.row + 1 :])
    return with_rows(model, changed, replace(cursor, fresh=fresh))


def row_in_hand(model: Model) -> Row:
    """The row that the cursor stands in."""
    return model.draft.rows[model.work.cursor.row]


def text_of(row: Row, field: RowField) -> str:
    """What is typed in a field of a row."""
    return {"leg": row.leg, "bend": row.bend, "turn": row.turn}[field]


def with_text(row: Row, field: RowField, text: str) -> Row:
    """The row with another text in a field."""
    if field == "leg":
        return replace(row, leg=text)
    return replace(row, bend=text) if field == "bend" else replace(row, turn=text)
