"""Type one bench value: sizes and counts on the keypad, a lot or a name on letters."""

from dataclasses import replace

from benchcalc.core.parts import Units
from benchcalc.panel.figures import in_units
from benchcalc.panel.grid import (
    Canvas,
    canvas,
    cells,
    columns,
    keypad,
    rows,
    status_height,
    status_line,
)
from benchcalc.panel.keypad import (
    Field,
    Refused,
    erased,
    has_unit,
    keys_for,
    other_unit,
    read_length,
    read_number,
    type_key,
)
from benchcalc.panel.language import number_shown, say
from benchcalc.panel.model import Model, SetupField, Writing
from benchcalc.panel.scene import Box, Fill, Role, Scene
from benchcalc.panel.steps import begin_again

LETTERS = ("1234567890", "QWERTYUIOP", "ASDFGHJKL-", "ZXCVBNM./ ")
TEXTS = ("lot", "name", "remark")


def setup_field(name: SetupField, units: Units) -> Field:
    """The typed field of a bench value."""
    if name == "od":
        return Field(say("bench.od"), "length", 0.5, 60.0, units)
    if name == "wall":
        return Field(say("bench.wall"), "length", 0.05, 10.0, units)
    if name == "pieces":
        return Field(say("bench.pieces"), "count", 1, 9999)
    return Field(say(f"bench.{name}"), "text")


def view(model: Model) -> Scene:
    """The value as typed with its limits, and the keys that it takes."""
    c = canvas(model)
    writing = model.work.writing
    title = say(f"write.{writing.field}", number=writing.about)
    if writing.field in TEXTS:
        return _letters(c, model, title)
    z = c.zones(strip=False)
    status_line(c, z.status, title, "", model.trouble)
    answer, pad = z.answer, z.pad
    if c.small:
        answer, pad = rows(answer, 0.36, 0.64)
    field = setup_field(writing.field, writing.unit)
    _typed(c, model, answer, field)
    shown = {key for key in "0123456789./-" if key in keys_for(field)}
    hidden = frozenset(f"{key}" for key in "./-" if key not in shown)
    captions = {
        "back": say("key.back"),
        "next": say("key.take"),
        "unit": say("key.unit", unit="in" if writing.unit == "mm" else "mm"),
    }
    if field.kind != "length":
        hidden |= {"unit"}
    if not writing.typed:
        hidden |= {"back"}
    keypad(c, pad, captions, hidden)
    return c.scene()


def _typed(c: Canvas, model: Model, box: Box, field: Field) -> None:
    writing = model.work.writing
    tall = 1.0 if c.small else 0.28
    parts = rows(box, tall, 0.5, 0.9) if c.small else rows(box, 0.12, tall, 0.2, 0.24, 0.16)
    if c.small:
        line, under, cancel = parts
    else:
        head, line, under, _, cancel = parts
        c.text(head, field.name, head.h * 0.8, "quiet")
    c.add(Fill(line.inset(2.0), "sheet", 6.0, "focus", 3.0))
    unit = f" {field.unit}" if field.kind == "length" and not has_unit(writing.typed) else ""
    c.text(line.inset(10.0), number_shown(writing.typed or " ") + unit, line.h * 0.7, "ink", "left")
    c.text(under, model.refusal or say(f"write.{writing.field}.hint"), c.unit, "ink", "left", 3)
    c.key("cancel", columns(cancel, 0.6, 0.4)[0], say("write.leave"), "key_act", cancel.h * 0.45)


def _letters(c: Canvas, model: Model, title: str) -> Scene:
    width, height = model.size
    status_h = status_height(model.size)
    status_line(c, Box(0, 0, width, status_h), title, "benchcalc", model.trouble)
    body = Box(0, status_h, width, height - status_h).inset(4.0)
    line, says, pad, low = rows(body, 1.0, 0.5, 4.0, 1.0)
    c.add(Fill(line.inset(2.0), "sheet", 6.0, "focus", 3.0))
    c.text(line.inset(8.0), model.work.writing.typed or " ", line.h * 0.66)
    c.text(
        says,
        model.refusal or say(f"write.{model.work.writing.field}.hint"),
        min(says.h * 0.9, c.unit),
        "quiet",
        lines=2,
    )
    for row, letters in zip(rows(pad, *[1.0] * 4), LETTERS, strict=True):
        for letter, box in zip(letters, cells(row, 10, 1), strict=True):
            text = say("key.space") if letter == " " and not c.tall else letter
            size = min(box.h * 0.3, box.w * 0.44) if letter == " " else None
            c.key(f"key {letter}", box, text, size=size)
            if letter == " " and c.tall:
                c.add(Fill(Box(box.x + box.w / 4, box.y + box.h * 0.6, box.w / 2, 4.0), "ink"))
    cancel, back, take = columns(low, 0.3, 0.3, 0.4)
    keys: tuple[tuple[str, Box, str, Role], ...] = (
        ("cancel", cancel, say("write.leave"), "key_act"),
        ("back", back, say("key.back"), "key_act"),
        ("next", take, say("key.take"), "key_go"),
    )
    for name, box, text, role in keys:
        if name != "back" or model.work.writing.typed:
            c.key(name, box, text, role, box.h * 0.5)
    return c.scene()


def act(model: Model, target: str) -> Model:
    """One key: a character, back, the other unit, take it, or leave it."""
    writing = model.work.writing
    field = setup_field(writing.field, writing.unit)
    if target == "cancel":
        return model.with_work(screen="bench")
    if target == "back":
        shorter = erased(writing.typed) if field.kind == "length" else writing.typed[:-1]
        return _with(model, replace(writing, typed=shorter, fresh=False))
    if target == "unit" and field.kind == "length":
        text, unit = other_unit(writing.typed, writing.unit)
        fresh = writing.fresh or has_unit(text)
        return _with(model, replace(writing, typed=text, unit=unit, fresh=fresh))
    if target.startswith("key "):
        key = target[4:]
        try:
            typed = type_key(field, "" if writing.fresh else writing.typed, key)
        except Refused as refused:
            return replace(model, refusal=str(refused))
        return _with(model, replace(writing, typed=typed, fresh=False))
    return _take(model, field) if target == "next" else model


def _with(model: Model, writing: Writing) -> Model:
    return replace(model.with_work(writing=writing), refusal="")


def _pieces(model: Model, pieces: int) -> int:
    """How many, at least the piece in hand."""
    making = model.work.making
    if making is not None and pieces < making.piece:
        raise Refused(say("bench.pieces-made", piece=making.piece))
    return pieces


def _take(model: Model, field: Field) -> Model:
    writing, draft = model.work.writing, model.draft
    try:
        if writing.field in ("od", "wall"):
            return _take_size(model, field)
        if writing.field == "pieces":
            changed = replace(draft, pieces=_pieces(model, int(read_number(field, writing.typed))))
        elif writing.field == "lot":
            changed = replace(draft, lot=writing.typed.strip())
        else:
            changed = replace(draft, name=writing.typed.strip())
    except Refused as refused:
        return replace(model, refusal=str(refused))
    return model.with_work(draft=changed, screen="bench")


def _take_size(model: Model, field: Field) -> Model:
    """A tube's size; what was only cut or marked of a piece begins anew with it."""
    name, draft = model.work.writing.field, model.draft
    value = float(read_length(field, model.work.writing.typed))
    refusal = _sizes_disagree(model, name, value)
    if refusal:
        raise Refused(refusal)
    changed = replace(draft, od_mm=value) if name == "od" else replace(draft, wall_mm=value)
    taken = model.with_work(draft=changed, screen="bench")
    return taken if changed == draft else replace(taken, work=begin_again(taken.work))


def _sizes_disagree(model: Model, name: SetupField, value: float) -> str:
    """A tube whose walls meet is a rod: refuse the size that makes it one."""
    draft = model.draft
    od = value if name == "od" else draft.od_mm or (draft.bender.od_mm if draft.bender else None)
    wall = value if name == "wall" else draft.wall_mm
    if od is None or wall is None or 2 * wall < od:
        return ""
    shown = [
        number_shown(f"{in_units(size, draft.units):.4g} {draft.units}") for size in (wall, od)
    ]
    return say("write.rod", wall=shown[0], od=shown[1])
