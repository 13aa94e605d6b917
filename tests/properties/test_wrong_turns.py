"""What a measured turn is worth: the far end's miss, and the ring that is told of it."""

from functools import cache
from math import dist
from statistics import median

import pytest

from benchcalc.core.fit.correction import correct
from tests.properties import wrong_turns
from tests.properties.bendable_jobs import LAW
from tests.properties.wrong_turns import Hand, How

RUNS = 60
"""Enough to see a way that tells the turn wrongly; 500 were looked at once."""

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


def test_told_whole_the_piece_ends_where_the_bender_has_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Wrong turns, exactly read: as made by ``--bent`` and ``--turned``, by any end and order."""
    for name in ("CLAMP_DEG", "LEVEL_BIAS_DEG", "LEVEL_DEG", "MARK_MM", "PULL_DEG", "GAUGE_DEG"):
        monkeypatch.setattr(wrong_turns, name, 1e-7)
    monkeypatch.setattr(wrong_turns, "MOST_SET", 0)
    kinds = set()
    for seed in range(40):
        hand = Hand(seed, "across")
        bent = {number: reading.read_deg for number, reading in hand.angles.items()}
        turned = {number: reading.read_deg for number, reading in hand.turns.items()}
        told = correct(hand.sheet.job, LAW, bent, turned=turned)
        assert dist(hand.far_end(), told.path.end_point) < 1e-3, f"seed {seed}"
        kinds.add((hand.sheet.job.held, hand.sheet.layout.in_order[0].number > 1))
    assert len(kinds) == 4
