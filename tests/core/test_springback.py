"""Moments of thousands of random rings against scipy, and what the first guess makes of them."""

from math import degrees, pi, sqrt
from random import Random

import pytest
from scipy.integrate import quad
from scipy.special import gamma

from benchcalc.core.job import Bender, Material, Tube
from benchcalc.core.springback.first_guess import (
    ARM_DIAMETERS,
    GUESS_MISS,
    OFFSET_MISS,
    RAISED,
    SLOPE_MISS,
    bend_to,
    first_guess,
    first_pull_to,
    power_law_moment,
    ring_area_moment,
    section_moment,
    springback_ratio,
)
from tests.core.bench_jobs import bender
from tests.core.ring_quadrature import Section, strip, summed

SECTIONS = 1500
CLOSED_FORM = 1e-11
"""Relative: rounding of gamma and of differences of powers."""
QUADRATURE = 1e-9
"""Relative: what scipy's quadrature is asked for, and then some."""
FULL_LAW = 2e-6
"""Relative: the midpoint rule over the elastic core; springback of 5 degrees moves by 1e-5."""


def random_section(seed: int) -> Section:
    """Tube of 3 to 25 mm, wall 3 to 25 % of it, die of 1.5 to 8 diameters, any bench metal."""
    rng = Random(seed)
    od = rng.uniform(3, 25)
    return Section(
        od,
        od * rng.uniform(0.03, 0.25),
        od * rng.uniform(1.5, 8),
        rng.uniform(150, 1500),
        rng.uniform(0.0, 0.6),
        rng.uniform(65000, 215000),
    )


def test_power_law_moment_against_the_closed_form_with_scipys_gamma() -> None:
    for seed in range(SECTIONS):
        s = random_section(seed)
        shape = 2 * sqrt(pi) * gamma(1 + s.n / 2) / ((s.n + 3) * gamma((s.n + 3) / 2))
        ring = (s.od / 2) ** (s.n + 3) - (s.od / 2 - s.wall) ** (s.n + 3)
        wanted = s.k / s.radius**s.n * float(shape) * ring
        got = power_law_moment(s.od, s.wall, s.radius, s.k, s.n)
        assert got == pytest.approx(wanted, rel=CLOSED_FORM), f"seed {seed}"


def test_power_law_moment_against_quadrature() -> None:
    for seed in range(SECTIONS):
        s = random_section(seed)
        got = power_law_moment(s.od, s.wall, s.radius, s.k, s.n)
        assert got == pytest.approx(summed(s, elastic=False), rel=QUADRATURE), f"seed {seed}"


def test_section_moment_against_quadrature_of_the_full_law() -> None:
    for seed in range(SECTIONS):
        s = random_section(seed)
        got = section_moment(*s)
        assert got == pytest.approx(summed(s, elastic=True), rel=FULL_LAW), f"seed {seed}"


def test_second_moment_of_the_ring_against_quadrature() -> None:
    for seed in range(300):
        s = random_section(seed)
        inner = s.od / 2 - s.wall
        wanted = sum(
            quad(lambda y, s=s: y**2 * strip(s, y), low, high, epsrel=1e-11)[0]
            for low, high in ((0.0, inner), (inner, s.od / 2))
        )
        got = ring_area_moment(s.od, s.wall)
        assert got == pytest.approx(2 * float(wanted), rel=QUADRATURE), f"seed {seed}"


def test_a_ring_that_never_yields_springs_back_whole() -> None:
    """On a die so wide that every fibre stays elastic, M = E I/R and q = 1.

    No bender has one: the midpoint rule, made for a thin elastic core, is 0.6 % off there.
    """
    tube = Tube(10.0, 1.0, "steel")
    assert springback_ratio(tube, 50_000.0, 600.0, 0.21, 200_000.0) == pytest.approx(1.0, rel=0.01)


def test_the_first_guess_is_the_mean_of_the_published_pairs_with_both_widths() -> None:
    tube, die = Tube(10.0, 1.0, "metal"), bender()
    metal = Material("metal", (530.0, 315.0), (0.44, 0.54), 117_000.0, 0.35)
    ratios = [
        summed(Section(10.0, 1.0, die.radius_mm, k, n, metal.e_mpa), elastic=True)
        * die.radius_mm
        / (metal.e_mpa * ring_area_moment(10.0, 1.0))
        for k, n in zip(metal.k_mpa, metal.n, strict=True)
    ]
    law = first_guess(tube, die, metal)
    mean, half = RAISED * sum(ratios) / 2, RAISED * abs(ratios[0] - ratios[1]) / 2
    arms = degrees(mean / RAISED * 2 * ARM_DIAMETERS * 10.0 / (2 * die.radius_mm))
    assert law.source == "estimate"
    assert law.a_deg == pytest.approx(arms, rel=FULL_LAW)
    assert law.var_a == pytest.approx((OFFSET_MISS**2 + GUESS_MISS**2) * law.a_deg**2)
    assert law.b == pytest.approx(mean, rel=FULL_LAW)
    missed = SLOPE_MISS**2 + GUESS_MISS**2
    assert law.var_b == pytest.approx(missed * mean**2 + half**2, rel=1e-5)


def test_one_pair_leaves_only_what_theory_misses() -> None:
    metal = Material("metal", (600.0,), (0.21,), 200_000.0, 0.3)
    law = first_guess(Tube(10.0, 1.0, "metal"), bender(), metal)
    assert law.var_b == pytest.approx((SLOPE_MISS**2 + GUESS_MISS**2) * law.b**2)


def test_the_first_guess_of_annealed_stainless_is_what_the_trade_expects() -> None:
    """Common practice, no source: 2 to 3 degrees over on a square bend of annealed stainless."""
    metal = Material("316", (1400.0, 1275.0), (0.44, 0.45), 193_000.0, 0.35)
    for od, wall, radius in ((6.0, 1.0, 15.0), (6.35, 0.889, 14.29), (10.0, 1.0, 25.0)):
        die = Bender("x", od, radius, 190.0, ())
        law = first_guess(Tube(od, wall, "316"), die, metal)
        assert 2.0 <= bend_to(90.0, law) - 90.0 <= 3.0
        # The curve is no proportion: more than half of it is there at 45 degrees.
        assert bend_to(45.0, law) - 45.0 > 0.55 * (bend_to(90.0, law) - 90.0)


def test_whatever_the_truth_a_first_pull_goes_over_at_most_one_time_in_twenty() -> None:
    """316, 6 x 1, springback of a square bend from 1.6 to 6 degrees; the bend's noise on top."""
    metal = Material("316", (1400.0, 1275.0), (0.44, 0.45), 193_000.0, 0.35)
    law = first_guess(Tube(6.0, 1.0, "316"), Bender("x", 6.0, 15.0, 190.0, ()), metal)
    first = first_pull_to(90.0, 0.5, law)
    for truth in (1.6, 2.0, 3.0, 6.0):
        assert first - truth + 1.645 * law.noise_deg <= 90.5
