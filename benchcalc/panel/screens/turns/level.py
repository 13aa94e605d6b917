"""A turn measured with a level: how to lay it, what it must read, and what it shows, typed."""

from dataclasses import replace
from typing import NamedTuple

from benchcalc.core.layout.turn_by_level import LevelAim
from benchcalc.panel.drawings.level_picture import across_picture, along_picture
from benchcalc.panel.screens.make_words import came_says
from benchcalc.panel.screens.making import asked_why, gone_back, levelled, to_level, turn_stays
from benchcalc.panel.screens.piece_in_hand import Held, held, with_making
from benchcalc.panel.state.action import press
from benchcalc.panel.state.aiming.turning import (
    LEVEL,
    clip_at,
    must_read,
    turned_from,
    way_in_hand,
    ways,
)
from benchcalc.panel.state.making.steps import bend_in_hand
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.panel.widgets.form_page import (
    Key,
    back_to_typing,
    face_of,
    form,
    key_row,
    line_above,
    more_of_it,
)
from benchcalc.panel.widgets.grid import GAP, Canvas, notice
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.stacking import Line, sentence, stack
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import columns, foot, rows
from benchcalc.report.figures import angle_text
from benchcalc.report.scene import Box, Fill, Picture
from benchcalc.report.told import in_words
from benchcalc.words.language import say


class Asked(NamedTuple):
    """What the level is to show: how it is laid, the number, what a degree of it is worth."""

    how: str
    figure: str
    worth: str
    short: str


def _entry(model: Model) -> Entry:
    return Entry(LEVEL, held(model).making.typed)


def _typed(model: Model, entry: Entry) -> Model:
    return with_making(model, replace(held(model).making, typed=entry.text, came=None))


LEVELLED = Form(_entry, _typed, levelled)
"""What the level shows is typed."""


def draw(c: Canvas, model: Model, in_hand: Held, where: str) -> None:
    """How to lay it beside the keypad, on a small screen behind it; ``where`` is the top line."""
    making, _, sheet = in_hand
    aim = way_in_hand(making, sheet)
    if aim is None:
        return
    c.by_keyboard("delete", press(asked_why))
    asked, entry = _asked(model, in_hand, aim), _entry(model)
    wrong = in_words(model.refusal) or came_says(making)
    if c.small and (wrong or face_of(c, model) != "keys"):
        _whole(c, model, in_hand, aim, asked, where, wrong)
        return
    places = form(c)
    if c.small:
        status_line(c, c.zones(strip=False).status, "", "", model.trouble)
        wanted, typed = columns(line_above(c), 0.6, 0.4)
        if not model.trouble:
            c.text(wanted.inset(2.0), asked.short, c.unit, lines=2)
            typed_field(c, typed, "", entry.shown)
    else:
        status_line(c, c.zones(strip=False).status, where, "", model.trouble)
        shown = entry.shown or asked.worth or say("plan.leg.empty")
        typed_field(c, places.field, say(LEVEL.phrase), shown, bool(entry.text))
        _says(c, model, in_hand, aim, asked, places.says, wrong)
        key_row(c, places.keys, [_back(), *_others(in_hand, aim)])
    on = Key("next", say("key.check"), "key_go")
    keypad(c, places.pad, LEVELLED, entry, (_back(), more_of_it()), on)


def _says(
    c: Canvas, model: Model, in_hand: Held, aim: LevelAim, asked: Asked, box: Box, wrong: str
) -> None:
    """What is wrong or how to lay it; under that the number it must show beside its picture."""
    if wrong:
        notice(c, box, say("word.check"), wrong, "alarm")
        return
    lines = [sentence(c, asked.how, 0, box.w)]
    if asked.figure:
        figure = Line(c.unit * 1.3, 0, lambda at: c.text(at, asked.figure, c.unit * 1.2))
        lines.append(figure)
    if not aim.useful:
        lines.append(sentence(c, asked.worth, 0, box.w))
    high = min(sum(line.height for line in lines), box.h)
    top, low = rows(box, high, max(box.h - high, 1.0))
    stack(c, top, lines)
    if low.h > 2.2 * c.unit:
        c.add(Fill(low, "sheet", 6.0), _picture(low.inset(4.0), model, in_hand, aim))


def _whole(
    c: Canvas, model: Model, in_hand: Held, aim: LevelAim, asked: Asked, where: str, wrong: str
) -> None:
    """On a small screen: what is wrong and the ways on, or how to lay the level."""
    status_line(c, c.status, where, "", model.trouble)
    body, low = foot(c.below, c.key_h)
    if wrong:
        notice(c, body.inset(GAP), say("word.check"), wrong, "alarm")
        keep = [_keep()] if _off(in_hand) else []
        again = Key("type", say("make.type-again"), "key_go", LEVELLED.erase, ("enter", "back"))
        key_row(c, low, [*keep, again])
        return
    _says(c, model, in_hand, aim, asked, body.inset(GAP), "")
    key_row(c, low, [_back(), *_others(in_hand, aim), back_to_typing()])


def _asked(model: Model, in_hand: Held, aim: LevelAim) -> Asked:
    making, _, sheet = in_hand
    last = turned_from(making, sheet)
    number = bend_in_hand(making, sheet).number
    if last is None:
        return Asked("", "", "", "")
    worth = say("make.level.worth", worth=angle_text(aim.worth_deg))
    if not aim.useful:
        worth = say("make.level.useless")
    if aim.lay == "across":
        first = not making.level_before
        clip = angle_text(clip_at(last.turn_deg))
        stage = "before" if first else "after"
        by_deg = sheet.turn(number).by_deg
        by = angle_text(by_deg)
        shows = "" if first else _shows(float(making.level_before) + by_deg)
        aligned = "" if first else say("make.level.aligned")
        how = say(f"make.level.{stage}", clip=clip, by=by)
        return Asked(how, shows, aligned, say(f"make.level.{stage}.short", by=by))
    reads = must_read(aim, sheet, number, model.settings.curves)
    way = "level" if abs(reads) < 0.05 else "rises" if reads > 0 else "falls"
    figure = say(f"make.level.{way}", reads=angle_text(abs(reads)))
    how = say(f"make.level.{aim.lay}", bend=last.bend)
    return Asked(
        how, figure, worth, say(f"make.level.must.{aim.lay}", bend=last.bend, reads=figure)
    )


def _shows(round_deg: float) -> str:
    """What a level shows that goes round, and one that counts 0, 90, 0."""
    round_deg %= 360.0
    folded = min(round_deg % 180.0, 180.0 - round_deg % 180.0)
    one, other = angle_text(round_deg), angle_text(folded)
    return one if one == other else say("make.level.either", one=one, other=other)


def _picture(box: Box, model: Model, in_hand: Held, aim: LevelAim) -> Picture:
    making, _, sheet = in_hand
    bend = bend_in_hand(making, sheet)
    if aim.lay != "across":
        return along_picture(box, must_read(aim, sheet, bend.number, model.settings.curves))
    turn = sheet.turn(bend.number)
    return across_picture(box, turn.by_deg if turn.way == "clockwise" else -turn.by_deg)


def _off(in_hand: Held) -> bool:
    came = in_hand.making.came
    return came is not None and came.to == "turn off"


def _others(in_hand: Held, aim: LevelAim) -> list[Key]:
    """Keep the turn as it was read, or another way to lay the level."""
    if _off(in_hand):
        return [_keep()]
    lays = [one.lay for one in ways(in_hand.making, in_hand.sheet)]
    if len(lays) < 2:
        return []
    following = lays[(lays.index(aim.lay) + 1) % len(lays)]
    return [Key("other way", say("make.level.other"), does=press(to_level, following))]


def _keep() -> Key:
    return Key("keep", say("make.level.keep"), does=press(turn_stays), decides=True)


def _back() -> Key:
    return Key("step back", say("back"), does=press(gone_back), keys=("escape",))
