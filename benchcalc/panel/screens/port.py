"""Where the piece before missed its port, one number at a time, and what follows from it."""

from dataclasses import replace
from typing import Any

from benchcalc.core.first_piece import Suspect
from benchcalc.core.frames import length
from benchcalc.core.sheet import Sheet
from benchcalc.panel.correction_text import LEAST_MM, off_says
from benchcalc.panel.figures import angle_text, length_text
from benchcalc.panel.grid import Canvas, cells, columns, keypad, notice, rows
from benchcalc.panel.keypad import Refused, keys_for, type_key
from benchcalc.panel.language import number_shown, say
from benchcalc.panel.measured import as_measured
from benchcalc.panel.messages import AppendRecord, Command
from benchcalc.panel.model import Making, Model, PortMiss, work_plain
from benchcalc.panel.port_drawing import port_picture
from benchcalc.panel.port_miss import (
    ANGLES,
    FIRST_PIECE,
    PORT_FIELDS,
    AimOffer,
    aim_offer,
    aim_record,
    aimed,
    miss_size,
    other_way,
    port_field,
    port_text,
    suspect_of,
    with_aimed_bender,
    with_port,
)
from benchcalc.panel.scene import Box, Fill, Role
from benchcalc.panel.wording import headline

Acted = tuple[Model, tuple[Command, ...]]


def asks(making: Making) -> bool:
    """Whether it can be told where the piece before missed: nothing is cut of this one yet."""
    return making.step == "cut" and making.before is not None


def draw(c: Canvas, model: Model, making: Making, drawn: Sheet) -> None:
    """The question in hand with its picture, or what follows from the answers."""
    if making.step == "aim":
        _offer(c, model, making, drawn)
    else:
        _question(c, model, making)


def _question(c: Canvas, model: Model, making: Making) -> None:
    z = c.zones(strip=False)
    port, field = making.port, port_field(making.port.field, model.draft)
    answer, pad = z.answer, z.pad
    if c.small:
        answer, pad = rows(z.answer, 0.44, 0.56)
    head, middle, says, foot = rows(answer, 1.0, 2.2, *((0.01, 1.2) if c.small else (0.9, 1.0)))
    number = PORT_FIELDS.index(port.field) + 1
    ask = say(f"port.{port.field}.ask", piece=making.before.piece if making.before else 0)
    c.text(head, f"{number}/{len(PORT_FIELDS)}  {ask}", min(head.h * 0.5, c.unit * 1.2), lines=2)
    figure, picture = columns(middle, 0.5, 0.5)
    typed, way = rows(figure, 0.6, 0.4)
    c.add(Fill(typed.inset(2.0), "sheet", 6.0, "focus", 3.0))
    unit = "°" if port.field in ANGLES else f" {field.unit}"
    c.text(typed.inset(8.0), number_shown(port_text(port) or "0") + unit, typed.h * 0.6)
    c.text(way.inset(2.0), _way(port), min(way.h * 0.8, c.unit * 1.5))
    if model.refusal:
        place = picture if c.small else says
        notice(c, place, say("word.check"), model.refusal, "alarm", 4 if c.small else 2)
    if not (model.refusal and c.small):
        c.add(port_picture(picture.inset(4.0), port.field, other_way(port)))
    if not (model.refusal or c.small):
        c.text(says, say("port.how"), min(c.unit, says.h / 2), "quiet", lines=2)
    back, done = columns(foot, 0.4, 0.6)
    c.key("step back", back, say("back"), "key_act", foot.h * 0.4)
    c.key("port done", done, say("port.done"), "key_act", foot.h * 0.34, lines=2)
    hidden = {key for key in "./-" if key not in keys_for(field) or key == "-"}
    if not port_text(port):
        hidden.add("back")
    other = say(f"port.{port.field}.{'one' if other_way(port) else 'other'}")
    captions = {"back": say("key.back"), "next": say("key.next"), "unit": other}
    keypad(c, pad, captions, frozenset(hidden))


def _way(port: PortMiss) -> str:
    return say(f"port.{port.field}.{'other' if other_way(port) else 'one'}")


def _offer(c: Canvas, model: Model, making: Making, drawn: Sheet) -> None:
    offer = aim_offer(drawn, making, model.draft)
    units, correction = drawn.job.units, offer.found.correction
    body = c.below.inset(6.0)
    head, figure, own, then, more, foot = rows(body, 0.7, 1.2, 0.8, 1.5, 1.6, 1.1)
    c.text(head, say("aim.missed"), min(head.h * 0.9, c.unit * 1.4))
    c.text(figure, length_text(miss_size(offer.again), units), min(figure.h * 0.95, c.unit * 2.6))
    own_mm = length(making.before.missed_mm) if making.before else 0.0
    if own_mm >= LEAST_MM:
        says = say("aim.own", by=length_text(own_mm, units))
        c.text(own, says, min(own.h / 2, c.unit), "quiet", lines=2)
    if offer.stops:
        says = say("aim.stopped", why=headline(offer.stops[0]))
    else:
        says = say("aim.then", after=off_says(correction.after, units), **_changes(offer, drawn))
    c.text(then, says, min(then.h / 3, c.unit * 1.1), lines=3)
    for suspect, box in zip(offer.found.suspects, rows(more, 1.0, 1.0), strict=False):
        c.text(box, _suspect_says(suspect, drawn), min(box.h / 2, c.unit), lines=2)
    _keys(c, foot, offer)


def _changes(offer: AimOffer, drawn: Sheet) -> dict[str, str]:
    """The cut length and the largest change of a mark, an angle and a turn."""
    units, shifts = drawn.job.units, offer.found.correction.shifts
    return {
        "cut": length_text(offer.sheet.layout.cut_length_mm, units),
        "was": length_text(drawn.layout.cut_length_mm, units),
        "mark": length_text(max(abs(s.past_mm or 0.0) for s in shifts), units),
        "angle": angle_text(round(max(abs(s.angle_by_deg) for s in shifts), 1)),
        "turn": angle_text(round(max(abs(s.turn_by_deg) for s in shifts), 1)),
    }


def _suspect_says(suspect: Suspect, drawn: Sheet) -> str:
    units = drawn.job.units
    by = length_text(abs(suspect.by_mm), units)
    way = "more" if suspect.by_mm > 0 else "less"
    leaves = length_text(suspect.leaves_mm, units)
    return say(f"aim.{suspect.cause}.{way}", by=by, leaves=leaves)


def _keys(c: Canvas, box: Box, offer: AimOffer) -> None:
    causes = [suspect.cause for suspect in offer.found.suspects]
    names = ["step back", "answer leave", *(f"answer {cause}" for cause in causes)]
    if not offer.stops:
        names.append("answer pieces")
    across = 2 if c.tall and len(names) > 3 else len(names)
    places = cells(box, across, -(-len(names) // across))
    size = min(places[0].h * (0.44 if across < len(names) else 0.3), c.unit)
    for name, part in zip(names, places, strict=False):
        role: Role = "key_go" if name == "answer pieces" else "key_act"
        text = say("back") if name == "step back" else say(f"aim.{name.replace(' ', '-')}")
        c.key(name, part, text, role, size, lines=2)


def act(model: Model, making: Making, drawn: Sheet, target: str) -> Acted:
    """One tap while the miss is told or answered."""
    try:
        if target.startswith("answer ") and making.step == "aim":
            return _answered(model, making, drawn, target.removeprefix("answer "))
        return model.with_work(making=_moved(model, making, drawn, target)), ()
    except Refused as refused:
        return replace(model, refusal=str(refused)), ()


def _moved(model: Model, making: Making, drawn: Sheet, target: str) -> Making:
    port = making.port
    if making.step == "cut":
        return replace(making, step="port", port=PortMiss(), says="") if asks(making) else making
    place = PORT_FIELDS.index(port.field)
    if target == "step back" and making.step == "aim":
        return replace(making, step="port")
    if target == "step back":
        if place == 0:
            return replace(making, step="cut", port=PortMiss())
        return replace(making, port=replace(port, field=PORT_FIELDS[place - 1]))
    if making.step == "aim":
        return making
    text, other = port_text(port), other_way(port)
    if target.startswith("key "):
        text = type_key(port_field(port.field, model.draft), text, target[4:])
        return replace(making, port=with_port(port, text, other))
    if target == "back":
        return replace(making, port=with_port(port, text[:-1], other))
    if target == "unit":
        return replace(making, port=with_port(port, text, not other))
    if target not in ("next", "port done"):
        return making
    offer = aim_offer(drawn, making, model.draft)  # refuses what is no number
    if target == "next" and place + 1 < len(PORT_FIELDS):
        return replace(making, port=replace(port, field=PORT_FIELDS[place + 1]))
    if not miss_size(offer.told) and not any(offer.told.swung):
        raise Refused(say("port.nothing"))
    return replace(making, step="aim")


def _answered(model: Model, making: Making, drawn: Sheet, answer: str) -> Acted:
    offer = aim_offer(drawn, making, model.draft)
    pieces = answer == "pieces"
    if (pieces and offer.stops) or not (answer in ("pieces", "leave") or suspect_of(offer, answer)):
        return model, ()
    record = aim_record(drawn, making, model.draft, offer, answer)
    after = model.with_work(making=aimed(making, offer if pieces else None))
    return after, (AppendRecord(FIRST_PIECE, record, work_plain(after.work)),)


def kept(model: Model, record: dict[str, Any]) -> Model:
    """The model when a miss that changed a bender's profile is in the store."""
    shop = with_aimed_bender(model.shop, record)
    return replace(model, shop=shop, work=as_measured(model.work, shop))
