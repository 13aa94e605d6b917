"""A correction after a bend came out a degree off, against scipy on the same problem."""

from random import Random
from time import perf_counter

from benchcalc.core.fit.correction import correct
from benchcalc.core.shapes.ports import Port, port_to_port
from tests.bench.table import Figure, middle, ms, worst_of_100
from tests.properties.bendable_jobs import LAW
from tests.properties.corrections import NEAR_DEG, NEAR_MM, Case, by_scipy, cases, put
from tests.properties.test_ports import JOB, pair

RUNS = 60
PAIRS = 60
SHOWN_S = 0.1
"""What a finger takes for at once."""


def figures() -> list[Figure]:
    """Solver against solver by turns, the whole correction, and port to port."""
    chosen = [_one_of(seed) for seed in range(RUNS)]
    ours, theirs, whole = [], [], []
    for case in chosen:
        rest, home = put(case)
        began = perf_counter()
        rest.nearest(home, NEAR_MM, NEAR_DEG)
        solved = perf_counter()
        by_scipy(rest, home)
        beside = perf_counter()
        correct(case.job, LAW, case.bent)
        whole.append(perf_counter() - beside)
        ours.append(solved - began)
        theirs.append(beside - solved)
    own, other = middle(ours), middle(theirs)
    across = [_port_to_port(*pair(seed)) for seed in range(PAIRS)]
    return [
        Figure(
            "the rest of a run after a bend is off",
            f"{ms(own)}, {other / own:.1f} times as fast",
            f"{ms(other)} scipy least_squares",
            "faster",
            own < other,
        ),
        Figure(
            "a whole correction, worst of 100", ms(worst_of_100(whole)), "", ms(SHOWN_S),
            worst_of_100(whole) <= SHOWN_S,
        ),
        Figure("port to port", f"{ms(middle(across))}, {ms(max(across))} at worst", ""),
    ]  # fmt: skip


def _one_of(seed: int) -> Case:
    every = list(cases(seed))
    return every[Random(seed).randrange(len(every) - 1)]


def _port_to_port(start: Port, end: Port) -> float:
    began = perf_counter()
    port_to_port(JOB, LAW, start, end)
    return perf_counter() - began
