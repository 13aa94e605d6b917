"""From reading to bend angle, and what the tone makes of it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchcalc.sensor.angle import bend_angle, mean_raw
from benchcalc.sensor.guide import HIGH_HZ, LOW_HZ, PAST_HZ, tone_hz
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile

ROUND = SensorProfile("round", NmeaXdr(), wrap_deg=360.0)
BACKWARDS = replace(ROUND, sign=-1)
ENDLESS = replace(ROUND, wrap_deg=0.0)


@pytest.mark.parametrize(
    ("profile", "raw_deg", "zero_deg", "bend_deg"),
    [
        (ROUND, 45.0, 0.0, 45.0),
        (ROUND, 20.0, 335.0, 45.0),
        (ROUND, -170.0, 100.0, 90.0),
        (ROUND, 359.0, 0.0, -1.0),
        (BACKWARDS, 315.0, 0.0, 45.0),
        (BACKWARDS, 350.0, 35.0, 45.0),
        (ENDLESS, 1125.0, 1080.0, 45.0),
        (replace(ROUND, wrap_deg=180.0), 10.0, 145.0, 45.0),
    ],
)
def test_sign_zero_and_wrap(
    profile: SensorProfile, raw_deg: float, zero_deg: float, bend_deg: float
) -> None:
    angle = bend_angle(raw_deg, zero_deg, profile)
    assert (angle.raw_deg, angle.zero_deg) == (raw_deg, zero_deg)
    assert angle.bend_deg == pytest.approx(bend_deg)


@given(
    st.floats(-89, 269), st.floats(-720, 720), st.sampled_from([ROUND, BACKWARDS]),
    st.integers(-2, 2),
)  # fmt: skip
def test_any_bend_comes_back_from_any_zero(
    bend_deg: float, zero_deg: float, profile: SensorProfile, turns: int
) -> None:
    raw_deg = zero_deg + profile.sign * bend_deg + 360 * turns
    assert bend_angle(raw_deg, zero_deg, profile).bend_deg == pytest.approx(bend_deg, abs=1e-6)


@given(st.floats(-360, 360), st.lists(st.floats(-2, 2), min_size=1, max_size=30))
def test_the_mean_does_not_mind_the_wrap(middle_deg: float, offs_deg: list[float]) -> None:
    raws = [(middle_deg + off) % 360 for off in offs_deg]
    expected = middle_deg + sum(offs_deg) / len(offs_deg)
    off_deg = (mean_raw(raws, 360.0) - expected + 180) % 360 - 180
    assert off_deg == pytest.approx(0, abs=1e-6)


def test_no_readings_have_no_mean() -> None:
    with pytest.raises(ValueError, match="no reading"):
        mean_raw([], 360.0)


def test_the_tone_rises_holds_and_changes() -> None:
    assert tone_hz(10, 46.2, 0.5) is None
    low, near, inside = (tone_hz(deg, 46.2, 0.5) or 0 for deg in (30, 40, 46.0))
    assert LOW_HZ <= low < near < inside == HIGH_HZ
    assert tone_hz(46.8, 46.2, 0.5) == PAST_HZ
