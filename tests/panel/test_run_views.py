"""The picture of the run turns to the bend in hand, and only where that shows it better."""

from dataclasses import replace
from math import sqrt

import pytest

from benchcalc.core.geometry.vectors import Vector, cross, dot
from benchcalc.core.layout.path import Path
from benchcalc.panel.state.draft import read_draft
from benchcalc.panel.state.model import Row
from benchcalc.report.drawings import run_picture
from benchcalc.report.run_views import LEANING, PLANE, View, best_view, seen, view_of_bend
from benchcalc.report.scene import Box
from tests.panel.journeys import demo_draft
from tests.panel.test_run_marks import demo_sheet

BOX = Box(0, 0, 400, 300)


def legs_area(path: Path, number: int, view: View) -> float:
    """The area on the screen between 50 mm of both legs of a bend, by its three corners."""
    at = next(i for i, piece in enumerate(path.pieces) if piece.bend == number)
    arc, after = path.pieces[at], path.pieces[at + 1]
    back: Vector = tuple(p - 50 * d for p, d in zip(arc.point, arc.direction, strict=True))  # type: ignore[assignment]
    ahead: Vector = tuple(p + 50 * d for p, d in zip(after.point, after.direction, strict=True))  # type: ignore[assignment]
    (x0, y0), (x1, y1), (x2, y2) = seen([back, arc.point, ahead], view)
    return abs((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)) / 2


def test_each_bend_of_a_run_in_two_planes_is_shown_in_its_own() -> None:
    """The demo's bends 1 and 4 lie in one plane, 2 and 3 in another."""
    path = demo_sheet().path
    views = {number: view_of_bend(path, number) for number in (1, 2, 3, 4)}
    assert views[1] == views[4] != views[2] == views[3]
    for number, view in views.items():
        areas = {other: legs_area(path, number, other) for other in (*LEANING, best_view(path))}
        assert legs_area(path, number, view) == pytest.approx(max(areas.values()))
        assert legs_area(path, number, view) > 1.3 * areas[best_view(path)]


def test_the_picture_turns_with_the_bend_in_hand_by_one_small_step() -> None:
    sheet = demo_sheet()
    places = [run_picture(BOX, sheet, n).shapes[:3] for n in (1, 2, 3)]
    assert places[0] != places[1]
    whole = cross(*best_view(sheet.path))
    for number in (1, 2, 3, 4):  # 19.5 degrees: the sides that were in front stay there
        turned = dot(cross(*view_of_bend(sheet.path, number)), whole)
        assert turned == pytest.approx(4 / sqrt(18))


def test_without_a_bend_in_hand_the_whole_run_decides() -> None:
    path = demo_sheet().path
    for number in (None, 0, 5):
        assert view_of_bend(path, number) == best_view(path)


def test_a_flat_run_never_turns() -> None:
    rows = (Row("100", "90"), Row("90", "45", "180"), Row("80", "30", "0"), Row("120"))
    flat = read_draft(replace(demo_draft(), rows=rows)).sheet
    assert flat is not None
    assert {view_of_bend(flat.path, n) for n in (None, 1, 2, 3)} == {PLANE}


def test_a_view_squarely_onto_no_bend_is_kept_where_it_shows_enough() -> None:
    """A bend whose plane the run's own view sees nearly as well turns nothing."""
    path = demo_sheet().path
    bend = next(piece for piece in path.pieces if piece.bend == 2)
    eye = cross(*best_view(path))
    normal = cross(eye, bend.direction)
    facing = bend._replace(normal=normal)
    faced = path._replace(pieces=tuple(facing if p is bend else p for p in path.pieces))
    assert view_of_bend(faced, 2) == best_view(faced)
