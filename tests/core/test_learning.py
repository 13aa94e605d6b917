"""What a bench learns from its bends, all of them judged anew together."""

import random
from dataclasses import replace

import pytest

from benchcalc.core.job import Tube
from benchcalc.core.springback.first_guess import (
    Springback,
    bend_to,
    first_pull_to,
    overbend_spread,
)
from benchcalc.core.springback.learning import (
    KEPT,
    Bent,
    LotKey,
    Size,
    Taught,
    forget,
    key_of,
    springback_of,
    teach,
    together,
    weights_of,
    with_word,
)
from tests.properties.springback_worlds import BENDER, FINITE_ELEMENT, GUESS, LOADED, TUBE

KEY = key_of(replace(TUBE, lot="A"), BENDER)
GUESSED = bend_to(90.0, GUESS) - 90.0
SOUND = ((92.0, 89.3), (92.1, 89.6), (47.0, 45.2), (92.0, 89.4))
"""Bends as the guess has them: 2.6 degrees back on a square bend."""


def taught_by(
    *bends: tuple[float, float], key: LotKey = KEY, before: Taught | None = None
) -> Taught:
    taught = before or Taught()
    for number, (loaded, released) in enumerate(bends, 1):
        bent = Bent(loaded, released, loaded_read=False)
        taught = teach(taught, key, GUESS, bent, "2026-01-01", 1, number)
    return taught


def over(taught: Taught, angle: float = 90.0, key: LotKey = KEY) -> float:
    return bend_to(angle, springback_of(taught, key, GUESS)) - angle


def spread(taught: Taught, angle: float = 90.0, key: LotKey = KEY) -> float:
    return overbend_spread(angle, springback_of(taught, key, GUESS))


def weights(taught: Taught, key: LotKey = KEY) -> list[float]:
    return list(weights_of(taught, key, GUESS).values())


def back(degrees: float, *loaded: float) -> list[tuple[float, float]]:
    """Bends that give so much back, loaded to about a square bend."""
    return [(at, at - degrees) for at in loaded]


def test_nothing_taught_is_the_first_guess() -> None:
    assert springback_of(Taught(), KEY, GUESS) is GUESS


@pytest.mark.parametrize("degrees", [0.2, 1.0, 4.0, 6.0, 9.0, 15.0, 20.0])
def test_two_bends_that_agree_outvote_any_guess(degrees: float) -> None:
    taught = taught_by(*back(degrees, 92.0, 92.3))
    asked = over(taught, 92.0 - degrees)
    assert asked == pytest.approx(degrees, abs=0.25)
    assert min(weights(taught)) > 0.9


@pytest.mark.parametrize("degrees", [6.0, 8.0, 12.0, 20.0])
def test_one_bend_far_from_the_guess_does_little_more_than_widen(degrees: float) -> None:
    taught = taught_by(*back(degrees, 92.0))
    law = springback_of(taught, KEY, GUESS)
    assert bend_to(90.0, law) - 90.0 < GUESSED + 0.3 * (degrees - GUESSED)
    assert first_pull_to(90.0, 0.5, law) < 90.0 + GUESSED
    assert overbend_spread(90.0, law) > 1.0


def test_one_bend_near_the_guess_is_believed() -> None:
    taught = taught_by(*back(3.3, 92.0))
    assert over(taught) == pytest.approx(3.2, abs=0.2)
    assert spread(taught) < 0.5 * overbend_spread(90.0, GUESS)


def test_one_slip_outvotes_nothing() -> None:
    taught = taught_by(*SOUND)
    with_slip = taught_by(*SOUND, (92.0, 86.0))
    assert over(with_slip) == pytest.approx(over(taught), abs=0.02)
    assert weights(with_slip)[-1] < 0.01
    assert min(weights(with_slip)[:-1]) > 0.9
    first = taught_by((92.0, 84.0), *SOUND)
    assert over(first) == pytest.approx(over(taught), abs=0.1)
    assert weights(first)[0] < 0.01


def test_a_bend_that_was_doubted_counts_once_others_bear_it_out() -> None:
    """The fault this learner was made for: weights that were frozen when a bend was taught."""
    doubted = weights(taught_by((96.0, 90.0)))[0]
    assert doubted < 0.5
    later = weights(taught_by((96.0, 90.0), (96.2, 90.1), (96.1, 90.2)))
    assert min(later) > 0.9


def test_six_degrees_back_are_learnt_from_two_bends() -> None:
    """The overbend of 6 on 316 that took seven bends."""
    rng = random.Random(3)
    for count in range(2, 7):
        bends = [(96.0, 90.0 + rng.gauss(0.0, 0.15)) for _ in range(count)]
        assert over(taught_by(*bends)) == pytest.approx(6.0, abs=0.35)


def test_a_bender_that_is_set_anew_is_noticed() -> None:
    before = SOUND * 5
    after = ((93.0, 88.2), (94.0, 89.4), (92.0, 87.3))
    taught = taught_by(*before, *after)
    assert over(taught) == pytest.approx(4.7, abs=0.3)
    assert weights(taught)[: len(before)] == [0.0] * len(before)
    assert min(weights(taught)[-3:]) > 0.9
    assert over(taught_by(*before, after[0])) == pytest.approx(over(taught_by(*before)), abs=0.1)


def test_a_lot_out_of_the_usual_takes_two_bends() -> None:
    other = replace(KEY, lot="hard")
    known = taught_by(*SOUND * 3)
    once = taught_by((93.0, 87.6), key=other, before=known)
    twice = taught_by((93.0, 87.6), (95.0, 89.7), key=other, before=known)
    assert over(once, key=other) < 4.0
    assert over(twice, key=other) == pytest.approx(5.4, abs=0.3)
    assert over(twice) == pytest.approx(over(known), abs=0.1)


def test_old_bends_fade() -> None:
    """Two degrees by a tenth at a time: no step that is a change, and never far behind."""
    drift = [(92.0, 92.0 - 2.0 - k * 0.02) for k in range(100)]
    assert over(taught_by(*drift)) == pytest.approx(3.98, abs=0.6)
    turned = over(taught_by(*reversed(drift)))
    assert turned == pytest.approx(2.0, abs=0.6)


def test_a_new_lot_a_new_size_a_new_material_start_wider_and_wider() -> None:
    taught = taught_by(*SOUND * 4)
    size = KEY.size
    keys = [
        KEY,
        replace(KEY, lot="B"),
        LotKey(replace(size, wall_mm=1.5), "A"),
        LotKey(replace(size, wall_mm=1.5, material="304"), "A"),
    ]
    spreads = [spread(taught, key=key) for key in keys]
    assert spreads == sorted(spreads) and len({round(s, 3) for s in spreads}) == 4
    assert spreads[-1] < overbend_spread(90.0, GUESS)
    sources = [springback_of(taught, key, GUESS).source for key in keys]
    assert sources == ["measured", "measured", "estimate", "estimate"]


def test_how_widely_lots_differ_is_learnt() -> None:
    def lots(differ: float) -> float:
        rng, taught = random.Random(5), Taught()
        for lot in range(12):
            share = 1 + rng.gauss(0.0, differ)
            key = replace(KEY, lot=f"lot {lot}")
            taught = taught_by(*back(2.7 * share, 92.0, 92.5, 93.0), key=key, before=taught)
        return spread(taught, key=replace(KEY, lot="new"))

    assert lots(0.02) < lots(0.12) < lots(0.25)


def test_how_widely_bends_differ_is_learnt() -> None:
    def noise(differ: float) -> float:
        rng = random.Random(6)
        bends = [(92.0, 89.3 + rng.gauss(0.0, differ)) for _ in range(30)]
        return springback_of(taught_by(*bends), KEY, GUESS).noise_deg

    assert noise(0.05) < 0.2 < noise(0.3) < 0.4


def test_tube_without_a_name_is_another_lot_each_day() -> None:
    blank, taught = replace(KEY, lot=""), Taught()
    for day in range(4):
        for loaded, released in back(2.7 + 0.2 * day, 92.0, 92.5):
            bent = Bent(loaded, released, loaded_read=False)
            taught = teach(taught, blank, GUESS, bent, f"2026-01-0{day + 1}")
    laws = [springback_of(taught, blank, GUESS, f"2026-01-0{day}") for day in (1, 4, 9)]
    first, last, new = (bend_to(90.0, law) - 90.0 for law in laws)
    assert first < new < last
    assert overbend_spread(90.0, laws[2]) > 1.3 * overbend_spread(90.0, laws[1])


def test_scale_and_sensor_are_learnt_apart() -> None:
    """A scale that reads 2 % high: what a sensor read before does not take it for springback."""
    taught = Taught()
    for loaded in (46.5, 92.7, 123.6):
        taught = teach(taught, KEY, GUESS, Bent(loaded, loaded * 0.97, loaded_read=True))
    sensor = over(taught)
    for loaded in (47.4, 94.5, 126.0):
        taught = teach(taught, KEY, GUESS, Bent(loaded, loaded / 1.02 * 0.97, loaded_read=False))
    by_scale, by_sensor = (
        bend_to(90.0, springback_of(taught, KEY, GUESS, read=read)) - 90.0 for read in (False, True)
    )
    assert by_sensor == pytest.approx(sensor, abs=0.1)
    assert by_scale == pytest.approx(4.64, abs=0.15)
    assert over(taught) == by_scale  # the newest bend was pulled by the scale


def test_finite_element_curves_taught_at_45_and_90() -> None:
    """Asked at 20, 30, 60 and 120 under load: within 0.3 degrees RMS. Source: springback_worlds."""
    squares = []
    for curve in FINITE_ELEMENT.values():
        known = dict(zip(LOADED[1:], curve, strict=True))
        bends = [(loaded, loaded - known[loaded]) for loaded in (45.0, 90.0, 45.0, 90.0)]
        law = springback_of(taught_by(*bends), KEY, GUESS)
        for loaded in (20.0, 30.0, 60.0, 120.0):
            squares.append((bend_to(loaded - known[loaded], law) - loaded) ** 2)
    assert (sum(squares) / len(squares)) ** 0.5 < 0.3


def test_a_curve_bends_down_when_the_bends_say_so() -> None:
    falling = ((10.0, 9.7), (15.0, 14.4), (20.0, 19.0), (45.0, 43.0), (90.0, 87.0))
    straight = ((10.0, 8.8), (15.0, 13.7), (20.0, 18.6), (45.0, 43.0), (90.0, 87.0))
    assert over(taught_by(*falling * 2), 9.0) < over(taught_by(*straight * 2), 9.0) - 0.5


def test_struck_and_restored_bends_stay_and_count_as_the_operator_says() -> None:
    bends = (*SOUND, (92.0, 86.0))
    taught = taught_by(*bends)
    restored = with_word(taught, KEY, 1, 5, counts=True)
    assert weights(restored)[-1] > 0.99
    assert over(restored) > over(taught) + 0.3
    struck = with_word(taught, KEY, 1, 1, counts=False)
    assert weights(struck)[0] == 0.0 and len(weights(struck)) == 5
    assert over(struck) == pytest.approx(over(taught_by(*bends[1:])), abs=0.05)
    assert with_word(struck, KEY, 1, 1, counts=True) != taught
    none = taught
    for number in range(1, 6):
        none = with_word(none, KEY, 1, number, counts=False)
    assert springback_of(none, KEY, GUESS) == GUESS


def test_a_forgotten_lot_was_never_there() -> None:
    other = replace(KEY, lot="gone")
    with_it = taught_by(*SOUND, before=taught_by((92.0, 88.0), key=other))
    assert forget(with_it, other) == taught_by(*SOUND)
    assert forget(taught_by(*SOUND), other) == taught_by(*SOUND)
    assert forget(taught_by(*SOUND), KEY) == Taught()


def test_what_several_benches_taught_adds_up() -> None:
    one = taught_by(*SOUND)
    other = taught_by(*SOUND[:2], key=replace(KEY, lot="B"))
    both = together([one, other])
    assert both.lots == {KEY: 4, replace(KEY, lot="B"): 2}
    assert over(both) == pytest.approx(over(one), abs=0.2)
    assert together([one]) == one and together([]) == Taught()


def test_only_the_newest_bends_are_kept_and_all_are_counted() -> None:
    taught = taught_by(*[(92.0, 89.3)] * (KEPT + 50))
    (bends,) = taught.groups.values()
    assert len(bends.kept) == KEPT and bends.kept[0].number == 51
    assert taught.lots == {KEY: KEPT + 50}


@pytest.mark.parametrize(
    "bends",
    [
        [(92.0, 0.1)] * 6,
        [(92.0, 107.0)] * 6,
        [(0.1, 0.1), (0.1, 0.1)],
        [(200.0, 150.0), (3.0, 17.0), (92.0, 33.0)],
        [(92.0, 89.5)] * 120,
        [(92.0, 89.5), (92.0, 32.5)] * 20,
    ],
)
def test_absurd_bends_end_in_numbers(bends: list[tuple[float, float]]) -> None:
    taught = taught_by(*bends)
    law = springback_of(taught, KEY, GUESS)
    for angle in (0.5, 20.0, 90.0, 180.0):
        told, first = bend_to(angle, law), first_pull_to(angle, 0.5, law)
        assert 0 <= first <= told <= 400.0
        assert 0 < overbend_spread(angle, law) < 1000.0
    assert all(0 <= weight <= 1 for weight in weights(taught))


def test_other_sizes_of_a_material_bring_a_new_one_nearer() -> None:
    """A metal that springs back half again as much as theory says, on three walls of four."""
    laws = {wall: Springback(0.7, 0.035 + 0.001 * wall, 0.0, 0.0) for wall in (0.8, 1.0, 1.2, 1.5)}
    taught = Taught()
    for wall in (0.8, 1.0, 1.2):
        key = LotKey(Size("bench-6mm", "316", 6.0, wall), "A")
        for angle in (45.0, 90.0, 120.0, 90.0):
            taught = taught_by((bend_to(angle, laws[wall]), angle), key=key, before=taught)
    asked = LotKey(Size("bench-6mm", "316", 6.0, 1.5), "B")
    needed = bend_to(90.0, laws[1.5])
    known, guessed = bend_to(90.0, springback_of(taught, asked, GUESS)), bend_to(90.0, GUESS)
    assert abs(known - needed) < 0.3 * abs(guessed - needed)


def test_the_tube_of_a_size() -> None:
    assert KEY.size.tube("A") == Tube(6.0, 1.0, "316", "A")
