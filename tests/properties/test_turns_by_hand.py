"""What the panel makes of turned hands: every held end and order of bending, either side of it.

``hand_turns`` is held against the simulated bender in ``test_simulated_bender``; here what a
sensor or a level says of the hands must come to the drawing's turn, and the way back that is told
must be the way that undoes what the hands did too much.
"""

import pytest

from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.aiming.turning import (
    clamped,
    turn_by_sensor,
    turned_from,
    wanted_of_hands,
)
from benchcalc.panel.state.making.steps import made
from benchcalc.panel.state.model import Making
from tests.properties.test_simulated_bender import random_sheet

SHEETS = 200


def at_turns(sheet: Sheet) -> list[Making]:
    """The step of the turn before every bend but the first."""
    return [Making(step="turn", place=place) for place in range(1, len(sheet.layout.bends))]


def test_the_hands_are_told_alike_in_words_and_to_the_sensor() -> None:
    kinds = set()
    for seed in range(SHEETS):
        sheet = random_sheet(seed)
        for making in at_turns(sheet):
            turn, wanted = sheet.turns[making.place], wanted_of_hands(making, sheet)
            assert wanted is not None
            told = turn.by_deg if turn.way == "clockwise" else -turn.by_deg
            assert abs(wrapped(wanted - told)) < 1e-6 or turn.way is None
            bend, last = sheet.layout.in_order[making.place], turned_from(making, sheet)
            assert last is not None
            kinds.add((bend.held, last.bend < bend.number, turn.end_for_end))
    assert len(kinds) == 8


@pytest.mark.parametrize("too_far_deg", [0.0, 0.8, -0.8, 3.0, -3.0])
def test_what_the_hands_did_is_the_turn_and_the_way_back_undoes_it(too_far_deg: float) -> None:
    for seed in range(SHEETS):
        sheet = random_sheet(seed)
        for making in at_turns(sheet):
            wanted = wanted_of_hands(making, sheet)
            assert wanted is not None
            after = turn_by_sensor(making, sheet, wanted + too_far_deg)
            number = sheet.layout.in_order[making.place].number
            turn, last = made(after, number).turn, turned_from(making, sheet)
            assert turn is not None and last is not None
            sign = 1 if last.bend < number else -1
            assert abs(wrapped(turn.meant_deg - sign * last.turn_deg)) < 1e-6
            off = wrapped(turn.read_deg - turn.meant_deg)
            assert abs(off) == pytest.approx(abs(too_far_deg), abs=1e-6)
            assert after.came is not None
            if abs(too_far_deg) <= 1.0:
                assert after.step == "seat"
                continue
            assert after.step == "turn" and after.came.to == "turn off"
            assert after.came.by_deg == pytest.approx(-too_far_deg, abs=1e-6)


def test_the_way_back_told_after_a_clamp_undoes_what_it_did() -> None:
    for seed in range(SHEETS):
        sheet = random_sheet(seed)
        for making in at_turns(sheet):
            wanted = wanted_of_hands(making, sheet)
            assert wanted is not None
            lies = turn_by_sensor(making, sheet, wanted)
            pulled = clamped(Making(step="pull", place=making.place, made=lies.made), sheet,
                             wanted + 2.5)  # fmt: skip
            assert pulled.step == "seat" and pulled.came is not None
            assert pulled.came.to == "clamp turned"
            assert pulled.came.by_deg == pytest.approx(-2.5, abs=1e-6)
