"""A turn measured with a level, typed: what is told beforehand, judged, kept and re-aimed."""

from dataclasses import replace
from typing import Any

import pytest

from benchcalc.core.layout.turn_by_level import Lay, rise_deg
from benchcalc.core.serialize import deserialize
from benchcalc.panel.state.aiming.turning import clip_at, way_in_hand
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making.piece import Made
from benchcalc.runlog.records import PieceRecord
from tests.panel.driver import Hands
from tests.panel.test_correcting import bend_at, corrections, drawn_sheet, sheet_in_hand
from tests.panel.test_reaiming import demo_piece


def at_turn(size: tuple[int, int] = (800, 480), bends: int = 1, turn: str = "60") -> Hands:
    """The demo's job with ``bends`` made as meant, before the turn of the next one."""
    hands = demo_piece(size)
    rows = hands.model.draft.rows
    rows = (*rows[:bends], replace(rows[bends], turn=turn), *rows[bends + 1 :])
    hands.model = hands.model.with_draft(rows=rows)
    for _ in range(bends):
        hands = bend_at(hands, 0.0)
    return hands


def turned(hands: Hands, number: int = 2) -> Made:
    making = hands.work.making
    assert making is not None
    return next(m for m in making.made if m.number == number)


def laid(hands: Hands, lay: Lay) -> Hands:
    """The level laid this way."""
    hands.tap("level")
    for _ in range(3):
        making = hands.work.making
        aim = making and way_in_hand(making, sheet_in_hand(hands))
        if aim and aim.lay == lay:
            return hands
        hands.tap("other way")
    raise AssertionError(f"no way {lay}")


def test_the_panel_says_beforehand_what_the_level_must_read() -> None:
    """60 after a 90: upright it reads asin(sin 90 cos 60) = 30, a degree for a degree of turn."""
    hands = laid(at_turn(), "upright")
    assert "Bender upright" in hands.text and "30° up" in hands.text
    assert "along the leg beyond bend 1" in hands.text and "1° = 1° of turn" in hands.text


def test_two_taps_a_turn_beside_the_digits() -> None:
    hands = at_turn().tap("level").type("60.2", "next")
    assert hands.shown == "seat" and "Bend 2 is turned" in hands.text
    turn = turned(hands).turn
    assert turn is not None and turn.meant_deg == 60.0 and turn.by == "flat"
    assert rise_deg("flat", 90.0, turn.read_deg) == pytest.approx(60.2)


def test_no_more_taps_than_before_where_nothing_is_measured() -> None:
    hands = at_turn().tap("next")
    assert hands.shown == "seat" and not hands.work.making.made[0].turn  # type: ignore[union-attr]


def test_a_turn_that_is_off_is_set_again_before_it_is_bent() -> None:
    hands = at_turn().tap("level").type("56", "next")
    off = turned(hands).turn
    assert hands.shown == "level" and off is not None and off.read_deg == pytest.approx(56, abs=0.1)
    assert "It reads 56°. Turn on 4° counter-clockwise and read again, or keep it." in hands.text
    hands.type("60", "next")
    turn = turned(hands).turn
    assert hands.shown == "seat" and turn is not None and turn.read_deg == pytest.approx(60)


def test_a_turn_kept_off_goes_into_the_correction_as_an_angle_does() -> None:
    hands = at_turn().tap("level").type("56", "next", "keep")
    assert hands.shown == "seat"
    (last,) = corrections(hands)
    assert last.re_aims and last.turned == (2,) and last.why.what == "turn"
    new, old = sheet_in_hand(hands).layout.bends, drawn_sheet(hands).layout.bends
    assert new[1].turn_deg == pytest.approx(56.2, abs=0.3)
    assert abs(new[2].turn_deg - old[2].turn_deg) > 0.5
    hands.tap("next")
    assert "the turn of bend 2 came out at" in hands.text


def test_back_opens_the_turn_and_takes_back_what_it_re_aimed() -> None:
    hands = at_turn().tap("level").type("56", "next", "keep", "step back")
    assert hands.shown == "turn" and not corrections(hands) and turned(hands).turn is None
    assert hands.tap("step back").shown == "check"


def test_two_numbers_across_the_tube_tell_any_turn() -> None:
    hands = laid(at_turn(turn="90"), "across")
    assert "at about 45°" in hands.text
    hands.type("44", "next")
    assert "Turn by 90°" in hands.text and "134° or 46°" in hands.text
    hands.type("45.5", "next")  # of a level that counts 0, 90, 0: 134.5 shows 45.5
    turn = turned(hands).turn
    assert hands.shown == "seat" and turn is not None
    assert turn.read_deg == pytest.approx(90.5) and turn.by == "across"


def test_two_turns_that_read_alike_are_refused() -> None:
    hands = laid(at_turn(turn="90"), "across").type("0", "next").type("89", "next")
    assert hands.shown == "level" and "read alike" in hands.text
    assert turned_or_none(hands) is None


def turned_or_none(hands: Hands) -> object:
    making = hands.work.making
    assert making is not None
    return next((m.turn for m in making.made if m.number == 2), None)


def test_where_a_way_is_useless_the_other_is_proposed() -> None:
    hands = at_turn(turn="90").tap("level")
    assert "upright" in hands.text and "level" in hands.text
    hands = laid(at_turn(turn="90"), "flat")
    assert "Tells little" in hands.text


def test_a_level_across_shows_first_what_tells_best() -> None:
    assert clip_at(90.0) == 45.0 and clip_at(180.0) == 45.0
    for turn in range(-180, 181, 7):
        first = clip_at(turn)
        for shown in (first, first + abs(turn)):
            assert abs((shown + 45) % 90 - 45) >= 20


@pytest.mark.parametrize("curves", ["right", "left"])
@pytest.mark.parametrize("lay", ["flat", "upright"])
def test_what_it_must_read_is_what_leaves_the_turn_as_meant(lay: Lay, curves: Any) -> None:
    """Typed as shown, without a sign, whatever side the bender curves to."""
    for turn in ("30", "-30", "150", "-120", "60"):
        hands = at_turn(turn=turn)
        hands.model = replace(hands.model, settings=replace(hands.model.settings, curves=curves))
        laid(hands, lay)
        shown = abs(rise_deg(lay, 90.0, float(turn)))
        hands.type(f"{shown:.3f}", "next")
        read = turned(hands).turn
        assert read is not None and read.read_deg == pytest.approx(float(turn), abs=0.05)


def test_a_turn_of_nothing_can_be_measured_too() -> None:
    hands = at_turn(turn="0")
    assert hands.shown == "seat"
    hands.tap("level")
    assert hands.shown == "level"
    assert hands.tap("step back").shown == "seat"


def test_the_measured_turn_is_in_the_record() -> None:
    hands = at_turn().tap("level").type("56", "next", "keep")
    for _ in range(3):
        hands = bend_at(hands, 0.0)
        if hands.shown == "correct":
            hands.tap("answer take")
    hands.tap("next")
    record = deserialize(PieceRecord, hands.records[-1])
    second, third = record.bends[1], record.bends[2]
    assert second.turned is not None and third.turned is None
    assert second.turned.meant_deg == 60.0
    assert second.turned.read_deg == pytest.approx(56.0, abs=0.1)
    assert record.corrections[0]["why"]["what"] == "turn"


def test_a_restart_in_the_middle_of_a_level_goes_on() -> None:
    hands = laid(at_turn(turn="90"), "across").type("44", "next").type("4")
    again = hands.restart()
    assert again.text == hands.text
    assert work_in_hand(again.model).sheet is not None


def test_a_small_screen_says_what_it_must_read_beside_the_typing() -> None:
    hands = at_turn((480, 320)).tap("level")
    assert "Flat, leg 1: 60° " in hands.text
    hands.type("56", "next")
    assert "Turn on 4°" in hands.text
    assert hands.tap("keep").shown == "seat"


@pytest.mark.parametrize("size", [(800, 480), (480, 320), (480, 800), (1280, 800)])
def test_help_is_there_for_each_way(size: tuple[int, int]) -> None:
    for hands in (laid(at_turn(size), "flat"), laid(at_turn(size), "across")):
        before = hands.text
        assert hands.tap("help").text != before and hands.scene.target("cancel")
        assert hands.key("escape").text == before
