"""What one bend costs to learn, and how near the first pull comes after so many bends."""

from dataclasses import replace
from random import Random
from time import perf_counter, process_time

from benchcalc.core.springback.learning import Bent, Taught, springback_of, teach
from tests.bench.table import Figure, middle
from tests.properties.simulated_bench import COUNTS, KEY, THEORY, mean, try_benches

JUDGED_GOAL_S, TAUGHT_GOAL_S = 5e-3, 50e-6
GOALS = {1: 0.47, 3: 0.25, 10: 0.20, 30: 0.18}
BENCHES = 500


def figures() -> list[Figure]:
    """What a bend costs, to keep and to judge with all others; then errors beside two rivals."""
    judged = [_judged(count) for count in (1, 4, 10, 100, 150)]
    return [_taught(), *judged, *_errors(0.0), *_errors(0.05)]


def _taught() -> Figure:
    taught, times = Taught(), []
    for n in range(3000):
        began = perf_counter()
        taught = teach(taught, KEY, THEORY, Bent(90.0 + n % 7, 88.0 + n % 7))
        times.append(perf_counter() - began)
    took, goal = middle(times[-1000:]), f"{TAUGHT_GOAL_S * 1e6:.0f} µs"
    what = "one bend more, as a record is gone through"
    return Figure(what, f"{took * 1e6:.0f} µs", "", goal, took <= TAUGHT_GOAL_S)


def _judged(count: int) -> Figure:
    """Ten bends a lot, one in thirty a slip: judged by processor time, as others work too."""
    rng, taught = Random(1), Taught()
    for n in range(count):
        loaded = rng.choice((31.0, 46.0, 62.0, 93.0))
        back = (0.9 + 0.025 * loaded) * (0.9, 1.0, 1.1)[n // 10 % 3] + rng.gauss(0.0, 0.25)
        back += 3.0 * (rng.random() < 1 / 30)
        key = replace(KEY, lot=f"lot {n // 10}")
        taught = teach(taught, key, THEORY, Bent(loaded, loaded - back))
    times = []
    for _ in range(25):
        began = process_time()
        springback_of(taught, key, THEORY)
        times.append(process_time() - began)
    took, goal = middle(times), f"{JUDGED_GOAL_S * 1e3:.0f} ms" if count <= 100 else ""
    met = took <= JUDGED_GOAL_S if goal else None
    return Figure(f"{count} bends judged anew", f"{took * 1e3:.1f} ms", "", goal, met)


def _errors(gross: float) -> list[Figure]:
    f = try_benches(BENCHES, seed=20, gross=gross)
    more = f", {gross:.0%} gross outliers" if gross else ""
    found = []
    for n in COUNTS:
        ours = mean(f.ours[n])
        rivals = f"{mean(f.fixed[n]):.2f}° fixed 2.5°, {mean(f.running[n]):.2f}° running mean"
        spoilt = f"over {mean(f.over_straight[n]):.1%}, low first {mean(f.over_low[n]):.1%}"
        pulls = f"{mean(f.pulls[n]):.2f} pulls, band holds {mean(f.held[n]):.1%}"
        goal = GOALS.get(n)
        met = None if goal is None or gross else ours <= goal
        shown = f"{ours:.3f}°; {spoilt}; {pulls}"
        what = f"first pull off after {n} bends{more}"
        found.append(Figure(what, shown, rivals, f"{goal}°" if goal and not gross else "", met))
    return found
