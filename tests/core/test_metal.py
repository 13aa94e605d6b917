"""Each rule about the metal at its limit, a hair under and a hair over."""

from dataclasses import replace
from typing import Any

import pytest

from benchcalc.core.checks.findings import find_all
from benchcalc.core.checks.metal import metal_findings
from benchcalc.core.checks.wall import bend_factor, required_wall
from benchcalc.core.finding import Finding
from benchcalc.core.job import Hardness, Job, Pressure, Segment
from benchcalc.core.layout.straight_tube import lay_out
from tests.core.bench_jobs import STIFF, job

HAIR = 1e-4
ROUNDING = 1e-8
LIMITS = (Hardness(90.0, "HRB"), Hardness(200.0, "HV"))


def with_parts(of: Job | None = None, **parts: dict[str, Any]) -> Job:
    """A plain job of a 10 x 1 tube on a 25 mm die, with fields of its parts changed."""
    of = of or job(Segment(100.0, 90.0))
    for part, fields in parts.items():
        of = replace(of, **{part: replace(getattr(of, part), **fields)})
    return of


def found(of: Job, rule: str) -> list[Finding]:
    return [f for f in metal_findings(of) if f.rule == rule]


def levels(of: Job, rule: str) -> list[str]:
    return [f.level for f in found(of, rule)]


@pytest.mark.parametrize(
    ("radius_mm", "stretched"),
    [(25 - HAIR, True), (25 - ROUNDING, False), (25.0, False), (25 + HAIR, False)],
)
def test_strain_against_elongation(radius_mm: float, stretched: bool) -> None:
    """10 mm on a die of 25 mm stretches its outside by 20 %."""
    of = with_parts(bender={"radius_mm": radius_mm}, material={"elongation": 0.2})
    assert levels(of, "strain") == ["caution" if stretched else "note"]
    if stretched:
        values = dict(found(of, "strain")[0].values)
        assert values["strain"] == pytest.approx(0.2, abs=1e-5) and values["elongation"] == 0.2
        assert values["least_mm"] == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("radius_mm", "said"),
    [(20 - HAIR, True), (20 - ROUNDING, False), (20.0, False), (20 + HAIR, False)],
)
def test_a_radius_under_two_diameters(radius_mm: float, said: bool) -> None:
    of = with_parts(bender={"radius_mm": radius_mm})
    assert levels(of, "radius-ratio") == (["caution"] if said else [])


@pytest.mark.parametrize(
    ("hardness", "level"),
    [
        (Hardness(90 - HAIR, "HRB"), None),
        (Hardness(90.0, "HRB"), None),
        (Hardness(90 + HAIR, "HRB"), "stop"),
        (Hardness(200.0, "HV"), None),
        (Hardness(200 + HAIR, "HV"), "stop"),
        (Hardness(25.0, "HRC"), "caution"),
        (None, "note"),
    ],
)
def test_hardness(hardness: Hardness | None, level: str | None) -> None:
    """ASTM A269, not read, from memory: 90 HRB or 200 HV at most. Scales are not converted."""
    of = with_parts(tube={"hardness": hardness}, material={"hardness_max": LIMITS})
    assert levels(of, "hardness") == ([level] if level else [])
    assert levels(with_parts(of, material={"hardness_max": ()}), "hardness") == []


STANDARD = [
    (5.2, 1.0, False), (5.2 - HAIR, 1.0, True), (5.2 + HAIR, 1.0, False),
    (5.2 - ROUNDING, 1.0, False),
    (10.0, 0.38, False), (10.0, 0.38 - HAIR, True), (10.0, 0.38 + HAIR, False),
    (3.175, 0.7112, True), (6.35, 0.889, False),
]  # fmt: skip


@pytest.mark.parametrize(("od_mm", "wall_mm", "said"), STANDARD)
def test_smaller_than_the_standard_covers(od_mm: float, wall_mm: float, said: bool) -> None:
    """ASTM A269 1.3, read: no mechanical rules under 3.2 mm bore or 0.38 mm wall."""
    tube = {"od_mm": od_mm, "wall_mm": wall_mm, "material": "316"}
    assert levels(with_parts(tube=tube), "standard-range") == (["note"] if said else [])
    assert levels(with_parts(tube={**tube, "material": "copper"}), "standard-range") == []


def test_the_bent_wall_from_the_thinnest() -> None:
    """10 x 1 on a 25 mm die: 25/30 of the wall outside, 25/20 inside."""
    (note,) = found(with_parts(material={"wall_under": 0.1}), "wall-after")
    assert (note.level, note.bend) == ("note", None)
    values = {"thinnest_mm": 0.9, "outside_mm": 0.75, "inside_mm": 1.125, "wall_mm": 1.0}
    assert dict(note.values) == pytest.approx({**values, "under": 0.1})
    (plain,) = found(job(Segment(100.0, 90.0)), "wall-after")
    assert "under" not in dict(plain.values)
    assert dict(plain.values)["outside_mm"] == pytest.approx(25 / 30)


ASKED = Pressure(10.0, 100.0)
SHARES = {"outside": 25 / 30, "straight": 1.0, "inside": 25 / 20}
"""What the 25 mm die leaves of a wall of 10 mm tube, by place."""


def nominal_for(place: Any, asked: Pressure) -> float:
    """The nominal wall that has just what a place needs."""
    return required_wall(asked, 10.0, bend_factor(place, 10.0, 25.0)) / SHARES[place]


@pytest.mark.parametrize("corrosion_mm", [0.0, 0.2])
@pytest.mark.parametrize(
    ("place", "short"),
    [
        ("outside", ["outside"]),
        ("straight", ["outside", "straight"]),
        ("inside", ["outside", "straight", "inside"]),
    ],
)
def test_each_place_against_its_need(place: str, short: list[str], corrosion_mm: float) -> None:
    """The outside is the first to fail, then straights and sides, then the inside."""
    asked = Pressure(10.0, 100.0, corrosion_mm=corrosion_mm)
    at_limit = nominal_for(place, asked)
    for wall_mm, expected in (
        (at_limit - HAIR, short), (at_limit, short[:-1]), (at_limit + HAIR, short[:-1])
    ):  # fmt: skip
        of = replace(with_parts(tube={"wall_mm": wall_mm}), pressure=asked)
        stops = [dict(f.values) for f in found(of, "pressure") if f.level == "stop"]
        assert [values["where"] for values in stops] == expected
        assert all(float(v["wall_mm"]) < float(v["need_mm"]) for v in stops)
        enough = [values["nominal_mm"] for values in stops]
        assert enough == pytest.approx([nominal_for("outside", asked)] * len(stops))


def test_the_thinnest_wall_is_the_one_that_must_do() -> None:
    wall_mm = nominal_for("outside", ASKED)
    of = replace(with_parts(tube={"wall_mm": wall_mm}), pressure=ASKED)
    assert levels(of, "pressure") == ["note"]
    assert levels(with_parts(of, material={"wall_under": 0.01}), "pressure") == ["stop", "note"]


def test_a_finished_radius_does_not_change_the_wall() -> None:
    of = replace(with_parts(bender={"finished_radius_mm": 40.0}), pressure=ASKED)
    plain = replace(with_parts(), pressure=ASKED)
    assert list(metal_findings(of)) == list(metal_findings(plain))


def sixth_of_od(corrosion_mm: float) -> float:
    """The pressure, MPa, whose need on the inside is a sixth of 10 mm at 100 MPa allowable."""
    hoop = 10 / 6 - corrosion_mm
    return 2 * hoop * (100 / bend_factor("inside", 10.0, 25.0)) / (10 - 0.8 * hoop)


@pytest.mark.parametrize("corrosion_mm", [0.0, 0.5])
@pytest.mark.parametrize(("beside", "thick"), [(-HAIR, False), (0.0, True), (HAIR, True)])
def test_a_need_of_a_sixth_of_the_diameter(corrosion_mm: float, beside: float, thick: bool) -> None:
    asked = Pressure(sixth_of_od(corrosion_mm) + beside, 100.0, corrosion_mm=corrosion_mm)
    got = found(replace(job(Segment(100.0, 90.0)), pressure=asked), "pressure")
    assert ("sixth_mm" in dict(got[0].values)) == thick
    assert got[-1].level == "note"
    assert not thick or [f.level for f in got] == ["stop", "note"]


def test_pressure_says_whose_work_it_is_and_calipers_only_when_there_is_one() -> None:
    of = job(Segment(100.0, 90.0))
    assert found(of, "pressure") == [] and found(of, "out-of-round") == []
    of = replace(of, pressure=Pressure(2.0, 137.9))
    (note,) = found(of, "pressure")
    assert (note.level, dict(note.values)["where"]) == ("note", "outside")
    (round_,) = found(of, "out-of-round")
    assert round_.level == "note" and dict(round_.values)["most_mm"] == pytest.approx(0.8)


def test_a_tube_wider_than_the_die_is_round_is_stopped_without_a_wall() -> None:
    of = replace(with_parts(tube={"od_mm": 50.0}), pressure=ASKED)
    said = {f.rule for f in metal_findings(of)}
    assert said == {"strain", "radius-ratio", "temper", "out-of-round"}
    stops = {f.rule for f in find_all(of, lay_out(of, STIFF), STIFF) if f.level == "stop"}
    assert "od-die" in stops


@pytest.mark.parametrize(
    ("radius_mm", "said"),
    [(25 - HAIR, True), (25 - ROUNDING, False), (25.0, False), (25 + HAIR, False)],
)
def test_strain_past_half_the_elongation_is_for_the_code(radius_mm: float, said: bool) -> None:
    """10 mm on a die of 25 mm: 20 %, half of an elongation of 40 %."""
    of = with_parts(bender={"radius_mm": radius_mm}, material={"elongation": 0.4})
    assert levels(of, "strain") == (["note"] if said else [])


def test_hardened_tube_past_its_elongation_is_a_stop() -> None:
    of = with_parts(material={"elongation": 0.19, "temper": "hardened"})
    assert levels(of, "strain") == ["stop"]
    assert levels(with_parts(of, material={"elongation": 0.2}), "strain") == ["note"]


@pytest.mark.parametrize(
    ("temper", "limits", "hardness", "level"),
    [
        ("annealed", (), None, "note"),
        ("annealed", (), Hardness(80.0, "HRB"), "caution"),
        ("annealed", LIMITS, None, None),
        ("annealed", LIMITS, Hardness(80.0, "HRB"), None),
        ("hardened", (), None, "caution"),
        ("hardened", LIMITS, Hardness(80.0, "HRB"), "caution"),
    ],
)
def test_temper_is_said_of_every_material(
    temper: str, limits: tuple[Hardness, ...], hardness: Hardness | None, level: str | None
) -> None:
    of = with_parts(
        material={"temper": temper, "hardness_max": limits}, tube={"hardness": hardness}
    )
    assert levels(of, "temper") == ([level] if level else [])
    assert levels(of, "temper") or levels(of, "hardness") or (limits and hardness)


@pytest.mark.parametrize(
    ("service", "said"),
    [
        ("", []),
        ("  ", []),
        ("sour", [("caution", "sour")]),
        ("Sour gas, and vacuum", [("caution", "sour"), ("caution", "vacuum")]),
        ("OXYGEN", [("caution", "oxygen")]),
        ("cooling water", [("note", None)]),
    ],
)
def test_service_is_said_and_left_to_others(
    service: str, said: list[tuple[str, str | None]]
) -> None:
    notes = found(replace(with_parts(), service=service), "service")
    assert [(f.level, dict(f.values).get("service")) for f in notes] == said


@pytest.mark.parametrize(
    ("pressure", "outside_mpa", "service", "most"),
    [
        (None, None, "", None),
        (ASKED, None, "", 0.08),
        (ASKED, 0.1, "", 0.03),
        (None, 0.1, "", 0.03),
        (None, None, "vacuum", 0.03),
        (ASKED, None, "vacuum", 0.03),
    ],
)
def test_flattening_is_limited_more_tightly_under_outside_pressure(
    pressure: Pressure | None, outside_mpa: float | None, service: str, most: float | None
) -> None:
    """8 % for pressure inside and 3 % outside: ASME B31.3 332.2.1, from memory."""
    of = replace(with_parts(), pressure=pressure, outside_mpa=outside_mpa, service=service)
    rounds = [dict(f.values) for f in found(of, "out-of-round")]
    assert [values["most_share"] for values in rounds] == ([most] if most else [])
    assert [values["most_mm"] for values in rounds] == ([10 * most] if most else [])
    deferred = [f for f in found(of, "pressure") if "outside_mpa" in dict(f.values)]
    assert len(deferred) == (outside_mpa is not None)
