"""The way to a port that is taken on the panel, when the bench learns another radius after it."""

from dataclasses import replace

import pytest

from benchcalc.core.job import Job
from benchcalc.core.shapes.drawing import drawing_of
from benchcalc.panel.state.in_hand import work_in_hand
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, shape
from tests.panel.test_shapes import learnt_from

NEAR = ("", "", "", "1", "", "", "120", "80", "60", "1", "", "")
"""An offset so short that its ways come in another order once the radii are known."""


def taken(way: str) -> Hands:
    """A run between two ports by one of its ways."""
    return Hands().tap(*BENCH, *shape("ports", *NEAR), f"choose {way}", "take")


def taught(hands: Hands) -> Hands:
    """The same with what the bench has learnt since."""
    hands.model = replace(hands.model, taught=learnt_from(hands))
    return hands


def job_in(hands: Hands) -> Job:
    read = work_in_hand(hands.model)
    assert read.whole and read.sheet is not None, read
    return read.sheet.job


def angles_in(hands: Hands) -> list[float]:
    return [segment.angle_deg for segment in job_in(hands).run.segments]


@pytest.mark.parametrize("way", ["1", "4"])
def test_it_stays_what_it_is(way: str) -> None:
    hands = taken(way)
    was = job_in(hands)
    now = job_in(taught(hands))
    assert now.run != was.run and drawing_of(now) == drawing_of(was)
    assert angles_in(hands) == pytest.approx([s.angle_deg for s in was.run.segments], abs=2.0)


def test_lost_it_is_told_and_no_other_taken() -> None:
    hands = taken("2")
    assert angles_in(hands) == [90.0, 30.0, 60.0]
    by_place = taught(Hands().tap(*BENCH, *shape("ports", *NEAR)))
    assert angles_in(by_place.tap("choose 2", "take")) == [90.0, 60.0, 90.0]
    lost = "The way that was taken, 90° / 30° / 60°, cannot be bent any more"
    assert lost in taught(hands).text
    assert hands.restart().work == hands.work
    hands.tap("open shape")
    assert lost in hands.text and hands.scene.target("choose 1") is not None
    assert hands.tap("take").shown == "shape" and lost in hands.text
    hands.tap("choose 1", "take")
    assert angles_in(hands) == [90.0, 90.0] and hands.tap("make").shown == "cut"


def test_the_list_shows_where_it_stands_now() -> None:
    hands = taught(taken("4")).tap("open shape", *["next"] * 12)
    shown = [shape for shape in hands.scene.shapes if getattr(shape, "edge", "") == "focus"]
    fourth = hands.scene.target("choose 4")
    assert fourth is not None
    assert any(fourth.box.holds(*face.box.centre) for face in shown)  # type: ignore[union-attr]


def test_lost_between_two_pieces_it_is_told_before_the_next_is_cut() -> None:
    hands = taken("2")
    hands.tap("make")
    assert hands.shown == "cut"
    taught(hands)
    assert "90° / 30° / 60°, cannot be bent any more" in hands.text
    assert hands.tap("plan").shown == "plan"
