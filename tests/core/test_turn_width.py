"""How far off a turn may be that nobody measures: by the tube's diameter and the pen."""

from dataclasses import replace

import pytest

from benchcalc.core.fit.expected_miss import Tolerances, turn_by_eye_deg
from benchcalc.core.job import Segment
from benchcalc.core.sheet import work_out
from tests.core.bench_jobs import STIFF, job


def test_a_pen_line_spans_more_of_a_thin_tube() -> None:
    """0.5 mm is 9.5 degrees of a 6 mm tube from edge to edge, so 4.8 either way of its middle."""
    assert 2 * turn_by_eye_deg(6.0) == pytest.approx(9.55, abs=0.01)
    assert turn_by_eye_deg(10.0) == pytest.approx(2.86, abs=0.01)
    assert turn_by_eye_deg(10.0, pen_mm=0.25) == pytest.approx(1.43, abs=0.01)
    assert turn_by_eye_deg(50.0) == 1.0


def test_the_ring_takes_it_until_the_bench_says_otherwise() -> None:
    run = (Segment(120.0, 90.0), Segment(150.0, 90.0, 90.0))
    sheet = work_out(job(*run), STIFF)
    assert sheet.widths.turn_deg == pytest.approx(turn_by_eye_deg(10.0))
    set_here = sheet._replace(usual=Tolerances(turn_deg=0.5))
    assert set_here.widths.turn_deg == 0.5
    thin = work_out(replace(job(*run), tube=replace(job(*run).tube, od_mm=6.0)), STIFF)
    radii = [one.expected_miss().radius_mm for one in (set_here, sheet, thin)]
    assert radii[0] < radii[1] < radii[2]
