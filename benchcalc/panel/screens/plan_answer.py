"""What comes of the segment in hand: the mark, large; line, held end, pull; what is against it."""

from collections.abc import Iterator

from benchcalc.core.checks.findings import Finding
from benchcalc.core.layout.hand_turns import HandTurn, Rotation
from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.panel.screens.findings import LEVEL_ROLE
from benchcalc.panel.state.draft import DraftSheet, row_field
from benchcalc.panel.state.fields import Refused, read_number
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.flowing import text_width
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    lines_of,
    notice,
    notice_lines,
)
from benchcalc.panel.widgets.stacking import Line, sentence, stack
from benchcalc.report.boxes import (
    columns,
    foot,
    rows,
)
from benchcalc.report.drawings import run_picture, strip, turn_ring
from benchcalc.report.figures import angle_figure, angle_text, length_text, tape_for, tape_text
from benchcalc.report.finding_text import headline, held_says, level_word, turn_text
from benchcalc.report.scene import Box, Fill
from benchcalc.report.told import in_words
from benchcalc.words.language import say


def answer(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """As much of the answer as there is room for, or the sentence that stands in its way."""
    cursor = model.work.cursor
    says = in_words(model.refusal or read.why(cursor.row, cursor.field))
    if says:
        lines = notice_lines(c, says, box.w)
        high = min((lines + 1.8) * c.unit * 1.12, box.h)  # its word above it
        top, box = rows(box, high, box.h - high)
        notice(c, top, say("word.check"), says, "alarm", lines)
    if cursor.field == "turn" and model.face == "keys" and not says:
        _turn_typed(c, model, read, box)
        return
    number = read.bend_at(cursor)
    if read.sheet is None or number is None:
        if not says:
            _waiting(c, model, read, box)
        return
    if says and box.h < c.figure:  # the sentence has all the room
        return
    bend = read.sheet.layout.bends[number - 1]
    stack(c, box, _lines(c, model, read.sheet, bend, box.w))


def _turn_typed(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    """Which way round the typed turn goes, as the drawing has it."""
    way, *seen = turn_says_typed(model, read)
    beside = lines_of(c, way, 0.7 * box.w) == 1
    high = 0.0 if beside else lines_of(c, way, box.w) * 1.15 * c.unit
    top, rest = rows(box, high, max(box.h - high, 1.0))
    words, ring = columns(rest, 0.65, 0.35)
    if high:
        c.text(top, way, c.unit, lines=int(high / c.unit))
    says = seen if high else [way, *seen]
    stack(
        c,
        words,
        (sentence(c, text, rank, words.w) for rank, text in enumerate(says, int(high > 0))),
    )
    c.add(Fill(ring.inset(2.0), "sheet", 6.0))
    turn_drawn(c, model, ring.inset(6.0))


def turn_drawn(c: Canvas, model: Model, box: Box) -> None:
    """The tube's end seen from the flag: the bend before at the foot, and where this one goes."""
    deg = turn_in_hand(model)
    way: Rotation | None = None
    if deg and abs(deg) != 180.0:
        way = "clockwise" if deg > 0 else "counter-clockwise"
    c.add(turn_ring(box, HandTurn(0, abs(deg), way, False)))


def turn_in_hand(model: Model) -> float:
    """The turn as far as it is typed; 0 for what is no number yet."""
    text = model.draft.rows[model.work.cursor.row].turn
    try:
        return read_number(row_field("turn", "mm"), text) if text else 0.0
    except Refused:
        return 0.0


def turn_says_typed(model: Model, read: DraftSheet) -> list[str]:
    """The turn in words, the most needed first, and which bend it is counted from.

    After a shape that is the bend before the shape; what the tube then gets from its last bend is
    said beside it.
    """
    deg, row = turn_in_hand(model), model.work.cursor.row
    before = next((r for r in reversed(range(row)) if model.draft.rows[r].shape is None), None)
    known = before is not None and len(read.firsts) > before
    counted = read.firsts[before] + 1 if before is not None and known else 0
    way = turn_text(deg) if deg else say("plan.turn.none")
    seen = say("plan.turn.from", bend=counted) if counted else say("plan.turn.seen")
    number = read.bend_at(model.work.cursor)
    if read.sheet is None or number is None or counted in (0, number - 1):
        return [way, seen, say("plan.turn.signs")]
    tube = turn_text(read.sheet.layout.bends[number - 1].turn_deg)
    on_tube = say("plan.turn.tube", turn=tube, bend=number - 1)
    return [way, seen, on_tube] if deg else [say("plan.turn.as", bend=counted), on_tube]


def _waiting(c: Canvas, model: Model, read: DraftSheet, box: Box) -> None:
    if read.whole and model.work.cursor.field == "leg":  # its bend may still come
        first, then = say("plan.leg-typed", number=model.work.cursor.row + 1), [say("plan.if-last")]
    elif read.whole:
        first, then = say("plan.whole", count=read.bends), [say("plan.whole.next")]
    else:
        first = say("plan.ask", number=model.work.cursor.row + 1)
        then = [say("plan.ask.now", missing=in_words(read.missing)), say("plan.ask.more")]
    says = [first, *then]
    stack(
        c,
        box,
        (
            sentence(c, text, rank, box.w, role="quiet" if rank else "ink")
            for rank, text in enumerate(says)
        ),
    )


def _lines(c: Canvas, model: Model, sheet: Sheet, bend: BendLayout, width: float) -> Iterator[Line]:
    """From the mark down; what is of high rank is left out first."""
    line, units, pull = c.unit * 1.12, sheet.job.units, sheet.pull(bend.number)
    angle = angle_text(bend.angle_deg)
    grave = finding_for(sheet, bend.number)
    if grave is not None and grave.level != "note":
        level, says = level_word(grave.level), headline(grave)
        role = LEVEL_ROLE[grave.level]
        lines = notice_lines(c, says, width)
        yield Line(line * lines, 1, lambda b: notice(c, b, level, says, role, lines))

    if model.face == "answer" and model.draft.rows[model.work.cursor.row].shape is not None:
        segment = sheet.job.run.segments[bend.number - 1]
        leg, turn = length_text(segment.leg_mm, units), angle_text(segment.turn_deg)
        about = say("shape.bend", number=bend.number, leg=leg, angle=angle, turn=turn)
        yield sentence(c, about, 2, width)

    def write(height: float, rank: int, text: str, pen: bool = False) -> Line:
        if pen:
            return Line(height, rank, lambda b: _figure(c, b, text))
        return Line(height, rank, lambda b: c.text(b, text, height / 1.12))

    if bend.mark is None:
        yield write(line, 0, say("plan.no-mark"))
    else:
        at = bend.mark.at_mm
        yield write(c.figure * 1.02, 0, length_text(at, units), pen=True)
        yield write(line, 2, say("plan.from"))
        tape = tape_text(at, tape_for(model.draft.tape, units))
        yield sentence(c, say("plan.tape", tape=tape), 5, width)
        held = held_says(bend.held)
        says = say("plan.line", line=bend.mark.line.name, held=held)
        yield sentence(c, says, 4, width)
    yield write(line * 1.4, 3, say("plan.pull", to=angle_text(round(pull.bend_to_deg, 1))))
    over, spread = angle_figure(pull.overbend_deg), angle_figure(pull.spread_deg)
    source = say("plan.estimate" if sheet.live.source == "estimate" else "plan.measured")
    told = say("plan.over", angle=angle, over=over, spread=spread, source=source)
    yield sentence(c, told, 6, width)
    low = angle_text(round(pull.first_pull_to_deg, 1))
    yield write(line, 7, say("plan.first", to=low))


def _figure(c: Canvas, box: Box, text: str) -> None:
    """A length as large as its digits must be; where the unit has no room beside them, smaller."""
    size = min(box.h, c.figure)
    number, _, unit = text.rpartition(" ")
    wide = text_width(number, size)
    if text_width(text, size) <= box.w or wide + text_width(unit, c.unit) + 2 * GAP > box.w:
        c.text(box, text, size, "pen")
        return
    digits, rest = columns(box, wide, box.w - wide)
    c.text(digits, number, size, "pen")
    low = foot(rest, rest.h / 2)[1]
    c.text(low._replace(x=low.x + 2 * GAP, w=low.w - 2 * GAP), unit, c.unit, "pen")


def _turn(c: Canvas, sheet: Sheet, bend: BendLayout, box: Box) -> None:
    """The turn as a picture and a number."""
    ring, words = rows(box.inset(3.0), box.h - 6.0 - c.unit * 1.2, c.unit * 1.2)
    side = min(ring.w, ring.h)
    turn = sheet.turn(bend.number)
    c.add(turn_ring(Box(ring.x, ring.bottom - side, ring.w, side), turn))
    c.text(words, angle_text(turn.by_deg), c.unit, "ink", "centre")


def finding_for(sheet: Sheet, number: int) -> Finding | None:
    """The gravest finding about a bend, else about the whole run."""
    mine = [f for f in sheet.findings if f.bend in (number, None)]
    return mine[0] if mine else (sheet.findings[0] if sheet.findings else None)


def pictures(c: Canvas, model: Model, read: DraftSheet, box: Box, ring: bool = False) -> None:
    """The straight tube with its marks to scale, and the run as it will be."""
    if read.sheet is None:
        c.text(box, say("plan.no-strip"), c.unit, "quiet", "centre", 4)
        return
    number = read.bend_at(model.work.cursor)
    wide = box.w > 3 * box.h
    top, low = columns(box, 0.6, 0.4) if wide else rows(box, 0.34, 0.66)
    c.add(strip(top.inset(4.0), read.sheet, number))
    if ring and number is not None and read.sheet.layout.bends[number - 1].order > 1:
        low, turned = columns(low, 0.68, 0.32)
        _turn(c, read.sheet, read.sheet.layout.bends[number - 1], turned)
    c.add(run_picture(low.inset(2.0), read.sheet, number))


def in_short(c: Canvas, model: Model, read: DraftSheet, number: int | None, box: Box) -> None:
    """On a small screen, while typing: the two numbers stay."""
    if model.work.cursor.field == "turn":
        ring, words = columns(box, 0.24, 0.76)
        turn_drawn(c, model, ring)
        c.text(words, say("plan.turn.seen.short"), c.unit, "quiet", lines=2)
        return
    if read.sheet is None or number is None:
        return
    mark = read.sheet.layout.bends[number - 1].mark
    top, low = rows(box, 1.0, 1.0)
    if mark is not None:
        c.text(top, length_text(mark.at_mm, read.sheet.job.units), top.h, "pen")
    to = angle_text(round(read.sheet.pull(number).bend_to_deg, 1))
    c.text(low, say("plan.pull.short", to=to), c.unit)
