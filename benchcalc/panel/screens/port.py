"""Where the piece before missed its port, one number at a time, and what follows from it."""

from dataclasses import replace
from functools import partial
from typing import Any

from benchcalc.core.fit.first_piece import Suspect
from benchcalc.core.geometry.frames import length
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.lessons import FIRST_PIECE
from benchcalc.panel.drawings.port_drawing import port_picture
from benchcalc.panel.screens.making import asked_why
from benchcalc.panel.screens.piece_in_hand import Held, held, with_making
from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.fields import Refused, has_unit
from benchcalc.panel.state.making.port_miss import (
    ANGLES,
    PORT_FIELDS,
    AimOffer,
    aim_offer,
    aim_record,
    aimed,
    miss_size,
    other_way,
    port_field,
    port_text,
    with_aim_kept,
    with_aimed_bender,
    with_port,
)
from benchcalc.panel.state.making.steps import happened, next_piece
from benchcalc.panel.state.measured import as_measured
from benchcalc.panel.state.messages import AppendRecord
from benchcalc.panel.state.model import Making, Model, PortMiss, work_plain
from benchcalc.panel.widgets.entry import Entry, Form, gone_on
from benchcalc.panel.widgets.form_page import (
    Key,
    Told,
    back_to_typing,
    face_of,
    for_hand,
    form,
    key_row,
    more_of_it,
    paged,
    tell,
    turned_to,
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


def asks(making: Making) -> bool:
    """Whether it can be told where the piece before missed: nothing is cut of this one yet."""
    return making.step == "cut" and making.before is not None


def opened(model: Model) -> Model:
    """Ask where the piece before missed."""
    making = replace(happened(held(model).making, "told where it missed"), port=PortMiss())
    return with_making(model, making)


def asked_after_last(model: Model) -> Model:
    """After the last piece: where did it miss? What that teaches is for the next time."""
    making = model.work.making
    if making is None:
        return model
    more = next_piece(making, making.piece + 1, making.stored)
    making = replace(happened(more, "told where it missed"), port=PortMiss())
    return with_making(model.with_work(screen="make"), making)


def _to_cut(model: Model, making: Making) -> Model:
    """To the cut of the next piece; after the last one there is none."""
    if making.piece <= model.draft.pieces:
        return with_making(model, making)
    done = replace(making, piece=making.piece - 1, step="store")
    return with_making(model.with_work(screen="kept"), done)


def draw(c: Canvas, model: Model, in_hand: Held) -> None:
    """The question in hand with its picture, or what follows from the answers."""
    making, drawn, _ = in_hand
    if making.piece <= model.draft.pieces:
        c.by_keyboard("delete", press(asked_why))
    if making.step == "aim":
        _offer(c, model, making, drawn)
    else:
        _question(c, model, making)


def _question(c: Canvas, model: Model, making: Making) -> None:
    """One part of the miss: its value, the question and its picture as far as there is room."""
    port, field = making.port, port_field(making.port.field, model.draft)
    back = Key("step back", say("back"), does=press(_back), keys=("escape",))
    done = Key("port done", say("port.done"), does=press(gone_on, PORT_DONE))
    if face_of(c, model) != "keys":
        body, low = foot(c.below, c.key_h)
        _asked(c, model, making, body.inset(2 * GAP), say("port.how"))
        key_row(c, low, (back, back_to_typing(), done))
        return
    places = form(c)
    unit = "°" if port.field in ANGLES else f" {field.unit}"
    unit = "" if has_unit(port_text(port)) else unit
    shown = f"{number_shown(port_text(port) or '0')}{unit} {_way(port)}"
    if not (c.small and model.trouble):
        typed_field(c, places.field, say(field.phrase), shown)
    if not c.small:
        _asked(c, model, making, places.says)
        key_row(c, places.keys, (back, more_of_it(), done))
    own = (more_of_it(), back._replace(caption=""))
    instead = {"unit": _turn_key(c, port), "-": None}
    keypad(c, places.pad, PORT, _entry(model), own, instead=instead)


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


def _turn_key(c: Canvas, port: PortMiss) -> Key:
    """The other way in a word, where the key has room for it."""
    word = say(f"port.{port.field}.{'one' if other_way(port) else 'other'}")
    longest = max(map(len, word.split(" ")))
    fits_in = longest * c.unit * 0.6 <= c.key_w - 2 * GAP
    key = Key("unit", word, does=press(_other_way))
    return key if fits_in else key._replace(caption="", sign=partial(_turn_arrow, port=port))


def _turn_arrow(c: Canvas, box: Box, port: PortMiss) -> None:
    """The other way as an arrow on the key."""
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
    answers = [_answer_key("leave")]
    if not offer.stops:
        answers.append(_answer_key("pieces", "key_go"))
    back = Key("step back", say("back"), does=press(_back), keys=("escape", "back"))
    keys = [back, more_of_it(), *answers]
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


def _answer_key(answer: str, role: Role = "key_act") -> Key:
    caption, does = say(f"aim.answer.{answer}"), press(_answered, answer)
    return Key(f"answer {answer}", caption, role, does, decides=True, choice=True)


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
    causes = [_answer_key(suspect.cause) for suspect in offer.found.suspects]
    body, low = foot(c.below, c.key_h)
    room, does = body.inset(2 * GAP), press(turned_to, "keys")
    back = Key("type", say("back"), does=does, keys=("escape", "back"))
    high = sum(lines_of(c, says, room.w) + 0.4 for says in (*told, *suspects)) * c.unit
    if high <= room.h:
        told, keys = [*told, *suspects], [back, *causes]
    elif model.face == "more":
        behind = press(turned_to, "answer")
        told, keys = (
            suspects,
            [Key("look", say("back"), does=behind, keys=("escape", "back")), *causes],
        )
    else:
        more = Key("more", say("more"), does=press(turned_to, "more"))
        keys = [back, more] if suspects else [back]
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


def _entry(model: Model) -> Entry:
    port = held(model).making.port
    return Entry(port_field(port.field, model.draft), port_text(port), model.draft.units)


def _typed(model: Model, entry: Entry) -> Model:
    making = held(model).making
    port = with_port(making.port, entry.text, other_way(making.port))
    return with_making(model, replace(making, port=port))


def _other_way(model: Model) -> Model:
    """Short, not past; low, not high."""
    making, port = held(model).making, held(model).making.port
    turned = with_port(port, port_text(port), not other_way(port))
    return with_making(model, replace(making, port=turned))


def _back(model: Model) -> Model:
    making = held(model).making
    place = PORT_FIELDS.index(making.port.field)
    if making.step == "aim":
        return with_making(model, happened(making, "back to the miss"))
    if place == 0:
        return _to_cut(model, replace(happened(making, "back to the cut"), port=PortMiss()))
    return with_making(model, _at_field(making, place - 1))


def _at_field(making: Making, place: int) -> Making:
    return replace(making, port=replace(making.port, field=PORT_FIELDS[place]))


def _next(model: Model) -> Model:
    """The next part of the miss; after the last one what follows. Raises Refused."""
    making, drawn, _ = held(model)
    aim_offer(drawn, making, model.draft)  # refuses what is no number
    place = PORT_FIELDS.index(making.port.field) + 1
    if place < len(PORT_FIELDS):
        return with_making(model, _at_field(making, place))
    return _done(model)


def _done(model: Model) -> Model:
    """All of the miss is told. Raises Refused."""
    making, drawn, _ = held(model)
    offer = aim_offer(drawn, making, model.draft)
    if not miss_size(offer.told) and not any(offer.told.swung):
        raise Refused(told("port.nothing"))
    return with_making(model, happened(making, "miss told"))


PORT = Form(_entry, _typed, _next)
"""A part of the miss is typed."""

PORT_DONE = Form(_entry, _typed, _done)
"""The same, with nothing more to tell."""


def _answered(model: Model, answer: str) -> Acted:
    """What follows is taken or left, or a cause is named: into the log."""
    making, drawn, _ = held(model)
    offer = aim_offer(drawn, making, model.draft)
    pieces = answer == "pieces"
    record = aim_record(drawn, making, model.draft, offer, answer)
    after = with_making(model, aimed(making, offer if pieces else None))
    if pieces:
        after = replace(after, work=with_aim_kept(after.work))
    after = _to_cut(after, held(after).making)
    return after, (AppendRecord(FIRST_PIECE, record, work_plain(after.work)),)


def kept(model: Model, record: dict[str, Any]) -> Model:
    """The model when a miss that changed a bender's profile is in the store."""
    shop = with_aimed_bender(model.shop, record)
    return replace(model, shop=shop, work=as_measured(model.work, shop))
