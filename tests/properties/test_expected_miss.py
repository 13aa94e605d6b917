"""The expected miss against tens of thousands of tubes bent wrong by dice.

Nothing of the propagation is used: every draw is a whole tube of fixed length, followed through
space bend by bend.
"""

import numpy as np
import pytest

from benchcalc.core.fit.expected_miss import Tolerances, expected_miss
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import Layout, lay_out
from tests.properties.bendable_jobs import LAW, bendable_job
from tests.properties.tubes_by_dice import drawn, far_ends, missed, nothing

RUNS = 50
DRAWS = 40_000
WITHIN = 0.03


def radius_by_dice(layout: Layout, widths: Tolerances, seed: int) -> float:
    errors = drawn(np.random.default_rng(seed), len(layout.bends), widths, DRAWS)
    return float(np.quantile(missed(layout, errors), 0.95))


def widths_of(seed: int) -> Tolerances:
    """The ordinary widths, and some where one of the three is nearly all there is."""
    return (
        Tolerances(),
        Tolerances(2.0, 0.1, 0.1),
        Tolerances(0.1, 1.0, 0.1),
        Tolerances(0.1, 0.1, 2.0),
    )[seed % 4]


@pytest.mark.parametrize("seed", range(RUNS))
def test_the_95_percent_radius_holds_95_percent_of_the_tubes(seed: int) -> None:
    layout, widths = lay_out(bendable_job(seed, 1, 8), LAW), widths_of(seed)
    told = expected_miss(layout, trace(layout), widths).radius_mm
    assert told == pytest.approx(radius_by_dice(layout, widths, seed), rel=WITHIN)


def test_the_dice_trace_the_tube_they_are_thrown_for() -> None:
    for seed in range(20):
        layout = lay_out(bendable_job(seed, 1, 8), LAW)
        straight = far_ends(layout, nothing(len(layout.bends)))[0]
        assert straight == pytest.approx(trace(layout).end_point, abs=1e-9)


def test_the_comparison_sees_a_wrong_pivot() -> None:
    """Were the angle's error turned about the corner, the radii would part by more than is let."""
    layout = lay_out(bendable_job(0, 1, 1), LAW)
    bend = layout.bends[0]
    swing = bend.set_back_mm + layout.straight_after_mm
    wrong = expected_miss(layout, trace(layout), Tolerances(0.01, 1.0, 0.01)).radius_mm
    wrong *= swing / layout.straight_after_mm
    assert abs(wrong / radius_by_dice(layout, Tolerances(0.01, 1.0, 0.01), 0) - 1) > WITHIN
