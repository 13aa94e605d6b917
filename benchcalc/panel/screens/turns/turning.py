"""What a sensor across the tube tells while a piece is made, and what the panel says to it."""

from dataclasses import replace

from benchcalc.core.sheet import Sheet
from benchcalc.panel.screens.making import followed, told_sensor
from benchcalc.panel.screens.piece_in_hand import Held, held_or_none
from benchcalc.panel.state.action import Acted
from benchcalc.panel.state.aiming.reaiming import turn_aimed
from benchcalc.panel.state.aiming.turn_news import (
    TakeTurnZero,
    TurnClamped,
    TurnLies,
    TurnNews,
    TurnSaw,
    TurnSeen,
    TurnZeroTaken,
)
from benchcalc.panel.state.aiming.turning import clamped, turn_by_sensor
from benchcalc.panel.state.making.correcting import sheet_now
from benchcalc.panel.state.making.sensing import expectation
from benchcalc.panel.state.model import Making, Model
from benchcalc.report.figures import angle_text
from benchcalc.report.told import told
from benchcalc.words.language import say

SHOWN = ("turn", "seat")
"""The steps on which the live turn is shown."""

UNKNOWN = ("no zero", "slipped")
"""States in which it must be told from where to count."""


def heard(model: Model, news: TurnNews) -> Acted:
    """What follows from news of the sensor across the tube."""
    in_hand = held_or_none(model)
    if isinstance(news, TurnSaw):
        return _saw(model, news.seen, in_hand), ()
    if isinstance(news, TurnZeroTaken):
        refusal = None if news.taken else told("sensor.not-still")
        return replace(model, refusal=refusal), ()
    if in_hand is None or model.work.screen != "make":
        return model, ()
    if isinstance(news, TurnLies):
        if in_hand.making.step != "turn":
            return model, ()
        after = turn_by_sensor(in_hand.making, in_hand.sheet, news.by_deg)
        return followed(replace(model, refusal=None), in_hand, after)
    return _clamped(model, in_hand, news)


def _saw(model: Model, seen: TurnSeen, in_hand: Held | None) -> Model:
    """The live turn is kept only while a step shows it, so that nothing else is drawn anew."""
    if in_hand is None or model.work.screen != "make" or in_hand.making.step not in SHOWN:
        seen = seen._replace(by_deg=None, state="")
    return model if seen == model.turn else replace(model, turn=seen)


def _clamped(model: Model, in_hand: Held, news: TurnClamped) -> Acted:
    """The turn as it lies in the clamp counts; the pull follows it."""
    if news.by_deg is None:
        return model, ()
    making, drawn, sheet = in_hand
    after = clamped(making, sheet, news.by_deg)
    if after is making:
        return model, ()
    if after.step == "seat":  # it can still be set right
        return told_sensor(model, making, after, sheet)
    after = turn_aimed(after, drawn)
    commands = (expectation(after, sheet_now(drawn, after)),) if model.sensor is not None else ()
    return model.with_work(making=after), commands


def zero_said(model: Model) -> Acted:
    """The tube lies as it was bent, the sensor clipped across it: count from here."""
    return model, (TakeTurnZero(),)


def wants_zero(model: Model, making: Making) -> bool:
    """Whether the sensor must be told from where to count before this turn."""
    seen = model.turn
    return making.step == "turn" and seen is not None and seen.state in UNKNOWN


def live_says(model: Model, making: Making, sheet: Sheet) -> str:
    """The live turn and what the sensor makes of it; nothing without one."""
    seen = model.turn
    if seen is None or making.step not in SHOWN:
        return ""
    if making.step == "seat":
        return say("turn.along") if seen.both and making.place else ""
    if seen.trouble:
        return seen.trouble.shown
    if not seen.state:
        return ""
    says = say(f"turn.state.{seen.state.replace(' ', '-')}")
    if seen.by_deg is None or seen.state not in ("turning", "turned"):
        return says
    return f"{say('turn.now', by=angle_text(abs(seen.by_deg)))} {says}"


def needle_deg(model: Model, making: Making) -> float | None:
    """The live turn for the needle, clockwise; an old one has none."""
    seen = model.turn
    if seen is None or making.step != "turn" or seen.state not in ("turning", "turned"):
        return None
    return seen.by_deg
