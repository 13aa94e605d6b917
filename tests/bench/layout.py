"""Layout and path of a run of twelve bends, against drawing it in a solid-geometry kernel."""

from collections.abc import Callable
from math import dist
from timeit import repeat

from benchcalc.core.job import Segment
from benchcalc.core.layout.path import Path, trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.bench.table import Figure, middle, ms
from tests.core.bench_jobs import RADIUS_MM, STIFF, job
from tests.properties.kernel_tube import Drawn, draw

GOAL_S = 0.0001
LAST_MM = 150.0
SAME_MM = 1e-6
FOUR = ((90.0, 0.0), (45.0, 90.0), (30.0, 180.0), (60.0, -90.0))
TWELVE = tuple(Segment(120.0 + 7 * place, *FOUR[place % 4]) for place in range(12))
JOB = job(*TWELVE, last_leg_mm=LAST_MM)


def laid_out() -> Path:
    """What every key of the panel costs the core."""
    return trace(lay_out(JOB, STIFF))


def drawn() -> Drawn:
    """The same run in the kernel: legs cut back, arcs between them, every edge measured."""
    legs = [segment.leg_mm for segment in TWELVE]
    bends = [(segment.angle_deg, segment.turn_deg, False) for segment in TWELVE]
    return draw([*legs, LAST_MM], bends, [RADIUS_MM] * len(bends), JOB.tube.od_mm)


def figures() -> list[Figure]:
    """Each as the median of several loops, both giving the same end of the tube."""
    end = drawn().end
    if dist(laid_out().end_point, (end.X(), end.Y(), end.Z())) > SAME_MM:
        raise AssertionError("tool and kernel do not draw the same tube")
    ours, kernel = _each(laid_out, 1000), _each(drawn, 20)
    return [
        Figure(
            "layout and path of 12 bends",
            f"{ms(ours)}, {ours / kernel:.1%} of the kernel",
            f"{ms(kernel)} the same edges in the kernel",
            ms(GOAL_S),
            ours <= GOAL_S,
        )
    ]


def _each(work: Callable[[], object], number: int) -> float:
    return middle([taken / number for taken in repeat(work, number=number, repeat=9)])
