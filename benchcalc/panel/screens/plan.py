"""Type the run in, segment by segment: leg, bend, turn; the answer stands beside it at once.

The screen has three faces: the keys with a short answer, the whole answer, and what else can be
done to the run. Each shows fewer things, none smaller.
"""

from benchcalc.panel.screens import editing, findings, quick, shape_row
from benchcalc.panel.screens.plan_answer import answer, in_short, pictures
from benchcalc.panel.state.action import press
from benchcalc.panel.state.acts import to_screen
from benchcalc.panel.state.draft import DraftSheet, row_field
from benchcalc.panel.state.fields import has_unit
from benchcalc.panel.state.in_hand import corrected_in_hand, shown_in_hand
from benchcalc.panel.state.model import Cursor, Model, Row, RowField
from benchcalc.panel.state.run_edits import row_in_hand, text_of
from benchcalc.panel.widgets.form_page import Key, face_key, line_above, put_key
from benchcalc.panel.widgets.grid import (
    LETTER_PART,
    Canvas,
    Zones,
    canvas,
    key_rows,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.keypad import undo as undo_key
from benchcalc.panel.widgets.status_line import (
    help_width,
    missing_width,
    narrow,
    near_share,
    status_line,
)
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
BY_KEYBOARD = {
    "shift tab": press(editing.step, -1), "tab": press(editing.step, 1),
    "escape": press(to_screen, "bench"), "insert": editing.INSERT, "delete": editing.REMOVE,
    "undo": editing.UNDO,
}  # fmt: skip
"""What a keyboard does on each face, wherever the key for it is."""


def view(model: Model) -> Scene:
    """The face in hand; a small screen shows a refusal where the whole answer is."""
    c = canvas(model)
    for key, does in BY_KEYBOARD.items():
        c.by_keyboard(key, does)
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
        following = _following(cursor)
        does = press(editing.go, cursor.row, following)
        c.key(f"field {following}", left, "", does=does)
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
    typed = text_of(row, field)
    name = say(row_field(field, row.unit, model.draft.extras.angles == "included").phrase)
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
        edge: Role = "focus" if active else "rule"
        does = press(editing.go, cursor.row, field)
        c.key(f"field {field}", part, "", "sheet", edge=edge, does=does)
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


def _arrows(model: Model, read: DraftSheet) -> list[Key | None]:
    """From bend to bend, where there is one."""
    cursor = model.work.cursor
    at = cursor.bend if read.bends_in(cursor.row) else 0
    before = cursor.row > 0 or at > 0
    behind = cursor.row < len(model.draft.rows) - 1 or at + 1 < read.bends_in(cursor.row)
    return [
        Key("earlier", "", does=press(editing.step, -1)) if before else None,
        Key("later", "", does=press(editing.step, 1), right=True) if behind else None,
    ]


def _findings(read: DraftSheet) -> Key | None:
    """The key to what is to be minded, with how much that is."""
    if read.sheet is None or not read.sheet.findings:
        return None
    says = say("plan.notes", count=len(read.sheet.findings))
    return Key("findings", says, does=press(findings.opened))


def _make_key(model: Model, read: DraftSheet) -> Key:
    role: Role = "key_go" if complete(model, read) else "key_act"
    return Key("make", say("plan.make"), role, press(editing.make))


def _acts(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """The few keys beside the keypad; those that need room stand where there is some."""
    room, _ = key_rows(c, 6, box.w)
    undo, look, more = _undo(), face_key("answer", say("plan.look")), face_key("more", say("more"))
    make = _make_key(model, read)
    if room >= 6:
        _key_row(c, box, [*_arrows(model, read), undo, look, more, make])
    else:
        _key_row(c, box, [undo, look, make])


def _undo() -> Key:
    return undo_key(editing.UNDO)


def _key_row(c: Canvas, box: Box, keys: list[Key | None]) -> None:
    """Keys, each in its place; one that cannot be used now is not there."""
    across, down = key_rows(c, len(keys), box.w)
    for key, part in zip(keys, cells(box, across, down), strict=False):
        if key is not None:
            put_key(c, part, key)


def complete(model: Model, read: DraftSheet) -> bool:
    """Whether making it is what comes next: a last leg that is being typed may get a bend."""
    typing = model.face == "keys" and model.work.cursor.field == "leg"
    at_end = model.work.cursor.row == len(model.draft.rows) - 1
    stopped = read.sheet is not None and read.sheet.stopped
    return read.whole and not stopped and not (typing and at_end)


def _answer_face(c: Canvas, model: Model, read: DraftSheet) -> None:
    """The whole answer with its pictures; the ways on below."""
    noted = [] if c.small else [_findings(read)]
    type_, more = face_key("keys", say("plan.type")), face_key("more", say("more"))
    keys = [type_, *_arrows(model, read), *noted, more, _make_key(model, read)]
    _, down = key_rows(c, len(keys), c.below.w)
    body, low = foot(c.below, c.key_h * down)
    _key_row(c, low, keys)
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
    row = row_in_hand(model)
    blank = not (row.leg or row.bend or row.turn or row.shape) and row is model.draft.rows[-1]
    does = {"shape": editing.SHAPES, "insert": editing.INSERT}
    if not blank:
        does["remove"] = editing.REMOVE
    does |= {"undo": editing.UNDO, "bench": press(to_screen, "bench")}
    body, low = foot(c.below, c.key_h)
    left, right = columns(low, 0.5, 0.5)
    put_key(c, left, face_key("keys", say("plan.type")), c.unit * 1.2, 1)
    if c.small and (noted := _findings(read)):
        put_key(c, right, noted, c.unit * 1.2, 1)
    across = 1 if c.size[0] < 20 * c.unit and not c.small else 2
    for (name, act), box in zip(does.items(), cells(body, across, -(-5 // across)), strict=False):
        key = Key(name, say(f"plan.{name}.long"), does=act, decides=act is editing.REMOVE)
        put_key(c, box, key, c.unit * 1.2)


def _pad(c: Canvas, model: Model, read: DraftSheet, z: Zones) -> None:
    cursor, row = model.work.cursor, row_in_hand(model)
    own = (face_key("answer", say("plan.look")), _undo())
    if row.shape is not None:
        shape_row.pad(c, model, row.shape, z.pad, own)
        return
    instead: dict[str, Key | None] = dict.fromkeys(quick.offered(model))
    if cursor.field == "bend" and "unit" not in instead:
        caption = say("key.to-corner" if row.to == "crown" else "key.to-crown")
        instead["unit"] = Key("unit", caption, does=editing.CORNER_OR_CROWN)
    on: Role = "key_act" if not c.small and complete(model, read) else "key_go"
    go_on = Key("next", say("key.next"), on)
    keypad(c, z.pad, editing.FORM, editing.entry_of(model), own, go_on, instead)
    quick.draw(c, model, z.pad)
