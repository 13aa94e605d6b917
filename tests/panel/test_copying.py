"""Copying to a stick, by taps: two presses, what is said on the way, and how it can end."""

from dataclasses import replace

import pytest

from benchcalc.panel.screens.copying import looks_for_sticks
from benchcalc.panel.state.messages import (
    CancelCopy,
    CopyDone,
    CopyFailed,
    CopyProgress,
    SaveWork,
    StartCopy,
    SticksSeen,
)
from benchcalc.panel.state.model import Model
from benchcalc.panel.update import update, view
from benchcalc.report.told import verbatim
from tests.panel.driver import Hands, Kept
from tests.panel.faces import name_at
from tests.panel.journeys import JOB, SHOP, ready_to_make

STICK, OTHER = "/media/STICK", "/media/ARCHIVE"
SIZES = ((480, 320), (800, 480), (1024, 600))


def with_log(records: int = 12, copied: int = 2, size: tuple[int, int] = (800, 480)) -> Hands:
    """The bench with a stick in, and a log."""
    hands = Hands(Model(SHOP, size))
    hands.log, hands.copied = [Kept("word", {})] * records, copied
    return hands.hear(SticksSeen((STICK,)))


def test_a_stick_that_appears_is_a_key_and_goes_with_it() -> None:
    hands = Hands()
    assert hands.scene.target("copy") is None
    hands.hear(SticksSeen((STICK,)))
    assert hands.scene.target("copy") is not None and "copy to stick" in hands.text
    assert hands.hear(SticksSeen(())).scene.target("copy") is None


@pytest.mark.parametrize("copied", [0, 2])
@pytest.mark.parametrize("size", SIZES)
def test_two_presses_on_different_places_start_it(size: tuple[int, int], copied: int) -> None:
    hands = with_log(copied=copied, size=size)
    first = hands.scene.target("copy")
    hands.tap("copy")
    second = hands.scene.target("start")
    assert first is not None and second is not None
    assert hands.asked == [] and name_at(hands.scene, *first.box.centre) != "start"
    assert second.box.x >= first.box.right - 0.01 or second.box.y >= first.box.bottom
    assert hands.tap("start").asked == [StartCopy(STICK, everything=False)]


def test_it_says_what_goes_where_and_where_the_chain_ends() -> None:
    hands = with_log().tap("copy")
    for part in ("To the stick STICK", "10, records 3 to 12", "record 12: 5f0c 9e21 17ab 40d3"):
        assert part in hands.text
    assert "40d3 0" not in hands.text
    hands.tap("what")
    assert "All 12, records 1 to 12" in hands.text
    assert hands.tap("start").asked == [StartCopy(STICK, everything=True)]


def test_what_was_copied_before_is_not_offered_but_can_be_asked_for() -> None:
    hands = with_log(copied=12).tap("copy")
    assert "Nothing new since the last copy, record 12." in hands.text
    assert hands.scene.target("start") is None
    assert hands.key("enter").asked == []
    assert hands.tap("what", "start").asked == [StartCopy(STICK, everything=True)]


def test_without_records_or_stick_nothing_starts() -> None:
    assert with_log(0, 0).tap("copy").scene.target("start") is None
    hands = with_log().tap("copy").hear(SticksSeen(()))
    assert "No stick" in hands.text and hands.scene.target("start") is None
    assert hands.key("enter").asked == []


def test_the_other_of_two_sticks() -> None:
    hands = with_log().tap("copy").hear(SticksSeen((OTHER, STICK)))
    assert "To the stick STICK" in hands.text
    assert hands.tap("other", "start").asked == [StartCopy(OTHER, everything=False)]


def test_a_running_copy_shows_its_share_and_can_only_be_stopped() -> None:
    hands = with_log().tap("copy", "start").hear(CopyProgress(0.374))
    assert "37 %" in hands.text
    assert [target.name for target in hands.scene.targets] == ["help", "stop"]
    before = hands.model
    assert hands.hear(CopyProgress(0.3701)).model is before
    hands.tap("stop")
    assert hands.asked[1:] == [CancelCopy()] and "No copy was made" in hands.text
    hands.hear(CopyProgress(0.9), CopyDone(1, "late"))
    assert "No copy was made" in hands.text and "late" not in hands.text


def test_a_copy_that_is_done_says_where_it_is_and_what_is_left_to_do() -> None:
    hands = with_log().tap("copy", "start").hear(CopyDone(10, "benchcalc-1", ("Odd.",)))
    for part in ("COPIED", "right: 10.", "benchcalc-1", "eject it, then take it out", "Odd."):
        assert part in hands.text
    assert [target.name for target in hands.scene.targets] == ["help", "bench"]
    assert hands.tap("bench").shown == "bench"


def test_the_stick_may_be_taken_out_once_it_is_let_go() -> None:
    done = CopyDone(10, "benchcalc-1", letting_go=True)
    hands = with_log().tap("copy", "start").hear(done)
    assert "leave it in" in hands.text and "Take the stick out" not in hands.text
    hands.hear(SticksSeen((STICK,), kept=(STICK,)))
    assert "still in use" in hands.text and "Take the stick out" not in hands.text
    hands.hear(SticksSeen((OTHER,)))
    assert "Take the stick out." in hands.text and "To the stick STICK" in hands.text


def test_a_copy_that_failed_says_why_and_may_be_tried_again() -> None:
    hands = with_log().tap("copy", "start").hear(CopyFailed(verbatim("It is full.")))
    assert "It is full." in hands.text and not hands.model.trouble
    assert len(hands.tap("start").asked) == 2 and "It is full." not in hands.text


def test_sticks_are_looked_for_only_where_they_are_shown() -> None:
    hands = ready_to_make()
    while hands.shown != "check":
        assert not looks_for_sticks(hands.model)
        before = hands.text
        assert hands.hear(SticksSeen((STICK,))).text == before
        hands.tap("next")
    assert not looks_for_sticks(hands.model)
    assert looks_for_sticks(with_log().model)
    copying = with_log().tap("copy")
    assert looks_for_sticks(copying.model)
    assert not looks_for_sticks(copying.tap("start").model)


def test_a_restart_begins_on_the_bench_with_the_work_in_hand() -> None:
    hands = Hands().tap(*JOB, "bench").hear(SticksSeen((STICK,))).tap("copy")
    again = hands.restart()
    assert again.work == replace(hands.work, screen="bench")


def test_a_place_is_shown_by_its_end_and_never_as_what_cannot_be_drawn() -> None:
    odd = "/media/" + "long" * 20 + "a\nb\udcff"
    hands = Hands().hear(SticksSeen((odd,))).tap("copy")
    assert "…" in hands.text and "a?b?" in hands.text and "media" not in hands.text
    assert hands.text.encode()


def test_news_of_a_copy_changes_no_work() -> None:
    model = with_log().tap("copy", "start").model
    for news in (CopyProgress(0.5), CopyDone(1, "x"), CopyFailed(verbatim("y"))):
        after, commands = update(model, news)
        assert after.work is model.work and view(after) != view(model)
        assert not any(isinstance(command, SaveWork) for command in commands)
