"""Every job put aside is seen in a list and can be taken up again; none is lost to another."""

from dataclasses import replace

import pytest

from benchcalc.panel.state.model import Model, work_of, work_plain
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, SHOP, TO_FIRST_CHECK, typed

HALF_BENT = (*BENCH, *RUN, "make", *TO_FIRST_CHECK, *typed("90", "next"))


def on_day(day: str, *taps: str) -> Hands:
    return Hands(Model(SHOP, today=day)).tap(*taps)


def test_each_job_is_seen_with_its_tube_how_far_it_is_and_since_when() -> None:
    hands = on_day("2031-05-04", *HALF_BENT, "more", "aside")
    assert hands.work.screen == "bench" and hands.work.making is None
    hands.tap("set name", *typed("RACK"), "next", "plan", *typed("120", "next"), "bench", "new")
    hands.model = replace(hands.model, today="2031-05-05")
    hands.tap("set name", *typed("DRAIN"), "next", "new", "jobs")
    text = hands.text + hands.tap("more").text
    assert text.index("DRAIN") < text.index("RACK") < text.index("unnamed run")
    assert "10 mm x 1 mm 316,  piece 1 of 1, bends made: 1,  2031-05-04" in text
    assert "no run yet,  today" in text and "legs: 1,  2031-05-04" in text


def test_any_of_them_is_taken_up_where_it_was_and_the_one_in_hand_waits() -> None:
    hands = Hands().tap(*HALF_BENT)
    before = hands.work
    hands.tap("more", "aside", "set name", *typed("B"), "next", "new")
    hands.tap("set name", *typed("C"), "next", "jobs", "take 2")
    assert (hands.work.draft, hands.work.making) == (before.draft, before.making)
    assert hands.shown == "turn"
    assert [one.draft.name for one in hands.work.shelf] == ["B", "C"]


def test_two_new_jobs_lose_no_half_bent_piece() -> None:
    hands = Hands().tap(*HALF_BENT, "more", "aside")
    for name in "BC":
        hands.tap("plan", *typed("100", "next"), "bench", "new")
        assert len(hands.work.shelf) == 2 + (name == "C"), name
    assert hands.tap("jobs", "take 3").shown == "turn"


def test_putting_aside_and_taking_up_are_two_taps_each() -> None:
    hands = Hands().tap(*HALF_BENT)
    for name in ("more", "aside"):
        hands.down(name)
        hands.up(name)
    assert hands.work.screen == "bench" and hands.work.shelf
    for name in ("jobs", "take 1"):
        assert hands.scene.target(name), name
        hands.down(name)
        hands.up(name)
    assert hands.shown == "turn" and not hands.work.shelf


def test_a_job_is_thrown_away_only_when_asked_and_never_with_bends_made() -> None:
    hands = Hands().tap(*HALF_BENT, "more", "aside", "set name", *typed("B"), "next", "new", "jobs")
    hands.tap("away 1")
    assert "Throw B away?" in hands.text
    assert len(hands.tap("keep it").work.shelf) == 2
    assert [one.draft.name for one in hands.tap("away 1", "throw away").work.shelf] == [""]
    hands.tap("away 1", "throw away")
    assert len(hands.work.shelf) == 1 and "scrap the piece first" in hands.text
    assert hands.tap("cancel", "take 1").shown == "turn"


def test_what_an_older_version_put_aside_is_still_there() -> None:
    hands = Hands().tap(*HALF_BENT, "more", "aside")
    saved = work_plain(hands.work)
    for one in saved["work"]["shelf"]:
        del one["day"]
    assert work_of(saved) == hands.work
    assert "bends made: 1" in hands.tap("jobs").text


@pytest.mark.parametrize("size", [(480, 320), (480, 800), (800, 480), (1280, 800)])
def test_a_long_list_has_pages(size: tuple[int, int]) -> None:
    hands = Hands().tap(*BENCH, "bench")
    for number in range(12):
        hands.tap("set name", *typed(f"A{number}"), "next", "new")
    hands.model = replace(hands.model, size=size)
    hands.tap("jobs")
    seen: set[str] = set()
    for _ in range(12):
        seen |= {target.name for target in hands.scene.targets if target.name.startswith("take ")}
        if hands.scene.target("more"):
            hands.down("more")
            hands.up("more")
    assert len(seen) == 12
