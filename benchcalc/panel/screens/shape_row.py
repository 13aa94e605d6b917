"""A shape among the rows of a run: what stands in the place of its leg, bend and turn."""

from collections.abc import Sequence

from benchcalc.panel.drawings.shape_figures import figure_of
from benchcalc.panel.drawings.shape_picture import figure_picture
from benchcalc.panel.screens.editing import FORM, OPEN_ROW
from benchcalc.panel.state.draft import DraftSheet
from benchcalc.panel.state.fields import has_unit
from benchcalc.panel.state.model import Cursor, Model
from benchcalc.panel.state.shape_forms import FORMS
from benchcalc.panel.state.typed_shapes import ShapeTyped
from benchcalc.panel.widgets.form_page import Key, put_key
from benchcalc.panel.widgets.grid import Canvas
from benchcalc.panel.widgets.keypad import FLAT_PAD, PAD
from benchcalc.report.boxes import (
    cells,
    rows,
)
from benchcalc.report.figures import angle_text
from benchcalc.report.scene import Box, Fill
from benchcalc.words.language import number_shown, say


def says(typed: ShapeTyped) -> str:
    """The shape by its name."""
    return say(f"shape.{typed.kind}")


def head(c: Canvas, read: DraftSheet, cursor: Cursor, typed: ShapeTyped, box: Box) -> None:
    """The shape in a few words, and the bend of it that is shown."""
    face = box.inset(2.0)
    c.add(Fill(face, "sheet", 6.0, "rule"))
    number = read.bend_at(cursor)
    if number is None or read.sheet is None:
        c.text(face.inset(3.0), brief(typed), c.unit, lines=3)
        return
    top, under = rows(face.inset(3.0), 0.66, 0.34)
    c.text(top, brief(typed), c.unit, lines=2)
    segment = read.sheet.job.run.segments[number - 1]
    angle, turn = angle_text(segment.angle_deg), angle_text(segment.turn_deg)
    about = say("shape.bend.short", number=number, angle=angle, turn=turn)
    c.text(under, about, c.unit, "quiet")


def pad(c: Canvas, model: Model, typed: ShapeTyped, box: Box, own: Sequence[Key]) -> None:
    """The shape's picture where the digits were; the key to the next row where it always lies."""
    c.add(Fill(box, "ground"))
    names = FLAT_PAD if c.small else PAD
    across, down = len(names[0]), len(names)
    grid = cells(box, across, down)
    picture = Box(box.x, box.y, box.w, box.h * (down - 1) / down).inset(4.0)
    if c.small:
        picture = picture._replace(w=picture.w - grid[0].w)
        places = (grid[across - 1], grid[2 * across - 1])
        for key, cell in zip(own, places, strict=True):
            put_key(c, cell, key)
    c.add(Fill(picture, "sheet", 6.0))
    c.add(figure_picture(picture, model.draft, typed, None, figure_of(model, typed, None), c.unit))
    left, right = grid[-across], grid[-2]
    change = Box(left.x, left.y, right.right - left.x, left.h)
    c.key("open shape", change, say("shape.change"), "key_act", lines=2, does=OPEN_ROW)
    put_key(c, grid[-1], Key("next", say("key.next"), "key_go", FORM.go_on, ("enter",)))


def brief(typed: ShapeTyped) -> str:
    """A shape in a few words: its name, and its sizes but for the leg that leads up to it."""
    said, unit = [], ""
    for asked, text in zip(FORMS[typed.kind], typed.texts, strict=True):
        if text and asked.kind in ("size", "place") and asked.key not in ("leg", "centre"):
            said.append(number_shown(text))
            unit = "" if has_unit(text) else f" {typed.unit}"
        elif text and asked.kind in ("slope", "bend"):
            said.append(f"{number_shown(text)}°")
    name = say(f"shape.{typed.kind}")
    return f"{name}: {' / '.join(said)}{unit}" if said else name
