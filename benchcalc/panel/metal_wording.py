"""The sentences about the metal: strain, hardness, walls and pressure."""

from collections.abc import Callable
from math import ceil

from benchcalc.core.finding import Value, Values
from benchcalc.core.parts import Units
from benchcalc.panel.figures import decimal, in_units, size_text

PSI_PER_MPA = 145.0377377
WALL_PLACES: dict[Units, int] = {"mm": 3, "in": 4}

NOT_OURS = "pressure work goes by the local code and a licensed person."

PLACES = {
    "outside": "at the outside of the bend",
    "inside": "at the inside of the bend",
    "straight": "on the straights and at the sides of the bend",
}


def wall_text(wall_mm: Value, units: Units) -> str:
    """A wall or its need: ``0.708 mm``, ``0.0279 in``."""
    return f"{decimal(in_units(float(wall_mm), units), WALL_PLACES[units])} {units}"


def at_least_text(length_mm: Value, units: Units) -> str:
    """A size to ask for, rounded up so that it is enough: ``1.235 mm``, ``50 mm``."""
    tens = 10 ** WALL_PLACES[units]
    up = ceil(in_units(float(length_mm), units) * tens - 1e-6) / tens
    return f"{up:.{WALL_PLACES[units]}f}".rstrip("0").rstrip(".") + f" {units}"


def pressure_text(pressure_mpa: Value, units: Units) -> str:
    """A pressure as it is read beside such lengths: ``20 bar``, ``290.1 psi``."""
    if units == "mm":
        return f"{float(pressure_mpa) * 10:.3f}".rstrip("0").rstrip(".") + " bar"
    return decimal(float(pressure_mpa) * PSI_PER_MPA, 1).removesuffix(".0") + " psi"


def percent(share: Value) -> str:
    """A share of one: ``22.2 %``."""
    return decimal(float(share) * 100, 1).removesuffix(".0") + " %"


def _strain(v: Values, units: Units) -> str:
    return (
        f"Bending stretches the outside by {percent(v['strain'])}; {v['material']} is "
        f"rated for {percent(v['elongation'])} and may tear: bend an offcut first, or take a die "
        f"of at least {at_least_text(v['least_mm'], units)} radius."
    )


def _ratio(v: Values, units: Units) -> str:
    return (
        f"The die's radius is {decimal(float(v['ratio']), 2)} times the tube's diameter, under 2 "
        "the tube may kink or flatten: bend an offcut first, or take a die of at least "
        f"{at_least_text(v['least_mm'], units)} radius."
    )


def _hardness(v: Values, units: Units) -> str:
    limits = str(v["limits"]).replace(", ", " or ")
    if "hardness" not in v:
        return (
            f"Only annealed {v['material']} is worked out here, {limits} at most, and no hardness "
            "is given: look at the tube's certificate."
        )
    given = f"The tube is {float(v['hardness']):g} {v['scale']}"
    if "most" not in v:
        return f"{given}; the limit for {v['material']} is known as {limits}: have it measured so."
    return (
        f"{given}, over the {float(v['most']):g} {v['scale']} of annealed {v['material']}: "
        "it may crack; take annealed tube."
    )


def _standard(v: Values, units: Units) -> str:
    bore, wall = size_text(float(v["bore_mm"]), units), size_text(float(v["wall_mm"]), units)
    least_bore = size_text(float(v["least_bore_mm"]), units)
    least_wall = size_text(float(v["least_wall_mm"]), units)
    return (
        f"The bore is {bore}, the wall {wall}; ASTM A269 promises no strength or hardness under "
        f"{least_bore} bore or {least_wall} wall: bend an offcut first."
    )


def _wall_after(v: Values, units: Units) -> str:
    walls = (
        f"Bent, the wall is {wall_text(v['outside_mm'], units)} at the outside and "
        f"{wall_text(v['inside_mm'], units)} at the inside, reckoned from"
    )
    nominal = size_text(float(v["wall_mm"]), units)
    if "under" not in v:
        return f"{walls} the nominal {nominal}: no standard is known here, measure the tube's wall."
    thin = wall_text(v["thinnest_mm"], units)
    return f"{walls} {thin}, the least that {nominal} may be ({percent(v['under'])} under)."


def _pressure(v: Values, units: Units) -> str:
    design = pressure_text(v["design_mpa"], units)
    if "most_share" in v:
        return (
            f"At {design} this is thick-wall work: the need of {wall_text(v['need_mm'], units)} is "
            f"held against a sixth of the diameter, {wall_text(v['sixth_mm'], units)}, and the "
            f"pressure takes {percent(v['share'])} of the allowable stress, where "
            f"{percent(v['most_share'])} is the limit. ASME B31.3 asks for special consideration: "
            "put it to the engineer."
        )
    if "where" not in v:
        return f"The design pressure is {design}: {NOT_OURS}"
    place = PLACES[str(v["where"])]
    wall, need = wall_text(v["wall_mm"], units), wall_text(v["need_mm"], units)
    needs = f"{design} needs {need} of wall {place} (ASME B31.3)"
    if "nominal_mm" not in v:
        return f"{needs}; {wall} is left. That is arithmetic; {NOT_OURS}"
    enough = at_least_text(v["nominal_mm"], units)
    return f"{needs}; only {wall} is left: take a wall of at least {enough}, or less pressure."


def _out_of_round(v: Values, units: Units) -> str:
    most = size_text(float(v["most_mm"]), units)
    return (
        "For pressure, calipers decide after bending: across a bend the largest diameter less the "
        f"smallest may be {most} at most ({percent(v['most_share'])} of the nominal one)."
    )


METAL_SAYS: dict[str, Callable[[Values, Units], str]] = {
    "strain": _strain,
    "radius-ratio": _ratio,
    "hardness": _hardness,
    "standard-range": _standard,
    "wall-after": _wall_after,
    "pressure": _pressure,
    "out-of-round": _out_of_round,
}

METAL_HEADLINES = {
    "strain": "stretched past what the metal takes",
    "radius-ratio": "a tight die, it may kink",
    "hardness": "look at the tube's hardness",
    "standard-range": "smaller than its standard covers",
    "wall-after": "the wall after bending",
    "pressure": "look at the wall for this pressure",
    "out-of-round": "measure how round it stayed",
}
