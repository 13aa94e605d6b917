"""What a key does to a shape that is being typed."""

from dataclasses import replace

from benchcalc.panel.screens.editing import changed_to
from benchcalc.panel.screens.shape import kind_of
from benchcalc.panel.state.fields import Refused, erased, has_unit, other_unit, type_key
from benchcalc.panel.state.model import Cursor, Model, Row
from benchcalc.panel.state.shaping import leg_leads, loosened, open_leg, put_in, tried
from benchcalc.panel.state.typed_shapes import ShapeKind, ShapeTyped, Shaping
from benchcalc.panel.widgets.form_page import TURNS, turned
from benchcalc.panel.widgets.shape_forms import FORMS, asked_field, empty, read_shape, value_of
from benchcalc.report.told import Told
from benchcalc.words.language import say


def act(model: Model, target: str) -> Model:
    """One tap on the choice or on the form."""
    shaping = model.work.shaping
    if target in TURNS:
        return turned(model, target)
    model = replace(model, face="keys")
    if target == "leave":
        return model.with_work(screen="plan", shaping=Shaping(left=_left(shaping)))
    if target == "no":
        return model.with_work(shaping=replace(shaping, asking=False))
    if shaping.shape is None:
        kind = kind_of(target.removeprefix("choose "))
        return _open(model, kind) if kind else model
    if target in ("take", "yes replace"):
        return _take(model, shaping.shape, sure=target == "yes replace")
    if target in ("loosen", "yes loosen"):
        return _loosen(model, sure=target == "yes loosen")
    if target == "away":
        draft = replace(model.draft, beside=None)
        return _to_plan(changed_to(model, draft, Cursor()))
    calm = model.with_work(shaping=replace(shaping, asking=False))
    return _type(calm, shaping.shape, target)


def _left(shaping: Shaping) -> ShapeTyped | None:
    """What is there again when that shape is chosen again: nothing typed is lost."""
    typed = shaping.shape
    return typed if typed is not None and shaping.new and any(typed.texts) else shaping.left


def _open(model: Model, kind: ShapeKind) -> Model:
    """An empty form, with the leg that was typed for it; what was left; or the tube beside."""
    draft, left = model.draft, model.work.shaping.left
    if kind == "parallel" and draft.beside is not None:
        return model.with_work(shaping=Shaping(draft.beside, new=False))
    whole = draft.rows[0].shape is not None and draft.rows[0].shape.kind == "ports"
    if whole and kind not in ("parallel", "ports"):
        return replace(model, refusal=say("shape.ports-whole"))
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


def _type(model: Model, typed: ShapeTyped, target: str) -> Model:
    """Typing into the field in hand, or going to another."""
    shaping, form = model.work.shaping, FORMS[typed.kind]
    asked, text = form[shaping.field], typed.texts[shaping.field]
    field = asked_field(asked, typed.unit, model.draft.extras.angles == "included")
    if target == "next":
        return _next(model, typed)
    if target == "earlier":
        return _at(model, max(shaping.field - 1, 0))
    if target.startswith("field "):
        at = next((n for n, one in enumerate(form) if one.key == target[6:]), shaping.field)
        return _at(model, at)
    if target.startswith("choose ") and asked.kind == "way":
        return _with(model, typed, target[7:], fresh=True)
    if target == "back":
        shorter = erased(text) if field.kind in ("length", "place") else text[:-1]
        return _with(model, typed, shorter)
    if target == "unit" and field.kind in ("length", "place"):
        return _unit(model, typed)
    if not target.startswith("key ") or asked.kind == "way":
        return model
    turning = target == "key -" and field.kind in ("turn", "number", "place")
    try:
        changed = type_key(field, "" if shaping.fresh and not turning else text, target[4:])
    except Refused as refused:
        return replace(model, refusal=refused.said)
    return _with(model, typed, changed)


def _with(model: Model, typed: ShapeTyped, text: str, fresh: bool = False) -> Model:
    shaping = model.work.shaping
    texts = list(typed.texts)
    texts[shaping.field] = text
    shape = replace(typed, texts=tuple(texts), way=())
    return model.with_work(shaping=replace(shaping, shape=shape, fresh=fresh))


def _unit(model: Model, typed: ShapeTyped) -> Model:
    """Every length of the form in the other unit, as exact as it was."""
    texts, unit = [], typed.unit
    for asked, text in zip(FORMS[typed.kind], typed.texts, strict=True):
        if asked.kind in ("size", "place"):
            text, unit = other_unit(text, typed.unit)
        texts.append(text)
    shaping = model.work.shaping
    shape = replace(typed, texts=tuple(texts), unit=unit)
    fresh = shaping.fresh or has_unit(texts[shaping.field])
    return model.with_work(shaping=replace(shaping, shape=shape, fresh=fresh))


def _at(model: Model, field: int) -> Model:
    return model.with_work(shaping=replace(model.work.shaping, field=field, fresh=True))


def _next(model: Model, typed: ShapeTyped) -> Model:
    """On to the next field, from the last one into the run; a refused one is kept in view."""
    at = model.work.shaping.field
    inside = model.draft.extras.angles == "included"
    try:
        value_of(FORMS[typed.kind][at], typed.texts[at], typed.unit, inside)
    except Refused as refused:
        return replace(model, refusal=refused.said)
    if at + 1 < len(typed.texts):
        return _at(model, at + 1)
    return _take(model, typed)


def _take(model: Model, typed: ShapeTyped, sure: bool = False) -> Model:
    """Into the run, unless a field holds nothing or no run comes of it."""
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
        return replace(asking, refusal=say("shape.replaces"))
    draft, cursor = put_in(model.draft, model.work.cursor, typed, shaping.new)
    if draft == model.draft:
        return _to_plan(model)
    return _to_plan(changed_to(model, draft, cursor))


def _written(model: Model) -> bool:
    rows = model.draft.rows
    return len(rows) > 1 or rows[0] != Row(unit=rows[0].unit)


def _loosen(model: Model, sure: bool) -> Model:
    """Plain legs and bends instead of the shape, at the second press."""
    shaping = model.work.shaping
    if not sure:
        asking = model.with_work(shaping=replace(shaping, asking=True))
        return replace(asking, refusal=say("shape.loosen.ask"))
    draft = loosened(model)
    if isinstance(draft, Told):
        return replace(model, refusal=draft)
    at = min(model.work.cursor.row, len(draft.rows) - 1)
    return _to_plan(changed_to(model, draft, Cursor(at)))


def _to_plan(model: Model) -> Model:
    return model.with_work(screen="plan", shaping=Shaping())
