"""The turn of a bend as a level tells it: how it is laid, what it must read, what a reading means.

The signs of a turn are the drawing's. A level that shows no sign is believed to show the side that
is expected, except near level, where its sign is what tells.
"""

from dataclasses import replace
from math import copysign

from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.layout.straight_tube import Layout
from benchcalc.core.layout.turn_by_level import (
    ALIKE_DEG,
    FromLast,
    Lay,
    LevelAim,
    Side,
    aim_by_level,
    from_last,
    leans,
    turn_by_level,
    turn_of_hands,
    turns_across,
)
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.aiming.turn_news import ClampTurn, ExpectTurn, TurnCommand
from benchcalc.panel.state.fields import Field, Refused, read_number
from benchcalc.panel.state.making.piece import Came, Making, TurnBy, TurnRead
from benchcalc.panel.state.making.steps import bend_in_hand, happened, made, with_made
from benchcalc.report.told import Angle, told

LEVEL = Field("make.level.field", "turn", -360.0, 360.0)
"""What a level shows."""

NEAR_LEVEL_DEG = 5.0
"""Nearer to level than this the sign of a reading is not known beforehand."""

CLIPS_DEG = range(5, 90, 5)
"""What a level clipped across the tube may be made to show first."""


def turned_from(making: Making, sheet: Sheet) -> FromLast | None:
    """What the bend in hand is turned from; None for the one that is made first."""
    if making.step in ("cut", "slide", "mark") or not making.place:
        return None
    return from_last(sheet.layout, bend_in_hand(making, sheet).number)


def ways(making: Making, sheet: Sheet) -> tuple[LevelAim, ...]:
    """The ways to lay a level for the turn in hand, the one that tells it best first.

    Along the last bent leg only where that leans by one bend alone.
    """
    last = turned_from(making, sheet)
    if last is None:
        return ()
    lays: tuple[Lay, ...] = ("across",)
    if _leg_is_single(sheet.layout, last.bend, bend_in_hand(making, sheet).number):
        lays = ("flat", "upright", "across")
    aims = [aim_by_level(lay, last.angle_deg, last.turn_deg) for lay in lays]
    return tuple(sorted(aims, key=lambda aim: (not aim.useful, aim.lay == "across", aim.width_deg)))


def _leg_is_single(layout: Layout, last: int, number: int) -> bool:
    """Whether the tube between the two bends is straight still."""
    low, high = sorted((last, number))
    order = layout.bends[number - 1].order
    return all(one.order > order for one in layout.bends[low : high - 1])


def way_in_hand(making: Making, sheet: Sheet) -> LevelAim | None:
    """The way that was chosen for this turn, or the best one."""
    found = ways(making, sheet)
    chosen = [aim for aim in found if aim.lay == making.lay]
    return next(iter((*chosen, *found)), None)


def must_read(aim: LevelAim, sheet: Sheet, number: int, curves: Side) -> float:
    """What the level must read along the leg, rising over zero, for a bender that curves so."""
    bend = sheet.layout.bends[number - 1]
    return aim.reads_deg * (leans(bend.held, curves) if aim.lay == "flat" else 1)


def clip_at(turn_deg: float) -> float:
    """What a level across the tube had best show first, so that no other turn reads alike."""

    def clear(first: float) -> float:
        shown = (first, first + abs(turn_deg))
        return min(abs((x + 45.0) % 90.0 - 45.0) for x in shown)

    return float(max(CLIPS_DEG, key=lambda first: (round(clear(first), 6), -abs(first - 45))))


def level_read(making: Making, sheet: Sheet, curves: Side) -> Making:
    """The level is read: the number before the turn, or the one that tells it.

    Raises Refused for a text that is no reading, and for one that tells two turns alike.
    """
    last, aim = turned_from(making, sheet), way_in_hand(making, sheet)
    if last is None or aim is None:
        raise Refused(told("make.level.nothing"))
    shown = read_number(LEVEL, making.typed)
    if aim.lay == "across" and not making.level_before:
        return replace(making, level_before=making.typed, typed="", came=None)
    if aim.lay == "across":
        read = _across(read_number(LEVEL, making.level_before), shown, last.turn_deg)
    else:
        read = _along(making, sheet, aim, shown, curves)
    return turn_read(making, sheet, read, aim.width_deg, aim.lay)


def _across(before_deg: float, after_deg: float, wanted_deg: float) -> float:
    first, second = turns_across(before_deg, after_deg, wanted_deg)
    if abs(wrapped(first - second)) < ALIKE_DEG and abs(wrapped(first - wanted_deg)) > 1e-9:
        raise Refused(told("make.level.alike", first=Angle(first), second=Angle(second)))
    return first


def _along(making: Making, sheet: Sheet, aim: LevelAim, shown: float, curves: Side) -> float:
    last, bend = turned_from(making, sheet), bend_in_hand(making, sheet)
    assert last is not None
    expected = must_read(aim, sheet, bend.number, curves)
    if abs(expected) >= NEAR_LEVEL_DEG:
        shown = copysign(shown, expected)
    own = shown * (leans(bend.held, curves) if aim.lay == "flat" else 1)
    return turn_by_level(aim.lay, last.angle_deg, own, last.turn_deg)


def turn_read(
    making: Making, sheet: Sheet, read_deg: float, width_deg: float, by: TurnBy
) -> Making:
    """A turn was measured: on to the seat when it is within what is allowed, else set it again.

    ``read_deg`` is how far the bend lies from the one made before it, as ``FromLast`` has it.
    """
    last, number = turned_from(making, sheet), bend_in_hand(making, sheet).number
    if last is None:
        raise Refused(told("make.level.nothing"))
    sign = 1 if last.bend < number else -1  # as the farther one lies from the nearer one
    turn = TurnRead(sign * last.turn_deg, sign * read_deg, width_deg, by)
    making = with_made(making, replace(made(making, number), turn=turn))
    off = wrapped(read_deg - last.turn_deg)
    if abs(off) <= sheet.job.turn_tolerance_deg + 1e-9:
        return _set(making, Came("turned", number, read_deg, off))
    further = off if sheet.layout.bends[number - 1].held == "reference" else -off
    came = Came("turn off", number, read_deg, further)
    return replace(happened(making, "turn off"), came=came)


def turn_kept(making: Making, sheet: Sheet) -> Making:
    """The turn stays as it was measured."""
    number = bend_in_hand(making, sheet).number
    turn = made(making, number).turn
    assert turn is not None
    off = wrapped(turn.read_deg - turn.meant_deg)
    return _set(making, Came("turned", number, turn.read_deg, off))


def _set(making: Making, came: Came) -> Making:
    return replace(happened(making, "turn read"), came=came, lay="", level_before="")


def turn_open(making: Making, sheet: Sheet) -> Making:
    """The turn in hand as not measured, and what it re-aimed taken back."""
    number = bend_in_hand(making, sheet).number
    so_far = made(making, number)
    if so_far.turn is None:
        return making
    kept = tuple(c for c in making.corrections if number not in c.turned)
    making = replace(making, corrections=kept, lay="", level_before="")
    return with_made(making, replace(so_far, turn=None))


SENSOR_DEG = 0.5
"""How far off a turn by a sensor across the tube may be, 95 % limits: clipped on not quite square
and the tube not quite level, as simulated turns have it."""


def wanted_of_hands(making: Making, sheet: Sheet) -> float | None:
    """What the hands are to turn before the bend in hand, clockwise seen from the held end."""
    last = turned_from(making, sheet)
    if last is None:
        return None
    held = bend_in_hand(making, sheet).held
    return wrapped(-last.turn_deg if held == "reference" else last.turn_deg)


def turn_commands(before: Making, after: Making, sheet: Sheet) -> tuple[TurnCommand, ...]:
    """What to ask of a sensor across the tube when the step has changed.

    It is looked at again when the tube is clamped, and the next bend counts from there.
    """
    if before.step == "seat" and after.step == "pull":
        return (ClampTurn(),)
    if after.step not in ("turn", "seat"):
        return (ExpectTurn(),) if before.step in ("turn", "seat") else ()
    wanted = wanted_of_hands(after, sheet)
    if wanted is None or (before.step in ("turn", "seat") and before.place == after.place):
        return ()
    number = bend_in_hand(after, sheet).number
    flipped = sheet.turns[after.place].end_for_end
    return (ExpectTurn(number, wanted, sheet.job.turn_tolerance_deg, flipped),)


def turn_by_sensor(making: Making, sheet: Sheet, by_deg: float) -> Making:
    """The tube lies still, turned so far by the hands: judged as any measured turn."""
    held = bend_in_hand(making, sheet).held
    return turn_read(making, sheet, turn_of_hands(by_deg, held), SENSOR_DEG, "sensor")


def clamped(making: Making, sheet: Sheet, by_deg: float) -> Making:
    """The turn as it lies clamped is the one that counts.

    One that the clamp has carried off is asked about once: the tube can still be set right.
    """
    bend, last = bend_in_hand(making, sheet), turned_from(making, sheet)
    if last is None or making.step != "pull" or made(making, bend.number).pulls:
        return making
    before = made(making, bend.number).turn
    sign = 1 if last.bend < bend.number else -1
    read = sign * turn_of_hands(by_deg, bend.held)
    meant = before.meant_deg if before else sign * last.turn_deg
    off, limit = wrapped(read - meant), sheet.job.turn_tolerance_deg
    again = before is not None and abs(wrapped(read - before.read_deg)) <= limit
    making = turn_open(making, sheet)
    turn = TurnRead(meant, meant + off, SENSOR_DEG, "sensor")
    making = with_made(making, replace(made(making, bend.number), turn=turn))
    if abs(off) <= limit or again:
        return making
    further = sign * off if bend.held == "reference" else -sign * off
    came = Came("clamp turned", bend.number, sign * turn.read_deg, further)
    return replace(happened(making, "back to the seat"), came=came)
