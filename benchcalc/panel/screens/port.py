"""Where the piece before missed its port, one number at a time, and what follows from it."""

from dataclasses import replace
from typing import Any

from benchcalc.core.fit.first_piece import Suspect
from benchcalc.core.geometry.frames import length
from benchcalc.core.sheet import Sheet
from benchcalc.panel.drawings.port_drawing import port_picture
from benchcalc.panel.state.fields import Refused, erased, has_unit, keys_for, type_key
from benchcalc.panel.state.measured import as_measured
from benchcalc.panel.state.messages import AppendRecord, Command
from benchcalc.panel.state.model import Making, Model, PortMiss, work_plain
from benchcalc.panel.state.port_miss import (
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
from benchcalc.panel.widgets.form_page import (
    Key,
    Told,
    face_of,
    for_hand,
    form,
    key_row,
    paged,
    tell,
)
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    fits,
    lines_of,
    notice,
    paragraph,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import (
    columns,
    foot,
    rows,
)
from benchcalc.report.correction_text import LEAST_MM, off_says
from benchcalc.report.figures import angle_text, length_text
from benchcalc.report.finding_text import headline
from benchcalc.report.scene import Box, Polygon, Role
from benchcalc.report.told import in_words, told
from benchcalc.words.language import number_shown, say

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
    """One part of the miss: its value, the question and its picture as far as there is room."""
    port, field = making.port, port_field(making.port.field, model.draft)
    back, done = Key("step back", say("back")), Key("port done", say("port.done"))
    if face_of(c, model) != "keys":
        body, low = foot(c.below, c.key_h)
        _asked(c, model, making, body.inset(2 * GAP), say("port.how"))
        key_row(c, low, (back, Key("type", say("plan.type"), "key_go"), done))
        return
    places = form(c)
    unit = "°" if port.field in ANGLES else f" {field.unit}"
    unit = "" if has_unit(port_text(port)) else unit
    shown = f"{number_shown(port_text(port) or '0')}{unit} {_way(port)}"
    if not (c.small and model.trouble):
        typed_field(c, places.field, field.name, shown)
    if not c.small:
        _asked(c, model, making, places.says)
        key_row(c, places.keys, (back, Key("look", say("more")), done))
    hidden = {key for key in "./-" if key not in keys_for(field) or key == "-"}
    if not port_text(port):
        hidden.add("back")
    captions = {"back": say("key.back"), "next": say("key.next"), "unit": _turn_key(c, port)}
    own = (("look", say("more")), ("step back", ""))
    keypad(c, places.pad, captions, frozenset(hidden), own)
    if not captions["unit"]:
        _turn_arrow(c, port)


def _asked(c: Canvas, model: Model, making: Making, box: Box, more: str = "") -> None:
    """The question with its picture beside or below it; the picture alone where both are tight."""
    if model.refusal:
        notice(c, box, say("word.check"), in_words(model.refusal), "alarm")
        return
    port = making.port
    number = PORT_FIELDS.index(port.field) + 1
    ask = say(f"port.{port.field}.ask", piece=making.before.piece if making.before else 0)
    asks = f"{number}/{len(PORT_FIELDS)}  {ask}"
    says, words, picture = asks, box, box
    for says in (f"{asks} {more}".strip(), asks):
        if box.w > 1.6 * box.h:
            words, picture = columns(box, 0.64, 0.36)
            room = fits(c, words.inset(GAP), says)
        else:
            high = lines_of(c, says, box.w) * c.unit * 1.1 + 2 * GAP
            words, picture = foot(box, box.h - high)
            room = picture.h >= 2.5 * c.unit
        if room:
            c.text(words.inset(GAP), says, c.unit, lines=int(words.h / c.unit))
            break
    place = (picture if room else box).inset(GAP)
    c.add(port_picture(place, port.field, other_way(port)))


def _turn_key(c: Canvas, port: PortMiss) -> str:
    """The other way in a word, where the key has room for it."""
    word = say(f"port.{port.field}.{'one' if other_way(port) else 'other'}")
    longest = max(map(len, word.split(" ")))
    return word if longest * c.unit * 0.6 <= c.key_w - 2 * GAP else ""


def _turn_arrow(c: Canvas, port: PortMiss) -> None:
    """The other way as an arrow on the key."""
    box = next(target.box for target in c.targets if target.name == "unit")
    (x, y), reach = box.centre, min(box.w, box.h) * 0.22
    way = 1.0 if other_way(port) else -1.0
    if port.field in ("up", "tilt_up"):
        way = -way
        points = ((x, y + way * reach), (x - reach, y - way * reach), (x + reach, y - way * reach))
    else:
        points = ((x + way * reach, y), (x - way * reach, y - reach), (x - way * reach, y + reach))
    c.add(Polygon(points, "ink"))


def _way(port: PortMiss) -> str:
    return say(f"port.{port.field}.{'other' if other_way(port) else 'one'}")


def _offer(c: Canvas, model: Model, making: Making, drawn: Sheet) -> None:
    """What a piece like it misses by, and what would be done; behind it what may be the cause."""
    offer = aim_offer(drawn, making, model.draft)
    if model.face != "keys":
        _behind(c, model, making, drawn, offer)
        return
    names = ["answer leave"] if offer.stops else ["answer leave", "answer pieces"]
    behind = Key("look", say("more"))
    keys = [Key("step back", say("back")), behind, *map(_answer_key, names)]
    body, low = foot(c.below, c.key_h)
    room = body.inset(2 * GAP)
    large, line = c.unit * 1.5 if c.small else c.figure, c.unit * 1.2
    head, figure, then = rows(room, line, large, max(room.h - large - line, line))
    c.text(head, say("aim.missed"), c.unit)
    c.text(figure, length_text(miss_size(offer.again), drawn.job.units), large)
    says = _then(offer, drawn, "aim.then")
    if not fits(c, then, says):
        says = _then(offer, drawn, "aim.then.short")
    causes = [Told(one, 1) for one in (*_own(making, drawn), *_suspects(offer, drawn))]
    tell(c, then, paged(c, then, [Told(says), *causes])[0])
    key_row(c, low, for_hand(c, keys))


def _answer_key(name: str) -> Key:
    role: Role = "key_go" if name == "answer pieces" else "key_act"
    return Key(name, say(f"aim.{name.replace(' ', '-')}"), role)


def _then(offer: AimOffer, drawn: Sheet, key: str) -> str:
    """What becomes of the next pieces, or why nothing can be done for them."""
    if offer.stops:
        return say("aim.stopped", why=headline(offer.stops[0]))
    after = off_says(offer.found.correction.after, drawn.job.units)
    return say(key, after=after, **_changes(offer, drawn))


def _own(making: Making, drawn: Sheet) -> list[str]:
    """What the piece's own bends made it miss by, which is taken off."""
    own_mm = length(making.before.missed_mm) if making.before else 0.0
    if own_mm < LEAST_MM:
        return []
    return [say("aim.own", by=length_text(own_mm, drawn.job.units))]


def _suspects(offer: AimOffer, drawn: Sheet) -> list[str]:
    return [_suspect_says(suspect, drawn) for suspect in offer.found.suspects]


def _behind(c: Canvas, model: Model, making: Making, drawn: Sheet, offer: AimOffer) -> None:
    """What is taken off, all that would change, and what may be the cause, on one page or two."""
    told = [_then(offer, drawn, "aim.then"), *_own(making, drawn)]
    suspects = _suspects(offer, drawn)
    causes = [_answer_key(f"answer {suspect.cause}") for suspect in offer.found.suspects]
    body, low = foot(c.below, c.key_h)
    room, back = body.inset(2 * GAP), Key("type", say("back"))
    high = sum(lines_of(c, says, room.w) + 0.4 for says in (*told, *suspects)) * c.unit
    if high <= room.h:
        told, keys = [*told, *suspects], [back, *causes]
    elif model.face == "more":
        told, keys = suspects, [Key("look", say("back")), *causes]
    else:
        keys = [back, Key("more", say("more"))] if suspects else [back]
    for says in told:
        paragraph(c, room, says)
        used = min((lines_of(c, says, room.w) + 0.4) * c.unit, room.h)
        room = room._replace(y=room.y + used, h=room.h - used)
    key_row(c, low, keys)


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


def act(model: Model, making: Making, drawn: Sheet, target: str) -> Acted:
    """One tap while the miss is told or answered."""
    try:
        if target.startswith("answer ") and making.step == "aim":
            return _answered(model, making, drawn, target.removeprefix("answer "))
        return model.with_work(making=_moved(model, making, drawn, target)), ()
    except Refused as no:
        return replace(model, refusal=no.said), ()


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
        return replace(making, port=with_port(port, erased(text), other))
    if target == "unit":
        return replace(making, port=with_port(port, text, not other))
    if target not in ("next", "port done"):
        return making
    offer = aim_offer(drawn, making, model.draft)  # refuses what is no number
    if target == "next" and place + 1 < len(PORT_FIELDS):
        return replace(making, port=replace(port, field=PORT_FIELDS[place + 1]))
    if not miss_size(offer.told) and not any(offer.told.swung):
        raise Refused(told("port.nothing"))
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
