"""A few benches of each world in seconds; ``python -m tests.bench springback`` has the table."""

from math import sqrt

import pytest

from tests.properties.gaussian_process import GaussianProcess
from tests.properties.springback_rivals import Fixed, LastFive, LeastSquares, Ours
from tests.properties.springback_worlds import GAUGE_TRUE, WORLDS, Errors, mean, rms, tried

BENCHES = 6
BEHIND_DEG, BEHIND_PROCESS = 0.02, 1.15

RIVALS = (Fixed, LastFive, LeastSquares)


@pytest.fixture(scope="module")
def ours() -> dict[str, Errors]:
    return {name: tried(name, Ours, BENCHES, seed=7) for name in WORLDS}


@pytest.fixture(scope="module")
def rivals() -> dict[str, list[Errors]]:
    return {name: [tried(name, rival, BENCHES, seed=7) for rival in RIVALS] for name in WORLDS}


@pytest.mark.parametrize("name", GAUGE_TRUE)
def test_nowhere_behind_where_the_gauge_is_true(
    name: str, ours: dict[str, Errors], rivals: dict[str, list[Errors]]
) -> None:
    best_early = min(rms(errors.early) for errors in rivals[name])
    best_late = min(rms(errors.late) for errors in rivals[name])
    assert rms(ours[name].early) <= best_early + BEHIND_DEG
    assert rms(ours[name].late) <= best_late + BEHIND_DEG


def test_ahead_of_them_all_together(
    ours: dict[str, Errors], rivals: dict[str, list[Errors]]
) -> None:
    together = sqrt(mean([rms(errors.early) ** 2 for errors in ours.values()]))
    for i in range(len(RIVALS)):
        theirs = sqrt(mean([rms(each[i].early) ** 2 for each in rivals.values()]))
        assert together < 0.35 * theirs


def test_hardly_behind_a_gaussian_process(ours: dict[str, Errors]) -> None:
    """All worlds together; the table has each by itself."""
    theirs = [tried(name, GaussianProcess, BENCHES, seed=7) for name in WORLDS]
    together, process = (
        sqrt(mean([rms(errors.early + errors.late) ** 2 for errors in each]))
        for each in (ours.values(), theirs)
    )
    assert together <= BEHIND_PROCESS * process


def test_first_pulls_hardly_ever_go_over(ours: dict[str, Errors]) -> None:
    assert mean([over for errors in ours.values() for over in errors.over]) <= 0.01


@pytest.mark.parametrize("name", WORLDS)
def test_what_a_first_pull_stops_short_after_four_bends(name: str, ours: dict[str, Errors]) -> None:
    assert mean(ours[name].short) <= (0.12 if name in GAUGE_TRUE else 0.6)


def test_where_its_own_suppositions_hold_no_worse_than_before(ours: dict[str, Errors]) -> None:
    """0.21 degrees RMS at bends 4 to 6 was what the learner before this one had."""
    assert rms(ours["as supposed"].fourth) <= 0.21
