"""When it is to be heard what a bend came to: once, as its reading is judged."""

from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.making import bend_in_hand, made
from benchcalc.panel.state.messages import Outcome, SoundOutcome
from benchcalc.panel.state.model import Making, Model
from benchcalc.panel.state.piece import Pulled


def outcome_tone(model: Model, after: Making, sheet: Sheet) -> tuple[SoundOutcome, ...]:
    """The tone for a step of the piece in hand that judged a reading, typed or the sensor's.

    None for any other step, while tones are switched off, and while the screen is dark.
    """
    before = model.work.making
    silent = model.dark or not model.settings.sounds
    if silent or before is None or not _judged_anew(before, after):
        return ()
    verdict = made(after, bend_in_hand(before, sheet).number).verdict
    good = verdict == "good" or after.step == "good"
    outcome: Outcome = "good" if good else "short" if verdict is None else "over"
    return (SoundOutcome(outcome),)


def _judged_anew(before: Making, after: Making) -> bool:
    """Whether there is one more reading, or the sensor's is another than it was."""
    if _readings(after) != _readings(before):
        return _readings(after) > _readings(before)
    return _by_sensor(after) != _by_sensor(before)


def _by_sensor(making: Making) -> set[tuple[int, Pulled]]:
    """What the sensor measured on this piece."""
    bends = making.made
    return {(bend.number, pull) for bend in bends for pull in bend.pulls if pull.by == "sensor"}


def _readings(making: Making) -> int:
    """How many angles were measured on this piece; going back takes the last one out again."""
    return sum(pull.released_deg is not None for bend in making.made for pull in bend.pulls)
