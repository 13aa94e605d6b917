"""How round a bend stayed: the largest and the smallest diameter across it, by calipers."""

from dataclasses import replace

from benchcalc.core.checks.wall import MOST_OUT_OF_ROUND, Roundness, out_of_round
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.fields import (
    Field,
    Refused,
    erased,
    has_unit,
    keys_for,
    read_length,
    type_key,
)
from benchcalc.panel.state.making import made, with_made
from benchcalc.panel.state.model import Made, Making, Model
from benchcalc.panel.widgets.form_page import Key, face_of, form, form_status, key_row, said
from benchcalc.panel.widgets.grid import (
    GAP,
    canvas,
    status_line,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import (
    columns,
    foot,
)
from benchcalc.report.figures import decimal
from benchcalc.report.scene import Scene
from benchcalc.report.told import Number, told
from benchcalc.words.language import number_shown, say


def measurable(making: Making) -> bool:
    """Whether a bend has just been finished, so that it can be measured."""
    return making.place > 0 and making.step in ("re-mark", "turn", "seat", "store")


def opened(making: Making) -> Making:
    """Measure the bend just finished; the step in hand is come back to."""
    return replace(making, step="largest", back_to=making.step, typed="", largest="")


def roundness(calipers: tuple[float, float], sheet: Sheet) -> Roundness:
    """What two readings say of a bend."""
    return out_of_round(calipers[0], calipers[1], sheet.job.tube.od_mm)


def _finished(making: Making, sheet: Sheet) -> Made:
    return made(making, sheet.layout.in_order[making.place - 1].number)


def _field(model: Model, making: Making, sheet: Sheet) -> Field:
    od = sheet.job.tube.od_mm
    return Field(f"calipers.{making.step}", "length", 0.3 * od, 1.7 * od, model.draft.units)


def view(model: Model, making: Making, sheet: Sheet) -> Scene:
    """One diameter at a time, typed; how to measure it beside the keypad or on a second page."""
    c = canvas(model)
    places, field = form(c), _field(model, making, sheet)
    title = say("calipers.title", number=_finished(making, sheet).number)
    how = say("calipers.how", percent=f"{100 * MOST_OUT_OF_ROUND:.0f} %")
    back = Key("step back", say("back"))
    if face_of(c, model) != "keys":
        status_line(c, c.status, title, "", model.trouble)
        says, low = foot(c.below, c.key_h)
        said(c, model, says.inset(2 * GAP), how)
        key_row(c, low, (back, Key("type", say("plan.type"), "key_go")))
        return c.scene()
    if form_status(c, model, title):
        unit = "" if has_unit(making.typed) else f" {field.unit}"
        typed = number_shown(making.typed) + unit if making.typed else ""
        shown = typed or say("plan.leg.empty")
        typed_field(c, places.field, field.name, shown, bool(typed))
    if not c.small:
        told = said(c, model, places.says, how, say("calipers.how.short"))
        keys = (back,) if told else (back, Key("look", say("more")))
        key_row(c, columns(places.keys, 2.0, 1.0)[0], keys)
    hidden = {key for key in "./-" if key not in keys_for(field)} | {"unit"}
    if not making.typed:
        hidden.add("back")
    captions = {"back": say("key.back"), "next": say("key.next")}
    own = (("look", say("more")), ("step back", ""))
    keypad(c, places.pad, captions, frozenset(hidden), own)
    return c.scene()


def moved(model: Model, making: Making, sheet: Sheet, target: str) -> Making:
    """A key while measuring. Raises Refused for a diameter that cannot be."""
    field = _field(model, making, sheet)
    if target == "step back":
        if making.step == "smallest":
            return replace(making, step="largest", typed=making.largest)
        return replace(making, step=making.back_to, typed="")
    if target.startswith("key "):
        return replace(making, typed=type_key(field, making.typed, target[4:]))
    if target == "back":
        return replace(making, typed=erased(making.typed))
    if target != "next":
        return making
    reading = float(read_length(field, making.typed))
    if making.step == "largest":
        return replace(making, step="smallest", largest=making.typed, typed="")
    largest = float(read_length(field, making.largest))
    if reading > largest:
        smallest, at_most = Number(making.typed), Number(making.largest)
        raise Refused(told("calipers.wrong", smallest=smallest, largest=at_most))
    return _judged(making, sheet, (largest, reading))


def _judged(making: Making, sheet: Sheet, calipers: tuple[float, float]) -> Making:
    bend = replace(_finished(making, sheet), calipers=calipers)
    found = roundness(calipers, sheet)
    key = "calipers.good" if found.holds_pressure else "calipers.over"
    share, limit = decimal(100 * found.out_of_round, 1), f"{100 * MOST_OUT_OF_ROUND:.0f} %"
    says = say(key, number=bend.number, share=share, limit=limit)
    return replace(with_made(making, bend), step=making.back_to, typed="", says=says)
