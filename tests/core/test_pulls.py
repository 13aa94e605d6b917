"""How far to pull: to the angle on the average, and short of it while little is known."""

from random import Random

import numpy as np
import pytest

from benchcalc.core.springback.first_guess import (
    READING_NOISE_DEG,
    Springback,
    bend_to,
    first_guess,
    first_pull_to,
    further_pull_to,
    overbend_spread,
)
from tests.core.bench_jobs import STEEL, bender, job

DRAWS = 400_000
MOST_OVER = 0.025
CHANCE = 4 * (MOST_OVER * (1 - MOST_OVER) / DRAWS) ** 0.5
"""Four standard errors of a share of 2.5 % in so many draws: 0.001."""


def released(loaded_deg: float, law: Springback) -> float:
    """What a bend opens to when a and b are exactly what the law says."""
    return loaded_deg - (law.a_deg + law.b * loaded_deg)


def share_over(law: Springback, loaded_deg: float, limit_deg: float, seed: int) -> float:
    """The share of benches, each with its own a and b, where this pull comes out over a limit."""
    rng = np.random.default_rng(seed)
    a, b, dip = draws(law, rng)
    back = a + b * loaded_deg - dip * np.exp(-loaded_deg / 15.0)
    tube = (law.noise_deg**2 - READING_NOISE_DEG**2) ** 0.5  # what the gauge adds is not in it
    out = loaded_deg - back + rng.normal(0.0, tube, DRAWS)
    return float((out > limit_deg).mean())


def draws(law: Springback, rng: np.random.Generator) -> np.ndarray:
    """Offset, slope and dip of many benches."""
    spread = [
        [law.var_a, law.cov_ab, law.cov_a_dip],
        [law.cov_ab, law.var_b, law.cov_b_dip],
        [law.cov_a_dip, law.cov_b_dip, law.var_dip],
    ]
    return rng.multivariate_normal([law.a_deg, law.b, law.dip_deg], spread, DRAWS).T


LAWS = {
    "first guess": first_guess(job().tube, bender(), STEEL),
    "wide": Springback(1.0, 0.02, 0.25, 1e-4),
    "learnt together": Springback(0.8, 0.025, 0.16, 4e-5, -0.0022),
    "pulling together": Springback(0.2, 0.01, 0.09, 1e-5, 0.0008, 0.3),
    "bent down": Springback(1.5, 0.02, 0.09, 1e-5, 0.0, 0.2, "measured", 1.2, 0.25, 0.03, -0.0004),
    "noise only": Springback(0.5, 0.02, 0.0, 0.0, 0.0, 0.6),
}


@pytest.mark.parametrize("name", LAWS)
@pytest.mark.parametrize("tolerance_deg", [0.25, 1.0])
@pytest.mark.parametrize("angle_deg", [10.0, 90.0, 180.0])
def test_the_chance_of_going_over_tolerance_is_a_fortieth(
    name: str, angle_deg: float, tolerance_deg: float
) -> None:
    law = LAWS[name]
    pull = first_pull_to(angle_deg, tolerance_deg, law)
    over = share_over(law, pull, angle_deg + tolerance_deg, seed=round(angle_deg))
    assert over <= MOST_OVER + CHANCE
    if pull < bend_to(angle_deg, law):
        assert over >= MOST_OVER - CHANCE, "it stops shorter than it needs to"


def test_wide_knowledge_stops_short_and_a_little_further_goes_over() -> None:
    law = LAWS["wide"]
    pull = first_pull_to(90.0, 0.5, law)
    assert pull < bend_to(90.0, law) - 0.5
    assert share_over(law, pull + 0.2, 90.5, seed=1) > MOST_OVER + CHANCE


@pytest.mark.parametrize("angle_deg", [5.0, 45.0, 90.0, 180.0])
def test_a_bench_that_knows_pulls_straight_to_the_angle(angle_deg: float) -> None:
    law = Springback(0.8, 0.025, 0.01**2, 0.0, 0.0, 0.1, "measured")
    assert first_pull_to(angle_deg, 0.5, law) == bend_to(angle_deg, law)


def test_the_first_pull_grows_into_bend_to_as_the_spread_shrinks() -> None:
    pulls = [
        first_pull_to(90.0, 0.5, Springback(1.0, 0.02, 0.25 * f, 1e-4 * f, noise_deg=0.2))
        for f in (1.0, 0.5, 0.2, 0.05, 0.0)
    ]
    assert pulls == sorted(pulls)
    assert pulls[0] < pulls[-1] == bend_to(90.0, Springback(1.0, 0.02, 0.0, 0.0))


def test_hopeless_knowledge_still_gives_a_short_pull() -> None:
    """b known to half its whole range: no reading is sure, so a small one comes out."""
    hopeless = Springback(0.0, 0.02, 0.25, 0.3)
    assert 0 < first_pull_to(90.0, 0.5, hopeless) <= 45.0


def test_bend_to_and_release_undo_each_other() -> None:
    rng = Random(3)
    for _ in range(2000):
        law = Springback(rng.uniform(-1, 3), rng.uniform(0, 0.1), 0.2, 1e-4)
        angle = rng.uniform(1, 180)
        assert released(bend_to(angle, law), law) == pytest.approx(angle, abs=1e-10)


def test_the_second_pull_reaches_the_angle_whatever_a_truly_is() -> None:
    """The shortfall measures a; only b must be right."""
    rng = Random(4)
    for _ in range(2000):
        believed = Springback(rng.uniform(-1, 3), rng.uniform(0, 0.1), 0.2, 1e-4)
        truth = Springback(rng.uniform(-1, 3), believed.b, 0.0, 0.0)
        angle = rng.uniform(5, 180)
        first = first_pull_to(angle, 0.5, believed)
        second = further_pull_to(first, released(first, truth), angle, believed)
        assert released(second, truth) == pytest.approx(angle, abs=1e-10)


def test_as_expected_the_second_pull_goes_to_bend_to() -> None:
    law = LAWS["wide"]
    first = first_pull_to(90.0, 0.5, law)
    again = further_pull_to(first, released(first, law), 90.0, law)
    assert again == pytest.approx(bend_to(90.0, law), abs=1e-10)


@pytest.mark.parametrize("name", LAWS)
def test_the_spread_of_the_overbend_against_draws(name: str) -> None:
    """Each bench solves its own line for the pull it needs; to first order in the spread of b."""
    law = LAWS[name]
    rng = np.random.default_rng(5)
    a, b, dip = draws(law, rng)
    dip *= np.exp(-bend_to(90.0, law) / 15.0)
    needed = (90.0 + a - dip + rng.normal(0.0, law.noise_deg, DRAWS)) / (1 - b)
    assert overbend_spread(90.0, law) == pytest.approx(float(needed.std()), rel=0.01)
