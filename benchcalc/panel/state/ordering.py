"""Another order of bending, looked for when the tube meets the bender, and taken or left."""

from dataclasses import replace

from benchcalc.core.job import End
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making import half_bent
from benchcalc.panel.state.messages import Command, FindOrder, OrderFound
from benchcalc.panel.state.model import Model, OrderSought
from benchcalc.report.finding_text import order_says
from benchcalc.words.language import say

Acted = tuple[Model, tuple[Command, ...]]

KEYS = ("order find", "order take", "order leave")


def key_of(model: Model, sheet: Sheet | None) -> str:
    """The key that there is for it now, "" for none."""
    if model.order_sought is not None:
        return "order take" if model.order_sought.order else ""
    meets = sheet is not None and sheet.meets_bender
    return "order find" if meets and not half_bent(model.work) else ""


def key_says(key: str) -> str:
    """What stands on the key."""
    return say("order.take") if key == "order take" else say("order.find")


def says(model: Model) -> str:
    """What the search came to, "" when none was asked for."""
    sought = model.order_sought
    if sought is None:
        return ""
    if not sought.done:
        return say("order.looking")
    return order_says(sought.order, sought.held) if sought.order else say("order.none")


def act(model: Model, target: str) -> Acted:
    """Ask for a search, take what it found, or leave it."""
    sheet, sought = work_in_hand(model).sheet, model.order_sought
    if target == "order find" and sheet is not None and sheet.meets_bender:
        looking = replace(model, order_sought=OrderSought(sheet.job))
        return looking, (FindOrder(sheet.job, sheet.springback),)
    left = replace(model, order_sought=None)
    if target == "order take" and sought and sought.order and sheet and sheet.job == sought.job:
        if sheet.drawing is not None and set(sought.held) != {sheet.job.held}:
            return replace(model, refusal=say("order.shapes")), ()
        return _taken(left, sought.order, sought.held), ()
    return left, ()


def heard(model: Model, found: OrderFound) -> Model:
    """What the search came to; of a job that was changed meanwhile nothing is said."""
    sought = model.order_sought
    if sought is None or sought.job != found.job:
        return model
    told = replace(sought, done=True, order=found.order, held=found.held)
    return replace(model, order_sought=told)


def _taken(model: Model, order: tuple[int, ...], held: tuple[End, ...]) -> Model:
    by_number = dict(zip(order, held, strict=True))
    rows = tuple(
        replace(row, held=by_number[number]) if number in by_number else row
        for number, row in enumerate(model.draft.rows, 1)
    )
    extras = replace(model.draft.extras, order=order)
    return model.with_draft(rows=rows, extras=extras)
