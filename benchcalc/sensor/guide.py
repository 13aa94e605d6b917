"""What the ear gets while pulling: a tone that rises towards the angle."""

REACH_DEG = 20.0
"""How far before the angle to pull to the tone begins."""

LOW_HZ, HIGH_HZ, PAST_HZ = 330.0, 660.0, 880.0


def tone_hz(angle_deg: float, pull_to_deg: float, tolerance_deg: float) -> float | None:
    """The pitch to hear: rising towards the band, steady in it, another past it, None before."""
    further_deg = pull_to_deg - angle_deg
    if further_deg > REACH_DEG:
        return None
    if further_deg < -tolerance_deg:
        return PAST_HZ
    near = 1 - max(further_deg - tolerance_deg, 0.0) / REACH_DEG
    return LOW_HZ + (HIGH_HZ - LOW_HZ) * near
