"""The built-in materials and dies against what their standard or the trade says of them."""

import pytest

from benchcalc.core.checks.findings import find_all, wall_range
from benchcalc.core.checks.metal import STAINLESS
from benchcalc.core.job import Hardness, Job, Run, Segment, Tube
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.springback.first_guess import first_guess
from benchcalc.jobfile.files import load_shop

SHOP = load_shop(None)
IN_MM = 25.4


@pytest.mark.parametrize("key", STAINLESS)
def test_stainless_by_its_standard(key: str) -> None:
    """ASTM A269, from memory: under 1/2 in the wall is within 15 %; 90 HRB or 200 HV at most.

    From 1/2 in it is within 10 %: the 15 % held here for every size errs to the thin side.
    """
    material = SHOP.material(key)
    assert material is not None
    assert material.wall_under == 0.15
    assert material.hardness_max == (Hardness(90.0, "HRB"), Hardness(200.0, "HV"))


def quarter_inch(wall_in: float) -> Job:
    bender, material = SHOP.bender("bench-1-4in"), SHOP.material("316")
    assert bender is not None and material is not None
    tube = Tube(IN_MM / 4, wall_in * IN_MM, "316", hardness=Hardness(80.0, "HRB"))
    return Job("rack", tube, material, bender, Run((Segment(80.0, 90.0),), 80.0))


@pytest.mark.parametrize(
    ("wall_in", "stopped"),
    [
        (0.028, False),
        (0.035, False),
        (0.049, False),
        (0.065, False),
        (0.0279, True),
        (0.0651, True),
    ],
)
def test_walls_of_a_quarter_inch_stainless_tube(wall_in: float, stopped: bool) -> None:
    """Common practice, no source: a die of 9/16 in takes annealed walls of 0.028 to 0.065 in."""
    of = quarter_inch(wall_in)
    assert of.bender.radius_mm == pytest.approx(9 / 16 * IN_MM)
    assert wall_range(of.bender, "316") == pytest.approx((0.028 * IN_MM, 0.065 * IN_MM))
    springback = first_guess(of.tube, of.bender, of.material)
    stops = [f.rule for f in find_all(of, lay_out(of, springback), springback) if f.level == "stop"]
    assert stops == (["wall-die"] if stopped else [])
