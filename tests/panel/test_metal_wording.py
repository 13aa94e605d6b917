"""What a fitter reads about the metal: value, limit and what to do, in the units of the job."""

import pytest

from benchcalc.core.finding import Finding, Level, Value
from benchcalc.core.job import Units
from benchcalc.report.finding_text import finding_says
from benchcalc.report.metal_text import at_least_text, pressure_text

OUT = (("wall_mm", 0.7083), ("need_mm", 0.9))
CASES: list[tuple[Level, str, tuple[tuple[str, Value], ...], Units, str]] = [
    (
        "caution", "strain",
        (("strain", 0.2), ("elongation", 0.1), ("material", "6061-T6"), ("least_mm", 50.0)), "mm",
        "stretches the outside by 20 %; 6061-T6 is rated for 10 % and may tear: bend an offcut "
        "first, or take a die of at least 50 mm radius.",
    ),
    (
        "caution", "radius-ratio", (("ratio", 1.9), ("least_mm", 25.4)), "in",
        "1.90 times the tube's diameter, under 2 the tube may kink or flatten: bend an offcut "
        "first, or take a die of at least 1 in radius.",
    ),
    (
        "stop", "hardness",
        (("hardness", 95.0), ("scale", "HRB"), ("most", 90.0), ("limits", "90 HRB, 200 HV"),
         ("material", "316")), "mm",
        "The tube is 95 HRB, over the 90 HRB of annealed 316: it may crack; take annealed tube.",
    ),
    (
        "caution", "hardness",
        (("hardness", 25.0), ("scale", "HRC"), ("limits", "90 HRB, 200 HV"), ("material", "316")),
        "mm",
        "The tube is 25 HRC; the limit for 316 is known as 90 HRB or 200 HV: have it measured so.",
    ),
    (
        "note", "hardness", (("limits", "90 HRB, 200 HV"), ("material", "316")), "mm",
        "90 HRB or 200 HV at most, and no hardness is given: look at the tube's certificate.",
    ),
    (
        "note", "standard-range",
        (("bore_mm", 1.7526), ("least_bore_mm", 3.2), ("wall_mm", 0.7112),
         ("least_wall_mm", 0.38)), "in",
        "The bore is 0.069 in, the wall 0.028 in; ASTM A269 promises no strength or hardness under "
        "0.126 in bore or 0.015 in wall: bend an offcut first.",
    ),
    (
        "note", "wall-after",
        (("outside_mm", 0.7083), ("inside_mm", 1.0625), ("thinnest_mm", 0.85), ("wall_mm", 1.0),
         ("under", 0.15)), "mm",
        "0.708 mm at the outside and 1.062 mm at the inside, reckoned from 0.850 mm, the least "
        "that 1 mm may be (15 % under).",
    ),
    (
        "note", "wall-after",
        (("outside_mm", 0.8333), ("inside_mm", 1.25), ("thinnest_mm", 1.0), ("wall_mm", 1.0)),
        "mm", "reckoned from the nominal 1 mm: no standard is known here, measure the tube's wall.",
    ),
    (
        "stop", "pressure",
        (("design_mpa", 30.0), ("where", "outside"), *OUT, ("nominal_mm", 1.27064)), "mm",
        "300 bar needs 0.900 mm of wall at the outside of the bend (ASME B31.3); only 0.708 mm is "
        "left: take a wall of at least 1.271 mm, or less pressure.",
    ),
    (
        "note", "pressure", (("design_mpa", 2.0), ("where", "outside"), *OUT), "in",
        "290.1 psi needs 0.0354 in of wall at the outside of the bend (ASME B31.3); 0.0279 in is "
        "left. That is arithmetic; pressure work goes by the local code and a licensed person.",
    ),
    (
        "note", "pressure", (("design_mpa", 2.0),), "mm",
        "design pressure is 20 bar: pressure work goes by the local code and a licensed person.",
    ),
    (
        "stop", "pressure",
        (("design_mpa", 60.0), ("need_mm", 2.0), ("sixth_mm", 10 / 6), ("share", 0.6),
         ("most_share", 0.385)), "mm",
        "the need of 2.000 mm is held against a sixth of the diameter, 1.667 mm, and the pressure "
        "takes 60 % of the allowable stress, where 38.5 % is the limit.",
    ),
    (
        "note", "out-of-round", (("most_mm", 0.8), ("most_share", 0.08)), "mm",
        "largest diameter less the smallest may be 0.8 mm at most (8 % of the nominal one).",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("level", "rule", "values", "units", "says"), CASES)
def test_sentences(
    level: Level, rule: str, values: tuple[tuple[str, Value], ...], units: Units, says: str
) -> None:
    said = finding_says(Finding(level, rule, None, values), units)
    assert says in said and said.endswith(".") and said[0] == said[0].upper()


def test_what_is_asked_for_is_enough() -> None:
    assert at_least_text(1.2340001, "mm") == "1.235 mm"
    assert at_least_text(1.2340000000001, "mm") == "1.234 mm"
    assert at_least_text(25.4 / 16, "in") == "0.0625 in"


def test_pressures_by_the_units_of_the_job() -> None:
    assert [pressure_text(p, "mm") for p in (12.0, 0.005, 0.45)] == [
        "120 bar",
        "0.05 bar",
        "4.5 bar",
    ]
    assert pressure_text(6.894757293, "in") == "1000 psi"
