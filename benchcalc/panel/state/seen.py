"""What the angle sensor shows, and a bend that it says is final."""

from dataclasses import dataclass

from benchcalc.report.told import Told


@dataclass(frozen=True, slots=True)
class AsideSeen:
    """Readings of this pull that were set aside: why the last one was, how many, its angle."""

    why: str
    count: int
    deg: float


@dataclass(frozen=True, slots=True)
class SensorSeen:
    """What the angle sensor shows: the bend's angle, how old it is, and how far the bend has come.

    ``state`` is one of the sensor's table; ``trouble`` what is wrong, while it is; ``doubt`` says
    why the operator is asked; ``by_handle`` that the handle tells when it was let go; ``recorded``
    that the last bend's recording can be sent.
    """

    angle_deg: float | None = None
    stale: bool = True
    zeroed: bool = False
    state: str = ""
    loaded_deg: float | None = None
    gravity: bool = False
    trouble: Told | None = None
    doubt: str = ""
    aside: AsideSeen | None = None
    by_handle: bool = False
    recorded: bool = False


@dataclass(frozen=True, slots=True)
class Settled:
    """A bend that the sensor says is final: released and loaded angle, raw reading and zero.

    ``again`` when it takes the place of what the sensor said before, with no pull between.
    """

    released_deg: float
    loaded_deg: float
    raw_deg: float
    zero_deg: float
    again: bool = False
