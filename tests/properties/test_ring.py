"""The far end's ring where bends share errors; ``python -m tests.bench ring`` is this at size."""

import numpy as np
import pytest

from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.sheet import work_out
from tests.bench.ring import CASES, LEAST, MOST, WIDEST, covered
from tests.properties.bendable_jobs import LAW, bendable_job


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("turn_deg", [None, 1.0])
def test_the_ring_holds_its_share(case: str, turn_deg: float | None) -> None:
    held, ratios = covered(case, turn_deg, runs=25, pieces=300)
    assert np.mean(held) >= LEAST
    assert np.median(ratios) <= WIDEST
    if case == "stated widths":
        assert np.mean(held) <= MOST


def test_what_is_measured_makes_it_smaller_as_promised() -> None:
    """Once the gauge is checked the ring is as small as it was told to become."""
    promised = 0
    for seed in range(12):
        sheet = work_out(bendable_job(seed, 2, 6), LAW)._replace(usual=Tolerances(turn_deg=1.0))
        first = sheet.best_measured()
        if first is None or first.cause != "gauge":
            continue
        checked = sheet._replace(usual=Tolerances(turn_deg=1.0, gauge_deg=0.2))
        assert checked.expected_miss().radius_mm == pytest.approx(first.radius_mm)
        promised += 1
    assert promised
