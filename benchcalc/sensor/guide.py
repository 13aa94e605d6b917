"""What the eye and the ear get while pulling: a dial with a target band, and a tone."""

from typing import NamedTuple

REACH_DEG = 20.0
"""How far before the angle to pull to the dial begins; until then the needle waits there."""

PAST_DEG = 5.0
LOW_HZ, HIGH_HZ, PAST_HZ = 330.0, 660.0, 880.0


class Dial(NamedTuple):
    """Shares of the dial's length, from 0 at its start to 1 at its end, and what is missing."""

    needle: float
    pull_to: float
    band: tuple[float, float]
    further_deg: float


def dial(angle_deg: float, pull_to_deg: float, tolerance_deg: float) -> Dial:
    """The needle and the band to bring it into; ``further_deg`` is negative when pulled past."""
    start_deg, length_deg = pull_to_deg - REACH_DEG, REACH_DEG + PAST_DEG

    def share(deg: float) -> float:
        return min(max((deg - start_deg) / length_deg, 0.0), 1.0)

    band = (share(pull_to_deg - tolerance_deg), share(pull_to_deg + tolerance_deg))
    return Dial(share(angle_deg), share(pull_to_deg), band, pull_to_deg - angle_deg)


def tone_hz(angle_deg: float, pull_to_deg: float, tolerance_deg: float) -> float | None:
    """The pitch to hear: rising towards the band, steady in it, another past it, None before."""
    further_deg = pull_to_deg - angle_deg
    if further_deg > REACH_DEG:
        return None
    if further_deg < -tolerance_deg:
        return PAST_HZ
    near = 1 - max(further_deg - tolerance_deg, 0.0) / REACH_DEG
    return LOW_HZ + (HIGH_HZ - LOW_HZ) * near
