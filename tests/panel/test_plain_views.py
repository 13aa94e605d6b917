"""The picture to hand to someone at the bench: four views with their sizes, and the marks."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from math import cos, radians, sin

import pytest

from benchcalc.core.job import Run, Segment
from benchcalc.core.sheet import Sheet, work_out
from benchcalc.panel.state.draft import read_draft
from benchcalc.report.plain_views import reach
from benchcalc.report.run_views import X, Y, Z
from benchcalc.report.scene import scene_text
from benchcalc.report.sheet_picture import sheet_picture
from benchcalc.report.svg import svg_text
from benchcalc.report.text_fit import fit
from benchcalc.report.theme import PAPER
from tests.panel.journeys import demo_draft

SIZE = (1400, 1000)


def demo_sheet(**changes: object) -> Sheet:
    sheet = read_draft(demo_draft()).sheet
    assert sheet is not None
    return work_out(replace(sheet.job, **changes)) if changes else sheet  # type: ignore[arg-type]


def test_the_svg_is_well_formed_and_names_all_four_views() -> None:
    root = ET.fromstring(svg_text(sheet_picture(demo_sheet(), SIZE), PAPER))
    words = " ".join("".join(node.itertext()) for node in root.iter())
    for name in ("front, X and Y", "from above, X and Z", "from the right, Z and Y", "isometric"):
        assert name in words, name
    for mark in ("1: ", "2: ", "3: ", "4: "):
        assert mark in words


def test_the_overall_sizes_are_those_of_the_legs_and_the_tube() -> None:
    sheet, od = demo_sheet(), 10.0
    lean = 125 * sin(radians(45))
    wide, high, deep = (reach(sheet.path, axis, od).size for axis in (X, Y, Z))
    assert wide == pytest.approx(140 + 120, abs=0.01)
    assert high == pytest.approx(110 + 125 * cos(radians(45)) + 160 + od, abs=0.01)
    assert deep == pytest.approx(lean + od, abs=0.01)
    text = scene_text(sheet_picture(sheet, SIZE))
    for size in (wide, high, deep):
        assert text.count(f"{size:.1f} mm") == 2, "each size stands in the two views that show it"


def test_a_leg_is_told_where_it_is_seen_whole() -> None:
    text = scene_text(sheet_picture(demo_sheet(), SIZE))
    for leg in ("140.0 mm", "110.0 mm", "125.0 mm", "160.0 mm", "120.0 mm"):
        assert leg in text, leg


@pytest.mark.parametrize(
    "run",
    [
        Run((Segment(60, 90),), 60),
        Run((Segment(400, 45), Segment(90, 45, 180)), 400),
        Run((Segment(100, 180), Segment(200, 180, 180)), 100),
        Run(tuple(Segment(80, 60, 70.0 * i) for i in range(10)), 90),
    ],
    ids=["one bend", "flat offset", "two Us", "ten bends"],
)
def test_any_run_is_drawn_within_the_sheet(run: Run) -> None:
    scene = sheet_picture(demo_sheet(run=run), SIZE)
    root = ET.fromstring(svg_text(scene, PAPER))
    assert len(list(root.iter())) > 30
    for shape in (s for picture in scene.shapes for s in getattr(picture, "shapes", ())):
        for x, y in getattr(shape, "points", ()):
            assert -1 <= x <= SIZE[0] + 1 and -1 <= y <= SIZE[1] + 1
        if hasattr(shape, "text"):
            assert fit(shape, lambda text, px: 0.5 * px * len(text)).fits, shape.text
