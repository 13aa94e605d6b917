"""The expected miss against tens of thousands of tubes bent wrong by dice.

Nothing of the propagation is used: every draw is a whole tube of fixed length, its marks, angles
and turns each a little off, followed through space bend by bend.
"""

from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from benchcalc.core.fit.expected_miss import Tolerances, expected_miss
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import Layout, lay_out
from tests.properties.bendable_jobs import LAW, bendable_job

Array = NDArray[np.float64]
RUNS = 50
DRAWS = 40_000
WITHIN = 0.03


class Errors(NamedTuple):
    """One column a bend, one row a draw: millimetres, radians, radians."""

    mark: Array
    angle: Array
    turn: Array


def drawn(rng: np.random.Generator, bends: int, widths: Tolerances) -> Errors:
    """Independent errors whose 95 % limits are the widths, near enough two deviations."""
    normal = rng.standard_normal((3, DRAWS, bends)) / 2
    turn = np.radians(widths.turning_deg) * normal[2]
    turn[:, 0] = 0.0  # the first turn is free: there is nothing to be turned from
    return Errors(widths.mark_mm * normal[0], np.radians(widths.angle_deg) * normal[1], turn)


def spun(vectors: Array, axis: Array, angle: Array) -> Array:
    """Vectors turned about unit axes, right-handed (Rodrigues)."""
    c, s = np.cos(angle)[:, None], np.sin(angle)[:, None]
    along = np.einsum("ij,ij->i", vectors, axis)[:, None] * axis
    turned: Array = vectors * c + np.cross(axis, vectors) * s + along * (1 - c)
    return turned


def far_ends(layout: Layout, errors: Errors) -> Array:
    """Where each tube ends: every mark moves its own bend, the held-side tangent point with it."""
    count = len(errors.mark)
    place, along = np.zeros((count, 3)), np.tile([1.0, 0.0, 0.0], (count, 1))
    across = np.tile([0.0, 0.0, 1.0], (count, 1))
    at = np.full(count, layout.shift_mm)
    for n, bend in enumerate(layout.bends):
        angle = np.radians(bend.angle_deg) + errors.angle[:, n]
        arc = bend.radius_mm * angle
        if bend.held == "reference":
            start = bend.start_mm + errors.mark[:, n]
        else:
            start = bend.end_mm + errors.mark[:, n] - arc
        across = spun(across, along, np.radians(bend.turn_deg) + errors.turn[:, n])
        place = place + along * (start - at)[:, None]
        centre = place + np.cross(across, along) * bend.radius_mm
        place = centre + spun(place - centre, across, angle)
        along = spun(along, across, angle)
        at = start + arc
    end = layout.bends[-1].end_mm + layout.straight_after_mm
    ends: Array = place + along * (end - at)[:, None]
    return ends


def radius_by_dice(layout: Layout, widths: Tolerances, seed: int) -> float:
    bends = len(layout.bends)
    nothing = Errors(*(np.zeros((1, bends)) for _ in range(3)))
    errors = drawn(np.random.default_rng(seed), bends, widths)
    misses = np.linalg.norm(far_ends(layout, errors) - far_ends(layout, nothing), axis=1)
    return float(np.quantile(misses, 0.95))


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
        nothing = Errors(*(np.zeros((1, len(layout.bends))) for _ in range(3)))
        assert far_ends(layout, nothing)[0] == pytest.approx(trace(layout).end_point, abs=1e-9)


def test_the_comparison_sees_a_wrong_pivot() -> None:
    """Were the angle's error turned about the corner, the radii would part by more than is let."""
    layout = lay_out(bendable_job(0, 1, 1), LAW)
    bend = layout.bends[0]
    swing = bend.set_back_mm + layout.straight_after_mm
    wrong = expected_miss(layout, trace(layout), Tolerances(0.01, 1.0, 0.01)).radius_mm
    wrong *= swing / layout.straight_after_mm
    assert abs(wrong / radius_by_dice(layout, Tolerances(0.01, 1.0, 0.01), 0) - 1) > WITHIN
