"""Type one bench value: sizes and counts on the keypad, a lot or a name on letters."""

from dataclasses import replace

from benchcalc.core.job import Units
from benchcalc.panel.state.fields import (
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
from benchcalc.panel.state.making import begin_again
from benchcalc.panel.state.model import Model, SetupField, Writing
from benchcalc.panel.widgets.form_page import Key, form, form_status, key_row, line_above, said
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    notice,
    status_line,
)
from benchcalc.panel.widgets.keypad import erase_key, keypad
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import (
    cells,
    foot,
    rows,
)
from benchcalc.report.scene import Box, Scene, Stroke
from benchcalc.report.told import Told, TubeSize, in_words, told
from benchcalc.words.language import number_shown, say

LETTERS = "1234567890QWERTYUIOPASDFGHJKL-ZXCVBNM./ "
TEXTS = ("lot", "name", "remark")


def setup_field(name: SetupField, units: Units) -> Field:
    """The typed field of a bench value."""
    if name == "od":
        return Field("bench.od", "length", 0.5, 60.0, units)
    if name == "wall":
        return Field("bench.wall", "length", 0.05, 10.0, units)
    if name == "pieces":
        return Field("bench.pieces", "count", 1, 9999)
    return Field(f"bench.{name}", "text")


def view(model: Model) -> Scene:
    """The value as typed with its limits, and the keys that it takes."""
    c = canvas(model)
    writing = model.work.writing
    if writing.field in TEXTS:
        return _letters(c, model)
    field = setup_field(writing.field, writing.unit)
    if c.small and model.refusal:
        return _refused(c, model)
    places = form(c)
    if form_status(c, model, say(f"write.{writing.field}")):
        unit = f" {field.unit}" if field.kind == "length" and not has_unit(writing.typed) else ""
        typed_field(c, places.field, field.name, number_shown(writing.typed or " ") + unit)
    if not c.small:
        said(c, model, places.says, say(f"write.{writing.field}.hint"))
        key_row(c, places.keys, [Key("cancel", say("write.leave"))])
    hidden = {key for key in "./-" if key not in keys_for(field)}
    captions = {"back": say("key.back"), "next": say("key.take")}
    if field.kind == "length":
        captions["unit"] = say("key.unit")
    else:
        hidden.add("unit")
    if not writing.typed:
        hidden.add("back")
    keypad(c, places.pad, captions, frozenset(hidden), (("cancel", say("back")),))
    return c.scene()


def _refused(c: Canvas, model: Model) -> Scene:
    """On a small screen: why the value is not taken, on the whole of it."""
    status_line(c, c.status, say(f"write.{model.work.writing.field}"), "", model.trouble)
    body, low = foot(c.below, c.key_h)
    notice(c, body.inset(GAP), say("word.check"), in_words(model.refusal), "alarm")
    key_row(c, low, [Key("type", say("plan.type"), "key_go"), Key("cancel", say("write.leave"))])
    return c.scene()


def _letters(c: Canvas, model: Model) -> Scene:
    """A line and a page of letters; as many pages as keys for a glove make it."""
    writing = model.work.writing
    if c.small:
        status_line(c, c.status, "", "", model.trouble)
        line = line_above(c)
        body, low = c.below, None
    else:
        title = in_words(model.refusal) or say(f"write.{writing.field}", number=writing.about)
        status_line(c, c.status, title, "", model.trouble)
        rest, low = foot(c.below, c.key_h)
        line, body = rows(rest, 1.8 * c.unit, rest.h - 1.8 * c.unit)
    acts = ["cancel", "back", "next"]
    across, down, each = _board(c, body)
    letters = LETTERS if across == 10 else "".join(sorted(LETTERS, key=_by_letter))
    pages = -(-len(letters) // each)
    if not (c.small and model.trouble):
        hint = say(f"write.{writing.field}.hint")
        name = "" if not c.small else say(f"bench.{writing.field}")
        typed_field(c, line, name, writing.typed or ("" if c.small else hint), bool(writing.typed))
    places = cells(body, across, down)
    page = writing.page % pages
    for letter, box in zip(letters[page * each : (page + 1) * each], places, strict=False):
        c.key(f"key {letter}", box, letter.strip(), size=c.unit)
        if letter == " ":
            _space_sign(c, box)
    if pages > 1:
        acts.insert(1, "more")
    places = cells(low, len(acts), 1) if low is not None else places[-len(acts) :]
    for name, box in zip(acts, places, strict=True):
        _act_key(c, name, box, bool(writing.typed))
    return c.scene()


def _space_sign(c: Canvas, box: Box) -> None:
    """A bar as wide as the gap that it types."""
    (x, y), half = box.centre, box.w * 0.28
    sides = ((x - half, y), (x - half, y + 8.0), (x + half, y + 8.0), (x + half, y))
    c.add(Stroke(sides, "ink", 4.0))


def _board(c: Canvas, body: Box) -> tuple[int, int, int]:
    """Keys across and down, and how many letters a page has; a small screen's acts lie among them.

    Letters are pressed seldom: they have the least size of a key.
    """
    least_w, least_h = c.measures.least_px
    across = min(10, int(body.w / least_w + 0.02))
    down = max(1, min(int(body.h / least_h + 0.02), -(-len(LETTERS) // across)))
    return across, down, across * down - (4 if c.small else 0)


def _by_letter(letter: str) -> tuple[bool, str]:
    return (not letter.isalpha(), letter)


def _act_key(c: Canvas, name: str, box: Box, typed: bool) -> None:
    texts = {"cancel": say("back") if c.small else say("write.leave"), "more": say("more")}
    if name == "back":
        if typed:
            erase_key(c, box)
    elif name == "next":
        c.key("next", box, say("key.take"), "key_go", c.unit, lines=2)
    else:
        c.key(name, box, texts[name], "key_act", c.unit, lines=2)


def act(model: Model, target: str) -> Model:
    """One key: a character, back, the other unit, take it, or leave it."""
    writing = model.work.writing
    field = setup_field(writing.field, writing.unit)
    if target == "cancel":
        return model.with_work(screen="bench")
    if target == "more":
        return model.with_work(writing=replace(writing, page=writing.page + 1))
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
            return replace(model, refusal=refused.said)
        return _with(model, replace(writing, typed=typed, fresh=False))
    return _take(model, field) if target == "next" else model


def _with(model: Model, writing: Writing) -> Model:
    return replace(model.with_work(writing=writing), refusal="")


def _pieces(model: Model, pieces: int) -> int:
    """How many, at least the piece in hand."""
    making = model.work.making
    if making is not None and pieces < making.piece:
        raise Refused(told("bench.pieces-made", piece=making.piece))
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
        return replace(model, refusal=refused.said)
    return model.with_work(draft=changed, screen="bench", writing=Writing())


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


def _sizes_disagree(model: Model, name: SetupField, value: float) -> Told | None:
    """A tube whose walls meet is a rod: refuse the size that makes it one."""
    draft = model.draft
    od = value if name == "od" else draft.od_mm or (draft.bender.od_mm if draft.bender else None)
    wall = value if name == "wall" else draft.wall_mm
    if od is None or wall is None or 2 * wall < od:
        return None
    units = draft.units
    return told("write.rod", wall=TubeSize(wall, units), od=TubeSize(od, units))
