"""How far a piece is made: what its angles, turns and marks came to."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.layout.straight_tube import Layout

NONE: Mapping[int, float] = MappingProxyType({})


class SoFar(NamedTuple):
    """What is known of a piece under way, by the numbers of its bends.

    ``bent`` are the measured angles of the bends that are made. ``turned`` are measured turns: how
    far the bend and the one made before it lie apart about the tube, signed like a drawing's turn,
    as the one farther from the reference end lies clockwise of the other; a bend that is only
    turned is not made. ``marked`` is where a mark really lies, made or not, millimetres from the
    reference end of the cut tube.
    """

    bent: Mapping[int, float] = NONE
    turned: Mapping[int, float] = NONE
    marked: Mapping[int, float] = NONE

    def checked(self, planned: Layout) -> "SoFar":
        """The same, as it can be of this run.

        Raises ValueError for a bend that is not there, an angle that no bend can have, a turn past
        a whole one or of the bend that is made first, and a place that is not on the tube.
        """
        bends = len(planned.bends)
        for number in {*self.bent, *self.turned, *self.marked}:
            if not 1 <= number <= bends:
                raise ValueError(f"bend {number}: the run has bends 1 to {bends}")
        for number, angle in self.bent.items():
            if not 0 < angle <= 180:
                raise ValueError(
                    f"bend {number} at {angle:g} deg: an angle is over 0 and up to 180"
                )
        for number, turn in self.turned.items():
            if not -360 <= turn <= 360:
                raise ValueError(f"bend {number} turned {turn:g} deg: a turn is from -360 to 360")
            if planned.bends[number - 1].order == 1:
                raise ValueError(f"bend {number} is made first: it is turned from no other bend")
        for number, at_mm in self.marked.items():
            if not 0 <= at_mm <= planned.cut_length_mm:
                most = f"from 0 to the tube's {planned.cut_length_mm:.1f} mm"
                raise ValueError(f"bend {number} marked at {at_mm:g} mm: a mark lies {most}")
        return self


def turns_so_far(planned: Layout, turned: Mapping[int, float]) -> dict[int, float]:
    """The turn of every bend when some were measured and the hands turn the others as told.

    The hands turn each bend from the one made before it, so that an error is carried on to all that
    are made later. The first turn is free and stays as it is planned.
    """
    clock, at = {}, 0.0
    for bend in planned.bends:
        at += bend.turn_deg
        clock[bend.number] = at
    found: dict[int, float] = {}
    off_deg, last = 0.0, 0
    for bend in planned.in_order:
        if bend.number in turned:
            later = bend.number > last
            told = clock[bend.number] - clock[last] if later else clock[last] - clock[bend.number]
            by = wrapped(turned[bend.number] - told)
            off_deg += by if later else -by
        found[bend.number] = off_deg
        last = bend.number
    turns, before = {}, found[1]
    for bend in planned.bends:
        turns[bend.number] = bend.turn_deg + found[bend.number] - before
        before = found[bend.number]
    return turns
