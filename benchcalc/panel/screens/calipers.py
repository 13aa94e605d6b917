"""How round a bend stayed: the largest and the smallest diameter across it, by calipers."""

from dataclasses import replace

from benchcalc.core.sheet import Sheet
from benchcalc.core.wall import MOST_OUT_OF_ROUND, Roundness, out_of_round
from benchcalc.panel.figures import decimal
from benchcalc.panel.grid import canvas, columns, keypad, notice, rows, status_line
from benchcalc.panel.keypad import Field, Refused, keys_for, read_length, type_key
from benchcalc.panel.language import number_shown, say
from benchcalc.panel.model import Made, Making, Model
from benchcalc.panel.scene import Fill, Scene
from benchcalc.panel.steps import made, with_made


def measurable(making: Making) -> bool:
    """Whether a bend has just been finished, so that it can be measured."""
    return making.place > 0 and making.step in ("turn", "seat", "store")


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
    return Field(say(f"calipers.{making.step}"), "length", 0.3 * od, 1.7 * od, model.draft.units)


def view(model: Model, making: Making, sheet: Sheet) -> Scene:
    """One diameter at a time, typed."""
    c = canvas(model)
    z = c.zones(strip=False)
    status_line(c, z.status, say("calipers.title"), "benchcalc", model.trouble)
    field = _field(model, making, sheet)
    answer, pad = z.answer, z.pad
    if c.small:
        answer, pad = rows(z.answer, 0.5, 0.5)
    head, line, says, foot = rows(answer, 0.9, 1.2, 1.5, 1.25)
    number = _finished(making, sheet).number
    ask = say(f"calipers.{making.step}.ask", number=number)
    c.text(head, ask, min(head.h * 0.8, c.unit * 1.4), lines=2)
    c.add(Fill(line.inset(2.0), "sheet", 6.0, "focus", 3.0))
    c.text(line.inset(8.0), f"{number_shown(making.typed) or ' '} {field.unit}", line.h * 0.7)
    if model.refusal:
        notice(c, says, say("word.check"), model.refusal, "alarm", 3)
    else:
        c.text(
            says,
            say("calipers.how", percent=f"{100 * MOST_OUT_OF_ROUND:.0f} %"),
            c.unit,
            "quiet",
            lines=3,
        )
    c.key("step back", columns(foot, 0.5, 0.5)[0], say("back"), "key_act", foot.h * 0.42)
    hidden = {key for key in "./-" if key not in keys_for(field)} | {"unit"}
    if not making.typed:
        hidden.add("back")
    keypad(c, pad, {"back": say("key.back"), "next": say("key.next")}, frozenset(hidden))
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
        return replace(making, typed=making.typed[:-1])
    if target != "next":
        return making
    reading = float(read_length(field, making.typed))
    if making.step == "largest":
        return replace(making, step="smallest", largest=making.typed, typed="")
    largest = float(read_length(field, making.largest))
    if reading > largest:
        smallest, at_most = number_shown(making.typed), number_shown(making.largest)
        raise Refused(say("calipers.wrong", smallest=smallest, largest=at_most))
    return _judged(making, sheet, (largest, reading))


def _judged(making: Making, sheet: Sheet, calipers: tuple[float, float]) -> Making:
    bend = replace(_finished(making, sheet), calipers=calipers)
    found = roundness(calipers, sheet)
    key = "calipers.good" if found.holds_pressure else "calipers.over"
    share, limit = decimal(100 * found.out_of_round, 1), f"{100 * MOST_OUT_OF_ROUND:.0f} %"
    says = say(key, number=bend.number, share=share, limit=limit)
    return replace(with_made(making, bend), step=making.back_to, typed="", says=says)
