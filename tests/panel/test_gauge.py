"""Measuring the screen, and the bend drawn on it at its true angle."""

from dataclasses import replace
from math import atan2, degrees

import pytest

from benchcalc.panel.screens.gauge import edge, fitting_radius, laid_over
from benchcalc.panel.state.model import Model
from benchcalc.panel.state.over import GaugeShown
from benchcalc.panel.update import view
from benchcalc.panel.widgets.sizes import physical
from benchcalc.report.scene import Box, Fill, Label, Picture, Polygon, Stroke, scene_text
from benchcalc.report.settings import Ruled, Settings
from benchcalc.words.language import say
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, SHOP, TO_FIRST_CHECK

TO_PULL = (*BENCH, *RUN, "make", *TO_FIRST_CHECK[:-2])


def strokes(hands: Hands) -> list[Stroke]:
    picture = next(s for s in hands.scene.shapes if isinstance(s, Picture))
    return [s for s in picture.shapes if isinstance(s, Stroke)]


def test_without_a_ruler_there_is_no_gauge() -> None:
    told = Ruled(154, 86, 800, 480)  # a screen's own word is not enough
    hands = Hands(replace(Model(SHOP), told=told)).tap(*TO_PULL)
    assert hands.scene.target("gauge") is None
    assert laid_over(hands.model).over is None


def test_the_ruler_gives_both_sides_apart() -> None:
    hands = Hands(Model(SHOP)).tap("settings", "ruler")
    ruling = hands.model.ruling
    assert (ruling.apart_mm, ruling.across) == (100, True)
    hands.tap("wider much", "wider", "closer", "next")
    wide = 800 * 100 / (ruling.apart_px + 10)
    down = hands.model.ruling
    hands.tap("closer much", "next")
    high = 480 * down.apart_mm / (down.apart_px - 10)
    assert hands.shown == "settings"
    assert hands.model.settings.ruled == Ruled(round(wide, 1), round(high, 1), 800, 480)
    assert hands.kept_settings["settings"]["ruled"]["width_mm"] == round(wide, 1)
    assert "screen, exact" in hands.text


@pytest.mark.parametrize("stretched", [0.9, 1.0, 1.15])
def test_the_drawn_angle_is_true_whatever_shape_the_pixels_have(stretched: float) -> None:
    settings = Settings(ruled=Ruled(154 * stretched, 92.4, 800, 480))
    hands = Hands(replace(Model(SHOP), settings=settings)).tap(*TO_PULL, "gauge")
    size = physical((800, 480), settings)
    lines = strokes(hands)
    assert len(lines) == 2
    for line in lines:
        (x0, y0), (x1, y1) = line.points[-2:]
        turned = atan2((y0 - y1) / size.down, (x1 - x0) / size.across)
        assert degrees(turned) == pytest.approx(90)
    apart = abs(lines[0].points[0][1] - lines[1].points[0][1]) / size.down
    assert apart == pytest.approx(10)  # the tube's diameter, true to size
    assert hands.tap("cancel").shown == "pull"


@pytest.mark.parametrize("angle", [5, 45, 90, 135, 180])
def test_sides_of_a_bent_tube_are_a_diameter_apart(angle: float) -> None:
    outer, inner = edge(angle, 24.0, 4.0), edge(angle, 24.0, -4.0)
    for (x0, y0), (x1, y1) in zip(outer, inner, strict=True):
        assert (x0 - x1) ** 2 + (y0 - y1) ** 2 == pytest.approx(64)


def test_a_bend_too_large_for_the_screen_keeps_its_angle() -> None:
    size = physical((480, 320), Settings())
    place = Box(0, 0, 480, 200)
    assert fitting_radius(place, size, 90, 15, 6) < 15
    assert fitting_radius(place, size, 10, 15, 6) == 15


def test_the_gauge_lies_over_the_step_until_it_is_put_away() -> None:
    settings = Settings(ruled=Ruled(154, 86, 800, 480))
    hands = Hands(replace(Model(SHOP), settings=settings)).tap(*TO_PULL)
    before = scene_text(view(hands.model))
    hands.tap("gauge").key("enter", "7")
    assert hands.model.over == GaugeShown()
    hands.key("escape")
    assert scene_text(view(hands.model)) == before


@pytest.mark.parametrize(
    ("units", "figured_mm", "least_mm"), [("mm", 10.0, 1.0), ("in", 25.4, 25.4 / 16)]
)
def test_the_ruler_is_numbered_where_it_says(
    units: str, figured_mm: float, least_mm: float
) -> None:
    settings = Settings(ruled=Ruled(154 * 1.15, 92.4, 800, 480))
    hands = Hands(replace(Model(SHOP), settings=settings)).tap(*TO_PULL)
    hands.model = hands.model.with_draft(units=units)
    hands.tap("gauge")
    size = physical((800, 480), settings)
    ruler = [shape for shape in hands.scene.shapes if isinstance(shape, Picture)][-1]
    figures = [shape for shape in ruler.shapes if isinstance(shape, Label)]
    assert len(figures) == int((154 * 1.15 - 5) / figured_mm)
    ticks = {round(t.points[0][0], 3): t for t in ruler.shapes if isinstance(t, Stroke)}
    lengths = [t.points[1][1] - t.points[0][1] for t in ticks.values()]
    for label in figures:
        at_mm = int(label.text) * (25.4 if units == "in" else 1.0)
        assert label.box.centre[0] / size.across == pytest.approx(at_mm)
        tick = ticks[round(at_mm * size.across, 3)]
        assert tick.points[1][1] - tick.points[0][1] == max(lengths)
    assert len(set(lengths)) == 3 and len({t.width for t in ticks.values()}) == 3
    one, other = sorted(ticks)[:2]
    assert (other - one) / size.across == pytest.approx(least_mm, abs=1e-3)


@pytest.mark.parametrize("step", [(), ("next",)])
def test_the_edges_to_measure_from_are_as_far_apart_as_is_kept(step: tuple[str, ...]) -> None:
    hands = Hands(Model(SHOP)).tap("settings", "ruler", *step)
    ruling = hands.model.ruling
    one, other = (s.box for s in hands.scene.shapes if isinstance(s, Fill) and s.role == "ink")
    apart = other.x - one.right if ruling.across else other.y - one.bottom
    assert apart == pytest.approx(ruling.apart_px)
    tips = [s.points[0] for s in hands.scene.shapes if isinstance(s, Polygon) and s.role == "focus"]
    along = 0 if ruling.across else 1
    assert abs(tips[1][along] - tips[0][along]) == pytest.approx(ruling.apart_px)
    says = say("ruler.across" if ruling.across else "ruler.down", apart=ruling.apart_mm)
    assert says in hands.text and "inner edges" in says
