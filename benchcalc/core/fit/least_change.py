"""The least change that brings a far end home, within straight bounds.

Find x with the least |x|**2 + |misses(x)|**2, where misses are already counted in their own widths
and every bound row . x >= least holds. Gauss-Newton steps; each is a small quadratic programme in
its dual form, so that only the misses and the bounds that bind are solved for, whatever the number
of unknowns. After it the change is least among all that miss as little.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple

Row = tuple[float, ...]
Misses = Callable[[Row], tuple[list[float], list[Row]]]
"""Misses at x, and their derivatives: a row for each miss."""

RIDGE = 1e-9
"""What keeps bounds that say the same thing twice solvable; far under any width."""

STEPS = 20
ROUNDS = 60
SMALL = 1e-7
SLACK = 1e-9


class Bound(NamedTuple):
    """row . x >= least; or, when ``exact``, row . x = least."""

    row: Row
    least: float
    exact: bool = False


def least_change(misses: Misses, bounds: Sequence[Bound], size: int) -> Row:
    """The change x of ``size`` unknowns, each counted in its own width.

    Bounds that contradict each other are met as nearly as the last solution found; the caller
    looks whether what comes out can be made.
    """
    at = _step([], [], bounds, size)
    values, slopes = misses(at)
    cost = _square(at) + _square(values)
    for _ in range(STEPS):
        aim = [_dot(slope, at) - value for slope, value in zip(slopes, values, strict=True)]
        to = _step(slopes, aim, bounds, size)
        part = 1.0
        while True:
            tried = tuple(a + part * (b - a) for a, b in zip(at, to, strict=True))
            new_values, new_slopes = misses(tried)
            new_cost = _square(tried) + _square(new_values)
            if new_cost <= cost or part < 1e-3:
                break
            part /= 2
        if new_cost > cost:
            break
        moved = max((abs(a - b) for a, b in zip(at, tried, strict=True)), default=0.0)
        at, values, slopes, cost = tried, new_values, new_slopes, new_cost
        if moved < SMALL:
            break
    return at


def _step(slopes: Sequence[Row], aim: Sequence[float], bounds: Sequence[Bound], size: int) -> Row:
    """The least |x|**2 + |slopes . x - aim|**2 within the bounds, by an active set."""
    active = [n for n, bound in enumerate(bounds) if bound.exact]
    for _ in range(ROUNDS):
        rows = [*slopes, *(bounds[n].row for n in active)]
        wanted = [*aim, *(bounds[n].least for n in active)]
        soft = len(slopes)
        weights = left_over(rows, wanted, soft)
        x = _combined(rows, weights, size)
        pulls = [(w, n) for w, n in zip(weights[soft:], active, strict=True) if not bounds[n].exact]
        weakest = min(pulls, default=(0.0, -1))
        if weakest[0] < -SLACK:
            active.remove(weakest[1])
            continue
        short = [
            (_dot(bound.row, x) - bound.least, n)
            for n, bound in enumerate(bounds)
            if n not in active
        ]
        worst = min(short, default=(0.0, -1))
        if worst[0] >= -SLACK:
            break
        active.append(worst[1])
    return x


def left_over(rows: Sequence[Row], wanted: Sequence[float], soft: int) -> list[float]:
    """The dual weights: (rows rows^T + 1 for each soft row) weights = wanted.

    Of soft rows alone they are what the least change leaves of what is wanted.
    """
    count = len(rows)
    table = [
        [
            _dot(rows[i], rows[j]) + ((1.0 if i < soft else RIDGE) if i == j else 0.0)
            for j in range(count)
        ]
        + [wanted[i]]
        for i in range(count)
    ]
    for i in range(count):
        pivot = max(range(i, count), key=lambda r: abs(table[r][i]))
        table[i], table[pivot] = table[pivot], table[i]
        head = table[i]
        for r in range(i + 1, count):
            by = table[r][i] / head[i]
            if by:
                table[r] = [a - by * b for a, b in zip(table[r], head, strict=True)]
    weights = [0.0] * count
    for i in reversed(range(count)):
        known = sum(table[i][j] * weights[j] for j in range(i + 1, count))
        weights[i] = (table[i][count] - known) / table[i][i]
    return weights


def _combined(rows: Sequence[Row], weights: Sequence[float], size: int) -> Row:
    x = [0.0] * size
    for row, weight in zip(rows, weights, strict=True):
        for place, value in enumerate(row):
            x[place] += weight * value
    return tuple(x)


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))


def _square(a: Sequence[float]) -> float:
    return sum(x * x for x in a)
