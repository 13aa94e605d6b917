"""Bends that lie: none is called good that is not; ``tests.bench.settle`` makes 2,000 of them."""

from random import Random

import pytest

from tests.sensor.doubtful_bends import MUTATIONS, ended_as, mutated, plain

SHARE = 240


@pytest.mark.parametrize("kind", range(len(MUTATIONS)))
def test_no_doubtful_bend_is_called_good_that_is_not(kind: int) -> None:
    made = mutated(SHARE)[kind :: len(MUTATIONS)]
    assert [r for r in made if ended_as(r) == "good" and not r.within] == []


def test_bends_that_nothing_is_wrong_with_are_judged_as_they_lie() -> None:
    made = [plain(Random(f"plain {i}")) for i in range(60)]
    ends = [(ended_as(recording), recording.within) for recording in made]
    judged = [(end, within) for end, within in ends if end in ("good", "under", "over")]
    assert len(judged) >= 0.95 * len(made)
    assert all(within for end, within in judged if end == "good")
