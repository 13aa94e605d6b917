from dataclasses import replace
from math import pi, radians, tan

import pytest

from benchcalc.core.job import Bender, Job, Line, Material, Run, Segment, Tube
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.springback.calibration import (
    Trial,
    TrialError,
    WidthTrial,
    average,
    gain_per_radius,
    line_offset_of,
    measure,
    radius_of,
    radius_of_width,
    with_measured,
)
from benchcalc.core.springback.first_guess import first_guess

BENDER = Bender(
    "x", 10.0, 25.0, 190.0, (Line("start", 0.0), Line("90", 25.0, 90.0)), finished_radius_mm=26.1
)
MATERIAL = Material("304", (1400.0,), (0.44,), 193000.0, 0.35)


def bent(angle: float, line: Line, radius: float = 26.1) -> Trial:
    """An offcut as the layout says it comes out of a bender with this radius and this line."""
    bender = replace(BENDER, finished_radius_mm=radius, lines=(line,))
    tube = Tube(10.0, 1.0, "304")
    job = Job("t", tube, MATERIAL, bender, Run((Segment(90.0, angle),), 80.0))
    layout = lay_out(job, first_guess(tube, bender, MATERIAL))
    mark = layout.bends[0].mark
    assert mark is not None
    return Trial(layout.cut_length_mm, 90.0, 80.0, angle, mark.at_mm, line.name)


def test_gain_at_90() -> None:
    # trade value: at 90 degrees the gain is 0.429204 R, which is 2 - pi/2
    assert gain_per_radius(90.0) == pytest.approx(0.429204, abs=5e-7)
    assert gain_per_radius(90.0) == pytest.approx(2 - pi / 2, abs=1e-12)


def test_half_a_millimetre_of_gain_is_over_a_millimetre_of_radius_at_90() -> None:
    # common practice, no source: why a U is preferred for the radius
    assert 0.5 / gain_per_radius(90.0) == pytest.approx(1.2, abs=0.05)


@pytest.mark.parametrize("angle", [30.0, 45.0, 90.0, 120.0, 149.0])
def test_radius_and_line_come_back(angle: float) -> None:
    trial = bent(angle, Line("90", 24.2, 90.0))
    assert radius_of(trial) == pytest.approx(26.1, abs=1e-9)
    assert line_offset_of(trial, 26.1) == pytest.approx(24.2, abs=1e-9)


def test_a_u_by_its_width() -> None:
    assert radius_of_width(WidthTrial(62.2, 10.0)) == pytest.approx(26.1)


def test_a_trial_without_a_mark_says_nothing_of_lines() -> None:
    assert line_offset_of(replace(bent(90.0, Line("90", 25.0, 90.0)), mark_mm=None), 26.1) is None


def test_several_trials_average_with_their_spread() -> None:
    found = measure([bent(90.0, Line("90", o, 90.0)) for o in (24.0, 25.0, 26.0)], [])
    assert found.radius.mean == pytest.approx(26.1)
    assert found.radius.spread == pytest.approx(0.0, abs=1e-9)
    ((name, line),) = found.lines
    assert (name, line.trials) == ("90", 3)
    assert line.mean == pytest.approx(25.0)
    assert line.spread == pytest.approx(1.0)
    assert average([1.0]).spread is None


def test_a_u_decides_the_radius() -> None:
    found = measure([bent(90.0, Line("90", 25.0, 90.0))], [WidthTrial(63.0, 10.0)])
    assert found.radius.mean == pytest.approx(26.5)


def test_the_profile_takes_measured_values_and_keeps_the_die() -> None:
    measured = with_measured(BENDER, measure([bent(90.0, Line("90", 24.2, 90.0))], []))
    assert measured.finished_radius_mm == pytest.approx(26.1)
    assert measured.radius_mm == BENDER.radius_mm
    assert [line.offset_mm for line in measured.lines] == pytest.approx([0.0, 24.2])
    assert [line.angle_deg for line in measured.lines] == [None, 90.0]


@pytest.mark.parametrize(
    ("trial", "says"),
    [
        (Trial(170.0, 90.0, 80.0, 90.0), "longer together"),
        (Trial(100.0, 90.0, 80.0, 29.9), "from 30° to under 150°"),
        (Trial(100.0, 90.0, 80.0, 150.0), "from 30° to under 150°"),
    ],
)
def test_what_fits_no_bend_is_refused(trial: Trial, says: str) -> None:
    with pytest.raises(TrialError, match=says):
        radius_of(trial)
    with pytest.raises(TrialError, match="outside both legs"):
        radius_of_width(WidthTrial(20.0, 10.0))
    with pytest.raises(TrialError, match="no trial"):
        measure([], [])


def test_the_corner_lies_where_the_set_back_says() -> None:
    trial = bent(60.0, Line("90", 25.0, 90.0))
    start = trial.first_leg_mm - 26.1 * tan(radians(30.0))
    assert trial.mark_mm is not None
    assert trial.mark_mm - start == pytest.approx(25.0)
