"""What a measurement makes one believe: between what was meant and what was read."""

from typing import NamedTuple


class Reading(NamedTuple):
    """An angle or a turn as it was meant and as it was measured, degrees.

    ``width_deg`` is how far the measurement may be off, 95 % limits either way; 0 is exact.
    """

    meant_deg: float
    read_deg: float
    width_deg: float = 0.0


class Believed(NamedTuple):
    """The likeliest value, and how far it may be off, 95 % limits either way."""

    deg: float
    width_deg: float


def believed(reading: Reading, usual_deg: float) -> Believed:
    """What a bend or turn came to that comes as near as ``usual_deg`` to what is meant, 95 %.

    Two normal spreads: the coarser the reading, the nearer to what was meant. A gauge no better
    than the hand is believed half. A reading past what is usual says that the hand was off by more
    than usual: then so much is taken for usual.
    """
    off_deg = reading.read_deg - reading.meant_deg
    hand, gauge = max(usual_deg, abs(off_deg)) ** 2 if usual_deg else 0.0, reading.width_deg**2
    if hand + gauge == 0.0:
        return Believed(reading.read_deg, 0.0)
    share = hand / (hand + gauge)
    return Believed(reading.meant_deg + share * off_deg, (share * gauge) ** 0.5)
