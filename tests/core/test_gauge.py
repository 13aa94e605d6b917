"""What a check of gauge or scale changes in what is learnt."""

from dataclasses import replace

import pytest

from benchcalc.core.springback.checking import gauge_checked, scale_checked
from benchcalc.core.springback.first_guess import bend_to, overbend_spread
from benchcalc.core.springback.gauge import (
    OLD_DAYS,
    GaugeCheck,
    ScaleCheck,
    bias_of,
    bias_reversed,
    days_since,
    is_old,
    share_of,
)
from benchcalc.core.springback.learning import Bent, Taught, key_of, springback_of, teach
from tests.properties.springback_worlds import BENDER, GUESS, TUBE

KEY = key_of(replace(TUBE, lot="A"), BENDER)
TRULY = [(46.6, 45.0), (92.8, 90.0), (92.8, 90.0), (123.7, 120.0)]


def taught(bends: list[tuple[float, float]], read: bool = False) -> Taught:
    found = Taught()
    for loaded, released in bends:
        found = teach(found, KEY, GUESS, Bent(loaded, released, loaded_read=read))
    return found


def needs(known: Taught, read: bool | None = None) -> float:
    return bend_to(90.0, springback_of(known, KEY, GUESS, read=read))


def test_a_gauge_that_reads_high_is_set_right_for_the_bends_of_before() -> None:
    read = taught([(loaded, released + 0.5) for loaded, released in TRULY])
    assert needs(read) < needs(taught(TRULY)) - 0.4
    found = bias_of([90.4, 90.6, 90.5])
    assert found.bias_deg == pytest.approx(0.5) and 0 < found.within_deg < 0.2
    known = gauge_checked(read, "protractor", found)
    assert needs(known) == pytest.approx(needs(taught(TRULY)), abs=1e-6)
    law, before = (springback_of(one, KEY, GUESS) for one in (known, taught(TRULY)))
    assert overbend_spread(90.0, law) > overbend_spread(90.0, before)


def test_bends_after_the_first_check_are_true_already() -> None:
    """Its bias is taken off as they are typed: a later check leaves them as they are."""
    known = gauge_checked(taught(TRULY), "protractor", GaugeCheck(0.0, 0.1, "2026-01-01"))
    again = gauge_checked(known, "protractor", GaugeCheck(0.4, 0.1, "2026-06-01"))
    assert again.groups == known.groups
    assert again.gauges == {"protractor": GaugeCheck(0.4, 0.1, "2026-06-01")}
    more = teach(again, KEY, GUESS, Bent(92.8, 90.0, loaded_read=False))
    assert more.gauges == again.gauges


def test_a_sensor_reads_pull_and_bend_alike() -> None:
    read = taught([(loaded + 0.5, released + 0.5) for loaded, released in TRULY], read=True)
    known = gauge_checked(read, "sensor", GaugeCheck(0.5, 0.1))
    assert known.groups == read.groups
    assert gauge_checked(Taught(), "protractor", GaugeCheck(0.5, 0.1)).groups == {}


def test_a_scale_that_reads_two_per_cent_high_is_told_from_springback_by_its_comparison() -> None:
    """Bends by sensor, then the first pull by the scale: it reads 2 % more at the same angle."""
    sensed = taught(TRULY, read=True)
    found = share_of([(47.53, 46.6), (94.66, 92.8)])
    assert found.share == pytest.approx(0.02, abs=1e-3) and 0 < found.within < 0.02
    known = scale_checked(sensed, BENDER.key, ScaleCheck(found.share, found.within))
    by_sensor = needs(known, read=True)
    assert by_sensor == pytest.approx(needs(sensed, read=True), abs=1e-9)
    wanted = by_sensor * 1.02
    assert needs(known, read=False) == pytest.approx(wanted, abs=0.25)
    assert abs(needs(sensed, read=False) - wanted) > 1.0
    law, before = (springback_of(one, KEY, GUESS, read=False) for one in (known, sensed))
    assert overbend_spread(90.0, law) < overbend_spread(90.0, before)
    elsewhere = scale_checked(sensed, "another", ScaleCheck(found.share, found.within))
    assert needs(elsewhere, read=False) == needs(sensed, read=False)


def test_a_gauge_reversed_shows_its_bias_without_a_known_angle() -> None:
    found = bias_reversed(45.8, 45.0)
    assert found.bias_deg == pytest.approx(0.4) and 0 < found.within_deg < 0.2


def test_a_check_grows_old() -> None:
    assert days_since("2026-01-01", "2026-01-31") == 30
    assert days_since("", "2026-01-31") is None and not is_old("", "2026-01-31")
    assert not is_old("2026-01-01", "2026-04-01") and is_old("2026-01-01", "2026-04-02")
    assert OLD_DAYS == 90


def test_nothing_read_is_refused() -> None:
    with pytest.raises(ValueError, match="read at least one face"):
        bias_of([])
    with pytest.raises(ValueError, match="read scale and gauge together"):
        share_of([])
