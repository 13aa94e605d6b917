"""Bends made before, typed from a note on the wall: what each was pulled to, what came out."""

from dataclasses import dataclass
from typing import Any

from benchcalc.core.springback.first_guess import Springback
from benchcalc.core.springback.learning import Bent, LotKey
from benchcalc.core.springback.lessons import key_plain, theory_plain
from benchcalc.jobfile.bends import MOST_ANGLE_DEG, MOST_BACK_DEG, MOST_PULL_DEG
from benchcalc.panel.state.fields import Field, Refused, read_number
from benchcalc.report.told import Angle, told

PULLED = Field("before.pulled", "angle", 0.0, MOST_PULL_DEG, over_least=True)
CAME_OUT = Field("before.came-out", "angle", 0.0, MOST_ANGLE_DEG, over_least=True)
MOST_ROWS = 60


@dataclass(frozen=True, slots=True)
class Before:
    """The rows so far, each pulled to and came out; of the row in hand the pull, once typed."""

    done: tuple[tuple[float, float], ...] = ()
    pulled: float | None = None
    typed: str = ""

    @property
    def field(self) -> Field:
        """The column that is typed now."""
        return PULLED if self.pulled is None else CAME_OUT


def with_typed(before: Before) -> Before:
    """The rows with what is typed: the first column, or the second and the row is there.

    Raises Refused for a value that no bend has, and for the two columns the wrong way round.
    """
    value = read_number(before.field, before.typed)
    if before.pulled is None:
        if len(before.done) >= MOST_ROWS:
            raise Refused(told("before.full"))
        return Before(before.done, value)
    if value > before.pulled:
        raise Refused(told("before.swapped", pulled=Angle(before.pulled), out=Angle(value)))
    if before.pulled - value > MOST_BACK_DEG:
        raise Refused(told("before.too-far", pulled=Angle(before.pulled), out=Angle(value)))
    return Before((*before.done, (before.pulled, value)))


def without_last(before: Before) -> Before:
    """Without the half row in hand, or else without the last row."""
    return Before(before.done) if before.pulled is not None else Before(before.done[:-1])


def bends_of(before: Before) -> list[Bent]:
    """The rows as bends that were pulled by the bender's scale."""
    return [Bent(pulled, out, loaded_read=False) for pulled, out in before.done]


def before_record(before: Before, key: LotKey, theory: Springback) -> dict[str, Any]:
    """The record of these bends, with what they are of."""
    return {
        "form": 1,
        "from": "",
        "lessons": [
            {
                **key_plain(key),
                "theory": theory_plain(theory),
                "loaded_deg": bent.loaded_deg,
                "released_deg": bent.released_deg,
                "loaded_read": bent.loaded_read,
                "counted": 1.0,
            }
            for bent in bends_of(before)
        ],
    }
