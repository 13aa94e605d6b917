"""When it is to be heard what a bend came to: once, as its reading is judged."""

from benchcalc.core.sheet import Sheet
from benchcalc.panel.state.making import bend_in_hand, made
from benchcalc.panel.state.messages import Outcome, SoundOutcome
from benchcalc.panel.state.model import Making, Model


def outcome_tone(model: Model, after: Making, sheet: Sheet) -> tuple[SoundOutcome, ...]:
    """The tone for a step of the piece in hand that judged a reading, typed or the sensor's.

    None for any other step, while tones are switched off, and while the screen is dark.
    """
    before = model.work.making
    silent = model.dark or not model.settings.sounds
    if silent or before is None or _readings(after) <= _readings(before):
        return ()
    verdict = made(after, bend_in_hand(before, sheet).number).verdict
    outcome: Outcome = "short" if verdict is None else "good" if verdict == "good" else "over"
    return (SoundOutcome(outcome),)


def _readings(making: Making) -> int:
    """How many angles were measured on this piece; going back takes the last one out again."""
    return sum(pull.released_deg is not None for bend in making.made for pull in bend.pulls)
