"""The sentences about the metal: strain, hardness, walls and pressure."""

from collections.abc import Callable
from math import ceil

from benchcalc.core.finding import Value, Values
from benchcalc.core.job import Units
from benchcalc.report.figures import decimal, in_units, tube_text, without_tenths
from benchcalc.words.language import number_shown, say

PSI_PER_MPA = 145.0377377
WALL_PLACES: dict[Units, int] = {"mm": 3, "in": 4}


def wall_text(wall_mm: Value, units: Units) -> str:
    """A wall or its need: ``0.708 mm``, ``0.0279 in``."""
    return f"{decimal(in_units(float(wall_mm), units), WALL_PLACES[units])} {units}"


def at_least_text(length_mm: Value, units: Units) -> str:
    """A size to ask for, rounded up so that it is enough: ``1.235 mm``, ``50 mm``."""
    tens = 10 ** WALL_PLACES[units]
    up = ceil(in_units(float(length_mm), units) * tens - 1e-6) / tens
    return number_shown(f"{up:.{WALL_PLACES[units]}f}".rstrip("0").rstrip(".")) + f" {units}"


def pressure_text(pressure_mpa: Value, units: Units) -> str:
    """A pressure as it is read beside such lengths: ``20 bar``, ``290.1 psi``."""
    if units == "mm":
        return number_shown(f"{float(pressure_mpa) * 10:.3f}".rstrip("0").rstrip(".")) + " bar"
    return without_tenths(decimal(float(pressure_mpa) * PSI_PER_MPA, 1)) + " psi"


def percent(share: Value) -> str:
    """A share of one: ``22.2 %``."""
    return without_tenths(decimal(float(share) * 100, 1)) + " %"


def _strain(v: Values, units: Units) -> str:
    said = {
        "strain": percent(v["strain"]),
        "material": v["material"],
        "elongation": percent(v["elongation"]),
    }
    if "least_mm" not in v:
        return say("finding.strain.half", **said)
    return say("finding.strain", least=at_least_text(v["least_mm"], units), **said)


def _ratio(v: Values, units: Units) -> str:
    ratio, least = decimal(float(v["ratio"]), 2), at_least_text(v["least_mm"], units)
    return say("finding.radius-ratio", ratio=ratio, least=least)


def _hardness(v: Values, units: Units) -> str:
    limits = str(v["limits"]).replace(", ", say("finding.hardness.or"))
    if "hardness" not in v:
        return say("finding.hardness.unknown", material=v["material"], limits=limits)
    given = number_shown(f"{float(v['hardness']):g}")
    said = {"hardness": given, "scale": v["scale"], "material": v["material"]}
    if "most" not in v:
        return say("finding.hardness.scale", limits=limits, **said)
    return say("finding.hardness", most=number_shown(f"{float(v['most']):g}"), **said)


def _standard(v: Values, units: Units) -> str:
    names = ("bore", "wall", "least_bore", "least_wall")
    sizes = {name: tube_text(float(v[f"{name}_mm"]), units) for name in names}
    return say("finding.standard-range", **sizes)


def _wall_after(v: Values, units: Units) -> str:
    outside, inside = wall_text(v["outside_mm"], units), wall_text(v["inside_mm"], units)
    said = {"outside": outside, "inside": inside, "wall": tube_text(float(v["wall_mm"]), units)}
    if "under" not in v:
        return say("finding.wall-after.nominal", **said)
    thin = wall_text(v["thinnest_mm"], units)
    return say("finding.wall-after", thin=thin, under=percent(v["under"]), **said)


def _temper(v: Values, units: Units) -> str:
    if v["temper"] == "hardened":
        return say("finding.temper.hardened", material=v["material"])
    if "hardness" not in v:
        return say("finding.temper", material=v["material"])
    given = number_shown(f"{float(v['hardness']):g}")
    said = {"hardness": given, "scale": v["scale"], "material": v["material"]}
    return say("finding.temper.hardness", **said)


def _service(v: Values, units: Units) -> str:
    if "service" in v:
        return say(f"finding.service.{v['service']}")
    return say("finding.service", service=v["said"])


def _pressure(v: Values, units: Units) -> str:
    if "outside_mpa" in v:
        return say("finding.pressure.outside", outside=pressure_text(v["outside_mpa"], units))
    design = pressure_text(v["design_mpa"], units)
    if "most_share" in v:
        return say(
            "finding.pressure.thick",
            design=design,
            need=wall_text(v["need_mm"], units),
            sixth=wall_text(v["sixth_mm"], units),
            share=percent(v["share"]),
            most_share=percent(v["most_share"]),
        )
    if "where" not in v:
        return say("finding.pressure.design", design=design)
    said = {
        "design": design,
        "place": say(f"finding.place.{v['where']}"),
        "wall": wall_text(v["wall_mm"], units),
        "need": wall_text(v["need_mm"], units),
    }
    if "nominal_mm" not in v:
        return say("finding.pressure.left", **said)
    return say("finding.pressure", enough=at_least_text(v["nominal_mm"], units), **said)


def _out_of_round(v: Values, units: Units) -> str:
    most, share = tube_text(float(v["most_mm"]), units), percent(v["most_share"])
    return say("finding.out-of-round", most=most, share=share)


METAL_SAYS: dict[str, Callable[[Values, Units], str]] = {
    "strain": _strain,
    "radius-ratio": _ratio,
    "hardness": _hardness,
    "standard-range": _standard,
    "wall-after": _wall_after,
    "pressure": _pressure,
    "temper": _temper,
    "service": _service,
    "out-of-round": _out_of_round,
}
