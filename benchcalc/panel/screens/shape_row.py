"""A shape among the rows of a run: what stands in the place of its leg, bend and turn."""

from benchcalc.panel.draft import DraftSheet
from benchcalc.panel.figures import angle_text, length_text
from benchcalc.panel.grid import PAD, Canvas, cells, rows
from benchcalc.panel.language import say
from benchcalc.panel.model import Cursor, Model
from benchcalc.panel.scene import Box, Fill
from benchcalc.panel.shape_picture import figure_picture
from benchcalc.panel.shaping import brief, figure_of
from benchcalc.panel.typed_shapes import ShapeTyped


def head(c: Canvas, read: DraftSheet, cursor: Cursor, typed: ShapeTyped, box: Box) -> None:
    """The shape in a few words, and the bend of it that is shown."""
    face = box.inset(3.0)
    c.add(Fill(face, "sheet", 6.0, "rule"))
    top, under = rows(face.inset(6.0), 0.5, 0.5)
    c.text(top, brief(typed), min(top.h * 0.85, c.unit * 1.1), lines=2)
    number = read.bend_at(cursor)
    if number is None or read.sheet is None:
        return
    segment, units = read.sheet.job.run.segments[number - 1], read.sheet.job.units
    says = say(
        "shape.bend",
        number=number,
        leg=length_text(segment.leg_mm, units),
        angle=angle_text(segment.angle_deg),
        turn=angle_text(segment.turn_deg),
    )
    c.text(under, says, under.h * 0.85, "quiet")


def pad(c: Canvas, model: Model, typed: ShapeTyped, box: Box) -> None:
    """The shape's picture where the digits were; the key to the next row where it always lies."""
    grid = cells(box, len(PAD[0]), len(PAD))
    picture = Box(box.x, box.y, box.w, box.h * 0.75).inset(4.0)
    c.add(Fill(picture, "sheet", 6.0))
    c.add(figure_picture(picture, model.draft, typed, None, figure_of(model, typed, None), c.unit))
    left, right = grid[-4], grid[-2]
    change = Box(left.x, left.y, right.right - left.x, left.h)
    c.key("open shape", change, say("shape.change"), "key_act", min(change.h * 0.4, 26.0))
    c.key("next", grid[-1], say("key.next"), "key_go", min(change.h * 0.4, 26.0), lines=2)
