"""What the tube meets: where, how much room it lacks, and another order of bending to try."""

from dataclasses import replace

from benchcalc.core.sheet import Sheet
from benchcalc.panel import ordering
from benchcalc.panel.grid import Canvas, canvas, columns, notice, rows, status_line
from benchcalc.panel.language import say
from benchcalc.panel.messages import Command
from benchcalc.panel.model import Model
from benchcalc.panel.reading import work_in_hand
from benchcalc.panel.run_marks import clash_of, clash_picture
from benchcalc.panel.scene import Box, Role, Scene
from benchcalc.panel.wording import finding_says, level_word

Acted = tuple[Model, tuple[Command, ...]]


def view(model: Model) -> Scene:
    """The sentence beside the picture; below them the way back and the search."""
    c = canvas(model)
    status_line(c, c.zones().status, say("clash.title"), "benchcalc", model.trouble)
    shown, foot = rows(c.below.inset(6.0), 4.0, 1.0)
    sheet = work_in_hand(model).sheet
    clash = clash_of(sheet) if sheet else None
    says, picture = rows(shown, 0.5, 0.5) if c.tall else columns(shown, 0.46, 0.54)
    if sheet is None or clash is None:
        c.text(shown.inset(6.0), say("clash.none"), c.unit * 1.3, "ink", "left", 3)
    else:
        where = "" if clash.bend is None else say("minds.bend", number=clash.bend)
        role: Role = "alarm" if clash.level == "stop" else "lit"
        word, sentence = rows(says.inset(4.0), 1.0, 4.0)
        notice(c, word, level_word(clash.level), "", role)
        text = where + finding_says(clash, model.draft.units)
        c.text(sentence, text, min(c.unit * 1.3, sentence.h / 8.5), "ink", "left", 8)
        c.add(clash_picture(picture.inset(4.0), sheet, clash))
    _foot(c, model, sheet, foot)
    return c.scene()


def _foot(c: Canvas, model: Model, sheet: Sheet | None, box: Box) -> None:
    if c.tall:
        said, keys = rows(box, 0.5, 0.5)
        back, right = columns(keys, 0.4, 0.6)
    else:
        back, said, right = columns(box, 0.2, 0.52, 0.28)
    c.key("minds", back, say("back"), "key_act", min(back.h * 0.4, c.unit * 1.2))
    key = ordering.key_of(model, sheet)
    if key:
        role: Role = "key_go" if key == "order take" else "key_act"
        c.key(key, right, ordering.key_says(key), role, min(right.h * 0.3, c.unit), lines=2)
    c.text(said.inset(6.0), model.refusal or ordering.says(model), c.unit, "ink", "left", 3)


def act(model: Model, target: str) -> Acted:
    """Search for another order, take it, or go back to what is to be minded."""
    if target in ordering.KEYS:
        return ordering.act(model, target)
    if target == "minds":
        return replace(model, order_sought=None).with_work(screen="minds"), ()
    return model, ()
