"""Measuring the screen: two lines are moved until a ruler held to the glass says how far apart."""

from dataclasses import replace

from benchcalc.panel.grid import Canvas, canvas, cells, foot, measures, status_line
from benchcalc.panel.language import say
from benchcalc.panel.messages import Command
from benchcalc.panel.model import Model
from benchcalc.panel.scene import Box, Role, Scene, Stroke
from benchcalc.panel.screens.settings import changed
from benchcalc.panel.settings import LEAST_SIDE_MM, MOST_SIDE_MM, Ruled, Ruling
from benchcalc.panel.sizes import Physical, physical

Acted = tuple[Model, tuple[Command, ...]]

STEPS = {"closer much": -10, "closer": -1, "wider": 1, "wider much": 10}
"""Pixels by which a key moves the lines apart."""

LONGEST_MM, STEP_MM = 100, 10


def size_of(model: Model) -> Physical:
    """The screen's size as it is known."""
    return physical(model.size, model.settings, model.told)


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
    room, size = _room(model), size_of(model)
    long_px, per_mm = (room.w, size.across) if ruling.across else (room.h, size.down)
    fits_mm = int(0.9 * long_px / per_mm) // STEP_MM * STEP_MM
    apart_mm = min(LONGEST_MM, max(STEP_MM, fits_mm))
    return replace(ruling, apart_mm=apart_mm, apart_px=round(apart_mm * per_mm))


def view(model: Model) -> Scene:
    """Two lines, and the keys that move them."""
    c = canvas(model)
    step = 1 if model.ruling.across else 2
    title = say("ruler.title", step=step)
    status_line(c, c.status, title, "", model.trouble)
    room, keys = foot(c.below, _keys_height(model))
    _lines(c, model, room)
    wide = not c.tall
    names = ("cancel", *STEPS, "next")
    for name, box in zip(names, cells(keys, 6 if wide else 3, 1 if wide else 2), strict=True):
        role: Role = "key_go" if name == "next" else "key_act" if name == "cancel" else "key"
        done = "ruler.next" if model.ruling.across else "ruler.done"
        text = {"cancel": say("back"), "next": say(done)}.get(name, f"{STEPS.get(name, 0):+d}")
        c.key(name, box, text.replace("-", "−"), role, lines=2)
    return c.scene()


def _lines(c: Canvas, model: Model, room: Box) -> None:
    ruling = model.ruling
    says = say("ruler.across" if ruling.across else "ruler.down", apart=ruling.apart_mm)
    half = ruling.apart_px / 2
    x, y = room.centre
    if ruling.across:
        places: list[tuple[tuple[float, float], ...]] = [
            ((x + off, room.y), (x + off, room.bottom)) for off in (-half, half)
        ]
        text = Box(max(room.x, x - half) + 8, room.y, min(2 * half, room.w) - 16, room.h)
    else:
        places = [((room.x, y + off), (room.right, y + off)) for off in (-half, half)]
        text = Box(room.x + 8, y - half + 4, room.w - 16, 2 * half - 8)
    for points in places:
        c.add(Stroke(points, "ink", 1.0))
    c.text(text, model.refusal or says, c.unit, "ink", "centre", 5)


def act(model: Model, target: str) -> Acted:
    """Move the lines, or take them: first across, then down."""
    ruling = model.ruling
    if target == "cancel":
        return model.with_work(screen="settings"), ()
    if target in STEPS:
        room = _room(model)
        most = int(room.w if ruling.across else room.h) - 2
        apart = min(max(ruling.apart_px + STEPS[target], 20), most)
        return replace(model, ruling=replace(ruling, apart_px=apart)), ()
    if target != "next" or not ruling.apart_px:
        return model, ()
    side = model.size[0 if ruling.across else 1] * ruling.apart_mm / ruling.apart_px
    if not LEAST_SIDE_MM <= side <= MOST_SIDE_MM:
        return replace(model, refusal=say("ruler.unlikely", side=f"{side:.0f} mm")), ()
    if ruling.across:
        down = Ruling(across=False, width_mm=round(side, 1))
        return replace(model, ruling=_begun(model, down)), ()
    ruled = Ruled(ruling.width_mm, round(side, 1), *model.size)
    after, commands = changed(model, replace(model.settings, ruled=ruled))
    return after.with_work(screen="settings"), commands
