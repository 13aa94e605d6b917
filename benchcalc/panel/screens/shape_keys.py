"""What a key does to a shape that is being typed."""

from dataclasses import replace

from benchcalc.panel.state.draft import not_whole
from benchcalc.panel.state.fields import Refused, other_unit
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.model import Cursor, Model, Row
from benchcalc.panel.state.run_edits import changed_to, row_in_hand
from benchcalc.panel.state.shape_forms import FORMS, asked_field, empty, read_shape, value_of
from benchcalc.panel.state.shaping import leg_leads, loosened, open_leg, put_in, tried, way_in_hand
from benchcalc.panel.state.typed_shapes import ShapeKind, ShapeTyped, Shaping
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.report.told import Told, told


def open_shapes(model: Model) -> Model:
    """From the run to the choice of a shape."""
    if not model.draft.chosen:
        raise Refused(not_whole(work_in_hand(model)))
    return model.with_work(screen="shape", shaping=Shaping(left=model.work.shaping.left))


def open_row(model: Model) -> Model:
    """From a row that is a shape to its fields."""
    typed = row_in_hand(model).shape
    if typed is None:
        return model
    opened = model.with_work(screen="shape", shaping=Shaping(typed, new=False))
    if not typed.way or way_in_hand(opened, typed) is not None:
        return opened
    ways = len(typed.texts) - 1  # the way taken cannot be bent any more
    return model.with_work(screen="shape", shaping=Shaping(typed, ways, new=False))


def leave(model: Model) -> Model:
    """Back to the run; what was typed is there again when that shape is chosen again."""
    left = Shaping(left=_left(model.work.shaping))
    return replace(model.with_work(screen="plan", shaping=left), face="keys")


def not_after_all(model: Model) -> Model:
    """No second press."""
    calm = replace(model.work.shaping, asking=False)
    return replace(model.with_work(shaping=calm), face="keys")


def away(model: Model) -> Model:
    """The run alone, beside no other one."""
    return _to_plan(changed_to(model, replace(model.draft, beside=None), Cursor()))


def _left(shaping: Shaping) -> ShapeTyped | None:
    """What is there again when that shape is chosen again: nothing typed is lost."""
    typed = shaping.shape
    return typed if typed is not None and shaping.new and any(typed.texts) else shaping.left


def choose(model: Model, kind: ShapeKind) -> Model:
    """An empty form, with the leg that was typed for it; what was left; or the tube beside."""
    draft, left = model.draft, model.work.shaping.left
    if kind == "parallel" and draft.beside is not None:
        return model.with_work(shaping=Shaping(draft.beside, new=False))
    whole = draft.rows[0].shape is not None and draft.rows[0].shape.kind == "ports"
    if whole and kind not in ("parallel", "ports"):
        raise Refused(told("shape.ports-whole"))
    last = draft.rows[-1].shape
    if kind == "port" and last is not None and last.kind == "port":
        opened = model.with_work(cursor=Cursor(len(draft.rows) - 1))
        return opened.with_work(shaping=Shaping(last, new=False))
    if left is not None and left.kind == kind:
        return model.with_work(shaping=Shaping(left, left=left))
    row = draft.rows[model.work.cursor.row]
    typed = empty(kind, row.unit)
    if open_leg(draft, model.work.cursor.row) and leg_leads(kind):
        typed = replace(typed, texts=(row.leg, *typed.texts[1:]))
        return model.with_work(shaping=Shaping(typed, field=1, left=left))
    return model.with_work(shaping=Shaping(typed, left=left))


def entry_of(model: Model) -> Entry:
    """The field in hand. Only a shape that was chosen has one."""
    shaping = model.work.shaping
    typed = shape_in_hand(model)
    asked = FORMS[typed.kind][shaping.field]
    field = asked_field(asked, typed.unit, model.draft.extras.angles == "included")
    return Entry(field, typed.texts[shaping.field], typed.unit, shaping.fresh)


def shape_in_hand(model: Model) -> ShapeTyped:
    """The shape that is typed."""
    typed = model.work.shaping.shape
    assert typed is not None, "its form is open"
    return typed


def _kept(model: Model, entry: Entry) -> Model:
    """The field as it was changed; another unit is one for every length of the form."""
    shaping, typed = model.work.shaping, shape_in_hand(model)
    texts = list(typed.texts)
    way = () if entry.unit == typed.unit else typed.way
    if entry.unit != typed.unit:
        for at, asked in enumerate(FORMS[typed.kind]):
            if asked.kind in ("size", "place"):
                texts[at], _ = other_unit(texts[at], typed.unit)
    texts[shaping.field] = entry.text
    shape = replace(typed, texts=tuple(texts), unit=entry.unit, way=way)
    return model.with_work(shaping=replace(shaping, shape=shape, fresh=entry.fresh))


def choose_way(model: Model, number: str) -> Model:
    """One of the ways to the port."""
    return _kept(model, entry_of(model)._replace(text=number, fresh=True))


def earlier(model: Model) -> Model:
    """To the field before."""
    return _at(model, max(model.work.shaping.field - 1, 0))


def _at(model: Model, field: int) -> Model:
    return model.with_work(shaping=replace(model.work.shaping, field=field, fresh=True))


def _next(model: Model) -> Model:
    """On to the next field, from the last one into the run; a refused one is kept in view."""
    at, typed = model.work.shaping.field, shape_in_hand(model)
    inside = model.draft.extras.angles == "included"
    value_of(FORMS[typed.kind][at], typed.texts[at], typed.unit, inside)
    return _at(model, at + 1) if at + 1 < len(typed.texts) else take(model)


FORM = Form(entry_of, _kept, _next)
"""The fields of a shape, one after another."""


def take(model: Model, sure: bool = False) -> Model:
    """Into the run, unless a field holds nothing or no run comes of it."""
    model, typed = replace(model, face="keys"), shape_in_hand(model)
    _, faults = read_shape(typed, model.draft.extras.angles == "included")
    if faults:
        return replace(_at(model, faults[0].field), refusal=faults[0].says)
    read, _ = tried(model, typed)
    if read.sheet is None and read.wrong:
        return replace(model, refusal=read.wrong[-1].says)
    drawing = read.sheet.drawing if read.sheet else None
    if drawing is not None and drawing.goal is not None:
        typed = replace(typed, way=drawing.goal.way)
    shaping = model.work.shaping
    if typed.kind == "ports" and shaping.new and not sure and _written(model):
        asking = model.with_work(shaping=replace(shaping, asking=True))
        return replace(asking, refusal=told("shape.replaces"))
    draft, cursor = put_in(model.draft, model.work.cursor, typed, shaping.new)
    if draft == model.draft:
        return _to_plan(model)
    return _to_plan(changed_to(model, draft, cursor))


def _written(model: Model) -> bool:
    rows = model.draft.rows
    return len(rows) > 1 or rows[0] != Row(unit=rows[0].unit)


def loosen(model: Model, sure: bool = False) -> Model:
    """Plain legs and bends instead of the shape, at the second press."""
    model, shaping = replace(model, face="keys"), model.work.shaping
    if not sure:
        asking = model.with_work(shaping=replace(shaping, asking=True))
        return replace(asking, refusal=told("shape.loosen.ask"))
    draft = loosened(model)
    if isinstance(draft, Told):
        return replace(model, refusal=draft)
    at = min(model.work.cursor.row, len(draft.rows) - 1)
    return _to_plan(changed_to(model, draft, Cursor(at)))


def _to_plan(model: Model) -> Model:
    return replace(model.with_work(screen="plan", shaping=Shaping()), face="keys")
