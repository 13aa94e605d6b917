"""Whether the metal takes the bend, and whether what the bend leaves of it is enough."""

from collections.abc import Iterator

from benchcalc.core.checks.service import service_findings
from benchcalc.core.checks.wall import (
    PLACES,
    THICK_SHARE,
    Place,
    bend_factor,
    bent_wall,
    is_thick,
    outer_strain,
    pressure_share,
    required_wall,
    thinnest_wall,
    wall_under,
)
from benchcalc.core.finding import SAME_MM, SAME_SHARE, Finding, Level, Value
from benchcalc.core.job import Hardness, Job, Pressure

LEAST_RATIO = 2.0
"""Die radius by OD under which hand bending kinks or flattens. Common practice, no source."""

CODE_SHARE = 0.5
"""Forming strain by elongation over which piping codes may ask for heat treatment. Source: ASME
B31.3 332.4.2, from memory."""

STAINLESS = ("304", "304L", "316", "316L")
"""The materials whose limits here are those of ASTM A269, not read, from memory."""

LEAST_BORE_MM = 3.2
LEAST_WALL_MM = 0.38
"""Under these the mechanical rules of ASTM A269 do not apply. Source: ASTM A269 1.3, read."""


def metal_findings(job: Job) -> Iterator[Finding]:
    """Strain, radius, hardness, standard, the bent wall, pressure, and what it is to serve."""
    yield from _stretch(job)
    yield from _hardness(job)
    yield from _standard(job)
    if job.bender.radius_mm > job.tube.od_mm / 2:  # else stopped as another die's tube
        yield _wall_after(job)
        if job.pressure is not None:
            yield from _pressure(job, job.pressure)
    yield from service_findings(job)


def _stretch(job: Job) -> Iterator[Finding]:
    od, radius, elongation = job.tube.od_mm, job.bender.radius_mm, job.material.elongation
    strain, ratio = outer_strain(od, radius), radius / od
    about: tuple[tuple[str, Value], ...] = (
        ("strain", strain),
        ("elongation", elongation),
        ("material", job.tube.material),
        ("radius_mm", radius),
    )
    if strain > elongation + SAME_SHARE:
        # A caution: elongation is measured over a gauge length, and tube gives more where it bends.
        # Hardened tube has nothing left to give.
        level: Level = "stop" if job.material.temper == "hardened" else "caution"
        yield Finding(level, "strain", None, (*about, ("least_mm", od / (2 * elongation))))
    elif strain > elongation * CODE_SHARE + SAME_SHARE:
        yield Finding("note", "strain", None, (*about, ("share", CODE_SHARE)))
    if ratio < LEAST_RATIO - SAME_SHARE:
        sizes = (("radius_mm", radius), ("least_mm", LEAST_RATIO * od))
        yield Finding("caution", "radius-ratio", None, (("ratio", ratio), *sizes))


def _hardness(job: Job) -> Iterator[Finding]:
    """Against the limit in the tube's own scale: one scale does not convert into another."""
    limits, given = job.material.hardness_max, job.tube.hardness
    if not limits:
        return
    about = (("limits", _listed(limits)), ("material", job.tube.material))
    if given is None:
        yield Finding("note", "hardness", None, about)
        return
    said = (("hardness", given.value), ("scale", given.scale))
    same = [limit.value for limit in limits if limit.scale == given.scale]
    if not same:
        yield Finding("caution", "hardness", None, (*said, *about))
    elif given.value > min(same):
        yield Finding("stop", "hardness", None, (*said, ("most", min(same)), *about))


def _listed(limits: tuple[Hardness, ...]) -> str:
    return ", ".join(f"{limit.value:g} {limit.scale}" for limit in limits)


def _standard(job: Job) -> Iterator[Finding]:
    wall = job.tube.wall_mm
    bore = job.tube.od_mm - 2 * wall
    small = bore < LEAST_BORE_MM - SAME_MM or wall < LEAST_WALL_MM - SAME_MM
    if job.tube.material in STAINLESS and small:
        values = (
            ("bore_mm", bore),
            ("least_bore_mm", LEAST_BORE_MM),
            ("wall_mm", wall),
            ("least_wall_mm", LEAST_WALL_MM),
        )
        yield Finding("note", "standard-range", None, values)


def _wall_after(job: Job) -> Finding:
    tube = job.tube
    thin, under = thinnest_wall(tube, job.material), wall_under(tube, job.material)
    walls = bent_wall(thin, tube.od_mm, job.bender.radius_mm)
    values = (
        ("outside_mm", walls.outside_mm),
        ("inside_mm", walls.inside_mm),
        ("thinnest_mm", thin),
        ("wall_mm", tube.wall_mm),
    )
    known = () if under is None else (("under", under),)
    return Finding("note", "wall-after", None, (*values, *known))


def _pressure(job: Job, given: Pressure) -> Iterator[Finding]:
    """Stops where a wall is under its need; beside them, always, whose work pressure is."""
    od = job.tube.od_mm
    needs = {
        place: required_wall(given, od, bend_factor(place, od, job.bender.radius_mm))
        for place in PLACES
    }
    design = ("design_mpa", given.design_mpa)
    most_mm = max(needs.values())
    if is_thick(given, od, most_mm):
        need = (("need_mm", most_mm), ("sixth_mm", od / 6))
        shares = (("share", pressure_share(given)), ("most_share", THICK_SHARE))
        yield Finding("stop", "pressure", None, (design, *need, *shares))
        yield Finding("note", "pressure", None, (design,))
    else:
        yield from _places(job, needs, design)


def _places(job: Job, needs: dict[Place, float], design: tuple[str, float]) -> Iterator[Finding]:
    """Each place's wall against its need; when all have it, a note of the place nearest to it."""
    thin = thinnest_wall(job.tube, job.material)
    bent = bent_wall(thin, job.tube.od_mm, job.bender.radius_mm)
    walls: dict[Place, float] = {
        "outside": bent.outside_mm,
        "straight": thin,
        "inside": bent.inside_mm,
    }
    tight = max(PLACES, key=lambda place: needs[place] / walls[place])
    nominal = ("nominal_mm", job.tube.wall_mm * needs[tight] / walls[tight])
    said: dict[Place, tuple[tuple[str, Value], ...]] = {
        place: (design, ("where", place), ("wall_mm", walls[place]), ("need_mm", needs[place]))
        for place in PLACES
    }
    short = [place for place in PLACES if walls[place] < needs[place] - SAME_MM]
    for place in short:
        yield Finding("stop", "pressure", None, (*said[place], nominal))
    yield Finding("note", "pressure", None, (design,) if short else said[tight])
