"""How round a bend stayed: the largest and the smallest diameter across it, by calipers."""

from dataclasses import replace

from benchcalc.core.checks.service import most_out_of_round
from benchcalc.core.checks.wall import Roundness, out_of_round
from benchcalc.core.sheet import Sheet
from benchcalc.panel.screens.piece_in_hand import Held, held, with_making
from benchcalc.panel.state.action import press
from benchcalc.panel.state.fields import Field, Refused, read_length
from benchcalc.panel.state.making.piece import Came
from benchcalc.panel.state.making.steps import made, with_made
from benchcalc.panel.state.making.table import ASIDE
from benchcalc.panel.state.model import Made, Making, Model
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.panel.widgets.form_page import (
    Key,
    back_to_typing,
    face_of,
    form,
    form_status,
    key_row,
    more_of_it,
    said,
)
from benchcalc.panel.widgets.grid import (
    GAP,
    canvas,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import columns, foot
from benchcalc.report.scene import Scene
from benchcalc.report.told import Number, told
from benchcalc.words.language import say


def measurable(making: Making) -> bool:
    """Whether a bend has just been finished, so that it can be measured."""
    return making.place > 0 and making.step in ASIDE["largest"]


def opened(model: Model) -> Model:
    """Measure the bend just finished; the step in hand is come back to."""
    making = held(model).making
    return with_making(
        model, replace(making, step="largest", back_to=making.step, typed="", largest="")
    )


def roundness(calipers: tuple[float, float], sheet: Sheet) -> Roundness:
    """What two readings say of a bend."""
    return out_of_round(calipers[0], calipers[1], sheet.job.tube.od_mm)


def _finished(in_hand: Held) -> Made:
    return made(in_hand.making, in_hand.sheet.layout.in_order[in_hand.making.place - 1].number)


def _entry(model: Model) -> Entry:
    in_hand = held(model)
    od, units = in_hand.sheet.job.tube.od_mm, model.draft.units
    name = f"calipers.{in_hand.making.step}"
    return Entry(Field(name, "length", 0.3 * od, 1.7 * od, units), in_hand.making.typed, units)


def _typed(model: Model, entry: Entry) -> Model:
    return with_making(model, replace(held(model).making, typed=entry.text))


def view(model: Model, in_hand: Held) -> Scene:
    """One diameter at a time, typed; how to measure it beside the keypad or on a second page."""
    c, entry = canvas(model), _entry(model)
    places = form(c)
    title = say("calipers.title", number=_finished(in_hand).number)
    how = say("calipers.how", percent=f"{100 * most_out_of_round(in_hand.sheet.job):.0f} %")
    back = Key("step back", say("back"), does=press(_back), keys=("escape",))
    if face_of(c, model) != "keys":
        status_line(c, c.status, title, "", model.trouble)
        says, low = foot(c.below, c.key_h)
        said(c, model, says.inset(2 * GAP), how)
        key_row(c, low, (back, back_to_typing()))
        return c.scene()
    if form_status(c, model, title):
        shown = entry.shown or say("plan.leg.empty")
        typed_field(c, places.field, say(entry.field.phrase), shown, bool(entry.text))
    if not c.small:
        all_said = said(c, model, places.says, how, say("calipers.how.short"))
        keys = (back,) if all_said else (back, more_of_it())
        key_row(c, columns(places.keys, 2.0, 1.0)[0], keys)
    own = (more_of_it(), back._replace(caption=""))
    keypad(c, places.pad, CALIPERS, entry, own, instead={"unit": None})
    return c.scene()


def _back(model: Model) -> Model:
    making = held(model).making
    if making.step == "smallest":
        return with_making(model, replace(making, step="largest", typed=making.largest))
    return with_making(model, replace(making, step=making.back_to, typed=""))


def _read(model: Model) -> Model:
    """A diameter is typed. Raises Refused for one that cannot be."""
    in_hand, field = held(model), _entry(model).field
    making = in_hand.making
    reading = float(read_length(field, making.typed))
    if making.step == "largest":
        return with_making(model, replace(making, step="smallest", largest=making.typed, typed=""))
    largest = float(read_length(field, making.largest))
    if reading > largest:
        smallest, at_most = Number(making.typed), Number(making.largest)
        raise Refused(told("calipers.wrong", smallest=smallest, largest=at_most))
    return with_making(model, _judged(in_hand, (largest, reading)))


def _judged(in_hand: Held, calipers: tuple[float, float]) -> Making:
    making, bend = in_hand.making, replace(_finished(in_hand), calipers=calipers)
    found = roundness(calipers, in_hand.sheet)
    most = most_out_of_round(in_hand.sheet.job)
    to = "round" if found.within(most) else "out of round"
    came = Came(to, bend.number, share=found.out_of_round, most_share=most)  # type: ignore[arg-type]
    return replace(with_made(making, bend), step=making.back_to, typed="", came=came)


CALIPERS = Form(_entry, _typed, _read)
"""A diameter is typed."""
