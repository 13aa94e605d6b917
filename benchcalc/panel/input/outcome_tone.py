"""When it is to be heard what a bend came to: once, as its reading is judged."""

from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.making.piece import Pulled
from benchcalc.panel.state.making.steps import bend_in_hand, made
from benchcalc.panel.state.messages import Outcome, SoundOutcome
from benchcalc.panel.state.model import Making, Model


def outcome_tone(model: Model, after: Making, sheet: Sheet) -> tuple[SoundOutcome, ...]:
    """The tone for a step of the piece in hand that judged a reading, typed or the sensor's.

    None for any other step, while tones are switched off, and while the screen is dark.
    """
    before = model.work.making
    silent = model.dark or not model.settings.sounds
    if silent or before is None:
        return ()
    number = bend_in_hand(before, sheet).number
    outcome = _outcome(after, number)
    if _readings(after) > _readings(before) or (
        _readings(after) == _readings(before)
        and _by_sensor(after) != _by_sensor(before)
        and outcome != _outcome(before, number)  # what lies a little lower is heard once
    ):
        return (SoundOutcome(outcome),)
    return ()


def _outcome(making: Making, number: int) -> Outcome:
    """What the last reading of a bend came to."""
    verdict = made(making, number).verdict
    good = verdict == "good" or making.step == "good"
    return "good" if good else "short" if verdict is None else "over"


def _by_sensor(making: Making) -> set[tuple[int, Pulled]]:
    """What the sensor measured on this piece."""
    bends = making.made
    return {(bend.number, pull) for bend in bends for pull in bend.pulls if pull.by == "sensor"}


def _readings(making: Making) -> int:
    """How many angles were measured on this piece; going back takes the last one out again."""
    return sum(pull.released_deg is not None for bend in making.made for pull in bend.pulls)
