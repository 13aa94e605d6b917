"""Make it: one step at a time, each with one number, one act and one picture."""

from dataclasses import replace

from benchcalc.core.layout import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.panel.correcting import new_mark
from benchcalc.panel.correction_text import mark_says
from benchcalc.panel.drawings import dial, run_picture, seat_picture, strip, turn_ring
from benchcalc.panel.figures import angle_text, length_text, scale_text, tape_for, tape_text
from benchcalc.panel.grid import (
    Canvas,
    canvas,
    cells,
    columns,
    keypad,
    notice,
    rows,
    status_line,
)
from benchcalc.panel.language import number_shown, say
from benchcalc.panel.model import Making, Model, SensorSeen
from benchcalc.panel.reading import piece_in_hand, work_in_hand
from benchcalc.panel.scene import Box, Fill, Role, Scene
from benchcalc.panel.screens import correct, port, scrap
from benchcalc.panel.screens.calipers import measurable, roundness
from benchcalc.panel.screens.calipers import view as calipers_view
from benchcalc.panel.sensing import prompt, sensor_says
from benchcalc.panel.steps import bend_in_hand, made, off_target, reading_to_pull_to
from benchcalc.panel.wording import held_says, turn_says

ASKING = ("asking", "touching")
"""States of the sensor in which the operator is asked whether the tube is free."""

GAUGED = ("pull", "check", "over")
"""Steps in which the bend can be held against the screen."""


def view(model: Model) -> Scene:
    """The step in hand. Without a run to make there is only the way back."""
    c = canvas(model)
    making, drawn, sheet = model.work.making, work_in_hand(model).sheet, piece_in_hand(model)
    z = c.zones(keys=False)
    if making is None or drawn is None or sheet is None:
        status_line(c, z.status, say("make.nothing"), "benchcalc", model.trouble)
        wrong = work_in_hand(model).wrong
        if wrong:
            c.text(rows(z.answer, 0.3, 0.7)[0], wrong[0].says, lines=3)
        c.key("plan", cells(z.answer, 2, 3)[2], say("back"), "key_act")
        return c.scene()
    status_line(
        c,
        z.status,
        _status(model, making),
        f"{_where(making, sheet)}   {sensor_says(model.sensor)}".strip(),
        model.trouble,
    )
    if making.step in ("largest", "smallest"):
        return calipers_view(model, making, sheet)
    if making.step == "check":
        _check(c, model, making, sheet)
    elif making.step in ("port", "aim"):
        port.draw(c, model, making, drawn)
    elif making.step == "correct":
        correct.draw(c, making, drawn)
    elif making.step == "scrap":
        asked_on = view(model.with_work(making=replace(making, step=making.back_to)))
        scrap.draw(c, making, asked_on.target("scrap"))
    else:
        _step(c, model, making, sheet)
    return c.scene()


def _status(model: Model, making: Making) -> str:
    draft = model.draft
    name = draft.name or say("bench.unnamed")
    return say("make.status", name=name, piece=making.piece, pieces=draft.pieces)


def _where(making: Making, sheet: Sheet) -> str:
    count = len(sheet.layout.bends)
    if making.step in ("slide", "cut", "store", "port", "aim"):
        return say("make.bends", count=count)
    return say("make.bend-of", number=bend_in_hand(making, sheet).number, count=count)


def _step(c: Canvas, model: Model, making: Making, sheet: Sheet) -> None:
    """Number and act on the left, the picture on the right, the way on below it."""
    z = c.zones(keys=False)
    body = Box(0, z.status.h, z.status.w, z.strip.y - z.status.h).inset(4.0)
    if c.tall:
        left, right = rows(body, 0.58, 0.42)
    elif c.hand == "left":
        right, left = columns(body, 0.4, 0.6)
    else:
        left, right = columns(body, 0.6, 0.4)
    told, act, foot = rows(left, 0.2, 0.62, 0.18)
    if making.says:
        word, told_role = _told(making, sheet)
        notice(c, told.inset(2.0), say(word), making.says, told_role)
        _number(c, model, making, sheet, act)
    else:
        _number(c, model, making, sheet, rows(left, 0.82, 0.18)[0])
    _foot(c, model, making, foot)
    picture, on = rows(right, 0.66, 0.34)
    _picture(c, model, making, sheet, picture)
    _on(c, model, making, on)
    _below(c, model, making, sheet, z.strip)


def _told(making: Making, sheet: Sheet) -> tuple[str, Role]:
    """The word before what the last act came to, and its colour."""
    if making.step == "over":
        return ("word.over" if (off_target(making, sheet) or 0.0) > 0 else "word.under"), "alarm"
    if making.step == "pull":
        return "word.under", "sheet"
    last = made(making, sheet.layout.in_order[making.place - 1].number)
    if last.calipers is not None and not roundness(last.calipers, sheet).holds_pressure:
        return "word.check", "alarm"
    good = last.verdict == "good"
    return ("word.good", "good") if good else ("word.kept", "sheet")


def _number(c: Canvas, model: Model, making: Making, sheet: Sheet, box: Box) -> None:
    act, number, more = rows(box.inset(6.0), 0.24, 0.38, 0.38)
    does, figure, why = _words(model, making, sheet)
    role: Role = "pen" if making.step == "mark" else "ink"
    if figure:
        c.text(act, does, min(act.h * 0.62, c.unit * 1.5), "ink", "left", 2)
        c.text(number, figure, min(number.h * 0.98, box.w * 0.19), role)
    else:
        act, more = rows(box.inset(6.0), 0.55, 0.45)
        c.text(act, does, min(act.h * 0.3, c.unit * 1.8), "ink", "left", 3)
    if model.refusal:
        notice(c, more, say("word.check"), model.refusal, "alarm", 3)
    else:
        c.text(more, why, c.unit * 1.05, "ink", "left", 4)


def _words(model: Model, making: Making, sheet: Sheet) -> tuple[str, str, str]:
    """What to do, the number, and what it is measured from or how to know it is right."""
    units, layout = sheet.job.units, sheet.layout
    bend, turn = bend_in_hand(making, sheet), sheet.turns[min(making.place, len(sheet.turns) - 1)]
    tape = tape_for(model.draft.tape, units)
    if making.step == "slide":
        slip = sheet.job.slip_on
        parts = [say("make.slide.start", parts=slip.start)] if slip.start else []
        parts += [say("make.slide.finish", parts=slip.finish)] if slip.finish else []
        return say("make.slide"), "", " ".join(parts)
    if making.step == "cut":
        cut = layout.cut_length_mm
        return (
            say("make.cut"),
            length_text(cut, units),
            _aim_says(making) + say("make.cut.how", tape=tape_text(cut, tape)),
        )
    if making.step == "mark" and bend.mark is not None:
        at = bend.mark.at_mm
        how = "make.mark.heel" if bend.order == 1 else "make.mark.how"
        return say("make.mark"), length_text(at, units), say(how, tape=tape_text(at, tape))
    if making.step == "turn":
        figure = angle_text(turn.by_deg) if turn.by_deg else ""
        does = "make.turn"
        if turn.end_for_end:
            does = "make.flip" if turn.by_deg else "make.flip.only"
        return say(does), figure, say("make.turn.how", turn=turn_says(turn))
    if making.step == "seat" and bend.mark is not None:
        line = say("make.line", line=bend.mark.line.name)
        how = _mark_says(model, making, sheet)
        if model.sensor is not None and model.sensor.gravity:
            how += " " + say("sensor.gravity")
        return say("make.seat"), line, how
    if making.step == "pull":
        return _pull_words(model, making, sheet, bend)
    if making.step == "over":
        return say("make.over"), angle_text(_released(making, sheet)), say("make.over.how")
    return say("make.store"), "", say("make.store.how", pieces=making.piece)


def _aim_says(making: Making) -> str:
    """That this piece is laid out otherwise than drawn."""
    return say("make.cut.aimed", piece=making.aim.piece) + " " if making.aim else ""


def _mark_says(model: Model, making: Making, sheet: Sheet) -> str:
    """Where the mark of the bend in hand is; after a correction, where to draw a new one."""
    bend, units = bend_in_hand(making, sheet), sheet.job.units
    held, drawn = held_says(bend.held), work_in_hand(model).sheet
    shift = new_mark(drawn, making) if drawn else None
    if shift is not None:
        mark = mark_says(shift, units)
        return say("make.seat.corrected", mark=mark, held=held[:1].upper() + held[1:])
    at_text = length_text(bend.mark.at_mm, units) if bend.mark else ""
    return say("make.seat.how", at=at_text, held=held)


def _released(making: Making, sheet: Sheet) -> float:
    return bend_in_hand(making, sheet).angle_deg + (off_target(making, sheet) or 0.0)


def _pull_words(
    model: Model, making: Making, sheet: Sheet, bend: BendLayout
) -> tuple[str, str, str]:
    to = reading_to_pull_to(making, sheet)
    how = told = say("make.pull.how", scale=scale_text(to, sheet.job.bender.scale))
    re_set = sheet.job.bender.re_set_deg
    if re_set is not None and to > re_set:
        how = say("make.pull.re-set", at=angle_text(re_set)) + " " + how
    if model.sensor is not None:
        short = say("make.pull.short", scale=scale_text(to, sheet.job.bender.scale))
        how = _now(model.sensor) + prompt(model.sensor) + " " + how.replace(told, short)
    again = off_target(making, sheet) is not None
    return say("make.pull.again" if again else "make.pull"), angle_text(to), how


def _now(seen: SensorSeen) -> str:
    """The live angle; one that is not live is called the last."""
    if seen.angle_deg is None:
        return ""
    key = "sensor.stale" if seen.stale else "sensor.angle"
    return say(key, angle=angle_text(seen.angle_deg)) + " "


def _live_deg(seen: SensorSeen | None) -> float | None:
    """The angle for the needle; an old one has none, so that it is not taken for the tube's."""
    return None if seen is None or seen.stale else seen.angle_deg


def _picture(c: Canvas, model: Model, making: Making, sheet: Sheet, box: Box) -> None:
    bend = bend_in_hand(making, sheet)
    c.add(Fill(box.inset(3.0), "sheet", 6.0))
    inner = box.inset(10.0)
    if making.step == "turn":
        c.add(turn_ring(inner, sheet.turns[making.place]))
    elif making.step == "seat":
        c.add(seat_picture(inner, bend))
    elif making.step in ("pull", "over"):
        to = reading_to_pull_to(making, sheet)
        reading = _released(making, sheet) if making.step == "over" else to
        needle = _live_deg(model.sensor) if making.step == "pull" else None
        c.add(dial(inner, bend.angle_deg, reading, sheet.job.tolerance_deg, needle))
    else:
        current = bend.number if making.step == "mark" else None
        c.add(run_picture(inner, sheet, current, "sheet"))


def _foot(c: Canvas, model: Model, making: Making, box: Box) -> None:
    held_here = making.step in GAUGED
    back, plan, gauge, round_, scrap = columns(
        box, 1.0, 1.1, 1.1 if held_here else 0.01, 1.0 if measurable(making) else 0.01, 1.0
    )
    if held_here:
        c.key("gauge", gauge, say("gauge.key"), "key_act", min(gauge.h * 0.36, c.unit), lines=2)
    if measurable(making):
        c.key("calipers", round_, say("calipers.key"), "key_act", min(round_.h * 0.36, c.unit))
    if port.asks(making):
        c.key("port", Box(round_.x, box.y, box.right - round_.x, box.h), say("port.key"),
              "key_act", box.h * 0.36)  # fmt: skip
    if making.step != "cut":
        c.key("step back", back, say("back"), "key_act", min(back.h * 0.42, c.unit))
    c.key("plan", plan, say("make.plan"), "key_act", min(plan.h * 0.42, c.unit), lines=2)
    if making.step not in ("slide", "cut"):
        c.key("scrap", scrap, say("make.scrap"), "key_act", min(scrap.h * 0.42, c.unit))


def _on(c: Canvas, model: Model, making: Making, box: Box) -> None:
    """The key that goes on; where a bend went wrong, the ways to decide."""
    if making.step == "over":
        c.key("keep", box, say("make.keep"), "key_act", box.h * 0.28, lines=2)
        return
    if making.step == "pull" and model.sensor and model.sensor.state in ASKING:
        c.key("free", box, say("sensor.free"), "key_go", box.h * 0.34)
        return
    if making.step == "pull" and making.says:
        keep, on = columns(box, 0.4, 0.6)
        c.key("keep", keep, say("make.keep-under"), "key_act", box.h * 0.2, lines=3)
        c.key("next", on, say("make.pull.done"), "key_go", box.h * 0.3, lines=2)
        return
    c.key("next", box, say(f"make.{making.step}.done"), "key_go", box.h * 0.34, lines=2)


def _below(c: Canvas, model: Model, making: Making, sheet: Sheet, box: Box) -> None:
    current = None
    if making.step not in ("slide", "cut", "store"):
        current = bend_in_hand(making, sheet).number
    c.add(strip(box.inset(4.0), sheet, current))


def _check(c: Canvas, model: Model, making: Making, sheet: Sheet) -> None:
    """The measured angle, typed."""
    z = c.zones(strip=False)
    bend = bend_in_hand(making, sheet)
    answer, pad = z.answer, z.pad
    if c.small:
        answer, pad = rows(z.answer, 0.42, 0.58)
    head, line, says, foot = rows(
        answer, *((0.2, 0.36, 0.44, 0.001) if c.small else (1, 1.4, 2.6, 1))
    )
    tolerance = angle_text(sheet.job.tolerance_deg)
    target = say("make.check", target=angle_text(bend.angle_deg), tolerance=tolerance)
    c.text(head, target, min(head.h * 0.8, c.unit * 1.4), "ink", "left", 2)
    c.add(Fill(line.inset(2.0), "sheet", 6.0, "focus", 3.0))
    c.text(line.inset(8.0), number_shown(making.typed or " ") + "°", line.h * 0.8)
    _check_says(c, model, making, says)
    if not c.small:
        _foot(c, model, making, foot)
    captions = {"back": say("key.back"), "next": say("key.check"), "unit": say("make.step-back")}
    hidden = {"-", "/"} if c.small else {"-", "/", "unit"}
    keypad(c, pad, captions, frozenset(hidden if making.typed else {*hidden, "back"}))


def _check_says(c: Canvas, model: Model, making: Making, box: Box) -> None:
    if making.says:
        says, key = rows(box, 0.5, 0.5) if not c.small else columns(box, 0.62, 0.38)
        notice(c, says, say("word.check"), making.says, "alarm", 3)
        c.key("take anyway", key.inset(4.0), say("make.take-anyway"), "key_act", lines=2)
    elif model.refusal:
        says = box if c.small else rows(box, 0.5, 0.5)[0]
        notice(c, says, say("word.check"), model.refusal, "alarm", 3)
    else:
        c.text(box, say("make.check.how"), c.unit, "quiet", "left", 4)


def kept_view(model: Model) -> Scene:
    """All pieces are stored: what was made, and what next."""
    c = canvas(model)
    making = model.work.making
    z = c.zones(strip=False)
    status_line(c, z.status, say("kept.title"), "benchcalc", model.trouble)
    body, low = rows(c.below.inset(8.0), 3.0, 1.1)
    head, more = rows(body, 0.5, 0.5)
    number = making.stored if making else 0
    name = model.draft.name or say("bench.unnamed")
    c.text(head, say("kept.says", count=model.draft.pieces, name=name), head.h * 0.3, lines=2)
    if number:
        c.text(more, say("kept.number", number=number), c.unit * 1.2, "ink", "left", 3)
    keys = ("piece", "one more", "bench", "new")
    for key, box in zip(keys, columns(low, 1.0, 1.0, 1.0, 1.2), strict=True):
        role: Role = "key_go" if key == "new" else "key_act"
        c.key(
            key, box, say(f"kept.{key.replace(' ', '-')}"), role, min(box.h * 0.36, c.unit), lines=2
        )
    return c.scene()
