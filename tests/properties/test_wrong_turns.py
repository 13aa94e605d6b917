"""What a measured turn is worth: the far end's miss, and the ring that is told of it."""

from functools import cache
from statistics import median

import pytest

from tests.properties.wrong_turns import Hand, How

RUNS = 60
"""The figures in the manual are of 500 (``python -m tests.bench wrong_turns``)."""

HOWS: tuple[How, ...] = ("drawn", "unmeasured", "across", "leg")


@cache
def pieces(how: How) -> tuple[tuple[float, bool], ...]:
    made = [Hand(seed, how) for seed in range(RUNS)]
    return tuple((hand.missed_mm(), hand.in_ring()) for hand in made)


def miss_mm(how: How) -> float:
    return median(missed for missed, _ in pieces(how))


def test_turns_that_are_measured_bring_the_far_end_nearer() -> None:
    drawn = miss_mm("drawn")
    assert miss_mm("across") < drawn / 3 and miss_mm("leg") < drawn / 2.5
    assert miss_mm("unmeasured") < 1.1 * drawn


@pytest.mark.parametrize("how", HOWS)
def test_the_ring_holds_the_far_end(how: How) -> None:
    """93 to 97 % of 500; of 60 no fewer than four standard deviations under 95 %."""
    assert sum(held for _, held in pieces(how)) / RUNS > 0.95 - 4 * (0.95 * 0.05 / RUNS) ** 0.5
