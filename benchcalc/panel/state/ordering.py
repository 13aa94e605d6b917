"""Another order of bending, looked for when the tube meets the bender, and taken or left."""

from dataclasses import replace

from benchcalc.core.job import End
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.action import Acted
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making.steps import half_bent
from benchcalc.panel.state.messages import FindOrder, OrderFound
from benchcalc.panel.state.model import Model, OrderSought
from benchcalc.report.told import told


def worth_seeking(model: Model, sheet: Sheet | None) -> bool:
    """Whether another order may help, and may be taken."""
    return sheet is not None and sheet.meets_bender and not half_bent(model.work)


def find(model: Model) -> Acted:
    """Ask for a search."""
    sheet = work_in_hand(model).sheet
    if sheet is None or not sheet.meets_bender:
        return model, ()
    looking = replace(model, order_sought=OrderSought(sheet.job), face="keys")
    return looking, (FindOrder(sheet.job, sheet.springback),)


def take(model: Model) -> Model:
    """Take what was found, unless the job was changed meanwhile or a shape stands in the way."""
    sheet, sought = work_in_hand(model).sheet, model.order_sought
    model = replace(model, face="keys")
    left = replace(model, order_sought=None)
    if sought is None or not sought.order or sheet is None or sheet.job != sought.job:
        return left
    if sheet.drawing is not None and set(sought.held) != {sheet.job.held}:
        return replace(model, refusal=told("order.shapes"))
    return _taken(left, sought.order, sought.held)


def heard(model: Model, found: OrderFound) -> Model:
    """What the search came to; of a job that was changed meanwhile nothing is said."""
    sought = model.order_sought
    if sought is None or sought.job != found.job:
        return model
    searched = replace(sought, done=True, order=found.order, held=found.held)
    return replace(model, order_sought=searched)


def _taken(model: Model, order: tuple[int, ...], held: tuple[End, ...]) -> Model:
    by_number = dict(zip(order, held, strict=True))
    rows = tuple(
        replace(row, held=by_number[number]) if number in by_number else row
        for number, row in enumerate(model.draft.rows, 1)
    )
    extras = replace(model.draft.extras, order=order)
    return model.with_draft(rows=rows, extras=extras)
