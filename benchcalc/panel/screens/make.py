"""Make it: one step at a time, each with one number, one act and one picture."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from benchcalc.core.sheet import Sheet
from benchcalc.panel.drawings.mark_drawing import moved_mark_picture
from benchcalc.panel.screens import correct, port, scrap
from benchcalc.panel.screens.calipers import measurable, roundness
from benchcalc.panel.screens.calipers import view as calipers_view
from benchcalc.panel.screens.make_words import clamp_name, live_deg, moved_by_mm, released, words
from benchcalc.panel.state.in_hand import piece_in_hand, work_in_hand
from benchcalc.panel.state.making import bend_in_hand, made, off_target, reading_to_pull_to
from benchcalc.panel.state.model import Face, Making, Model
from benchcalc.panel.state.sensing import sensor_says
from benchcalc.panel.widgets.flowing import text_width
from benchcalc.panel.widgets.form_page import Key, key_row, line_above
from benchcalc.panel.widgets.grid import (
    GAP,
    LETTER_PART,
    Canvas,
    canvas,
    key_rows,
    lines_of,
    measures,
    notice,
    notice_lines,
    status_line,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.stacking import Line, kept_in, sentence, sentences, stack
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import (
    cells,
    columns,
    foot,
    rows,
)
from benchcalc.report.drawings import dial, run_picture, seat_picture, strip, turn_ring
from benchcalc.report.figures import angle_text
from benchcalc.report.scene import Box, Fill, Role, Scene, Target
from benchcalc.report.told import in_words
from benchcalc.words.language import number_shown, say

ASKING = ("asking", "touching")
"""States of the sensor in which the operator is asked whether the tube is free."""

GAUGED = ("pull", "check", "over")
"""Steps in which the bend can be held against the screen."""

SHOWN_SMALL = ("re-mark", "turn", "seat", "pull", "over")
"""Steps whose picture a small screen has room for, beside the number."""

PICTURED = ("re-mark", "turn", "pull", "over")
"""Steps whose picture says as much as the words, which give way to it on every screen."""

WIDER = 1.5
"""How much wider than another a key that goes on is at least."""

SCRAP_FACES: tuple[Face, ...] = ("more", "keys", "answer")


def view(model: Model) -> Scene:
    """The step in hand. Without a run to make there is only the way back."""
    c = canvas(model)
    making, drawn, sheet = model.work.making, work_in_hand(model).sheet, piece_in_hand(model)
    if making is None or drawn is None or sheet is None:
        status_line(c, c.status, say("make.nothing"), "", model.trouble)
        body, low = foot(c.below, c.key_h)
        wrong = work_in_hand(model).wrong
        if wrong:
            c.text(
                body.inset(2 * GAP), in_words(wrong[0].says), c.unit, lines=int(body.h / c.unit) - 1
            )
        c.key("plan", cells(low, 2, 1)[0], say("back"), "key_act")
        return c.scene()
    if making.step in ("largest", "smallest"):
        _status(c, model, making, sheet)
        return calipers_view(model, making, sheet)
    more = model.face == "more"
    if making.step == "check" and not more:
        _check(c, model, making, sheet)
        return c.scene()
    _status(c, model, making, sheet)
    if making.step in ("port", "aim"):
        port.draw(c, model, making, drawn)
    elif making.step == "correct":
        correct.draw(c, making, drawn, model.face)
    elif making.step == "scrap":
        scrap.draw(c, _scrap_key(model, making))
    elif c.small and _out_of_round(making, sheet) and not model.refusal:
        _seen(c, making.says)
    elif more:
        _more(c, model, making)
    else:
        _step(c, model, making, sheet)
    return c.scene()


def _status(c: Canvas, model: Model, making: Making, sheet: Sheet) -> None:
    if making.step == "scrap":
        asks = say("make.scrap.why", piece=making.piece)
        status_line(c, c.status, asks, "", model.trouble)
        return
    where = say("make.piece-of", piece=making.piece, pieces=model.draft.pieces)
    if making.step in ("slide", "cut", "store", "port", "aim"):
        where += "   " + say("make.bends", count=len(sheet.layout.bends))
    else:
        number, count = bend_in_hand(making, sheet).number, len(sheet.layout.bends)
        where += "   " + say("make.bend-of", number=number, count=count)
    if c.small and making.step == "cut" and making.says:
        where = _stored_says(making)
    box = c.zones(strip=False).status if making.step == "check" else c.status
    status_line(c, box, where, sensor_says(model.sensor), model.trouble)


def _stored_says(making: Making) -> str:
    """What became of the piece before, with its number in the log as soon as that is known."""
    number = say("make.cut.number", number=making.stored) if making.stored else ""
    return f"{making.says} {number}".strip()


def _step(c: Canvas, model: Model, making: Making, sheet: Sheet) -> None:
    """Words and picture side by side, the keys below them; the key that goes on is the widest."""
    body = _key_rows(c, _others(model, making), _on(c, model, making))
    pictured = None  # the narrowest picture beside which what matters most has room
    for share in _shares(c, model, making):
        if share == 1.0 and pictured is not None:
            says, shows, lines = pictured
            break
        says, shows = _shared(c, body, share)
        lines = list(_lines(c, model, making, sheet, says.w))
        kept = kept_in(c, says, lines)
        if len(kept) == len(lines):
            break
        if all(at in kept for at, line in enumerate(lines) if line.rank < 2):
            pictured = (says, shows, lines)
    stack(c, says, lines)
    if shows.w > 1.0 and shows.h > 1.0:
        _shown(c, model, making, sheet, shows)


def _shared(c: Canvas, body: Box, share: float) -> tuple[Box, Box]:
    """The places of the words and of the picture."""
    if c.tall:
        says, shows = rows(body, share, 1.0 - share)
    elif c.hand == "left":
        shows, says = columns(body, 1.0 - share, share)
    else:
        says, shows = columns(body, share, 1.0 - share)
    return says.inset(GAP * 1.5), shows


def _shares(c: Canvas, model: Model, making: Making) -> tuple[float, ...]:
    """How much of the place the words may have, the rest being the picture's; least first."""
    if c.small:
        return (0.6,) if making.step in SHOWN_SMALL and not model.refusal else (1.0,)
    shares = (0.56, 0.7, 1.0) if c.tall else (0.6, 0.72, 1.0)
    return shares[:2] if making.step in PICTURED and not model.refusal else shares


def _key_rows(c: Canvas, others: Sequence[Key], on: Sequence[Key]) -> Box:
    """The keys at the foot, those that go on at the side of the writing hand; what is left."""
    one_row = _in_a_row(c, others, on)
    body, low = foot(c.below, c.key_h * (1 if one_row else 2))
    if one_row:
        widths = [_key_width(c, key) for key in others]
        least = max(sum(widths), len(others) * (5 * LETTER_PART * c.unit + 2 * GAP))
        small_w = min(max(least, 0.5 * low.w * len(others) / 3), low.w - len(on) * WIDER * c.key_w)
        near, far = columns(low, small_w, low.w - small_w)
        if c.hand == "left":
            far, near = columns(low, low.w - small_w, small_w)
    else:
        near, far = rows(low, 1.0, 1.0)
    for keys, box in ((others, near), (on, far)):
        if c.hand == "left" and one_row:  # back stays at the edge, away from the key that goes on
            keys = keys[::-1]
        widths = [_key_width(c, key) if box is near else 1.0 for key in keys]
        for key, cell in zip(keys, columns(box, *widths) if keys else (), strict=True):
            size = c.unit if key.role == "key_act" else c.unit * 1.2
            c.key(key.target, cell, key.caption, key.role, size, lines=2)
    return body


def _in_a_row(c: Canvas, others: Sequence[Key], on: Sequence[Key]) -> bool:
    widths = sum(_key_width(c, key) for key in others)
    return widths + WIDER * len(on) * c.key_w <= c.below.w


def _key_width(c: Canvas, key: Key) -> float:
    """The least width of a key, its words on two lines."""
    wide = max(text_width(word, c.unit) for word in key.caption.split(" "))
    while lines_of(c, key.caption, wide) > 2:
        wide += GAP
    return max(c.key_w, wide + 2 * GAP)


def _others(model: Model, making: Making) -> list[Key]:
    """The keys that do not go on: back, the gauge where there is a bend to hold to it, the rest."""
    keys = [] if making.step == "cut" else [Key("step back", say("back"))]
    if making.step in GAUGED and measures(model).source == "ruler":
        keys.append(Key("gauge", say("gauge.key")))
    return [*keys, Key("more", say("more"))]


def _on(c: Canvas, model: Model, making: Making) -> list[Key]:
    """The key that goes on; where a bend went wrong, the ways to decide.

    Where the last key lay that was pressed, scrap asks once more and keep would not.
    """
    if making.step == "over":
        keys = [Key("keep", say("make.keep")), Key("scrap", say("make.scrap"))]
        return keys if _in_a_row(c, _others(model, making), keys) else keys[:1]
    if making.step == "pull" and model.sensor and model.sensor.state in ASKING:
        return [Key("free", say("sensor.free"), "key_go")]
    on = Key("next", say(f"make.{making.step}.done"), "key_go")
    keep = making.step == "pull" and making.says
    return [Key("keep", say("make.keep-under")), on] if keep else [on]


def _lines(c: Canvas, model: Model, making: Making, sheet: Sheet, width: float) -> Iterator[Line]:
    """What the last act came to, what to do now, the number, and how to know it is right."""
    does, figure, why = words(model, making, sheet)
    over_by = off_target(making, sheet) or 0.0 if making.step == "over" else 0.0
    if c.small and over_by > 0:
        does = say("make.over.by", by=angle_text(over_by))
    elif making.says and making.step == "cut":
        if not c.small:  # there it stands in the line on top
            yield sentence(c, _stored_says(making), 1, width)
    elif making.says:
        word, role = _outcome(making, sheet)
        high = notice_lines(c, making.says, width) * c.unit * 1.15
        yield Line(high, 1, lambda b: notice(c, b, say(word), making.says, role))
    rank = 1 if c.small and model.refusal else 0
    yield sentence(c, does, rank, width, part=1.0 if c.small else 1.15)
    if figure:
        pen: Role = "pen" if making.step in ("mark", "re-mark") else "ink"
        size = c.figure
        rank = 1 if model.refusal else 0
        yield Line(size * 1.05, rank, lambda b: c.text(b, figure, size, pen))
    if model.refusal:
        says = in_words(model.refusal)
        high = notice_lines(c, says, width) * c.unit * 1.15
        yield Line(high, 0, lambda b: notice(c, b, say("word.check"), says, "alarm"))
    elif why:
        first = 0 if making.step in ("re-mark", "turn") else 1  # which way is never left out
        yield from sentences(c, why, first, width)


def _outcome(making: Making, sheet: Sheet) -> tuple[str, Role]:
    """The word before what the last act came to, and its colour."""
    if making.step == "over":
        return ("word.over" if (off_target(making, sheet) or 0.0) > 0 else "word.under"), "alarm"
    if making.step == "pull":
        return "word.under", "sheet"
    if _out_of_round(making, sheet):
        return "word.check", "alarm"
    last = made(making, sheet.layout.in_order[making.place - 1].number)
    good = last.verdict == "good"
    return ("word.good", "good") if good else ("word.kept", "sheet")


def _out_of_round(making: Making, sheet: Sheet) -> bool:
    """Whether the calipers have just told that the last bend is not for pressure."""
    if not making.says or not measurable(making):
        return False
    last = made(making, sheet.layout.in_order[making.place - 1].number)
    return last.calipers is not None and not roundness(last.calipers, sheet).holds_pressure


def _seen(c: Canvas, says: str) -> None:
    """On a small screen: what must not be missed has the whole of it, until it was seen."""
    body, low = foot(c.below, c.key_h)
    notice(c, body.inset(GAP), say("word.check"), says, "alarm")
    key_row(c, low, (Key("seen", say("make.seen"), "key_go"),))


def _shown(c: Canvas, model: Model, making: Making, sheet: Sheet, box: Box) -> None:
    """The step's own picture; the straight tube to scale above it where there is room."""
    strip_h = 0.0 if c.small or making.step == "re-mark" else min(0.3 * box.h, 3.2 * c.unit)
    top, low = rows(box, strip_h, box.h - strip_h)
    bend = bend_in_hand(making, sheet)
    if strip_h:
        current = None if making.step in ("slide", "cut", "store") else bend.number
        c.add(strip(top.inset(GAP), sheet, current))
    c.add(Fill(low.inset(3.0), "sheet", 6.0))
    inner = low.inset(8.0)
    if making.step == "turn":
        c.add(turn_ring(inner, sheet.turns[making.place]))
    elif making.step == "re-mark":
        c.add(moved_mark_picture(inner, moved_by_mm(model, making), sheet.job.units))
    elif making.step == "seat":
        c.add(seat_picture(inner, bend, clamp_name(sheet)))
    elif making.step in ("pull", "over"):
        to = reading_to_pull_to(making, sheet)
        reading = released(making, sheet) if making.step == "over" else to
        needle = live_deg(model.sensor) if making.step == "pull" else None
        c.add(dial(inner, bend.angle_deg, reading, sheet.job.tolerance_deg, needle))
    else:
        current = bend.number if making.step == "mark" else None
        c.add(run_picture(inner, sheet, current, "sheet"))


def _more(c: Canvas, model: Model, making: Making) -> None:
    """What else can be done at this step, a key for each."""
    on_the_face = making.step == "over" and len(_on(c, model, making)) > 1
    keys = [Key("plan", say("make.plan"))]
    if measurable(making):
        keys.append(Key("calipers", say("calipers.key")))
    if port.asks(making):
        keys.append(Key("port", say("port.key")))
    if making.step not in ("slide", "cut") and not on_the_face:
        keys.append(Key("scrap", say("make.scrap.long")))
    places = cells(c.below, scrap.ACROSS, scrap.DOWN)
    for key, cell in zip(keys, places, strict=False):
        c.key(key.target, cell, key.caption, "key_act", c.unit, lines=2)
    c.key("step", places[-1], say("back"), "key_act")


def _check(c: Canvas, model: Model, making: Making, sheet: Sheet) -> None:
    """The measured angle, typed. A small screen asks back on the whole of it."""
    target = angle_text(bend_in_hand(making, sheet).angle_deg)
    tolerance = angle_text(sheet.job.tolerance_deg)
    if c.small and (making.says or model.refusal):
        _status(c, model, making, sheet)
        _asked_back(c, model, making)
        return
    z = c.zones(strip=False)
    shown = number_shown(making.typed or " ") + "°"
    if c.small:
        status_line(c, z.status, "", "", model.trouble)
        wanted, typed = columns(line_above(c), 0.55, 0.45)
        if not model.trouble:
            ask = say("make.check.short", target=target, tolerance=tolerance)
            c.text(wanted.inset(2.0), ask, c.unit, lines=2)
            typed_field(c, typed, "", shown)
    else:
        _status(c, model, making, sheet)
        field, rest = rows(z.answer, c.key_h, z.answer.h - c.key_h)
        says, low = foot(rest, c.key_h)
        typed_field(c, field, say("make.check.field"), shown)
        _check_says(c, model, making, says.inset(2.0), (target, tolerance))
        across, _ = key_rows(c, 3, low.w)
        keys = _others(model, making)
        if making.says:
            keys = [keys[0], Key("take anyway", say("make.take-anyway")), keys[-1]]
        for key, cell in zip(keys, cells(low, across, 1), strict=False):
            c.key(key.target, cell, key.caption, "key_act", c.unit, lines=2)
    captions = {"back": say("key.back"), "next": say("key.check")}
    hidden = {"-", "/", "unit"} | (set() if making.typed else {"back"})
    own = (("step back", say("back")), ("more", say("more")))
    keypad(c, z.pad, captions, frozenset(hidden), own)


def _check_says(c: Canvas, model: Model, making: Making, box: Box, wanted: tuple[str, str]) -> None:
    target, tolerance = wanted
    if making.says or model.refusal:
        notice(c, box, say("word.check"), in_words(making.says or model.refusal), "alarm")
        return
    ask = say("make.check.wanted", target=target, tolerance=tolerance)
    lines = (sentence(c, ask, 0, box.w), sentence(c, say("make.check.how"), 1, box.w))
    stack(c, box, lines)


def _asked_back(c: Canvas, model: Model, making: Making) -> None:
    """On a small screen: what is wrong with the angle, and the two ways on."""
    body, low = foot(c.below, c.key_h)
    notice(c, body.inset(GAP), say("word.check"), in_words(making.says or model.refusal), "alarm")
    left, right = columns(low, 0.5, 0.5)
    c.key("back" if making.says else "type", left, say("make.type-again"), "key_act", lines=2)
    if making.says:
        c.key("take anyway", right, say("make.take-anyway"), "key_act", lines=2)


def _scrap_key(model: Model, making: Making) -> Target | None:
    """Where the key lay that led here, on whatever face of its step."""
    before = model.with_work(making=replace(making, step=making.back_to))
    faces = (view(replace(before, face=face)).target("scrap") for face in SCRAP_FACES)
    return next((target for target in faces if target is not None), None)


def kept_view(model: Model) -> Scene:
    """All pieces are stored: what was made, and what next."""
    c = canvas(model)
    making = model.work.making
    status_line(c, c.status, say("kept.title"), "", model.trouble)
    keys = ("new", "bench", "one more", "piece")  # the last lies where the piece was stored
    body, low = foot(c.below, 2 * c.key_h)
    others, last = rows(low, 1.0, 1.0)
    number = making.stored if making else 0
    name = model.draft.name or say("bench.unnamed")
    lines = [sentence(c, say("kept.says", count=model.draft.pieces, name=name), 0, body.w, 1.3)]
    if number:
        lines.append(sentence(c, say("kept.number", number=number), 1, body.w))
    stack(c, body.inset(GAP * 2), lines)
    for key, box in zip(keys, (*cells(others, 3, 1), last), strict=True):
        role: Role = "key_go" if key == "new" else "key_act"
        c.key(key, box, say(f"kept.{key.replace(' ', '-')}"), role, c.unit, lines=2)
    return c.scene()
