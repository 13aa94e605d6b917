"""The far end's ring of a piece under way: what is measured counts as measured.

What was measured is taken up already, and only what the gauge did not see is left of it. What is to
come counts as usual where nobody measures it; else what the gauge will see will be taken up, and
what it will not see will not.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from benchcalc.core.fit.expected_miss import LIMIT_OF_TWO, Cause, Lever, Miss, Tolerances, miss_of
from benchcalc.core.fit.reading import Believed, Reading, believed
from benchcalc.core.fit.take_up import Carried, TakeUp, What
from benchcalc.core.geometry.vectors import scale


class Gauges(NamedTuple):
    """How far the readings to come may be off, 95 % limits; None where nobody will measure."""

    angle_deg: float | None = None
    turn_deg: float | None = None


UNMEASURED = Gauges()


def ring_ahead(
    take_up: TakeUp,
    order: Sequence[int],
    widths: Tolerances,
    known: Mapping[What, Mapping[int, Believed]],
    gauges: Gauges = UNMEASURED,
    shared: Sequence[Lever] = (),
) -> Miss:
    """How far the far end may come to lie from where it is now expected, at 95 %.

    ``known`` are the angles and turns measured so far; with ``gauges`` the others are measured when
    they are made, and the rest is re-aimed by each. ``shared`` are errors that all bends have in
    common; no measurement of a bend shows them.
    """
    return miss_of([*_levers(take_up, order, widths, known, gauges), *shared])


def _levers(
    take_up: TakeUp,
    order: Sequence[int],
    widths: Tolerances,
    known: Mapping[What, Mapping[int, Believed]],
    gauges: Gauges,
) -> Iterator[Lever]:
    kinds: tuple[tuple[What, float, float | None], ...] = (
        ("angle", widths.angle_deg, gauges.angle_deg),
        ("turn", widths.turning_deg, gauges.turn_deg),
    )
    for number in order:
        yield _lever("mark", number, take_up.carried("mark", number), widths.mark_mm)
        for what, usual_deg, gauge_deg in kinds:
            carried = take_up.carried(what, number)
            if number in known[what]:
                yield _lever(what, number, carried, known[what][number].width_deg)
            elif gauge_deg is None:
                yield _lever(what, number, carried, usual_deg)
            else:
                unseen = believed(Reading(0.0, 0.0, gauge_deg), usual_deg).width_deg
                yield _lever(what, number, carried, unseen)
                seen = (usual_deg**2 - unseen**2) ** 0.5
                yield _lever(what, number, take_up.left(what, number), seen)


def _lever(cause: Cause, bend: int, carried: Carried, width: float) -> Lever:
    place = carried.row[:3]
    return Lever(cause, bend, scale((place[0], place[1], place[2]), width / LIMIT_OF_TWO))
