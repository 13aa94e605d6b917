"""Checks of gauge and scale as they are typed, what they found, and their records."""

from dataclasses import dataclass
from typing import Any, Literal, get_args

from benchcalc.core.springback.gauge import (
    GaugeCheck,
    ScaleCheck,
    bias_of,
    bias_reversed,
    share_of,
)
from benchcalc.core.springback.lessons import GAUGE_CHECK, SCALE_CHECK
from benchcalc.panel.state.fields import Field, Refused, read_number
from benchcalc.report.told import Angle, told

CheckKind = Literal["square", "reversed", "sensor", "scale"]
KINDS: tuple[CheckKind, ...] = get_args(CheckKind)

KNOWN_DEG = 90.0
MOST_OFF_DEG = 10.0
"""A reading of a known square, or of the other gauge, that is farther off is a wrong key."""

LEAST_HELD_DEG = 30.0
"""Under this a share of the angle is lost in the readings."""

ASKED: dict[CheckKind, tuple[str, str]] = {
    "square": ("check.face", "check.other-face"),
    "sensor": ("check.face", "check.other-face"),
    "reversed": ("check.one-way", "check.other-way"),
    "scale": ("check.scale", "check.held"),
}
"""What is read, by turns."""


@dataclass(frozen=True, slots=True)
class Checking:
    """A check under way: of what, the readings so far, and what is being typed."""

    kind: CheckKind = "square"
    done: tuple[float, ...] = ()
    typed: str = ""

    @property
    def field(self) -> Field:
        """The reading that is asked for now."""
        return Field(ASKED[self.kind][len(self.done) % 2], "angle", 0.0, 200.0, over_least=True)

    @property
    def pairs(self) -> list[tuple[float, float]]:
        """The readings two by two, as far as both are there."""
        return list(zip(self.done[::2], self.done[1::2], strict=False))

    @property
    def found(self) -> GaugeCheck | ScaleCheck | None:
        """What the readings say; None until two were read, and while the second is missing."""
        if not self.pairs or len(self.done) % 2:
            return None
        if self.kind == "scale":
            return share_of(self.pairs)
        if self.kind == "reversed":
            each = [bias_reversed(*pair) for pair in self.pairs]
            mean = sum(one.bias_deg for one in each) / len(each)
            return GaugeCheck(mean, each[0].within_deg / len(each) ** 0.5)
        return bias_of(self.done, KNOWN_DEG)


def read_next(checking: Checking) -> float:
    """The typed reading. Raises Refused for one that cannot be of what is checked."""
    reading = read_number(checking.field, checking.typed)
    if checking.kind in ("square", "sensor"):
        beside = KNOWN_DEG
    elif len(checking.done) % 2:
        beside = checking.done[-1]
    elif checking.kind == "scale" and reading < LEAST_HELD_DEG:
        raise Refused(told("check.too-little", least=Angle(LEAST_HELD_DEG)))
    else:
        return reading
    if abs(reading - beside) > MOST_OFF_DEG:
        raise Refused(told("check.too-far", reading=Angle(reading), beside=Angle(beside)))
    return reading


def check_record(checking: Checking, bender: str) -> tuple[str, dict[str, Any]] | None:
    """The kind and the record of a check; None while it has found nothing."""
    found = checking.found
    if isinstance(found, ScaleCheck):
        pairs = [list(pair) for pair in checking.pairs]
        return SCALE_CHECK, {
            "form": 1,
            "bender": bender,
            "pairs_deg": pairs,
            "share": found.share,
            "within": found.within,
        }
    if found is None:
        return None
    return GAUGE_CHECK, {
        "form": 1,
        "gauge": "sensor" if checking.kind == "sensor" else "protractor",
        "how": checking.kind,
        "readings_deg": list(checking.done),
        "bias_deg": found.bias_deg,
        "within_deg": found.within_deg,
    }
