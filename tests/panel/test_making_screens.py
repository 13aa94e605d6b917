"""What the screens of making say and where their keys lie, seen on every screen."""

from dataclasses import replace
from typing import Any

import pytest

from benchcalc.panel.screens import make_step
from benchcalc.panel.screens.make_words import moved_by_mm
from benchcalc.panel.state.in_hand import piece_in_hand, work_in_hand
from benchcalc.panel.state.making.steps import bend_in_hand
from benchcalc.panel.state.model import Model
from benchcalc.panel.update import view
from benchcalc.panel.widgets.grid import Canvas
from benchcalc.panel.widgets.stacking import Line, stack
from benchcalc.report.scene import Box, Label, Picture, Scene
from benchcalc.report.settings import LANGUAGES, Settings
from benchcalc.words.language import say
from tests.panel.driver import Hands
from tests.panel.faces import name_at
from tests.panel.journeys import JOB, by_hand, demo_draft, ready_to_make, typed, with_draft
from tests.screens.states import one_of_two, tapped
from tests.screens.table import SCREENS, dressed
from tests.screens.tapped_states import OVAL, SECOND

STEPS = (
    "make cut", "make mark", "make seat", "make pull", "make pull further", "make turn",
    "make over", "make store", "make corrected", "make corrected seat", "make slide", "make aimed",
)  # fmt: skip


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("name", STEPS)
def test_no_sentence_is_left_out_while_there_is_room_for_it(
    name: str, screen: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    stacked: list[tuple[Canvas, Box, list[Line]]] = []

    def seen(c: Canvas, box: Box, lines: Any) -> None:
        stacked.append((c, box, list(lines)))
        stack(*stacked[-1])

    monkeypatch.setattr(make_step, "stack", seen)
    for language in LANGUAGES:
        stacked.clear()
        scene = view(dressed(name, screen, language, "right"))
        _, box, lines = stacked[-1]  # those before are of the way there
        labels = [one for one in scene.shapes if isinstance(one, Label)]
        said = " ".join(one.text for one in labels)
        inside = [one.box for one in labels if box.y <= one.box.y and one.box.x < box.right]
        ends = max(b.bottom for b in inside if b.bottom <= box.bottom + 1 and b.right > box.x)
        for line in lines:
            left_out = line.text and line.text not in said
            assert not left_out or line.height > box.bottom - ends, (language, line.text)


def four_bends(size: tuple[int, int] = (800, 480), second: str = "48") -> Hands:
    hands = by_hand(with_draft(demo_draft(), size)).tap("make")
    for reading in ("90", second):
        while hands.shown != "check":
            hands.tap("next")
        hands.type(reading, "next")
        if hands.scene.target("take anyway"):
            hands.tap("take anyway")
    return hands.tap("keep")


@pytest.mark.parametrize("second", ["47", "48", "50.5"])
def test_a_moved_mark_goes_where_the_corrected_layout_has_it(second: str) -> None:
    """By another route: the marks of both layouts from the flag; the sign says which way."""
    hands, told = four_bends(second=second).tap("answer take"), []
    drawn = work_in_hand(hands.model).sheet
    for _ in range(30):
        making, now = hands.work.making, piece_in_hand(hands.model)
        assert making and now and drawn
        if hands.shown == "re-mark":
            number = bend_in_hand(making, now).number
            old, new = (sheet.layout.bends[number - 1].mark for sheet in (drawn, now))
            assert old and new
            past_mm = new.at_mm - old.at_mm
            assert moved_by_mm(hands.model, making) == pytest.approx(past_mm, abs=1e-6)
            assert say(f"make.re-mark.{'to-flag' if past_mm < 0 else 'away'}") in hands.text
            told.append(past_mm < 0)
        if hands.shown in ("store", "correct", "over"):
            break
        hands.type(aimed(hands) if hands.shown == "check" else "", "next")
    assert told


def aimed(hands: Hands) -> str:
    """A reading that is right for the bend in hand."""
    making, now = hands.work.making, piece_in_hand(hands.model)
    assert making and now
    return f"{bend_in_hand(making, now).angle_deg:.1f}"


def test_a_moved_mark_is_drawn_anew_once_before_its_bend() -> None:
    hands = four_bends().tap("answer take")
    assert hands.shown == "re-mark" and "2.9 mm" in hands.text
    assert say("make.re-mark.to-flag") in hands.text
    assert hands.restart().text == hands.text
    assert hands.tap("next").shown == "turn"
    assert hands.tap("step back").shown == "re-mark"
    assert hands.tap("step back").shown == "correct"
    hands.tap("answer take", "next", "next")
    assert hands.shown == "seat" and say("make.seat.new") in hands.text
    assert hands.tap("next", "step back").shown == "seat"
    went = []
    while hands.shown != "check":
        went.append(hands.tap("next").shown)
    assert "re-mark" not in went


def test_as_drawn_there_is_no_new_mark() -> None:
    assert four_bends().tap("answer leave").shown == "turn"


def test_out_of_round_is_seen_on_a_small_screen_before_it_goes_on() -> None:
    hands = Hands(tapped((480, 320), (*SECOND, "calipers", *OVAL)))
    assert "not for pressure" in hands.text and hands.scene.target("next") is None
    assert "clockwise, seen from the held end" in hands.tap("seen").text
    assert "CHECK" not in Hands(tapped((480, 320), SECOND)).text


@pytest.mark.parametrize("size", [(480, 320), (800, 480), (480, 800)])
def test_over_is_said_with_its_amount_and_scrap_lies_beside_keep(size: tuple[int, int]) -> None:
    hands = ready_to_make() if size == (800, 480) else None
    model = hands.model if hands else replace(ready_to_make().model, size=size)
    hands = Hands(model).tap(*["next"] * 6, *typed("92", "next"))
    assert "OVER" in hands.text and "2°" in hands.text
    assert hands.scene.target("keep")
    assert hands.tap("scrap").shown == "scrap"


@pytest.mark.parametrize("size", [(480, 320), (800, 480), (1280, 800)])
@pytest.mark.parametrize("hand", ["left", "right"])
def test_the_way_back_never_lies_where_the_way_on_was(hand: Any, size: tuple[int, int]) -> None:
    model = replace(Model(ready_to_make().shop, size), settings=Settings(hand=hand))
    hands = Hands(model).tap(*JOB[: JOB.index("make") + 1])
    for _ in range(4):
        x, y = centre_of(hands.scene, "next")
        hands.tap("next")
        assert name_at(hands.scene, x, y) != "step back", hands.shown


def centre_of(scene: Scene, name: str) -> tuple[float, float]:
    target = scene.target(name)
    assert target is not None
    return target.box.centre


@pytest.mark.parametrize("size", [(480, 320), (800, 480), (480, 800)])
def test_a_second_press_after_storing_begins_nothing(size: tuple[int, int]) -> None:
    before = tapped(size, JOB[:-1])
    box = next(t.box for t in view(before).targets if t.name == "next")
    after = view(tapped(size, JOB))
    for part in (0.05, 0.3, 0.5, 0.7, 0.95):
        for down in (0.1, 0.5, 0.9):
            hit = name_at(after, box.x + part * box.w, box.y + down * box.h)
            assert hit in (None, "piece", "port")  # both only ask or show


@pytest.mark.parametrize("size", [(480, 320), (800, 480)])
def test_the_next_cut_says_that_the_last_piece_is_stored(size: tuple[int, int]) -> None:
    text = Hands(one_of_two(size)).text
    assert "Piece 1 is stored." in text and "Its number is 1." in text


def test_the_first_pull_says_why_it_is_low() -> None:
    text = Hands(tapped((1280, 800), SECOND[: SECOND.index("make") + 1])).tap(*["next"] * 4).text
    assert "First pull, low on purpose: 92.7° is expected" in text


def test_the_cut_keeps_its_picture_in_german_inches() -> None:
    model = dressed("make cut", "7 in 1024x600", "de", "right")
    model = model.with_draft(units="in")
    assert any(isinstance(shape, Picture) for shape in view(model).shapes)
