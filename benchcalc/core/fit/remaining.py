"""What can still be chosen of a tube that is part bent, and the choice that changes least.

Turns between two made bends are fixed as a sum; a straight between two made bends is fixed; the
bender's needs bound the others. All of it is linear in the unknowns, so a choice within the bounds
can be bent.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import radians

from benchcalc.core.fit.bent_tube import BendAsMade, BentTube, Unknown
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.least_change import Bound, Row, least_change
from benchcalc.core.frozen import frozen
from benchcalc.core.geometry.vectors import Vector, subtract


@frozen
class Home:
    """Where the far end belongs and the direction it should have."""

    point: Vector
    heads: Vector


@frozen
class Remaining:
    """A tube, which of its bends are made, and what the rest must keep to.

    ``placed`` are the bends whose way round is settled: those made, and one that is turned and not
    made. ``drawn`` says whether the marks are drawn and stay. ``rooms_mm`` are the least straights,
    from the first to the last; ``spans_deg`` the least and the most angle of each bend. ``cut``
    says whether the tube's length is fixed.
    """

    tube: BentTube
    made: frozenset[int]
    placed: frozenset[int]
    rooms_mm: tuple[float, ...]
    spans_deg: tuple[tuple[float, float], ...]
    widths: Tolerances
    cut: bool = True
    drawn: bool = False

    def unknowns(self) -> list[Unknown]:
        """What can be chosen. The first turn is free in any case and is left alone."""
        found: list[Unknown] = []
        for number in range(1, len(self.tube.bends) + 1):
            if number not in self.made:
                found += [] if self.drawn else [Unknown("mark", number)]
                found.append(Unknown("angle", number))
            if number > 1 and not {number - 1, number} <= self.placed:
                found.append(Unknown("turn", number))
        return found if self.cut else [*found, Unknown("end", None)]

    def nearest(self, home: Home, near_mm: float, near_deg: float) -> BentTube:
        """The tube changed least that brings its far end home.

        ``near_mm`` and ``near_deg`` are the widths in which what it misses is weighed against the
        changes in theirs: the smaller, the nearer.
        """
        unknowns = self.unknowns()
        widths = self.widths_of(unknowns)
        near = (near_mm, radians(near_deg))

        def changed(x: Row) -> BentTube:
            return self.tube.changed(unknowns, [a * w for a, w in zip(x, widths, strict=True)])

        def misses(x: Row) -> tuple[list[float], list[Row]]:
            end, heads, moves = changed(x).moves(unknowns)
            gaps = subtract(end, home.point), subtract(heads, home.heads)
            values = [gap[i] / near[k] for k, gap in enumerate(gaps) for i in range(3)]
            slopes = [
                tuple(move[k][i] * w / near[k] for move, w in zip(moves, widths, strict=True))
                for k in (0, 1)
                for i in range(3)
            ]
            return values, slopes

        return changed(least_change(misses, self.bounds(unknowns, widths), len(unknowns)))

    def widths_of(self, unknowns: Sequence[Unknown]) -> list[float]:
        """The width that a change of each is weighed in."""
        mark, angle, turn = self.widths.mark_mm, self.widths.angle_deg, self.widths.turning_deg
        by = {"mark": mark, "angle": angle, "turn": turn, "end": mark}
        return [by[unknown.what] for unknown in unknowns]

    def bounds(self, unknowns: Sequence[Unknown], widths: Sequence[float]) -> list[Bound]:
        """The bounds of the changes, each change counted in its own width."""
        found = [*self._straights(), *self._angles(), *self._turns()]
        return [
            Bound(row, least, exact)
            for slopes, least, exact in found
            if any(
                row := tuple(slopes.get(u, 0.0) * w for u, w in zip(unknowns, widths, strict=True))
            )
        ]

    def _straights(self) -> Iterator[tuple[dict[Unknown, float], float, bool]]:
        edges: list[tuple[BendAsMade | None, int | None]] = [(None, None)]
        edges += [(bend, number) for number, bend in enumerate(self.tube.bends, 1)]
        edges.append((None, None))
        there = self.tube.straights_mm()
        for place, room in enumerate(self.rooms_mm):
            slopes: dict[Unknown, float] = {}
            before, after = edges[place], edges[place + 1]
            if before[0] is not None:
                slopes[Unknown("mark", before[1])] = -1.0
                if before[0].held == "reference":
                    slopes[Unknown("angle", before[1])] = -before[0].taken_per_deg
            if after[0] is None:
                slopes[Unknown("end", None)] = 1.0
            else:
                slopes[Unknown("mark", after[1])] = 1.0
                if after[0].held == "far":
                    slopes[Unknown("angle", after[1])] = -after[0].taken_per_deg
            yield slopes, room - there[place], False

    def _angles(self) -> Iterator[tuple[dict[Unknown, float], float, bool]]:
        for number, (bend, span) in enumerate(zip(self.tube.bends, self.spans_deg, strict=True), 1):
            yield {Unknown("angle", number): 1.0}, span[0] - bend.angle_deg, False
            yield {Unknown("angle", number): -1.0}, bend.angle_deg - span[1], False

    def _turns(self) -> Iterator[tuple[dict[Unknown, float], float, bool]]:
        """Two placed bends keep the turn from one to the other, whatever lies between them."""
        for low, high in pairwise(sorted(self.placed)):
            if high > low + 1:
                between = range(low + 1, high + 1)
                yield {Unknown("turn", number): 1.0 for number in between}, 0.0, True
