"""Usual angles of bends and turns by one tap, where the keypad has keys that an empty field lacks.

A bend waits for *next*, as typed digits do: a press of it too many would skip the turn unseen. A
turn is the last of its segment and goes on; there such a press is refused.

None lies where *back* comes and goes, which is pressed several times at one place.
"""

from collections.abc import Mapping
from math import cos, pi, sin

from benchcalc.panel.screens.editing import usual
from benchcalc.panel.state.fields import number_typed
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
)
from benchcalc.panel.widgets.keypad import places
from benchcalc.report.boxes import (
    rows,
)
from benchcalc.report.scene import Box, Polygon, Stroke
from benchcalc.words.language import number_shown

BENDS_DEG: Mapping[str, float] = {"unit": 90.0, "-": 45.0, ".": 60.0, "/": 30.0}
TURNS_DEG: Mapping[str, float] = {"unit": 180.0, ".": -90.0, "/": 90.0}
"""By the key of the keypad in whose place it lies."""


def offered(model: Model) -> dict[str, str]:
    """What one tap types now, by the keypad's key in whose place it lies."""
    cursor = model.work.cursor
    row = model.draft.rows[cursor.row]
    if row.shape is not None or cursor.field == "leg":
        return {}
    if cursor.field == "turn":
        return {} if row.turn else {key: number_typed(deg) for key, deg in TURNS_DEG.items()}
    inside = model.draft.extras.angles == "included"
    bends = {key: 180.0 - deg if inside else deg for key, deg in BENDS_DEG.items()}
    return {} if row.bend else {key: number_typed(deg) for key, deg in bends.items()}


def draw(c: Canvas, model: Model, box: Box) -> None:
    """The keys, on the keypad that lies in the box."""
    at = places(c, box)
    turning = model.work.cursor.field == "turn"
    for key, text in offered(model).items():
        place = at[key]
        shown = number_shown(text).replace("-", "−") + "°"
        if not turning or text == "180":
            c.key(f"quick {text}", place, shown, "key_act", c.unit, does=usual(text))
            continue
        c.key(f"quick {text}", place, "", "key_act", does=usual(text))
        way, words = rows(place.inset(GAP), 0.5, 0.5)
        c.text(words, shown, c.unit, align="centre")
        c.add(*way_sign(way, clockwise=not text.startswith("-")))


def way_sign(box: Box, clockwise: bool) -> tuple[Stroke, Polygon]:
    """A bow over the top with its head the way the tube turns."""
    (x, y), radius = box.centre, 0.42 * min(box.w, box.h)
    side = 1.0 if clockwise else -1.0
    bow = [(pi * (step / 12 - 0.5)) for step in range(13)]
    low = y + 0.4 * radius
    points = tuple((x + side * radius * sin(a), low - radius * cos(a)) for a in bow)
    tip_x, tip_y = points[-1]
    head = 0.5 * radius
    ends = ((tip_x - head, tip_y), (tip_x + head, tip_y), (tip_x, tip_y + 1.2 * head))
    return Stroke(points, "ink", 4.0), Polygon(ends, "ink")
