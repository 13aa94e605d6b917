"""Where to lay the weld seam of a run, so that it comes as near to every bend's side as can be."""

from collections.abc import Iterator
from itertools import accumulate
from typing import NamedTuple

from benchcalc.core.finding import Finding
from benchcalc.core.layout.straight_tube import Layout

HALF_TURN_DEG = 180.0


class Seam(NamedTuple):
    """Where the seam lies best: degrees clockwise from a bend's heel, seen from the reference end
    along the tube, 0 up to 180; and the bend where it still comes nearest to heel or throat."""

    bend: int
    from_heel_deg: float
    worst_bend: int
    worst_deg: float


def seam_place(turns_deg: tuple[float, ...], first: int = 1) -> Seam:
    """Where to lay the seam at bend ``first``, from the turns before each bend.

    Each bend's heel and throat are two opposite places round the tube; the seam goes into the
    middle of the widest gap between all of them. Raises ValueError for a run without bends.
    """
    if not turns_deg:
        raise ValueError("a run without bends has no heel to keep the seam from")
    places = [sum_deg % HALF_TURN_DEG for sum_deg in accumulate((0.0, *turns_deg[1:]))]
    ring = sorted(places)
    gaps = [
        (after - before, before)
        for before, after in zip(ring, [*ring[1:], ring[0] + HALF_TURN_DEG], strict=True)
    ]
    widest, begins = max(gaps)
    seam = begins + widest / 2
    from_heel = [_apart(seam, place) for place in places]
    worst = min(range(len(places)), key=lambda i: (round(from_heel[i], 9), i))
    at = (seam - places[first - 1]) % HALF_TURN_DEG
    return Seam(first, at, worst + 1, from_heel[worst])


def _apart(one_deg: float, other_deg: float) -> float:
    """How far two places are from each other on a ring of half a turn, 0 to 90."""
    return abs((one_deg - other_deg + HALF_TURN_DEG / 2) % HALF_TURN_DEG - HALF_TURN_DEG / 2)


def seam_findings(layout: Layout) -> Iterator[Finding]:
    """Where to lay a seam at the bend that is made first, if the tube has one."""
    if not layout.bends:
        return
    seam = seam_place(tuple(b.turn_deg for b in layout.bends), layout.in_order[0].number)
    values = (
        ("from_heel_deg", seam.from_heel_deg),
        ("worst_bend", float(seam.worst_bend)),
        ("worst_deg", seam.worst_deg),
    )
    yield Finding("note", "seam", seam.bend, values)
