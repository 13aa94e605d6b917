"""The plastic moment against a library for sections, where that is installed.

It is no test dependency: it brings a mesher and more for one number that the closed form has too.
"""

import pytest

from benchcalc.core.springback.first_guess import power_law_moment, ring_area_moment

sections = pytest.importorskip("sectionproperties.pre.library")
analysis = pytest.importorskip("sectionproperties.analysis")


@pytest.mark.parametrize(("od_mm", "wall_mm"), [(6.35, 0.889), (12.7, 1.2446), (10.0, 1.0)])
def test_a_ring(od_mm: float, wall_mm: float) -> None:
    """256 straight sides stand for the circle: right to a few parts in ten thousand."""
    ring = sections.circular_hollow_section(d=od_mm, t=wall_mm, n=256)
    section = analysis.Section(ring.create_mesh(mesh_sizes=[0.05]))
    section.calculate_geometric_properties()
    section.calculate_plastic_properties()
    yield_mpa = 250.0
    moment = power_law_moment(od_mm, wall_mm, 25.0, yield_mpa, 0.0)
    assert section.get_s()[0] * yield_mpa == pytest.approx(moment, rel=5e-4)
    assert section.get_ic()[0] == pytest.approx(ring_area_moment(od_mm, wall_mm), rel=5e-4)
