"""The piece that is being made, with what it is bent by: what every step of making looks at."""

from dataclasses import replace
from typing import NamedTuple

from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.in_hand import piece_in_hand, work_in_hand
from benchcalc.panel.state.model import Making, Model


class Held(NamedTuple):
    """A piece in hand: ``drawn`` is the job as it is drawn, ``sheet`` what the rest is bent by."""

    making: Making
    drawn: Sheet
    sheet: Sheet


def held_or_none(model: Model) -> Held | None:
    """The piece in hand; None without a run that can be made."""
    making, drawn, sheet = model.work.making, work_in_hand(model).sheet, piece_in_hand(model)
    if making is None or drawn is None or sheet is None:
        return None
    return Held(making, drawn, sheet)


def held(model: Model) -> Held:
    """The piece in hand, on a screen that is only shown when there is one.

    Raises LookupError without one: a key of such a screen was pressed on another.
    """
    found = held_or_none(model)
    if found is None:
        raise LookupError("no piece is in hand")
    return found


def with_making(model: Model, making: Making) -> Model:
    """The model with the piece in hand replaced; what follows is on the first face."""
    return replace(model.with_work(making=making), face="keys")
