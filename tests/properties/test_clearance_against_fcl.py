"""Verdicts on random runs against a collision library, outside the error of its chords."""

import pytest

from benchcalc.core.clearance.self_clearance import nearest_to_itself
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.properties.fcl_tube import meets_itself
from tests.properties.random_jobs import random_job, random_springback

RUNS, BATCHES = 1200, 6
SAG_MM = 0.02
ERROR_MM = 2 * SAG_MM + 1e-3
"""Chords of two arcs, and the library's own tolerance."""


@pytest.mark.parametrize("batch", range(BATCHES))
def test_the_same_verdict(batch: int) -> None:
    clashes = too_close_to_tell = 0
    for seed in range(batch, RUNS, BATCHES):
        job = random_job(seed)
        path = trace(lay_out(job, random_springback(seed)))
        found = nearest_to_itself(path, job.tube.od_mm + 1)
        gap_mm = found.distance_mm - job.tube.od_mm if found else 1.0
        if abs(gap_mm) <= ERROR_MM:
            too_close_to_tell += 1
            continue
        clashes += gap_mm < 0
        assert meets_itself(path, job.tube.od_mm, SAG_MM) == (gap_mm < 0), f"seed {seed}"
    assert clashes > RUNS // BATCHES // 10 and too_close_to_tell <= 2
