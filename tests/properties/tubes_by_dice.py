"""Tubes bent wrong by dice, each followed through space bend by bend.

Nothing of the propagation is used. A draw is a whole tube of a length that is cut once: marks,
angles and turns are each a little off, and lines, radius, stretch and gauge are off by the same for
all its bends.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.layout.straight_tube import Layout

Array = NDArray[np.float64]


@dataclass
class Errors:
    """One column a bend, one row a draw: millimetres, radians, radians; then what all share."""

    mark: Array
    angle: Array
    turn: Array
    lines: dict[str, Array] = field(default_factory=dict)
    radius: Array | float = 0.0
    stretch: Array | float = 0.0
    gauge: Array | float = 0.0
    cut: Array | float = 0.0


def drawn(rng: np.random.Generator, bends: int, widths: Tolerances, draws: int) -> Errors:
    """Independent errors whose 95 % limits are the widths, near enough two deviations."""
    normal = rng.standard_normal((3, draws, bends)) / 2
    turn = np.radians(widths.turning_deg) * normal[2]
    turn[:, 0] = 0.0  # the first turn is free: there is nothing to be turned from
    return Errors(widths.mark_mm * normal[0], np.radians(widths.angle_deg) * normal[1], turn)


def nothing(bends: int) -> Errors:
    """One tube without any error."""
    none = np.zeros((1, bends))
    return Errors(none, none, none)


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
        line = errors.lines.get(bend.mark.line.name, 0.0) if bend.mark else 0.0
        angle = np.radians(bend.angle_deg) + errors.angle[:, n] + np.radians(errors.gauge)
        radius = np.zeros(count) + bend.radius_mm + errors.radius
        stretch = bend.stretch_mm + errors.stretch * np.degrees(angle) / 90
        taken = radius * angle - stretch
        if bend.held == "reference":
            start = bend.start_mm + errors.mark[:, n] + line
        else:
            start = bend.end_mm + errors.mark[:, n] - line - taken
        across = spun(across, along, np.radians(bend.turn_deg) + errors.turn[:, n])
        place = place + along * (start - at)[:, None]
        centre = place + np.cross(across, along) * radius[:, None]
        place = centre + spun(place - centre, across, angle)
        along = spun(along, across, angle)
        at = start + taken
    end = layout.bends[-1].end_mm + layout.straight_after_mm + errors.cut
    ends: Array = place + along * (end - at)[:, None]
    return ends


def missed(layout: Layout, errors: Errors) -> Array:
    """How far each tube's far end comes from where it belongs."""
    away = far_ends(layout, errors) - far_ends(layout, nothing(len(layout.bends)))
    found: Array = np.linalg.norm(away, axis=1)
    return found
