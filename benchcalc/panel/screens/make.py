"""Make it: one step at a time, each with one number, one act and one picture."""

from dataclasses import replace
from functools import partial

from benchcalc.panel.screens import (
    calipers,
    correct,
    make_check,
    make_more,
    make_step,
    port,
    scrap,
)
from benchcalc.panel.screens.as_made import draw_list
from benchcalc.panel.screens.make_words import (
    came_says,
    coarse_says,
    flips,
    sensor_says,
    stored_says,
)
from benchcalc.panel.screens.making import seen, to_plan
from benchcalc.panel.screens.piece_in_hand import Held, held_or_none
from benchcalc.panel.screens.turns import level
from benchcalc.panel.state.action import press
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making.steps import bend_in_hand
from benchcalc.panel.state.model import Face, Model
from benchcalc.panel.widgets.flowing import text_width
from benchcalc.panel.widgets.form_page import Key, key_row, put_key
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    notice,
)
from benchcalc.panel.widgets.status_line import help_width, status_line
from benchcalc.report.boxes import cells, foot
from benchcalc.report.drawings import turn_ring
from benchcalc.report.scene import Box, Scene, Target
from benchcalc.report.told import in_words
from benchcalc.words.language import say

WHOLE = ("slide", "cut", "store", "port", "aim")
"""Steps that are about the piece, not about one of its bends."""

SCRAP_FACES: tuple[Face, ...] = ("more", "keys", "answer")


def view(model: Model) -> Scene:
    """The step in hand. Without a run to make there is only the way back."""
    in_hand = held_or_none(model)
    if in_hand is None:
        return _nothing(model)
    making, drawn, sheet = in_hand
    if making.step in ("largest", "smallest"):
        return calipers.view(model, in_hand)
    c, more = canvas(model), model.face == "more"
    if making.step == "level":
        level.draw(c, model, in_hand, _where(c, model, in_hand))
        return c.scene()
    if making.step in ("reached", "check") and not more:
        make_check.draw(c, model, in_hand, partial(_status, model=model, in_hand=in_hand))
        return c.scene()
    _status(c, model, in_hand)
    if making.step in ("port", "aim"):
        port.draw(c, model, in_hand)
    elif making.step == "correct":
        correct.draw(c, making, drawn, model.face)
    elif making.step == "scrap":
        scrap.draw(c, _scrap_key(model, in_hand))
    elif c.small and make_step.must_be_seen(making) and not model.refusal:
        _warned(c, came_says(making, sheet.job.units))
    elif making.step in ("store", "mark") and model.face == "answer":
        draw_list(c, model, in_hand)
    elif more:
        make_more.draw_more(c, model, in_hand)
    else:
        make_step.draw(c, model, in_hand)
    return c.scene()


def _warned(c: Canvas, says: str) -> None:
    """On a small screen: what must not be missed has the whole of it, until it was seen."""
    body, low = foot(c.below, c.key_h)
    notice(c, body.inset(GAP), say("word.check"), says, "alarm")
    key_row(c, low, (Key("seen", say("make.seen"), "key_go", press(seen), ("enter",)),))


def _nothing(model: Model) -> Scene:
    c = canvas(model)
    status_line(c, c.status, say("make.nothing"), "", model.trouble)
    body, low = foot(c.below, c.key_h)
    wrong = work_in_hand(model).wrong
    if wrong:
        c.text(body.inset(2 * GAP), in_words(wrong[0].says), c.unit, lines=int(body.h / c.unit) - 1)
    back = Key("plan", say("back"), does=press(to_plan), keys=("escape",))
    put_key(c, cells(low, 2, 1)[0], back, c.unit * 1.2, lines=1)
    return c.scene()


def _status(c: Canvas, model: Model, in_hand: Held) -> None:
    making = in_hand.making
    if making.step == "scrap":
        asks = say("make.scrap.why", piece=making.piece)
        status_line(c, c.status, asks, "", model.trouble)
        return
    box = c.zones(strip=False).status if making.step in ("reached", "check") else c.status
    right = sensor_says(model.sensor)
    if making.step == "check" and not right:
        right = coarse_says(model, in_hand, short=True)
    where = _where(c, model, in_hand)
    if right and text_width(f"{where}   {right}", c.unit) > box.w - help_width(c):
        where = where.rpartition("   ")[2]  # the bend alone
    if c.small and flips(in_hand) and not (right or model.trouble or c.missing):
        status_line(c, box, where.rpartition("   ")[2], "")  # its words take the picture's place
        beside = Box(box.right - box.h, box.y, box.h, box.h).inset(3.0)
        if c.hand == "left":
            beside = beside._replace(x=box.right - box.h - help_width(c))
        c.add(turn_ring(beside, in_hand.sheet.turns[making.place]))
        return
    status_line(c, box, where, right, model.trouble)


def _where(c: Canvas, model: Model, in_hand: Held) -> str:
    """Which piece and bend this is."""
    making, _, sheet = in_hand
    told = making.step in ("port", "aim") and making.before is not None
    piece = making.before.piece if told and making.before else making.piece
    where = say("make.piece-of", piece=piece, pieces=model.draft.pieces)
    if making.step in WHOLE:
        where += "   " + say("make.bends", count=len(sheet.layout.bends))
    else:
        number, count = bend_in_hand(making, sheet).number, len(sheet.layout.bends)
        where += "   " + say("make.bend-of", number=number, count=count)
    if c.small and making.step == "cut" and making.came:
        where = stored_says(making)
    return where


def _scrap_key(model: Model, in_hand: Held) -> Target | None:
    """Where the key lay that led here, on whatever face of its step."""
    making = in_hand.making
    before = model.with_work(making=replace(making, step=making.back_to))
    faces = (view(replace(before, face=face)).target("scrap") for face in SCRAP_FACES)
    return next((target for target in faces if target is not None), None)
