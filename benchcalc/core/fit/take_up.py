"""What an error at one bend moves the far end, and what the bends still to come can take up of it.

To first order, about the piece as it stands. An error that is measured is taken up by re-aiming the
angles and turns that come after it in the order of bending; one that nobody measured is not.
"""

from collections.abc import Sequence
from math import degrees, radians, sqrt
from typing import Literal, NamedTuple

from benchcalc.core.fit.bent_tube import Unknown
from benchcalc.core.fit.least_change import Row, left_over
from benchcalc.core.fit.remaining import Remaining
from benchcalc.core.frozen import replace
from benchcalc.core.job import Fit

NEAR = 1 / 10
"""How near place and direction are aimed at, as a part of what the fit allows of each, where a
change of a whole width costs as much."""

What = Literal["angle", "turn"]


class Carried(NamedTuple):
    """What carries the far end: its place (three millimetres) and its direction (three radians)."""

    row: Row

    @property
    def by_mm(self) -> float:
        """How far its place is carried."""
        return sqrt(sum(x * x for x in self.row[:3]))

    @property
    def by_deg(self) -> float:
        """How far its direction is."""
        return degrees(sqrt(sum(x * x for x in self.row[3:])))


class TakeUp:
    """What errors carry, and what is left of them once they are measured.

    ``order`` is the order of bending, ``near_mm`` and ``near_deg`` how near the far end is aimed.
    """

    def __init__(
        self, rest: Remaining, order: Sequence[int], near_mm: float, near_deg: float
    ) -> None:
        self._rest, self._order = rest, tuple(order)
        self._near = (near_mm,) * 3 + (radians(near_deg),) * 3
        marks = [Unknown("mark", number) for number in self._order]
        angles = [Unknown("angle", number) for number in self._order]
        turns = [Unknown("turn", number) for number in self._order]
        every = [*marks, *angles, *turns]
        _, _, moves = rest.tube.moves(every)
        self._moves: dict[Unknown, Row] = {
            one: (*place, *swing) for one, (place, swing) in zip(every, moves, strict=True)
        }

    def carried(self, what: Literal["mark", "angle", "turn"], bend: int) -> Carried:
        """What a millimetre of the mark, a degree of the angle or of the turn carries.

        A turn is that of the hands: from the bend made before it, carried on to all made later.
        """
        if what != "turn":
            return Carried(self._moves[Unknown(what, bend)])
        return Carried(self._hand_turn(bend))

    def _hand_turn(self, bend: int) -> Row:
        place = self._order.index(bend)
        if place == 0:
            return (0.0,) * 6
        later = set(self._order[place:])
        row = [0.0] * 6
        for number in range(2, len(self._order) + 1):
            by = (number in later) - (number - 1 in later)
            if by:
                move = self._moves[Unknown("turn", number)]
                row = [a + by * b for a, b in zip(row, move, strict=True)]
        return tuple(row)

    def left(self, what: What, bend: int) -> Carried:
        """What is left of it once it is measured and what is to come is re-aimed."""
        place = self._order.index(bend)
        made = frozenset(self._order[: place + (what == "angle")])
        then = replace(self._rest, made=made, placed=made | {bend}, drawn=True)
        free = then.unknowns()
        widths = then.widths_of(free)
        rows = [
            tuple(
                self._moves[one][k] * width / near for one, width in zip(free, widths, strict=True)
            )
            for k, near in enumerate(self._near)
        ]
        carried = self.carried(what, bend).row
        wanted = [x / near for x, near in zip(carried, self._near, strict=True)]
        kept = [bound.row for bound in then.bounds(free, widths) if bound.exact]
        stays = left_over([*rows, *kept], [*wanted, *(0.0 for _ in kept)], len(rows))
        return Carried(tuple(x * near for x, near in zip(stays, self._near, strict=False)))


def take_up_of(rest: Remaining, order: Sequence[int], fit: Fit) -> TakeUp:
    """The take-up of a piece as it stands, its far end aimed as the fit asks."""
    return TakeUp(rest, order, fit.within_mm * NEAR, fit.angle_deg * NEAR)
