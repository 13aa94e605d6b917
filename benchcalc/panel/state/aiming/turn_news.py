"""What a sensor across the tube tells of a turn, and what is asked of it.

Turns here are the hands': degrees clockwise seen from the held end, counted from where the tube lay
when the bend before was made.
"""

from typing import Literal, NamedTuple

from benchcalc.report.told import Told

TurnState = Literal["", "no zero", "out of reach", "waiting", "slipped", "turning", "turned"]
"""As ``sensor.turn`` has it."""


class TurnSeen(NamedTuple):
    """What the sensor shows now. ``both``: the same instrument measures the bends."""

    by_deg: float | None = None
    state: TurnState = ""
    both: bool = False
    trouble: Told | None = None


class TurnSaw(NamedTuple):
    """The sensor shows something else."""

    seen: TurnSeen


class TurnLies(NamedTuple):
    """The tube lies still within what was asked."""

    by_deg: float


class TurnClamped(NamedTuple):
    """How the tube lies once it is clamped; None where that is not known."""

    by_deg: float | None


class TurnZeroTaken(NamedTuple):
    """Whether the tube lay still when the zero was asked for."""

    taken: bool


class ExpectTurn(NamedTuple):
    """Follow the turn of a bend; without one, follow none.

    ``anew`` when what was known before is worth nothing: the tube was laid end for end.
    """

    bend: int | None = None
    wanted_deg: float = 0.0
    tolerance_deg: float = 0.0
    anew: bool = False


class ClampTurn(NamedTuple):
    """The tube is clamped: look at it again; the next bend counts from here."""


class TakeTurnZero(NamedTuple):
    """The tube lies as it was bent: count from here."""


TurnNews = TurnSaw | TurnLies | TurnClamped | TurnZeroTaken
TurnCommand = ExpectTurn | ClampTurn | TakeTurnZero
