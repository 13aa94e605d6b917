"""Measuring the screen: two bands are moved until a ruler held to the glass says how far apart."""

from collections.abc import Iterable
from dataclasses import replace

from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.acts import changed, to_screen
from benchcalc.panel.state.fields import Refused
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, put_key
from benchcalc.panel.widgets.grid import (
    Canvas,
    canvas,
    measures,
)
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    cells,
    foot,
)
from benchcalc.report.scene import Box, Fill, Point, Polygon, Scene, Shape, Stroke
from benchcalc.report.settings import LEAST_SIDE_MM, MOST_SIDE_MM, Ruled, Ruling
from benchcalc.report.told import in_words, told
from benchcalc.words.language import say

STEPS = {"closer much": -10, "closer": -1, "wider": 1, "wider much": 10}
"""Pixels by which a key moves the lines apart."""

LONGEST_MM, STEP_MM = 100, 10

ARROW_MM = 3.0
"""How long the heads of the arrow are that show between what is measured."""


def opened(model: Model) -> Model:
    """Begin across, the lines where they should be if the size is as it is thought."""
    return replace(model.with_work(screen="ruler"), ruling=_begun(model, Ruling()))


def _room(model: Model) -> Box:
    """Where the lines lie."""
    return foot(canvas(model).below, _keys_height(model))[0]


def _keys_height(model: Model) -> float:
    """One row of keys, or two on an upright screen."""
    return measures(model).key_px[1] * (1 if model.size[0] >= model.size[1] else 2)


def _begun(model: Model, ruling: Ruling) -> Ruling:
    """The longest whole ten millimetres that fit, up to a hundred."""
    room, size = _room(model), measures(model)
    long_px, per_mm = (room.w, size.across) if ruling.across else (room.h, size.down)
    fits_mm = int(0.9 * long_px / per_mm) // STEP_MM * STEP_MM
    apart_mm = min(LONGEST_MM, max(STEP_MM, fits_mm))
    return replace(ruling, apart_mm=apart_mm, apart_px=round(apart_mm * per_mm))


def view(model: Model) -> Scene:
    """Two bands, and the keys that move them."""
    c = canvas(model)
    step = 1 if model.ruling.across else 2
    title = say("ruler.title", step=step)
    status_line(c, c.status, title, "", model.trouble)
    room, keys = foot(c.below, _keys_height(model))
    _lines(c, model, room)
    wide = not c.tall
    for key, box in zip(_keys(model), cells(keys, *((6, 1) if wide else (3, 2))), strict=True):
        put_key(c, box, key, 1.2 * c.unit)
    return c.scene()


def _keys(model: Model) -> list[Key]:
    """Back, a key for each step, and on."""
    back = press(to_screen, "settings")
    moves = [
        Key(name, f"{by:+d}".replace("-", "−"), "key", press(_moved, by))
        for name, by in STEPS.items()
    ]
    done = say("ruler.next" if model.ruling.across else "ruler.done")
    return [
        Key("cancel", say("back"), does=back, keys=("escape",)),
        *moves,
        Key("next", done, "key_go", press(_taken), ("enter",)),
    ]


def _lines(c: Canvas, model: Model, room: Box) -> None:
    """Two filled bands; the edges that face each other are what is measured, an arrow on each."""
    ruling = model.ruling
    says = say("ruler.across" if ruling.across else "ruler.down", apart=ruling.apart_mm)
    half, size = ruling.apart_px / 2, measures(model)
    x, y = room.centre
    deep = ARROW_MM * (size.across if ruling.across else size.down)
    if ruling.across:
        low, high = x - half, x + half
        c.add(Fill(Box(room.x, room.y, low - room.x, room.h), "ink"))
        c.add(Fill(Box(high, room.y, room.right - high, room.h), "ink"))
        text = Box(low + 8, room.y + 2 * deep, 2 * half - 16, room.h - 2 * deep)
    else:
        low, high = y - half, y + half
        c.add(Fill(Box(room.x, room.y, room.w, low - room.y), "ink"))
        c.add(Fill(Box(room.x, high, room.w, room.bottom - high), "ink"))
        text = Box(room.x + 2 * deep, low + 4, room.w - 2 * deep - 8, 2 * half - 8)
    c.add(*_arrows(ruling, (low, high), room, deep))
    c.text(
        text, in_words(model.refusal) or says, c.unit, "ink", "centre", max(5, int(text.h / c.unit))
    )


def _arrows(ruling: Ruling, edges: Point, room: Box, deep: float) -> Iterable[Shape]:
    """A line from edge to edge with a head at either, its tip on the edge."""
    aside = (room.y if ruling.across else room.x) + deep

    def at(along: float, off: float) -> Point:
        return (along, aside + off) if ruling.across else (aside + off, along)

    low, high = edges
    yield Stroke((at(low + deep, 0.0), at(high - deep, 0.0)), "focus", max(2.0, deep * 0.2))
    for tip, inwards in ((low, deep), (high, -deep)):
        back = tip + inwards
        yield Polygon((at(tip, 0.0), at(back, -0.6 * deep), at(back, 0.6 * deep)), "focus")


def _moved(model: Model, by: int) -> Model:
    """The lines nearer to each other or further apart."""
    ruling, room = model.ruling, _room(model)
    most = int(room.w if ruling.across else room.h) - 2
    apart = min(max(ruling.apart_px + by, 20), most)
    return replace(model, ruling=replace(ruling, apart_px=apart))


def _taken(model: Model) -> Acted:
    """What was measured is taken: first across, then down."""
    ruling = model.ruling
    if not ruling.apart_px:
        return model, ()
    side = model.size[0 if ruling.across else 1] * ruling.apart_mm / ruling.apart_px
    if not LEAST_SIDE_MM <= side <= MOST_SIDE_MM:
        raise Refused(told("ruler.unlikely", side=f"{side:.0f} mm"))
    if ruling.across:
        down = Ruling(across=False, width_mm=round(side, 1))
        return replace(model, ruling=_begun(model, down)), ()
    ruled = Ruled(ruling.width_mm, round(side, 1), *model.size)
    after, commands = changed(model, replace(model.settings, ruled=ruled))
    return to_screen(after, "settings"), commands
