"""What the machine lacks, each with what to do about it. It lies over the work, which stays."""

from dataclasses import replace

from benchcalc.panel.state.action import Acted, aside, press
from benchcalc.panel.state.acts import closed, turned_to_page, understood
from benchcalc.panel.state.messages import LookThroughLog
from benchcalc.panel.state.missing import LogLook, Missing
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, Told, key_row, pages, tell
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
)
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import foot
from benchcalc.report.scene import Box, Disc, Polygon, Scene
from benchcalc.report.told import in_words
from benchcalc.words.language import say


def view(model: Model, page: int) -> Scene:
    """Each thing that is missing, the sensor's trouble among them, page by page; a key back."""
    c = canvas(model)
    bare = c._replace(missing=())
    status_line(bare, c.status, say("machine.title"), "")
    body, low = foot(c.below, c.key_h)
    room = body.inset(GAP)
    words = Box(room.x + 2 * c.unit, room.y, room.w - 2 * c.unit, room.h)
    leaves = pages(c, words, _sentences(model))
    at = min(page, len(leaves) - 1)
    for one, place in zip(leaves[at], tell(c, words, leaves[at]), strict=True):
        _sign(c, room.x, place.y, wanting=one.role == "ink")
    keys = [Key("cancel", say("back"), "key_go", aside(closed), ("escape",))]
    if model.trouble or model.notices:
        keys = [Key("understood", say("back"), "key_go", aside(understood), decides=True)]
    if model.log.share is None:
        keys.append(Key("look through", say("machine.look"), does=press(look_through)))
    if len(leaves) > 1:
        on = aside(turned_to_page, (at + 1) % len(leaves))
        keys.append(Key("more", say("more"), does=on))
    key_row(c, low, keys)
    return c.scene()


def _sentences(model: Model) -> list[Told]:
    """What there is to say; in ink where something has to be done about it."""
    trouble = model.trouble if model.trouble != model.notices else ()
    wrong = [*map(in_words, (*model.notices, *trouble)), *_of_log(model.log)]
    wrong += [say("machine.key-wrong")] if model.key is None else []
    wrong += [_says(missing) for missing in model.missing]
    if model.sensor is not None:
        wrong.append(in_words(model.sensor.trouble))
    said = [Told(says) for says in wrong if says]
    if not said:
        said.append(Told(say("machine.nothing"), role="quiet"))
    if model.sensor is None:
        said.append(Told(say("machine.no-sensor"), role="quiet"))
    said.append(Told(_looked(model.log), role="quiet"))
    if model.key:
        said.append(Told(say("machine.key", fingerprint=model.key), role="quiet"))
    return said


def look_through(model: Model) -> Acted:
    """Look at every record of the log now."""
    return replace(model, log=replace(model.log, share=0.0)), (LookThroughLog(),)


def _of_log(log: LogLook) -> list[str]:
    """What is wrong with the log."""
    damaged = say("log.damaged", numbers=log.damaged) if log.damaged else ""
    return [damaged, say("log.lists") if log.lists else ""]


def _looked(log: LogLook) -> str:
    """How far it was looked through."""
    if log.share is not None:
        return say("log.looking", percent=f"{100 * log.share:.0f}")
    return say("machine.records") if log.whole is None else say("log.whole", count=log.whole)


def _says(missing: Missing) -> str:
    return say(f"missing.{missing.kind}", amount=missing.amount)


def _sign(c: Canvas, left: float, top: float, wanting: bool) -> None:
    """A triangle before what has to be done something about, else a dot."""
    x, y, reach = left + c.unit * 0.8, top + c.unit * 0.7, c.unit * 0.5
    if wanting:
        c.add(Polygon(((x, y - reach), (x + reach, y + reach), (x - reach, y + reach)), "alarm"))
    else:
        c.add(Disc((x, y), reach * 0.4, "quiet"))
