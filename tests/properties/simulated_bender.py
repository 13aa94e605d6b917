"""A bender on a bench that knows nothing of runs, legs or frames.

The bench: the start-of-bend plane is x = 0, the held side lies at x < 0, the free side at x > 0,
and the forming arm always wraps the tube towards +y. The tube is a row of stations along its
material line, each with a place, the way to the far end, and a pen line on its side; the hands can
clamp it, turn it, lay it end for end and pull the arm, and nothing else.
"""

from collections.abc import Sequence
from math import pi, radians

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Chosen = NDArray[np.intp]
TOUCH_MM = 1e-7
SQUARE = 1e-9


class OffAxisError(AssertionError):
    """What the sheet asked for cannot be done: that stretch of tube does not lie on the bender."""


class SimulatedBender:
    """A die of ``radius_mm`` that springs back by ``a + b`` times the loaded angle."""

    def __init__(
        self, stations_mm: Sequence[float], radius_mm: float, a_deg: float, b: float
    ) -> None:
        self.stations_mm: Array = np.asarray(stations_mm, dtype=float)
        self.radius_mm, self.a_deg, self.b = radius_mm, a_deg, b
        count = len(self.stations_mm)
        self.places: Array = np.zeros((count, 3))
        self.places[:, 0] = self.stations_mm
        self.axes: Array = np.tile(np.eye(3), (count, 1, 1))
        """Per station its columns: towards the far end, the pen line on the side, the third."""
        self.forward = True
        """Whether the far end lies on the free side."""
        self.clamped_axes: Array = np.eye(3)
        """How the tube lay at the clamp when it was last there."""

    def _station(self, at_mm: float) -> int:
        near = int(np.argmin(abs(self.stations_mm - at_mm)))
        if abs(self.stations_mm[near] - at_mm) > TOUCH_MM:
            raise OffAxisError(f"no station at {at_mm} mm")
        return near

    def _move(
        self, rotation: Array, pivot: Array, onto: Array, which: Chosen | None = None
    ) -> None:
        chosen = slice(None) if which is None else which
        self.places[chosen] = (self.places[chosen] - pivot) @ rotation.T + onto
        self.axes[chosen] = rotation @ self.axes[chosen]

    def clamp(self, mark_mm: float, line_mm: float) -> None:
        """Slide the tube, without turning it, until the mark lies on a line of the bender."""
        at = self._station(mark_mm)
        rotation = self.clamped_axes @ self.axes[at].T
        self._move(rotation, self.places[at].copy(), np.array([line_mm, 0.0, 0.0]))

    def lay_end_for_end(self) -> None:
        """The other end into the clamp; what curves towards +y goes on doing so."""
        half_about_y = np.diag([-1.0, 1.0, -1.0])
        self._move(half_about_y, np.zeros(3), np.zeros(3))
        self.clamped_axes = half_about_y @ self.clamped_axes
        self.forward = not self.forward

    def turn(self, by_deg: float, clockwise: bool) -> None:
        """Turn the tube in the hands, as seen from the held end towards the free end (along +x).

        With y up and the eye looking along +x, z points to the right: clockwise takes y to z.
        """
        angle = radians(by_deg)
        c, s = np.cos(angle), np.sin(angle) if clockwise else -np.sin(angle)
        rotation = np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])
        self._move(rotation, np.zeros(3), np.zeros(3))
        self.clamped_axes = rotation @ self.clamped_axes

    def pull_to(self, loaded_deg: float) -> None:
        """Wrap the tube to a loaded angle and let go: it opens, and its arc keeps its length.

        Part of the loaded angle is the legs bending beside the die, and springs back with them:
        it wraps nothing and opens no radius.
        """
        wrapped_deg = loaded_deg - self.a_deg / (1.0 - self.b)
        arc = self.radius_mm * wrapped_deg * pi / 180
        released = radians(loaded_deg - (self.a_deg + self.b * loaded_deg))
        radius = arc / released
        along = self._along()
        inside = (along > TOUCH_MM) & (along < arc - TOUCH_MM)
        self._refuse_off_axis((along > -TOUCH_MM) & (along < arc + TOUCH_MM))
        for index in np.flatnonzero(inside):
            self._wrap(along[index], along[index] / radius, radius, np.array([index]))
        self._wrap(arc, released, radius, np.flatnonzero(along >= arc - TOUCH_MM))

    def _along(self) -> Array:
        """Each station's distance along the tube from the start-of-bend plane to the free side."""
        sense = 1.0 if self.forward else -1.0
        on_axis = self._on_axis() & (abs(self.places[:, 0]) < 4 * self.radius_mm)
        if not on_axis.any():
            raise OffAxisError("no tube lies along the bender's axis")
        near = np.flatnonzero(on_axis)[np.argmin(abs(self.places[on_axis, 0]))]
        zero = self.stations_mm[near] - sense * self.places[near, 0]
        return np.asarray(sense * (self.stations_mm - zero))

    def _on_axis(self) -> Mask:
        sense = 1.0 if self.forward else -1.0
        square = abs(sense * self.axes[:, 0, 0] - 1) < SQUARE
        near = np.hypot(self.places[:, 1], self.places[:, 2]) < 1e-6
        return np.asarray(square & near)

    def _refuse_off_axis(self, stretch: Mask) -> None:
        if not self._on_axis()[stretch].all():
            raise OffAxisError("the stretch to be bent is not straight on the bender")

    def _wrap(self, fed_mm: float, angle_rad: float, radius_mm: float, which: Chosen) -> None:
        """Carry stations round the die: what lay ``fed_mm`` past the plane ends at ``angle``."""
        c, s = np.cos(angle_rad), np.sin(angle_rad)
        rotation = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
        onto = np.array([radius_mm * s, radius_mm * (1 - c), 0.0])
        self._move(rotation, np.array([fed_mm, 0.0, 0.0]), onto, which)


def misfit_mm(made: Array, wanted: Array) -> float:
    """Root mean square distance between two rows of points after the best motion without mirror."""
    one, other = made - made.mean(axis=0), wanted - wanted.mean(axis=0)
    motion, _ = Rotation.align_vectors(other, one)
    return float(np.sqrt(((motion.apply(one) - other) ** 2).sum(axis=1).mean()))


def flatness_mm(points: Array) -> float:
    """Root mean square distance of points from their best plane; zero when the run is plane."""
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    return float(spread[2] / np.sqrt(len(points)))
