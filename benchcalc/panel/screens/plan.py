"""Type the run in, segment by segment: leg, bend, turn; the answer stands beside it at once."""

from dataclasses import replace

from benchcalc.core.findings import Finding
from benchcalc.core.layout import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.panel.draft import DraftSheet, row_field
from benchcalc.panel.drawings import run_picture, strip, turn_ring
from benchcalc.panel.figures import (
    angle_figure,
    angle_text,
    length_text,
    tape_for,
    tape_text,
)
from benchcalc.panel.grid import (
    Canvas,
    Zones,
    canvas,
    cells,
    columns,
    is_small,
    keypad,
    notice,
    rows,
    status_line,
)
from benchcalc.panel.keypad import has_unit, keys_for
from benchcalc.panel.language import number_shown, say
from benchcalc.panel.model import Model, RowField, Writing
from benchcalc.panel.reading import corrected_in_hand, shown_in_hand, work_in_hand
from benchcalc.panel.run_marks import clash_of
from benchcalc.panel.scene import Box, Fill, Polygon, Role, Scene
from benchcalc.panel.screens import quick, shape_row
from benchcalc.panel.wording import finding_says, headline, held_says, level_word

ROW_FIELDS: tuple[RowField, ...] = ("leg", "bend", "turn")
LEVEL_ROLE: dict[str, Role] = {"stop": "alarm", "caution": "sheet", "note": "ground"}


def view(model: Model) -> Scene:
    """Fields and answer on one side, keypad on the other, the straight tube below."""
    c = canvas(model)
    reading = c.small and model.look
    z = c.zones(strip=not reading)
    read = shown_in_hand(model)
    status_line(c, z.status, _status(model), _progress(read), model.trouble)
    if c.small:
        _small(c, model, read, z)
    else:
        shares = (0.19, 0.655, 0.155) if z.strip.h else (0.2, 0.49, 0.31)
        if c.tall:
            shares = (0.24, 0.56, 0.2) if z.strip.h else (0.2, 0.54, 0.26)
        fields, answer, acts = rows(z.answer, *shares)
        _fields(c, model, read, fields)
        _answer(c, model, read, answer)
        _acts(c, model, read, acts, arrows=not z.strip.h)
        _pad(c, model, z.pad)
    if z.strip.h:
        _below(c, model, read, z.strip)
    return c.scene()


def _small(c: Canvas, model: Model, read: DraftSheet, z: Zones) -> None:
    """Keypad and answer take turns; the fields and the number stay."""
    fields, rest = rows(z.answer, *((0.18, 0.82) if model.look else (0.25, 0.75)))
    _fields(c, model, read, fields)
    if model.look:
        answer, acts = rows(rest.inset(4.0), 0.78, 0.22)
        _answer(c, model, read, answer)
        _acts(c, model, read, acts)
    else:
        pad, side = columns(rest, 0.78, 0.22)
        _pad(c, model, pad)
        look, more = rows(side, 0.5, 0.5)
        c.key("look", look, say("plan.look"), "key_act", look.h * 0.3, lines=2)
        c.key("make", more, say("plan.make"), "key_go", look.h * 0.3, lines=2)


def _status(model: Model) -> str:
    draft = model.draft
    name = draft.name or say("bench.unnamed")
    if draft.beside is not None:
        beside = f"{number_shown(draft.beside.texts[0])} {draft.beside.unit}"
        name = say("shape.status", name=name, beside=beside)
    key = "plan.corrected" if corrected_in_hand(model) else "plan.status"
    return say(key, name=name, bender=draft.bender.key if draft.bender else "")


def _progress(read: DraftSheet) -> str:
    if read.whole and read.sheet:
        cut = length_text(read.sheet.layout.cut_length_mm, read.sheet.job.units)
        return say("plan.cut", cut=cut)
    return say("plan.bends", count=read.bends)


def _fields(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """The three fields of the current segment, the active one edged."""
    cursor, draft = model.work.cursor, model.draft
    row = draft.rows[cursor.row]
    if row.shape is not None:
        shape_row.head(c, read, cursor, row.shape, box)
        return
    shown = ROW_FIELDS if cursor.row else ROW_FIELDS[:2]
    for field, part in zip(shown, columns(box, *[1.0] * len(shown)), strict=True):
        active = cursor.field == field
        wrong = bool(read.why(cursor.row, field))
        face = part.inset(3.0)
        c.key(f"field {field}", part, "", "sheet", edge="focus" if active else "rule")
        if active:
            c.add(Fill(Box(face.x, face.bottom - 6.0, face.w, 6.0), "focus", 3.0))
        head, value = rows(face.inset(6.0), 0.38, 0.62)
        name = row_field(field, row.unit, draft.extras.angles == "included").name
        number = cursor.row + 1
        c.text(head, say("plan.field", name=name, number=number), head.h * 0.95, "quiet")
        typed = {"leg": row.leg, "bend": row.bend, "turn": row.turn}[field]
        unit = "" if has_unit(typed) else f" {row.unit}" if field == "leg" else "°"
        empty = say(f"plan.{field}.empty") if not typed else ""
        c.text(
            Box(value.x, value.y, value.w - (value.h if wrong else 0), value.h),
            empty or number_shown(typed).replace("-", "−" if field == "turn" else "-") + unit,
            value.h * (0.95 if typed else 0.7),
            "ink" if typed else "quiet",
        )
        if wrong:
            _wrong_sign(c, Box(value.right - value.h, value.y, value.h, value.h))


def _wrong_sign(c: Canvas, box: Box) -> None:
    x, y = box.centre
    half = box.h * 0.42
    points = ((x, y - half), (x + half, y + half), (x - half, y + half))
    c.add(Polygon(points, "alarm"))
    c.text(Box(box.x, y - half * 0.5, box.w, half * 1.5), "!", half * 1.4, "alarm_ink", "centre")


def _answer(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """The mark, large; the line, the held end, the pull; or the sentence that stands in its way."""
    cursor = model.work.cursor
    says = model.refusal or read.why(cursor.row, cursor.field)
    if says:
        top, box = rows(box, 0.34, 0.66)
        notice(c, top, say("word.check"), says, "alarm", 3)
    number = read.bend_at(cursor)
    if read.sheet is None or number is None:
        _waiting(c, model, read, box)
        return
    sheet, bend = read.sheet, read.sheet.layout.bends[number - 1]
    if says:
        mark, pull = rows(box, 0.66, 0.34)
    else:
        mark, pull, minds = rows(box, *((0.5, 0.22, 0.28) if c.tall else (0.57, 0.23, 0.2)))
        _finding(c, sheet, bend.number, minds)
    if bend.order > 1:
        mark, ring = columns(mark, 0.72, 0.28)
        _turn(c, sheet, bend, ring)
    _mark(c, model, sheet, bend, mark)
    _pull(c, sheet, bend, pull)


def _waiting(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    top, under = rows(box.inset(6.0), 0.5, 0.5)
    if read.whole:
        c.text(top, say("plan.whole", count=read.bends), top.h * 0.3, "ink", "left", 2)
        c.text(under, say("plan.whole.next"), c.unit, "quiet", "left", 3)
        return
    number = model.work.cursor.row + 1
    c.text(top, say("plan.ask", number=number), top.h * 0.3, "ink", "left", 2)
    c.text(under, say("plan.ask.more", missing=read.missing), c.unit, "quiet", "left", 3)


def _mark(c: Canvas, model: Model, sheet: Sheet, bend: BendLayout, box: Box) -> None:
    figure, under, tape, line = rows(box, 2.2, 0.9, 0.9, 0.9)
    if bend.mark is None:
        c.text(figure, say("plan.no-mark"), figure.h * 0.5, "ink", "left", 2)
        return
    at, units = bend.mark.at_mm, sheet.job.units
    c.text(figure, length_text(at, units), figure.h, "pen")
    c.text(under, say("plan.from"), under.h)
    c.text(tape, say("plan.tape", tape=tape_text(at, tape_for(model.draft.tape, units))), tape.h)
    held = held_says(bend.held)
    c.text(line, say("plan.line", line=bend.mark.line.name, held=held), line.h)


def _pull(c: Canvas, sheet: Sheet, bend: BendLayout, box: Box) -> None:
    pull = sheet.pull(bend.number)
    left, right = columns(box, 0.54, 0.46)
    c.text(left, say("plan.pull", to=angle_text(round(pull.bend_to_deg, 1))), left.h * 0.82)
    first, second = rows(right, 1.0, 1.0)
    over, spread = angle_figure(pull.overbend_deg), angle_figure(pull.spread_deg)
    angle = angle_text(bend.angle_deg)
    c.text(first, say("plan.over", angle=angle, over=over, spread=spread), first.h * 0.95)
    low = angle_text(round(pull.first_pull_to_deg, 1))
    c.text(second, say("plan.first", to=low), second.h * 0.95)


def _turn(c: Canvas, sheet: Sheet, bend: BendLayout, box: Box) -> None:
    """The turn as a picture and a number."""
    ring, words = rows(box.inset(3.0), 0.72, 0.28)
    turn = sheet.turn(bend.number)
    c.add(turn_ring(ring, turn))
    c.text(words, angle_text(turn.by_deg), words.h, "ink", "centre")


def finding_for(sheet: Sheet, number: int) -> Finding | None:
    """The gravest finding about a bend, else about the whole run."""
    mine = [f for f in sheet.findings if f.bend in (number, None)]
    return mine[0] if mine else (sheet.findings[0] if sheet.findings else None)


def _finding(c: Canvas, sheet: Sheet, number: int, box: Box) -> None:
    """A stop or a caution in a few words; of mere notes only how many; all of them on a tap."""
    finding = finding_for(sheet, number)
    left, right = columns(box, 0.74, 0.26)
    if finding is not None and finding.level != "note":
        notice(c, left, level_word(finding.level), headline(finding), LEVEL_ROLE[finding.level])
        c.key("minds", right, say("plan.all"), "key_act", right.h * 0.5)
        return
    source = sheet.live.source
    c.text(left, say("plan.estimate" if source == "estimate" else "plan.measured"), c.unit * 0.9)
    if sheet.findings:
        count = len(sheet.findings)
        c.key("minds", right, say("plan.notes", count=count), "key_act", right.h * 0.5)


def _acts(c: Canvas, model: Model, read: DraftSheet, box: Box, arrows: bool = False) -> None:
    """What can be done to the run; with ``arrows`` in two rows, the way from bend to bend below."""
    if arrows:
        box, low = rows(box, 1.0, 1.0)
        left, right, make = columns(low, 1.0, 1.0, 1.4)
        _arrows(c, model, read, left, right)
        c.key("make", make, say("plan.make"), "key_go", min(make.h * 0.42, c.unit * 1.2))
    row = model.draft.rows[model.work.cursor.row]
    blank = not (row.leg or row.bend or row.turn or row.shape) and row is model.draft.rows[-1]
    names = ["bench", "insert", "shape", *([] if blank else ["remove"]), "undo"]
    if c.small:
        names.append("look")
    *boxes, last = columns(box, *[1.0] * len(names), 0.0 if arrows else 1.25)
    for name, part in zip(names, boxes, strict=True):
        caption = "plan.type" if name == "look" else f"plan.{name}"
        c.key(name, part, say(caption), "key_act", min(part.h * 0.38, c.unit))
    if not arrows:
        c.key("make", last, say("plan.make"), "key_go", min(last.h * 0.42, c.unit * 1.2))


def _arrows(c: Canvas, model: Model, read: DraftSheet, left: Box, right: Box) -> None:
    """From bend to bend."""
    cursor = model.work.cursor
    at = cursor.bend if read.bends_in(cursor.row) else 0
    if cursor.row > 0 or at:
        c.arrow_key("earlier", left, left=True)
    if cursor.row < len(model.draft.rows) - 1 or at + 1 < read.bends_in(cursor.row):
        c.arrow_key("later", right, left=False)


def _pad(c: Canvas, model: Model, box: Box) -> None:
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    if row.shape is not None:
        shape_row.pad(c, model, row.shape, box)
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
    keypad(c, box, captions, frozenset(hidden | quick.offered(model).keys()))
    quick.draw(c, model, box)


def _below(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """The strip with arrows to go from bend to bend, and the run as it will be."""
    cursor = model.work.cursor
    says = model.refusal or read.why(cursor.row, cursor.field)
    if c.small and says:
        notice(c, box, say("word.check"), says, "alarm", 3)
        return
    left, middle, right, picture = columns(box, 0.09, 0.51, 0.09, 0.31)
    _arrows(c, model, read, left, right)
    sheet = read.sheet
    if sheet is None:
        c.text(middle, say("plan.no-strip"), c.unit, "quiet", "centre", 2)
        return
    number = read.bend_at(cursor)
    c.add(strip(middle.inset(4.0), sheet, number))
    if c.small and number is not None:
        _in_short(c, sheet, number, picture.inset(2.0))
    else:
        c.add(run_picture(picture.inset(2.0), sheet, number))


def _in_short(c: Canvas, sheet: Sheet, number: int, box: Box) -> None:
    """On a small screen, while typing: the two numbers stay."""
    mark = sheet.layout.bends[number - 1].mark
    top, low = rows(box, 1.0, 1.0)
    if mark is not None:
        c.text(top, length_text(mark.at_mm, sheet.job.units), top.h * 0.8, "pen")
    to = angle_text(round(sheet.pull(number).bend_to_deg, 1))
    c.text(low, say("plan.pull", to=to), low.h * 0.8)


def minds_view(model: Model) -> Scene:
    """Every finding of the run, in words."""
    c = canvas(model)
    z = c.zones(strip=False)
    status_line(c, z.status, say("minds.title"), "benchcalc", model.trouble)
    body, low = rows(c.below.inset(6.0), 4.6, 0.8)
    sheet = work_in_hand(model).sheet
    findings = sheet.findings if sheet else ()
    page = model.work.writing.page
    each = _minds_per_page(model)
    shown = findings[page * each : (page + 1) * each]
    for finding, box in zip(shown, cells(body, 1, each), strict=False):
        where = "" if finding.bend is None else say("minds.bend", number=finding.bend)
        says = where + finding_says(finding, model.draft.units)
        level = finding.level
        notice(c, box.inset(2.0), level_word(level), says, LEVEL_ROLE[level], 6 if c.tall else 3)
    back, more, right = columns(low, 0.25, 0.25, 0.5)
    c.key("plan", back, say("back"), "key_act", low.h * 0.45)
    pages = -(-len(findings) // each)
    if pages > 1:
        text = say("pick.more", page=page + 1, pages=pages)
        c.key("more", more, text, "key_act", min(low.h * 0.4, c.unit), lines=2)
    if sheet is not None and clash_of(sheet) is not None:
        right, see = columns(right, 0.5, 0.5)
        c.key("clash", see, say("minds.clash"), "key_act", min(low.h * 0.4, c.unit), lines=2)
    c.text(right.inset(6.0), model.refusal, c.unit, lines=2)
    return c.scene()


def _minds_per_page(model: Model) -> int:
    return 4 if is_small(model.size) or model.size[0] < model.size[1] else 6


def open_minds(model: Model) -> Model:
    """Every finding, from the gravest on."""
    return model.with_work(screen="minds", writing=Writing())


def minds_act(model: Model, target: str) -> Model:
    """Back to the run, or the next page."""
    if target == "more":
        sheet = work_in_hand(model).sheet
        pages = -(-len(sheet.findings if sheet else ()) // _minds_per_page(model))
        page = (model.work.writing.page + 1) % max(pages, 1)
        return model.with_work(writing=replace(model.work.writing, page=page))
    if target == "clash":
        return model.with_work(screen="clash")
    return model.with_work(screen="plan") if target == "plan" else model


def toggle_look(model: Model) -> Model:
    """Small screens: from the keypad to the answer and back."""
    return replace(model, look=not model.look)
