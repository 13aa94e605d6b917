"""Which way the hands turn the tube between two bends.

The bender always curves the same way, so the hands do the opposite of what the tube gets: for a
turn of +f they turn it counter-clockwise seen from the held end towards the free end while the
reference end is held, clockwise while it is free. When the other end goes into the clamp the tube
is first laid end for end with the last bend still curving the way the bender curves.
"""

from typing import Literal, NamedTuple

from benchcalc.core.layout.straight_tube import Layout

Rotation = Literal["clockwise", "counter-clockwise"]

LEAST_TURN_DEG = 1e-9
"""Sums of turns of a few hundred degrees carry rounding of 1e-13; no hand turns a billionth."""


class HandTurn(NamedTuple):
    """What the hands do before a bend, seen from the held end towards the free end.

    ``by_deg`` lies from 0 to 180; ``way`` is None for no turn and for 180, where both ways agree.
    ``end_for_end`` is true when the other end goes into the clamp first.
    """

    bend: int
    by_deg: float
    way: Rotation | None
    end_for_end: bool


def hand_turns(layout: Layout) -> tuple[HandTurn, ...]:
    """The turning before each bend, in the order the bends are made.

    The first bend made has nothing to be turned from.
    """
    clock: list[float] = []
    at = 0.0
    for bend in layout.bends:
        at += bend.turn_deg
        clock.append(at)
    turns: list[HandTurn] = []
    last = None
    for bend in layout.in_order:
        if last is None:
            turns.append(HandTurn(bend.number, 0.0, None, False))
        else:
            more = clock[bend.number - 1] - clock[last.number - 1]
            turns.append(
                _hand_turn(bend.number, more, bend.held == "reference", last.held != bend.held)
            )
        last = bend
    return tuple(turns)


def _hand_turn(bend: int, more_deg: float, reference_held: bool, end_for_end: bool) -> HandTurn:
    signed = (more_deg + 180.0) % 360.0 - 180.0
    by = abs(signed)
    if by < LEAST_TURN_DEG:
        return HandTurn(bend, 0.0, None, end_for_end)
    if by > 180.0 - LEAST_TURN_DEG:
        return HandTurn(bend, 180.0, None, end_for_end)
    counter = (signed > 0) == reference_held
    return HandTurn(bend, by, "counter-clockwise" if counter else "clockwise", end_for_end)
