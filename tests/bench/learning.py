"""What one bend costs to learn, and how near the first pull comes after so many bends."""

from time import perf_counter

from benchcalc.core.springback.learning import Bent, Taught, teach
from tests.bench.table import Figure, middle
from tests.properties.simulated_bench import COUNTS, KEY, THEORY, mean, try_benches

GOAL_S = 50e-6
GOALS = {1: 0.33, 3: 0.25, 10: 0.20, 30: 0.18}
BENCHES = 2500


def figures() -> list[Figure]:
    """The update's time, whatever was taught before; then the errors beside two rivals."""
    return [_update(10), _update(5000), *_errors(0.0), *_errors(0.05)]


def _update(before: int) -> Figure:
    taught = Taught()
    for n in range(before):
        taught, _ = teach(taught, KEY, THEORY, Bent(90.0 + n % 7, 88.0 + n % 7))
    times = []
    for _ in range(2000):
        began = perf_counter()
        teach(taught, KEY, THEORY, Bent(91.0, 89.0))
        times.append(perf_counter() - began)
    took = middle(times)
    what = f"one bend learnt after {before} bends"
    return Figure(what, f"{took * 1e6:.0f} µs", "", f"{GOAL_S * 1e6:.0f} µs", took <= GOAL_S)


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
