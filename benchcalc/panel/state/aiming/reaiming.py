"""Every measured bend re-aims the rest: what the next steps go by, and where that stands.

A bend that is good re-aims the angles and turns to come at once; marks are asked about, as after a
bend that went wrong, and only where moving them is worth more than a pen line.
"""

from dataclasses import replace

from benchcalc.core.fit.correction import Correction, Off
from benchcalc.core.fit.reaim import ReAimed
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.aiming.under_way import re_aimed, taken
from benchcalc.panel.state.making.correcting import asked, sheet_now
from benchcalc.panel.state.making.piece import Answered, Came, Making, StepKind, Why
from benchcalc.panel.state.making.steps import bent_so_far, happened, made, on_to_bend

ON: tuple[StepKind, ...] = ("re-mark", "turn", "seat")
"""The first steps of a bend."""


def aimed_after(before: Making, after: Making, drawn: Sheet) -> Making:
    """The piece after an act, its rest re-aimed where that act was the last of a bend.

    ``drawn`` is the job as drawn. What is to be decided first is asked for.
    """
    if not after.re_aims or after.step not in (*ON, "correct"):
        return after
    if before.step in ("turn", "level") and _turn_known(after, drawn):
        return turn_aimed(after, drawn)
    done = after.place > before.place
    left = before.step == "correct" and not after.corrections[-1].taken
    found = re_aimed(drawn, after) if done or left else None
    if found is None:
        return after
    if done and asked(drawn, after) is not None:
        to_correct = happened(replace(after, step=before.step), "rest to correct")
        return replace(to_correct, came=after.came)
    aimed = with_aim(after, found, drawn)
    on = on_to_bend(replace(aimed, step=before.step), sheet_now(drawn, aimed))
    return replace(on, came=_came(after.came, found.aimed.after))


def turn_aimed(making: Making, drawn: Sheet) -> Making:
    """The piece with its rest re-aimed by the turn that was just measured."""
    found = re_aimed(drawn, making) if making.re_aims else None
    return with_aim(making, found, drawn) if found else making


def _turn_known(after: Making, drawn: Sheet) -> bool:
    """Whether the turn in hand was just settled as it was measured."""
    number = drawn.layout.in_order[after.place].number
    return after.step == "seat" and made(after, number).turn is not None


def _came(came: Came | None, left: Off) -> Came | None:
    if came is None or came.to == "good":
        return came
    return replace(came, miss_mm=left.by_mm, miss_deg=left.by_deg)


def with_aim(making: Making, found: ReAimed, drawn: Sheet) -> Making:
    """The piece with its rest re-aimed; the same piece where nothing changes, or nothing may.

    What the rest must not be bent to is not aimed at.
    """
    last = next(reversed(list(taken(making))), None)
    if (not found.changes and last is None) or _forbidden(found.aimed, making, drawn):
        return making
    aimed, why = found.aimed, found.reason
    answered = Answered(
        tuple(bent_so_far(making, drawn).items()),
        aimed.job.run,
        True,
        aimed.now.by_mm,
        aimed.now.by_deg,
        aimed.after.by_mm,
        aimed.after.by_deg,
        last.moved if last else (),
        True,
        Why(*why) if why else None,
        tuple(sorted(bend.number for bend in making.made if bend.turn)),
    )
    return replace(making, corrections=(*making.corrections, answered))


def _forbidden(aimed: Correction, making: Making, drawn: Sheet) -> bool:
    """Whether a finding forbids what is aimed at that does not forbid the rest as it stands."""
    bent = bent_so_far(making, drawn)

    def stops(sheet: Sheet) -> set[tuple[str, int | None]]:
        found = (f for f in sheet.findings if f.level == "stop" and f.bend not in bent)
        return {(f.rule, f.bend) for f in found}

    return bool(stops(drawn.of(aimed.job)) - stops(sheet_now(drawn, making)))
