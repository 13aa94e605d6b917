"""Published values, and values derived by two routes. The sources stand on top of each file."""

from itertools import combinations
from math import atan2, degrees, dist, hypot, pi, radians, sin, sqrt, tan

import pytest

from benchcalc.core.job import Bender, Job, Run, Segment, Tube
from benchcalc.core.layout.path import Path, corner_points, trace
from benchcalc.core.layout.straight_tube import arc_length, lay_out, set_back
from benchcalc.core.springback.first_guess import power_law_moment, ring_area_moment, section_moment
from tests.core.bench_jobs import START, STEEL, STIFF, job
from tests.core.ring_quadrature import Section, summed
from tests.vectors import last_digit, rows, values

IN_MM = 25.4


@pytest.mark.parametrize("row", rows("set_back_chart.csv"), ids=lambda row: row["angle_deg"])
def test_set_back_chart(row: dict[str, str]) -> None:
    """FAA AC 43.13-1B (1998) Table 4-7; the chart mixes rounding and cutting off."""
    k = set_back(1.0, float(row["angle_deg"]), crown=False)
    assert abs(k - float(row["k"])) < last_digit(row["k"])
    assert set_back(25.0, float(row["angle_deg"]), crown=False) == pytest.approx(25 * k)


def test_the_chart_is_whole() -> None:
    angles = [float(row["angle_deg"]) for row in rows("set_back_chart.csv")]
    assert angles == [5.0 * step for step in range(1, 36)]


def test_arc_on_the_middle_line() -> None:
    """NAVEDTRA 14119 fig. 13-49; wider than half a digit by what its 1.57 for pi/2 leaves out."""
    v = values("arc_on_the_middle_line.txt")
    radius = v["inside_radius"] + v["stock"] / 2
    arc = arc_length(radius, v["angle_deg"])
    assert radius == 3.25
    assert abs(arc - v["printed"]) < 0.005 + radius * (pi / 2 - v["half_pi_used"])
    assert arc * v["half_pi_used"] / (pi / 2) == pytest.approx(v["printed"], abs=0.005)
    assert arc == pytest.approx(5.1051, abs=0.00005)


def traced_offset(angle_deg: float, travel_mm: float, turn_deg: float = 0.0) -> Path:
    """Two equal bends, the second turned back, with a leg between corners."""
    first = Segment(200.0, angle_deg, turn_deg)
    layout = lay_out(job(first, Segment(travel_mm, angle_deg, 180.0), last_leg_mm=200.0), STIFF)
    return trace(layout)


def offset_of(angle_deg: float, travel_mm: float) -> tuple[float, float]:
    """Height and advance of a traced offset; its last leg must run parallel to its first."""
    path = traced_offset(angle_deg, travel_mm)
    assert path.end_direction == pytest.approx((1.0, 0.0, 0.0), abs=1e-12)
    x, y, z = path.end_point
    assert z == pytest.approx(0.0, abs=1e-9)
    return y, x - 400.0


@pytest.mark.parametrize("row", rows("offsets_published.csv"))
def test_published_multipliers_of_an_offset(row: dict[str, str]) -> None:
    """Modern Plumbing (2010) p. 94, read; the other rows are common practice."""
    height, advance = offset_of(float(row["angle_deg"]), 1000.0)
    traced = {"travel": 1000.0 / height, "run": advance / height, "tangent": height / advance}
    half = last_digit(row["printed"]) / 2
    assert abs(traced[row["quantity"]] - float(row["printed"])) <= half


@pytest.mark.parametrize("row", rows("offsets_derived.csv"), ids=lambda row: row["angle_deg"])
def test_exact_travel_and_shrink_against_the_traced_tube(row: dict[str, str]) -> None:
    """Derived, not published."""
    height, advance = offset_of(float(row["angle_deg"]), 1000.0)
    assert 1000.0 / height == pytest.approx(float(row["travel"]), abs=5e-7)
    assert (1000.0 - advance) / height == pytest.approx(float(row["shrink"]), abs=5e-7)


@pytest.mark.parametrize("angle_deg", [10.0, 22.5, 37.0, 45.0, 60.0, 75.0])
@pytest.mark.parametrize("height_mm", [20.0, 63.5, 150.0])
def test_an_offset_of_a_wanted_height(angle_deg: float, height_mm: float) -> None:
    angle = radians(angle_deg)
    height, advance = offset_of(angle_deg, height_mm / sin(angle))
    assert height == pytest.approx(height_mm, abs=1e-9)
    assert advance == pytest.approx(height_mm / tan(angle), abs=1e-9)
    shrink = height_mm / sin(angle) - advance
    assert shrink == pytest.approx(height_mm * tan(angle / 2), abs=1e-9)


def rolled(travel_in: float) -> tuple[float, float]:
    """Rise and roll, inches, of the class example bent with this travel at 45 degrees."""
    v = values("class_example_rolling_offset.txt")
    turn = degrees(atan2(v["roll"], v["rise"]))
    _, y, z = traced_offset(45.0, travel_in * IN_MM, turn).end_point
    return y / IN_MM, z / IN_MM


def test_rolling_offset_of_the_class_example() -> None:
    """A steamfitters' class example, from memory; its travel is rounded early."""
    v = values("class_example_rolling_offset.txt")
    exact = v["true_offset_printed"] * sqrt(2)
    assert exact == pytest.approx(v["travel_exact_derived"], abs=5e-6)
    rise, roll = rolled(exact)
    assert (rise, roll) == pytest.approx((v["rise"], v["roll"]), abs=5e-12)
    assert hypot(rise, roll) == pytest.approx(v["true_offset_printed"], abs=5e-12)
    early = hypot(*rolled(v["travel_printed_rounded_early"]))
    assert abs(early - v["true_offset_printed"]) > 1 / 32, "the rounded travel misses by that"


def test_four_points() -> None:
    """Points asked about in public in 2018, from memory; legs derived. Compared by distances."""
    wanted = [(float(r["x"]), float(r["y"]), float(r["z"])) for r in rows("four_points.csv")]
    bender = Bender("tiny", 0.5, 1.0, 180.0, (START,))
    run = Run((Segment(6.794, 90.0), Segment(3.625882, 90.0, 180.0)), 3.368)
    layout = lay_out(Job("points", Tube(0.5, 0.1, "steel"), STEEL, bender, run), STIFF)
    points = corner_points(layout, trace(layout))
    assert len(points) == len(wanted)
    for i, j in combinations(range(4), 2):
        assert dist(points[i], points[j]) == pytest.approx(dist(wanted[i], wanted[j]), abs=1e-4)


@pytest.mark.parametrize("row", rows("springback_derived.csv"))
def test_springback_by_two_routes(row: dict[str, str]) -> None:
    """Derived, not published."""
    s = Section(*(float(value) for value in list(row.values())[:6]))
    for moment in (section_moment(*s), summed(s, elastic=True)):
        q = moment * s.radius / (s.e * ring_area_moment(s.od, s.wall))
        assert moment == pytest.approx(float(row["moment_nmm"]), abs=0.05)
        assert q == pytest.approx(float(row["q"]), abs=5e-7)
        assert 90 * q == pytest.approx(float(row["over_90_deg"]), abs=5e-4)


@pytest.mark.parametrize("row", rows("section_derived.csv"))
def test_plastic_moment_is_strength_times_section_modulus(row: dict[str, str]) -> None:
    """n = 0: stress K everywhere, K (D**3 - d**3)/6. Derived, not published."""
    od, wall, wanted = (float(value) for value in row.values())
    by_quadrature = summed(Section(od, wall, 40.0, 1.0, 0.0, 2e5), elastic=False)
    for modulus in (power_law_moment(od, wall, 40.0, 1.0, 0.0), by_quadrature):
        assert modulus == pytest.approx(wanted, abs=5e-5)
    assert power_law_moment(od, wall, 40.0, 250.0, 0.0) == pytest.approx(250 * wanted, abs=0.0125)
