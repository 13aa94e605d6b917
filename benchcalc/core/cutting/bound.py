"""The number of sticks that no plan can go under: patterns of cutting, priced by a knapsack."""

from collections.abc import Sequence
from math import ceil

from benchcalc.core.cutting.packing import Filling, Lot

MOST_ROUNDS, MOST_STEPS = 300, 20_000
NOTHING = 1e-9
ROUNDING = 1e-6


def least_sticks(lot: Lot, enough: int) -> tuple[int, list[Filling]]:
    """A lower bound, and the patterns that the bound uses most; ``enough`` sticks are known to do.

    The pieces may be cut from parts of patterns (a linear programme, a column a pattern). In every
    round the prices of the pieces say which pattern is worth most; prices divided by that worth can
    be had from no stick for more than one, so what all pieces are worth is a bound (Farley 1990),
    whether or not the rounds are at an end.
    """
    kinds = range(len(lot.sizes))
    basis = [
        tuple(min(lot.counts[i], lot.room // lot.sizes[i]) if i == j else 0 for i in kinds)
        for j in kinds
    ]
    inverse = [[1 / basis[j][j] if i == j else 0.0 for i in kinds] for j in kinds]
    used = [lot.counts[j] / basis[j][j] for j in kinds]
    least = ceil(lot.whole / lot.room - ROUNDING)
    for _ in range(MOST_ROUNDS):
        if least >= enough:
            break
        prices = [sum(row[i] for row in inverse) for i in kinds]
        pattern, worth, most = worthiest(lot, prices)
        total = sum(price * count for price, count in zip(prices, lot.counts, strict=True))
        least = max(least, ceil(total / max(most, NOTHING) - ROUNDING))
        if worth <= 1 + NOTHING:
            break
        if not _enter(pattern, basis, inverse, used):
            break
    order = sorted(kinds, key=lambda j: -used[j])
    return least, [basis[j] for j in order if used[j] >= 1 - ROUNDING]


def _enter(
    pattern: Filling, basis: list[Filling], inverse: list[list[float]], used: list[float]
) -> bool:
    """Take a pattern into the basis, in place; False where none can go for it."""
    kinds = range(len(basis))
    share = [sum(row[i] * pattern[i] for i in kinds) for row in inverse]
    going = [j for j in kinds if share[j] > NOTHING]
    if not going:
        return False
    out = min(going, key=lambda j: used[j] / share[j])
    step = used[out] / share[out]
    inverse[out] = [value / share[out] for value in inverse[out]]
    for j in kinds:
        if j != out:
            used[j] = max(used[j] - step * share[j], 0.0)
            inverse[j] = [a - share[j] * b for a, b in zip(inverse[j], inverse[out], strict=True)]
    used[out], basis[out] = step, pattern
    return True


def worthiest(lot: Lot, prices: Sequence[float]) -> tuple[Filling, float, float]:
    """The filling of a stick worth most, its worth, and a worth that none goes over.

    Both are the same unless the search was given up after ``MOST_STEPS``.
    """
    order = sorted(
        (i for i in range(len(prices)) if prices[i] > NOTHING),
        key=lambda i: -prices[i] / lot.sizes[i],
    )
    best, chosen = [0] * len(prices), [0] * len(prices)
    best_worth, steps = 0.0, 0

    def choose(place: int, room: int, worth: float) -> None:
        nonlocal best, best_worth, steps
        steps += 1
        if worth > best_worth + NOTHING:
            best, best_worth = chosen.copy(), worth
        if place == len(order) or steps > MOST_STEPS:
            return
        i = order[place]
        if worth + room * prices[i] / lot.sizes[i] <= best_worth + NOTHING:
            return
        for count in range(min(lot.counts[i], room // lot.sizes[i]), -1, -1):
            chosen[i] = count
            choose(place + 1, room - count * lot.sizes[i], worth + count * prices[i])
        chosen[i] = 0

    choose(0, lot.room, 0.0)
    most = best_worth
    if steps > MOST_STEPS:  # the dearest by the length would fill the whole stick
        most = max(best_worth, lot.room * prices[order[0]] / lot.sizes[order[0]])
    return tuple(best), best_worth, most
