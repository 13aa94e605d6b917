"""How exact each bend and each turn must be follows from the fit.

Near the reference end one degree swings the whole rest of the run; at the last bend one leg. What a
degree moves is shared out evenly over the bends that are still to be made, and what the bends after
it can take up, once it is measured, need not be met at this one.
"""

from collections.abc import Sequence
from math import inf, sqrt
from typing import NamedTuple

from benchcalc.core.fit.take_up import Carried, TakeUp, What
from benchcalc.core.job import Fit


class Need(NamedTuple):
    """How exact the angle or the turn of one bend must be, and what one degree of it moves.

    ``moves_mm`` and ``swings_deg`` are what one degree does to the far end, ``left_mm`` and
    ``left_deg`` what is left of that when the bends to come are re-aimed. ``within_deg`` is how far
    it may be off, either way, when nobody re-aims: so exact must a gauge be too, for what it does
    not see is not taken up. ``taken_up_deg`` is how far it may be off when it is measured and the
    rest re-aimed. Both are infinite where nothing is moved.
    """

    bend: int
    what: What
    moves_mm: float
    swings_deg: float
    left_mm: float
    left_deg: float
    within_deg: float
    taken_up_deg: float

    def too_coarse(self, gauge_deg: float) -> bool:
        """Whether a gauge that may be off by so much, 95 %, is too coarse for this run."""
        return gauge_deg > self.within_deg


def needs_of(
    take_up: TakeUp, order: Sequence[int], made: frozenset[int], fit: Fit
) -> tuple[Need, ...]:
    """The needs of the bends still to be made, in the order of bending, turn before angle."""
    to_come = [number for number in order if number not in made]
    share = sqrt(len(to_come))
    kinds: tuple[What, ...] = ("turn", "angle")
    return tuple(
        _need(take_up, number, what, fit, share)
        for number in to_come
        for what in kinds
        if what == "angle" or number != order[0]
    )


def _need(take_up: TakeUp, bend: int, what: What, fit: Fit, share: float) -> Need:
    carried, left = take_up.carried(what, bend), take_up.left(what, bend)
    return Need(
        bend, what, carried.by_mm, carried.by_deg, left.by_mm, left.by_deg,
        _most_deg(carried, fit) / share, _most_deg(left, fit) / share,
    )  # fmt: skip


def _most_deg(one_degree: Carried, fit: Fit) -> float:
    """How many degrees carry the far end to the edge of what the fit allows."""
    place = fit.within_mm / one_degree.by_mm if one_degree.by_mm else inf
    heads = fit.angle_deg / one_degree.by_deg if one_degree.by_deg else inf
    return min(place, heads)
