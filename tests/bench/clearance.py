"""Whether a run of twelve bends meets itself, against a geometry kernel and a collision library."""

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from math import pi
from statistics import median
from time import perf_counter

from benchcalc.core.clearance.clash import NEAR_MM, TOLD_MM
from benchcalc.core.clearance.self_clearance import nearest_to_itself
from benchcalc.core.job import Run, Segment
from benchcalc.core.layout.path import Path, trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.bench.table import Figure, ms
from tests.properties.fcl_tube import meets_itself
from tests.properties.kernel_edges import distance, edge_of
from tests.properties.random_jobs import random_job, random_springback

BENDS, RUNS, ROUNDS = 12, 30, 5
GOAL_S, OVER_KERNEL, OVER_LIBRARY = 0.005, 20, 1
SAG_MM = 0.1

Work = Callable[[Path, float], object]


def verdict(path: Path, od_mm: float) -> object:
    """What the finding costs: nothing farther off than a millimetre is looked at closely."""
    return nearest_to_itself(path, od_mm + NEAR_MM, TOLD_MM)


def least(path: Path, od_mm: float) -> object:
    """The least distance itself, however large."""
    return nearest_to_itself(path)


def in_kernel(path: Path, od_mm: float) -> object:
    """Edges built and every pair that lies wholly pi R apart measured, none of them twice."""
    pieces = [piece for piece in path.pieces if piece.length_mm > 1e-6]
    apart_mm = pi * min(piece.radius_mm for piece in pieces if piece.radius_mm)
    at_mm, placed = 0.0, []
    for piece in pieces:
        placed.append((at_mm, at_mm + piece.length_mm, edge_of(piece)))
        at_mm += piece.length_mm
    return min(
        distance(one[2], other[2])
        for one, other in combinations(placed, 2)
        if other[0] - one[1] >= apart_mm
    )


def in_library(path: Path, od_mm: float) -> object:
    """Capsules built along chords a tenth of a millimetre off, and their verdict."""
    return meets_itself(path, od_mm, SAG_MM)


def figures() -> list[Figure]:
    """The median over runs of the best of a few rounds, taken by turns."""
    runs = _runs()
    ours, full, kernel, library = (
        [_best(work, run) for run in runs] for work in (verdict, least, in_kernel, in_library)
    )
    times, exact = median(kernel) / median(ours), median(kernel) / median(full)
    coils = [_best(verdict, coil) for coil in _coils()]
    zigzags = [_best(least, zigzag) for zigzag in _zigzags()]
    return [
        Figure(
            "coil of 12 U bends, worst", ms(max(coils)), "", ms(GOAL_S), max(coils) <= GOAL_S
        ),
        Figure(
            "zigzag of 12 U bends, worst", ms(max(zigzags)), "", ms(GOAL_S), max(zigzags) <= GOAL_S
        ),
        Figure(
            "12 bends against itself, worst run", ms(max(*ours, *full)), "", ms(GOAL_S),
            max(*ours, *full) <= GOAL_S,
        ),
        Figure(
            "  verdict", f"{ms(median(ours))}, {times:.0f} times as fast",
            f"{ms(median(kernel))} geometry kernel", f"{OVER_KERNEL} times", times >= OVER_KERNEL,
        ),
        Figure(
            "  least distance", f"{ms(median(full))}, {exact:.0f} times as fast",
            f"{ms(median(kernel))} geometry kernel", f"{OVER_KERNEL} times", exact >= OVER_KERNEL,
        ),
        Figure(
            "  verdict", f"{ms(median(ours))}, {median(library) / median(ours):.1f} times as fast",
            f"{ms(median(library))} collision library", "no slower",
            median(library) >= OVER_LIBRARY * median(ours),
        ),
    ]  # fmt: skip


def _runs() -> list[tuple[Path, float]]:
    """Random runs of twelve bends."""
    found: list[tuple[Path, float]] = []
    seed = 0
    while len(found) < RUNS:
        job = random_job(seed)
        if len(job.run.segments) == BENDS:
            layout = lay_out(job, random_springback(seed))
            found.append((trace(layout), job.tube.od_mm))
        seed += 1
    return found


def _coils() -> list[tuple[Path, float]]:
    """Windings that lie close together nearly all along, by the turn from one to the next."""
    first = random_job(0)
    made = []
    for turn_deg in (2.0, 5.0, 10.0, 15.0):
        bend = Segment(120.0, 180.0, turn_deg, "crown", "centre")
        job = replace(first, run=Run((bend,) * BENDS, 120.0, "centre"), order=())
        made.append((trace(lay_out(job, random_springback(0))), job.tube.od_mm))
    return made


def _zigzags() -> list[tuple[Path, float]]:
    """U bends to one side and the other, every leg two radii from the next, by the leg."""
    first = random_job(0)
    made = []
    for leg_mm in (90.0, 120.0, 300.0):
        bend = Segment(leg_mm, 180.0, 180.0, "crown", "centre")
        job = replace(first, run=Run((bend,) * BENDS, leg_mm, "centre"), order=())
        made.append((trace(lay_out(job, random_springback(0))), job.tube.od_mm))
    return made


def _best(work: Work, run: tuple[Path, float]) -> float:
    spent = []
    for _ in range(ROUNDS):
        start = perf_counter()
        work(*run)
        spent.append(perf_counter() - start)
    return min(spent)
