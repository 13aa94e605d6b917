"""The bend in hand at its true angle and size, to hold the tube against the screen.

Pixels need not be square, so every point is reckoned in millimetres and scaled across and down
apart; before the screen was measured with a ruler there is no gauge.
"""

from dataclasses import replace
from math import cos, radians, sin

from benchcalc.core.job import Units
from benchcalc.panel.state.action import aside
from benchcalc.panel.state.acts import closed
from benchcalc.panel.state.in_hand import piece_in_hand
from benchcalc.panel.state.making.steps import bend_in_hand
from benchcalc.panel.state.model import Model
from benchcalc.panel.state.over import GaugeShown
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    fits,
    measures,
)
from benchcalc.panel.widgets.sizes import Physical
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import foot
from benchcalc.report.figures import angle_text, length_text
from benchcalc.report.scene import (
    CAPITAL_PART,
    Box,
    Label,
    Picture,
    Point,
    Polygon,
    Scene,
    Shape,
    Stroke,
)
from benchcalc.words.language import say

LINE_MM = 1.2
"""Thick enough to be seen past a tube's edge."""

TICKS_MM = ((3.2, 0.5), (2.2, 0.35), (1.2, 0.25))
"""Length and thickness of the ruler's ticks: at a figure, half way or a quarter, and the least."""

RULER_MM, FIGURE_MM = 8.5, 3.2
"""How high the ruler is, and its figures' digits."""

LONG_MM = 400.0
"""A leg that goes past the edge of any screen; it is cut off there."""


def laid_over(model: Model) -> Model:
    """The gauge over the step, where the screen was measured; before that it has no key."""
    return replace(model, over=GaugeShown() if measures(model).source == "ruler" else None)


def view(model: Model) -> Scene:
    """The bend as large as the screen allows, a ruler below it; the way back is in the top line."""
    c = canvas(model)
    making, sheet = model.work.making, piece_in_hand(model)
    body, says = foot(c.below, 2.1 * c.unit)
    back_w = max(2 * c.measures.least_px[0], 4 * c.unit)
    title_box = c.status._replace(w=c.status.w - back_w)
    place = Box(title_box.right, 0.0, back_w, c.status.h)
    back = aside(closed)
    c.key("cancel", place, say("back"), "key_go", c.unit, does=back, keys=("escape",))
    if making is None or sheet is None:
        status_line(c, title_box, say("make.nothing"), "", model.trouble)
        return c.scene()
    bend, size = bend_in_hand(making, sheet), measures(model)
    title = say("gauge.title", number=bend.number, angle=angle_text(bend.angle_deg))
    status_line(c, title_box, title, "", model.trouble)
    od, radius = sheet.job.tube.od_mm, sheet.job.bender.radius_mm
    ruler_h = RULER_MM * size.down
    place = Box(0, body.y + 4, body.w, body.h - ruler_h - 8)
    drawn_mm = fitting_radius(place, size, bend.angle_deg, radius, od)
    _bend(c, place, size, bend.angle_deg, drawn_mm, od)
    _ruler(c, Box(0, place.bottom + 4, body.w, ruler_h), size, sheet.job.units)
    true = drawn_mm == radius
    place = Box(says.x + GAP, says.y, says.w - 2 * GAP, says.h)
    kind = "true" if true else "angle-only"
    told = say(f"gauge.{kind}", radius=length_text(radius, sheet.job.units))
    if not fits(c, place, told):
        told = say(f"gauge.{kind}.short")
    c.text(place, told, c.unit, "ink", "left", int(place.h / c.unit))
    return c.scene()


def fitting_radius(
    place: Box, size: Physical, angle_deg: float, radius_mm: float, od_mm: float
) -> float:
    """The bend's radius, or the largest whose arc leaves 20 mm of both legs on the screen."""
    a = radians(angle_deg)
    high_mm = place.h / size.down - od_mm - 20.0 * sin(a)
    wide_mm = place.w / size.across - od_mm - 25.0
    rise, reach = max(1.0 - cos(a), 1e-6), sin(a) if angle_deg < 90.0 else 1.0
    return max(od_mm / 2, min(radius_mm, high_mm / rise, wide_mm / max(reach, 1e-6)))


def edge(angle_deg: float, radius_mm: float, aside_mm: float) -> tuple[Point, ...]:
    """A line along the bent tube, mm, from where the arc begins: x on along the leg, y inwards.

    ``aside_mm`` is how far it lies outside the centreline, under zero inside.
    """
    a, r = radians(angle_deg), radius_mm + aside_mm
    steps = max(2, int(angle_deg / 3.0))
    arc = [(r * sin(a * i / steps), radius_mm - r * cos(a * i / steps)) for i in range(steps + 1)]
    end = (arc[-1][0] + LONG_MM * cos(a), arc[-1][1] + LONG_MM * sin(a))
    return ((-LONG_MM, -aside_mm), *arc, end)


def _bend(
    c: Canvas, place: Box, size: Physical, angle_deg: float, radius_mm: float, od_mm: float
) -> None:
    """Both sides of the tube in thick lines; what lies beside the place is cut off."""
    a = radians(angle_deg)
    reach_mm = (radius_mm + od_mm / 2) * (sin(a) if angle_deg < 90.0 else 1.0)
    spare_mm = place.w / size.across - reach_mm
    start = spare_mm * (0.5 if angle_deg < 90.0 else 0.8)

    def at(point: Point) -> Point:
        x = place.x + (start + point[0]) * size.across
        return (x, place.bottom - (point[1] + od_mm / 2 + LINE_MM) * size.down)

    outer = [at(p) for p in edge(angle_deg, radius_mm, od_mm / 2)]
    inner = [at(p) for p in edge(angle_deg, radius_mm, -od_mm / 2)]
    thick = LINE_MM * min(size.across, size.down)
    sides = [Stroke(tuple(line), "ink", thick) for line in (outer, inner)]
    c.add(Picture(place, (Polygon((*outer, *reversed(inner)), "tube"), *sides)))


def _ruler(c: Canvas, box: Box, size: Physical, units: Units) -> None:
    """Millimetres, or sixteenths of an inch, along the foot, numbered from the edge on.

    Also the proof that the screen was measured right.
    """
    shapes: list[Shape] = []
    step_mm, middle, whole, figured = (25.4 / 16, 4, 16, 1) if units == "in" else (1.0, 5, 10, 10)
    across_px, letter_px = step_mm * size.across, FIGURE_MM / CAPITAL_PART * size.down
    for tick in range(int(box.w / across_px) + 1):
        kind = 0 if tick % whole == 0 else 1 if tick % middle == 0 else 2
        x, tall = box.x + tick * across_px, TICKS_MM[kind][0] * size.down
        width = max(1.0, TICKS_MM[kind][1] * size.across)
        shapes.append(Stroke(((x, box.y), (x, box.y + tall)), "ink", width))
        room = 2.5 * letter_px
        if kind == 0 and tick and x + room / 2 <= box.right:
            says = str(tick // whole * figured)
            place = Box(x - room / 2, box.y + tall, room, box.h - tall)
            shapes.append(Label(place, says, letter_px, "ink", "centre"))
    c.add(Picture(box, tuple(shapes), "sheet"))
