"""A turn by a sensor across the tube: what the panel asks, shows, takes, looks at again."""

from dataclasses import replace

import pytest

from benchcalc.panel.state.aiming.turn_news import (
    ClampTurn,
    ExpectTurn,
    TakeTurnZero,
    TurnClamped,
    TurnCommand,
    TurnLies,
    TurnSaw,
    TurnSeen,
    TurnZeroTaken,
)
from benchcalc.panel.state.messages import Command
from benchcalc.panel.state.model import Model
from tests.panel.driver import Hands
from tests.panel.test_correcting import bend_at, corrections, sheet_in_hand
from tests.panel.test_reaiming import demo_piece
from tests.panel.test_turns_by_level import turned


class Sensed(Hands):
    """Hands beside a panel that has a sensor across the tube; what is asked of it is kept."""

    def _carry_out(self, command: Command) -> None:
        if isinstance(command, ExpectTurn | ClampTurn | TakeTurnZero):
            self.turn_asked.append(command)
            return
        super()._carry_out(command)

    def __init__(self, model: Model) -> None:
        super().__init__(model)
        self.turn_asked: list[TurnCommand] = []


def sensed(bends: int = 1, size: tuple[int, int] = (800, 480), both: bool = False) -> Sensed:
    """The demo's job before the turn of the next bend."""
    hands = Sensed(demo_piece(size).model)
    hands.hear(TurnSaw(TurnSeen(both=both)))
    for _ in range(bends):
        bend_at(hands, 0.0)
    return hands


def test_it_is_told_what_the_hands_are_to_turn_and_looked_at_at_every_clamp() -> None:
    hands = sensed()
    assert hands.turn_asked == [ClampTurn(), ExpectTurn(2, -90.0, 1.0)]
    assert "counter-clockwise" in hands.text


def test_it_is_taken_without_a_tap_when_it_lies_still() -> None:
    hands = sensed().hear(TurnSaw(TurnSeen(-57.3, "turning")))
    assert "Now 57.3°" in hands.text and hands.shown == "turn"
    hands.hear(TurnLies(-90.4))
    assert hands.shown == "seat" and "Bend 2 is turned: 90.4° read." in hands.text
    turn = turned(hands).turn
    assert turn is not None and turn.by == "sensor"
    assert turn.meant_deg == pytest.approx(90.0) and turn.read_deg == pytest.approx(90.4)


def test_it_is_looked_at_again_when_the_tube_is_clamped() -> None:
    hands = sensed()
    hands.hear(TurnLies(-90.4)).tap("next")
    assert hands.shown == "pull" and hands.turn_asked[-1] == ClampTurn()
    hands.hear(TurnClamped(-90.9))
    turn = turned(hands).turn
    assert hands.shown == "pull" and turn is not None and turn.read_deg == pytest.approx(90.9)
    (last,) = corrections(hands)
    assert last.why.what == "turn" and last.why.read_deg == pytest.approx(90.9)


def test_a_clamp_that_twists_is_asked_about_once_and_then_counted() -> None:
    hands = sensed()
    hands.hear(TurnLies(-90.0)).tap("next").hear(TurnClamped(-93.0))
    assert hands.shown == "seat" and "turn 3° clockwise" in hands.text
    assert hands.turn_asked[-1] == ExpectTurn(2, -90.0, 1.0) and not corrections(hands)
    hands.tap("next").hear(TurnClamped(-93.2))
    turn = turned(hands).turn
    assert hands.shown == "pull" and turn is not None and turn.read_deg == pytest.approx(93.2)
    assert abs(sheet_in_hand(hands).layout.bends[1].turn_deg - 93.2) < 0.3


def test_a_turn_by_eye_is_measured_at_the_clamp_all_the_same() -> None:
    hands = sensed().tap("next", "next").hear(TurnClamped(-90.6))
    turn = turned(hands).turn
    assert hands.shown == "pull" and turn is not None and turn.read_deg == pytest.approx(90.6)


def test_where_it_cannot_know_it_says_so_and_the_eye_goes_on() -> None:
    for state, says in (
        ("no zero", "clip the sensor square across"),
        ("slipped", "jumped"),
        ("out of reach", "cannot read this turn"),
        ("waiting", "No reading"),
    ):
        hands = sensed().hear(TurnSaw(TurnSeen(None, state)))  # type: ignore[arg-type]
        assert says in hands.text, state
        assert hands.can("turn zero") == (state in ("no zero", "slipped"))
        assert hands.tap("next").shown == "seat"
        assert hands.tap("next").hear(TurnClamped(None)).shown == "pull"
        assert not any(m.turn for m in hands.work.making.made)  # type: ignore[union-attr]


def test_one_instrument_for_both_is_told_from_where_to_count_and_clipped_back() -> None:
    hands = sensed(both=True)
    hands.hear(TurnSaw(TurnSeen(None, "no zero", True)))
    hands.tap("turn zero")
    assert hands.turn_asked[-1] == TakeTurnZero()
    hands.hear(TurnZeroTaken(False))
    assert "lie still" in hands.text
    hands.hear(TurnZeroTaken(True), TurnSaw(TurnSeen(-20.0, "turning", True)), TurnLies(-89.8))
    hands.hear(TurnSaw(TurnSeen(-89.8, "turned", True)))
    assert hands.shown == "seat" and "Clip the sensor back along the leg." in hands.text


def test_a_tube_laid_end_for_end_is_counted_anew() -> None:
    draft = demo_piece().model.draft
    rows = (draft.rows[0], replace(draft.rows[1], held="far"), *draft.rows[2:])
    hands = Sensed(demo_piece().model.with_draft(rows=rows))
    hands.hear(TurnSaw(TurnSeen()))
    bend_at(hands, 0.0)
    assert hands.turn_asked[-1] == ExpectTurn(2, 90.0, 1.0, True)


def test_the_needle_shows_the_live_turn_and_no_old_one() -> None:
    hands = sensed()
    before = hands.scene
    hands.hear(TurnSaw(TurnSeen(-57.3, "turning")))
    assert hands.scene.shapes != before.shapes
    hands.hear(TurnSaw(TurnSeen(-57.3, "waiting")))
    assert "Now" not in hands.text
