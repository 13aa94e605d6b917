"""Type one bench value: sizes and counts on the keypad, a lot or a name on letters."""

from dataclasses import replace

from benchcalc.core.job import Units
from benchcalc.core.springback.lessons import REMARK
from benchcalc.panel.state.action import Acted, Action, press
from benchcalc.panel.state.fields import (
    Field,
    Refused,
    has_unit,
    length_typed,
    read_length,
    read_number,
)
from benchcalc.panel.state.making.record import remark_record
from benchcalc.panel.state.making.steps import begin_again
from benchcalc.panel.state.messages import AppendRecord, ReadPiece
from benchcalc.panel.state.model import Draft, Model, SetupField, Writing, work_plain
from benchcalc.panel.widgets.entry import Entry, Form, typed
from benchcalc.panel.widgets.form_page import (
    Key,
    face_key,
    form,
    form_status,
    key_row,
    line_above,
    put_key,
    said,
)
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    notice,
)
from benchcalc.panel.widgets.keypad import erase, keypad
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import (
    cells,
    foot,
    rows,
)
from benchcalc.report.scene import ANY_CHARACTER, Box, Scene, Stroke
from benchcalc.report.told import Told, TubeSize, in_words, told
from benchcalc.report.units_shown import tube_units
from benchcalc.words.language import say

LETTERS = "1234567890QWERTYUIOPASDFGHJKL-ZXCVBNM./ "
TEXTS = ("lot", "name", "remark")
PICKED = ("bender", "material", "tape")


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
    if c.small and model.refusal:
        return _refused(c, model)
    places, entry = form(c), entry_of(model)
    if form_status(c, model, say(f"write.{writing.field}")):
        typed_field(c, places.field, say(entry.field.phrase), entry.shown or " " + entry.unit_shown)
    if not c.small:
        said(c, model, places.says, say(f"write.{writing.field}.hint"))
        key_row(c, places.keys, [_back(say("write.leave"))])
    go_on = Key("next", say("key.take"), "key_go")
    keypad(c, places.pad, FORM, entry, (_back(say("back")),), go_on)
    return c.scene()


def _back(caption: str) -> Key:
    return Key("cancel", caption, does=press(_leave), keys=("escape",))


def _refused(c: Canvas, model: Model) -> Scene:
    """On a small screen: why the value is not taken, on the whole of it."""
    status_line(c, c.status, say(f"write.{model.work.writing.field}"), "", model.trouble)
    body, low = foot(c.below, c.key_h)
    notice(c, body.inset(GAP), say("word.check"), in_words(model.refusal), "alarm")
    key_row(c, low, [face_key("keys", say("plan.type"), "key_go"), _back(say("write.leave"))])
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
    across, down, each = _board(c, body)
    letters = LETTERS if across == 10 else "".join(sorted(LETTERS, key=_by_letter))
    pages = -(-len(letters) // each)
    if not (c.small and model.trouble):
        hint = say(f"write.{writing.field}.hint")
        name = "" if not c.small else say(f"bench.{writing.field}")
        typed_field(c, line, name, writing.typed or ("" if c.small else hint), bool(writing.typed))
    places = cells(body, across, down)
    page = writing.page % pages
    shown = letters[page * each : (page + 1) * each]
    for at, (letter, box) in enumerate(zip(shown, places, strict=False)):
        middle = at == len(shown) // 2 and not writing.typed
        put_key(c, box, _letter(letter)._replace(first=middle))
    for letter in set(letters) - set(shown):
        for key in _letter(letter).keys:
            c.by_keyboard(key, FORM.character(letter))
    c.by_keyboard("?", FORM.character("?"))  # no call for help where words are written
    c.by_keyboard(ANY_CHARACTER, Action(typed, (FORM,)))
    keys = _act_keys(c, writing, pages > 1)
    places = cells(low, len(keys), 1) if low is not None else places[-len(keys) :]
    for key_here, box in zip(keys, places, strict=True):
        if key_here is not None:
            put_key(c, box, key_here)
    return c.scene()


def _letter(letter: str) -> Key:
    sign = _space_sign if letter == " " else None
    keys = tuple(dict.fromkeys((letter, letter.lower())))
    return Key(f"key {letter}", letter.strip(), "key", FORM.character(letter), keys, sign=sign)


def _act_keys(c: Canvas, writing: Writing, more: bool) -> list[Key | None]:
    """Out, the other letters, erase, take it; one that cannot be used now is not there."""
    on = Key("next", say("key.take"), "key_go", FORM.go_on, ("enter",))
    others = [Key("more", say("more"), does=press(_next_letters))] if more else []
    back = say("back") if c.small else say("write.leave")
    return [_back(back), *others, erase(FORM) if writing.typed else None, on]


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


def opened(model: Model, field: SetupField) -> Model:
    """To type or pick a bench value, beginning with what it is now, or was when it was left."""
    units = tube_units(model.draft.units, model.settings.units)
    if field in PICKED:
        return model.with_work(screen="pick", writing=Writing(field, unit=units))
    writing = Writing(field, _typed(model.draft, field, units), units)
    if left := dict(model.work.unfinished).get(field, ""):
        writing = replace(writing, typed=left, fresh=False)
    return model.with_work(screen="write", writing=writing)


def _typed(draft: Draft, field: SetupField, units: Units) -> str:
    """A bench value as someone would have typed it."""
    if field in ("od", "wall"):
        size_mm = od_of(draft) if field == "od" else draft.wall_mm
        return "" if size_mm is None else _size_typed(size_mm, units)
    return str(draft.pieces) if field == "pieces" else draft.lot if field == "lot" else draft.name


def _size_typed(size_mm: float, units: Units) -> str:
    """A size exactly as it is: in millimetres where inches would round it."""
    typed = length_typed(size_mm, units)
    rounded = units == "in" and not has_unit(typed) and abs(float(typed) * 25.4 - size_mm) > 1e-9
    return f"{length_typed(size_mm, 'mm')} mm" if rounded else typed


def od_of(draft: Draft) -> float | None:
    """The tube's outside diameter: its own, or the die's; None where neither is given."""
    if draft.od_mm is not None:
        return draft.od_mm
    return draft.bender.od_mm if draft.bender else None


def _leave(model: Model) -> Acted:
    """Back, with nothing taken; words that were typed are there again, they take long to type."""
    writing = model.work.writing
    if writing.field == "remark":
        return model.with_work(screen=writing.back), (ReadPiece(writing.about),)
    left = model.with_work(screen="bench")
    changed = writing.typed and writing.typed != _typed(model.draft, writing.field, writing.unit)
    return _finished(left, writing.typed if changed else ""), ()


def _finished(model: Model, left: str = "") -> Model:
    """What is left of a value that was typed in words: nothing once it was taken."""
    field = model.work.writing.field
    others = tuple(one for one in model.work.unfinished if one[0] != field)
    kept = ((field, left),) if left and field in TEXTS else ()
    return model.with_work(unfinished=(*others, *kept))


def remark_left(model: Model) -> Model:
    """Back from a remark that is a record."""
    return model.with_work(screen=model.work.writing.back, writing=Writing())


def _next_letters(model: Model) -> Model:
    page = model.work.writing.page + 1
    return model.with_work(writing=replace(model.work.writing, page=page))


def entry_of(model: Model) -> Entry:
    """The value that is typed."""
    writing = model.work.writing
    field = setup_field(writing.field, writing.unit)
    return Entry(field, writing.typed, writing.unit, writing.fresh)


def _kept(model: Model, entry: Entry) -> Model:
    typed = replace(model.work.writing, typed=entry.text, unit=entry.unit, fresh=entry.fresh)
    return model.with_work(writing=typed)


def _pieces(model: Model, pieces: int) -> int:
    """How many, at least the piece in hand."""
    making = model.work.making
    if making is not None and pieces < making.piece:
        raise Refused(told("bench.pieces-made", piece=making.piece))
    return pieces


def _take(model: Model) -> Model | Acted:
    """The value as typed. Raises Refused for one that cannot be."""
    writing, draft = model.work.writing, model.draft
    field = setup_field(writing.field, writing.unit)
    if writing.field == "remark":
        return _remark(model)
    if writing.field in ("od", "wall"):
        return _take_size(model, field)
    if writing.field == "pieces":
        changed = replace(draft, pieces=_pieces(model, int(read_number(field, writing.typed))))
    elif writing.field == "lot":
        changed = replace(draft, lot=writing.typed.strip())
    else:
        changed = replace(draft, name=writing.typed.strip())
    return _finished(model).with_work(draft=changed, screen="bench", writing=Writing())


def _remark(model: Model) -> Acted:
    """A remark is gone from the work in hand only once it is a record."""
    writing = model.work.writing
    if not writing.typed.strip():
        raise Refused(told("write.remark.empty"))
    record = remark_record(writing.about, writing.typed.strip())
    return model, (AppendRecord(REMARK, record, work_plain(remark_left(model).work)),)


FORM = Form(entry_of, _kept, _take)
"""One bench value, or a remark."""


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
    od = value if name == "od" else od_of(draft)
    wall = value if name == "wall" else draft.wall_mm
    if od is None or wall is None or 2 * wall < od:
        return None
    units = draft.units
    return told("write.rod", wall=TubeSize(wall, units), od=TubeSize(od, units))
