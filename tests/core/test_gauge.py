"""What a check of gauge or scale changes in what is learnt."""

from dataclasses import replace

import pytest

from benchcalc.core.springback.first_guess import bend_to, overbend_spread
from benchcalc.core.springback.gauge import NOT_CHECKED, Checked, bias_of, share_of
from benchcalc.core.springback.learning import (
    Bent,
    Taught,
    gauge_checked,
    key_of,
    springback_of,
    teach,
)
from tests.properties.springback_worlds import BENDER, GUESS, TUBE

KEY = key_of(replace(TUBE, lot="A"), BENDER)
TRULY = [(46.6, 45.0), (92.8, 90.0), (92.8, 90.0), (123.7, 120.0)]


def taught(bends: list[tuple[float, float]]) -> Taught:
    found = Taught()
    for loaded, released in bends:
        found = teach(found, KEY, GUESS, Bent(loaded, released, loaded_read=False))
    return found


def needs(known: Taught) -> float:
    return bend_to(90.0, springback_of(known, KEY, GUESS))


def test_a_gauge_that_reads_high_is_corrected_for_old_bends_too() -> None:
    read = taught([(loaded, released + 0.5) for loaded, released in TRULY])
    assert needs(read) < needs(taught(TRULY)) - 0.4
    bias, spread = bias_of([90.4, 90.6, 90.5])
    assert bias == pytest.approx(0.5) and 0 < spread < 0.1
    known = gauge_checked(read, KEY.size, False, Checked(bias, spread))
    assert needs(known) == pytest.approx(needs(taught(TRULY)), abs=1e-6)
    law, before = (springback_of(one, KEY, GUESS) for one in (known, taught(TRULY)))
    assert overbend_spread(90.0, law) > overbend_spread(90.0, before)


def test_a_scale_that_reads_two_per_cent_high_opens_no_radius_once_compared() -> None:
    """Scale and gauge under load: what is left is the tube's own springback."""
    read = taught([(loaded * 1.02, released) for loaded, released in TRULY])
    share, spread = share_of([(47.53, 46.6), (94.66, 92.8)])
    assert share == pytest.approx(0.02, abs=1e-3) and 0 < spread < 0.01
    known = gauge_checked(read, KEY.size, False, Checked(share=share, share_spread=spread))
    truly = springback_of(taught(TRULY), KEY, GUESS)
    assert springback_of(read, KEY, GUESS).b > truly.b + 0.01
    assert springback_of(known, KEY, GUESS).b == pytest.approx(truly.b, abs=2e-3)
    (bends,) = known.groups.values()
    assert bends.checked.reading(needs(known)) == pytest.approx(needs(read), abs=0.1)


def test_a_check_stays_with_the_bends_that_follow() -> None:
    known = gauge_checked(taught(TRULY), KEY.size, False, Checked(0.5, 0.05))
    more = teach(known, KEY, GUESS, Bent(92.8, 90.5, loaded_read=False))
    (bends,) = more.groups.values()
    assert bends.checked == Checked(0.5, 0.05) and len(bends.kept) == 5
    assert gauge_checked(Taught(), KEY.size, False, Checked(0.5)) == Taught()


def test_nothing_checked_corrects_nothing_and_nothing_read_is_refused() -> None:
    assert NOT_CHECKED.springback(92.8, 90.0) == pytest.approx(2.8)
    with pytest.raises(ValueError, match="read at least one face"):
        bias_of([])
    with pytest.raises(ValueError, match="read scale and gauge together"):
        share_of([])
