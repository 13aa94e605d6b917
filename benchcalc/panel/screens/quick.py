"""Usual angles of bends and turns by one tap, where the keypad has keys that an empty field lacks.

None lies where *back* comes and goes, which is pressed several times at one place.
"""

from collections.abc import Mapping

from benchcalc.panel.draft_text import number_typed
from benchcalc.panel.grid import Canvas, cells
from benchcalc.panel.language import number_shown
from benchcalc.panel.model import Model
from benchcalc.panel.pad import FLAT_PAD, PAD
from benchcalc.panel.scene import Box

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
    pad = FLAT_PAD if c.small else PAD
    names = [name for row in pad for name in row]
    places = cells(box, len(pad[0]), len(pad))
    for key, text in offered(model).items():
        shown = number_shown(text).replace("-", "−") + "°"
        c.key(f"quick {text}", places[names.index(key)], shown, "key_act", c.unit)
