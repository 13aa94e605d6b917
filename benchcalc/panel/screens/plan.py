"""Type the run in, segment by segment: leg, bend, turn; the answer stands beside it at once.

The screen has three faces: the keys with a short answer, the whole answer, and what else can be
done to the run. Each shows fewer things, none smaller.
"""

from benchcalc.panel.screens import quick, shape_row
from benchcalc.panel.screens.plan_answer import answer, in_short, pictures
from benchcalc.panel.state.draft import DraftSheet, row_field
from benchcalc.panel.state.fields import has_unit, keys_for
from benchcalc.panel.state.in_hand import corrected_in_hand, shown_in_hand
from benchcalc.panel.state.model import Cursor, Model, Row, RowField
from benchcalc.panel.widgets.form_page import line_above
from benchcalc.panel.widgets.grid import (
    LETTER_PART,
    Canvas,
    Zones,
    canvas,
    help_width,
    key_rows,
    missing_width,
    narrow,
    near_share,
    status_line,
)
from benchcalc.panel.widgets.keypad import keypad, undo_key
from benchcalc.panel.widgets.typed_field import typed_field, wrong_sign
from benchcalc.report.boxes import (
    cells,
    columns,
    foot,
    rows,
)
from benchcalc.report.figures import brief, length_text
from benchcalc.report.scene import Box, Fill, Role, Scene
from benchcalc.words.language import number_shown, say

ROW_FIELDS: tuple[RowField, ...] = ("leg", "bend", "turn")


def view(model: Model) -> Scene:
    """The face in hand; a small screen shows a refusal where the whole answer is."""
    c = canvas(model)
    read = shown_in_hand(model)
    face = "answer" if c.small and model.refusal else model.face
    if face == "keys":
        _keys_face(c, model, read)
    else:
        status_line(c, c.status, _status(c, model, read), _progress(read), model.trouble)
        if face == "answer":
            _answer_face(c, model, read)
        else:
            _more_face(c, model, read)
    return c.scene()


def _status(c: Canvas, model: Model, read: DraftSheet) -> str:
    draft = model.draft
    name = draft.name
    if draft.beside is not None:
        beside = f"{number_shown(draft.beside.texts[0])} {draft.beside.unit}"
        name = say("shape.status", beside=beside)
    if corrected_in_hand(model):
        name = say("plan.corrected")
    leg = say("plan.leg-of", number=model.work.cursor.row + 1, count=len(draft.rows))
    aside = help_width(c) + (missing_width(c) if c.missing else 0.0)
    wide = c.size[0] - aside
    share = 1.0 if narrow(c) else near_share(c, wide, _progress(read))
    room = wide * share / (LETTER_PART * c.unit)
    left = int(0.95 * room) - len(leg) - 3
    return say("plan.status", name=brief(name, left), leg=leg) if name and left >= 6 else leg


def _progress(read: DraftSheet) -> str:
    if read.whole and read.sheet:
        cut = length_text(read.sheet.layout.cut_length_mm, read.sheet.job.units)
        return say("plan.cut", cut=cut)
    return say("plan.bends", count=read.bends)


def _keys_face(c: Canvas, model: Model, read: DraftSheet) -> None:
    """Fields and answer on one side, keypad on the other; below, if it has room, the tube."""
    z = c.zones()
    if c.small:
        status_line(c, z.status, "", "", model.trouble)
        if not model.trouble:
            _line(c, model, read, line_above(c))
    else:
        status_line(c, z.status, _status(c, model, read), _progress(read), model.trouble)
        fields, rest = rows(z.answer, c.key_h, z.answer.h - c.key_h)
        body, acts = foot(rest, c.key_h)
        _fields(c, model, read, fields)
        answer(c, model, read, body.inset(2.0))
        _acts(c, model, read, acts)
    _pad(c, model, read, z)
    if z.strip.h:
        pictures(c, model, read, z.strip)


def _line(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """On a small screen, above the keys: the field in hand and the two numbers."""
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    left, right = columns(box, 0.52, 0.48)
    if row.shape is None:
        name, shown, given = _shown(model, row, cursor.field)
        name = f"{name} {cursor.row + 1}"
        wrong = bool(read.why(cursor.row, cursor.field))
        c.key(f"field {_following(cursor)}", left, "")
        typed_field(c, left, name, shown, given, wrong)
    else:
        c.text(left.inset(3.0), shape_row.says(row.shape), c.unit, lines=2)
    number = read.bend_at(cursor)
    if number is not None or cursor.field == "turn":
        in_short(c, model, read, number, right.inset(4.0))


def _following(cursor: Cursor) -> RowField:
    """The field after the one in hand; after the last the first."""
    fields = ROW_FIELDS if cursor.row else ROW_FIELDS[:2]
    return fields[(fields.index(cursor.field) + 1) % len(fields)]


def _shown(model: Model, row: Row, field: RowField) -> tuple[str, str, bool]:
    """A field's name with its unit, what is typed in it or stands for it, whether it is typed."""
    typed = {"leg": row.leg, "bend": row.bend, "turn": row.turn}[field]
    name = row_field(field, row.unit, model.draft.extras.angles == "included").name
    if field == "leg":
        unit = "" if has_unit(typed) else f" {row.unit}"
        return name, number_shown(typed) + unit if typed else say("plan.leg.empty"), bool(typed)
    minus = "\u2212" if field == "turn" else "-"
    shown = typed or say(f"plan.{field}.empty")
    unit = "°" if typed or field == "turn" else ""
    return name, number_shown(shown).replace("-", minus) + unit, bool(typed)


def _fields(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """The three fields of the current segment, the active one edged."""
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    if row.shape is not None:
        shape_row.head(c, read, cursor, row.shape, box)
        return
    fields = ROW_FIELDS if cursor.row else ROW_FIELDS[:2]
    for field, part in zip(fields, columns(box, *[1.0] * len(fields)), strict=True):
        active, wrong = cursor.field == field, bool(read.why(cursor.row, field))
        name, shown, given = _shown(model, row, field)
        c.key(f"field {field}", part, "", "sheet", edge="focus" if active else "rule")
        if active:
            face = part.inset(2.0)
            c.add(Fill(Box(face.x, face.bottom - 6.0, face.w, 6.0), "focus", 3.0))
        head, value, _ = rows(part.inset(5.0), 0.34, 0.56, 0.1)
        c.text(head, name, c.unit, "quiet")
        if wrong:
            sign = min(value.h, value.w * 0.3)
            wrong_sign(c, Box(value.right - sign, value.y, sign, value.h))
            value = value._replace(w=value.w - sign)
        size = c.unit * (1.3 if given else 1.0)
        c.text(value, shown, size, "ink" if given else "quiet", lines=1 if given else 2)


def _arrows(model: Model, read: DraftSheet) -> list[str]:
    """From bend to bend, where there is one."""
    cursor = model.work.cursor
    at = cursor.bend if read.bends_in(cursor.row) else 0
    names = ["earlier"] if cursor.row > 0 or at else []
    if cursor.row < len(model.draft.rows) - 1 or at + 1 < read.bends_in(cursor.row):
        names.append("later")
    return names


def _acts(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """The few keys beside the keypad; those that need room stand where there is some."""
    room, _ = key_rows(c, 6, box.w)
    if room >= 6:
        _key_row(c, model, read, box, ["earlier", "later", "undo", "look", "more", "make"])
    else:
        _key_row(c, model, read, box, ["undo", "look", "make"])


def _key_row(c: Canvas, model: Model, read: DraftSheet, box: Box, names: list[str]) -> None:
    """Keys by name, each in its place; one that cannot be used now is not there."""
    arrows = _arrows(model, read)
    across, down = key_rows(c, len(names), box.w)
    for name, part in zip(names, cells(box, across, down), strict=False):
        if name in ("earlier", "later"):
            if name in arrows:
                c.arrow_key(name, part, left=name == "earlier")
        elif name == "minds":
            if read.sheet is not None and read.sheet.findings:
                text = say("plan.notes", count=len(read.sheet.findings))
                c.key(name, part, text, "key_act", lines=2, size=c.unit)
        elif name == "undo":
            undo_key(c, part)
        else:
            role: Role = "key_go" if name == "make" and complete(model, read) else "key_act"
            text = say("more") if name == "more" else say(f"plan.{name}")
            c.key(name, part, text, role, lines=2, size=c.unit)


def complete(model: Model, read: DraftSheet) -> bool:
    """Whether making it is what comes next: a last leg that is being typed may get a bend."""
    typing = model.face == "keys" and model.work.cursor.field == "leg"
    at_end = model.work.cursor.row == len(model.draft.rows) - 1
    stopped = read.sheet is not None and read.sheet.stopped
    return read.whole and not stopped and not (typing and at_end)


def _answer_face(c: Canvas, model: Model, read: DraftSheet) -> None:
    """The whole answer with its pictures; the ways on below."""
    names = ["type", "earlier", "later", *([] if c.small else ["minds"]), "more", "make"]
    _, down = key_rows(c, len(names), c.below.w)
    body, low = foot(c.below, c.key_h * down)
    _key_row(c, model, read, low, names)
    body = body.inset(6.0)
    if c.small:
        if read.whole and read.bend_at(model.work.cursor) is None and not model.refusal:
            pictures(c, model, read, body)
        else:
            answer(c, model, read, body)
        return
    if c.tall:
        says, shows = rows(body, 0.52, 0.48)
    else:
        says, shows = columns(body, 0.62, 0.38)
    answer(c, model, read, says)
    pictures(c, model, read, shows, ring=True)


def _more_face(c: Canvas, model: Model, read: DraftSheet) -> None:
    """What else can be done to the run, a key for each."""
    row = model.draft.rows[model.work.cursor.row]
    blank = not (row.leg or row.bend or row.turn or row.shape) and row is model.draft.rows[-1]
    names = ["shape", "insert", *([] if blank else ["remove"]), "undo", "bench"]
    body, low = foot(c.below, c.key_h)
    left, right = columns(low, 0.5, 0.5)
    c.key("type", left, say("plan.type"), "key_act")
    if c.small and read.sheet is not None and read.sheet.findings:
        c.key("minds", right, say("plan.notes", count=len(read.sheet.findings)), "key_act")
    across = 1 if c.size[0] < 20 * c.unit and not c.small else 2
    for name, box in zip(names, cells(body, across, -(-5 // across)), strict=False):
        c.key(name, box, say(f"plan.{name}.long"), "key_act", lines=2)


def _pad(c: Canvas, model: Model, read: DraftSheet, z: Zones) -> None:
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    own = (("look", say("plan.look")), ("undo", say("plan.undo")))
    if row.shape is not None:
        shape_row.pad(c, model, row.shape, z.pad, own)
        return
    field = row_field(cursor.field, row.unit)
    hidden = {key for key in "./-" if key not in keys_for(field)}
    if not {"leg": row.leg, "bend": row.bend, "turn": row.turn}[cursor.field]:
        hidden.add("back")
    captions = {"back": say("key.back"), "next": say("key.next")}
    if cursor.field == "leg":
        captions["unit"] = say("key.unit", unit="in" if row.unit == "mm" else "mm")
    elif cursor.field == "bend":
        captions["unit"] = say("key.to-corner" if row.to == "crown" else "key.to-crown")
    else:
        hidden.add("unit")
    on: Role = "key_act" if not c.small and complete(model, read) else "key_go"
    keypad(c, z.pad, captions, frozenset(hidden | quick.offered(model).keys()), own, on)
    quick.draw(c, model, z.pad)
