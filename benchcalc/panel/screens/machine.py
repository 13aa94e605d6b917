"""What the machine lacks, each with what to do about it. It lies over the work, which stays."""

from benchcalc.panel.grid import Canvas, canvas, columns, foot, rows, status_line
from benchcalc.panel.language import say
from benchcalc.panel.model import Missing, Model
from benchcalc.panel.scene import Box, Polygon, Scene

ROOM_FOR = 4
"""Sentences that a screen has room for; more things are never missing at once."""


def view(model: Model) -> Scene:
    """One row for each thing that is missing, the sensor's trouble among them; a key back."""
    c = canvas(model)
    bare = c._replace(missing=())
    status_line(bare, c.status, say("machine.title"), "")
    listed, low = foot(c.below, c.key_h)
    sentences = _sentences(model)
    for sentence, box in zip(sentences, rows(listed, *[1.0] * ROOM_FOR), strict=False):
        _row(c, box, sentence)
    keep, back = columns(low, 0.6, 0.4)
    c.text(keep.inset(6.0), say("machine.records"), c.unit, "quiet", lines=2)
    c.key("understood" if model.trouble else "cancel", back, say("back"), "key_go")
    return c.scene()


def _sentences(model: Model) -> list[tuple[bool, str]]:
    """What there is to say, and whether something has to be done about it."""
    said = [(True, model.trouble)] if model.trouble else []
    said += [(True, _says(missing)) for missing in model.missing]
    if model.sensor is None:
        said.append((False, say("machine.no-sensor")))
    elif model.sensor.trouble:
        said.append((True, model.sensor.trouble))
    if not any(wanting for wanting, _ in said):
        said.insert(0, (False, say("machine.nothing")))
    return said[:ROOM_FOR]


def _says(missing: Missing) -> str:
    return say(f"missing.{missing.kind}", amount=missing.amount)


def _row(c: Canvas, box: Box, sentence: tuple[bool, str]) -> None:
    wanting, says = sentence
    sign = Box(box.x, box.y, c.unit * 2, box.h)
    if wanting:
        (x, y), reach = sign.centre, c.unit * 0.6
        c.add(Polygon(((x, y - reach), (x + reach, y + reach), (x - reach, y + reach)), "alarm"))
    text = Box(sign.right, box.y, box.w - sign.w, box.h)
    c.text(text, says, c.unit, "ink" if wanting else "quiet", lines=3)
