"""A level laid on the tube of the simulated bender, which may stand either way on its bench."""

import numpy as np

from benchcalc.core.layout.straight_tube import Layout
from benchcalc.core.layout.turn_by_level import Lay, Side
from tests.properties.simulated_bender import Array, SimulatedBender

UP: dict[tuple[Lay, Side], Array] = {
    ("flat", "left"): np.array([0.0, 0.0, 1.0]),
    ("flat", "right"): np.array([0.0, 0.0, -1.0]),
    ("upright", "left"): np.array([0.0, 1.0, 0.0]),
    ("upright", "right"): np.array([0.0, 1.0, 0.0]),
}
"""Which way is up for a bender laid flat that curves to either side, and for one that stands."""


def outer_leg(layout: Layout, last: int, number: int) -> bool:
    """Whether between the two bends the tube is straight, so that the leg leans by one bend."""
    low, high = sorted((last, number))
    order = layout.bends[number - 1].order
    return all(one.order > order for one in layout.bends[low : high - 1])


def leg_goes(bench: SimulatedBender, layout: Layout, last: int, number: int) -> Array:
    """The unit way the straight beyond bend ``last`` goes, away from the bend in hand."""
    bend = layout.bends[last - 1]
    at_mm = bend.start_mm if last < number else bend.end_mm
    near = int(np.argmin(abs(bench.stations_mm - at_mm)))
    way = bench.axes[near][:, 0]
    return np.asarray(-way if last < number else way)
