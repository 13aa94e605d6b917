"""The run's pictures: isometric views, the ring about the far end, the places that meet."""

from dataclasses import replace
from math import dist, hypot, sqrt

import pytest

from benchcalc.core.fit.expected_miss import Tolerances, tolerances_on
from benchcalc.core.geometry.vectors import dot
from benchcalc.core.sheet import Sheet, work_out
from benchcalc.panel.state.draft import read_draft
from benchcalc.report.drawings import fitted, miss_ring, run_picture
from benchcalc.report.run_marks import clash_of, clash_spots, clash_view, point_at
from benchcalc.report.run_views import ISOMETRIC, View, clearest_isometric, seen
from benchcalc.report.scene import Box, Label
from tests.panel.journeys import demo_draft
from tests.screens.clash_states import meets_itself

BOX = Box(0, 0, 400, 300)


def demo_sheet() -> Sheet:
    sheet = read_draft(demo_draft()).sheet
    assert sheet is not None
    return sheet


@pytest.mark.parametrize("view", ISOMETRIC)
def test_an_isometric_view_shortens_all_axes_alike(view: View) -> None:
    """By sqrt(2/3) = 0.816, ISO 5456-3 (from memory); X and Z lie 30 degrees to the horizontal."""
    right, up = view
    assert dot(right, up) == pytest.approx(0) and dot(right, right) == pytest.approx(1)
    for axis in range(3):
        assert hypot(right[axis], up[axis]) == pytest.approx(sqrt(2 / 3))
    assert abs(up[0] / right[0]) == pytest.approx(1 / sqrt(3))
    assert up[1] > 0 and right[1] == pytest.approx(0)


def test_the_ring_is_to_scale() -> None:
    sheet = demo_sheet()
    view = clearest_isometric(sheet.path)
    place, scale = fitted(Box(0, 0, 4000, 3000), seen([p for p, _ in sheet.path.points()], view))
    miss_mm = sheet.expected_miss().radius_mm
    ring = miss_ring(sheet.path, miss_mm, view, place, scale)
    assert ring.radius == pytest.approx(miss_mm * scale)
    assert ring.centre == pytest.approx(place(*seen([sheet.path.end_point], view)[0]))


def test_the_ring_stands_where_no_bend_is_in_hand() -> None:
    sheet = demo_sheet()

    def ringed(current: int | None) -> bool:
        shapes = run_picture(BOX, sheet, current).shapes
        return any(isinstance(shape, Label) and "within" in shape.text for shape in shapes)

    assert ringed(None) and ringed(5) and not ringed(4)


def test_the_places_that_meet_lie_as_far_apart_as_is_told() -> None:
    sheet = read_draft(meets_itself((800, 480)).draft).sheet
    assert sheet is not None
    finding = clash_of(sheet)
    assert finding is not None and finding.rule == "clash-self"
    one, other = clash_spots(sheet, finding)
    gap = float(dict(finding.values)["gap_mm"])
    assert dist(one, other) == pytest.approx(sheet.job.tube.od_mm + gap, abs=0.01)
    (x0, y0), (x1, y1) = seen([one, other], clash_view(sheet, finding))
    assert hypot(x1 - x0, y1 - y0) > 0.5 * dist(one, other)


def test_points_along_the_run() -> None:
    path = demo_sheet().path
    first = path.pieces[0]
    assert point_at(path, -3) == first.point and point_at(path, 1e9) == path.end_point
    assert point_at(path, first.length_mm / 2) == first.at(first.length_mm / 2)[0]
    assert point_at(path, first.length_mm + 1) == path.pieces[1].at(1)[0]


def test_the_width_of_an_angle_is_what_the_bench_has_learnt() -> None:
    sheet = demo_sheet()
    assert sheet.widths == Tolerances().on(sheet.job.tube.od_mm)
    learnt = replace(
        sheet.springback, source="measured", var_a=0.0, var_b=0.0, cov_ab=0.0, noise_deg=0.1
    )
    assert work_out(sheet.job, learnt).widths.angle_deg == pytest.approx(0.2, rel=0.1)
    wild = replace(learnt, noise_deg=3.0)
    assert tolerances_on(sheet.layout, 0.5, wild, Tolerances()).angle_deg == 0.5
    set_here = Tolerances(0.8, 1.0, 2.0)
    assert tolerances_on(sheet.layout, 0.5, sheet.springback, set_here) == set_here
    taught = tolerances_on(sheet.layout, 0.5, learnt, set_here)
    assert taught == replace(set_here, angle_deg=taught.angle_deg) != set_here
