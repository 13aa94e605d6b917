"""What is known to be wrong with the readings that bends are learnt from.

A protractor or sensor may be off by the same for every bend, a bender's scale in proportion. Bends
alone show neither: a gauge that reads high looks like less springback, a scale that reads in
proportion wrong like another slope. A check against a known square finds the one, a comparison of
scale and gauge while the tube is held finds the other. Angles are degrees.
"""

from collections.abc import Sequence
from math import sqrt

from benchcalc.core.frozen import frozen, replace
from benchcalc.core.springback.first_guess import Springback

UNCHECKED_DEG = 0.25
"""Standard deviation of the bias of a gauge that was never checked: half a degree is ordinary.
Common practice, no source."""

READING_DEG = 0.1
"""Standard deviation of one angle read on a gauge. Common practice, no source."""

SCALE_READING_DEG = 0.25
"""Standard deviation of one reading of a bender's scale, graduated in degrees. Common practice, no
source."""


@frozen
class Checked:
    """What a check found: how much too much the gauge reads, and what share of it the scale.

    Their spreads are standard deviations. Nothing checked is nothing corrected.
    """

    bias_deg: float = 0.0
    bias_spread_deg: float = 0.0
    share: float = 0.0
    share_spread: float = 0.0

    def loaded(self, reading_deg: float) -> float:
        """The angle under load at a reading of the scale."""
        return reading_deg / (1 + self.share)

    def reading(self, loaded_deg: float) -> float:
        """What the scale shows at an angle under load: what a learnt pull is on it."""
        return loaded_deg * (1 + self.share)

    def springback(self, loaded_deg: float, released_deg: float) -> float:
        """What was truly given back, from the reading pulled to and the angle read afterwards."""
        return self.loaded(loaded_deg) - (released_deg - self.bias_deg)

    def widened(self, springback: Springback) -> Springback:
        """A learnt curve with what the check left open: all its bends share that."""
        s = springback
        return replace(
            s,
            var_a=s.var_a + self.bias_spread_deg**2,
            var_b=s.var_b + self.share_spread**2,
        )


NOT_CHECKED = Checked()


def bias_of(faces_deg: Sequence[float], known_deg: float = 90.0) -> tuple[float, float]:
    """How much a gauge reads too much, and how well that is known, from readings of known angles.

    ``faces_deg`` are readings of faces that stand at ``known_deg``. Raises ValueError without any.
    """
    if not faces_deg:
        raise ValueError("no reading: read at least one face of the square")
    count = len(faces_deg)
    return sum(faces_deg) / count - known_deg, READING_DEG / sqrt(count)


def share_of(pairs_deg: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """The share that a scale reads too much, and how well it is known.

    ``pairs_deg`` are (scale, gauge) readings of the same tube while it is held; least squares
    through the origin. Raises ValueError without a pair under load.
    """
    squares = sum(gauge**2 for _, gauge in pairs_deg)
    if squares <= 0:
        raise ValueError("no comparison: read scale and gauge together at 45 degrees or more")
    share = sum(scale * gauge for scale, gauge in pairs_deg) / squares - 1
    return share, sqrt((SCALE_READING_DEG**2 + READING_DEG**2) / squares)
