"""What is said of metal and service and decided by others: temper, outside pressure, what it holds.

None of this is worked out here. It goes by the code that holds where the tube is put in, and by a
licensed person.
"""

from collections.abc import Iterator

from benchcalc.core.checks.wall import MOST_OUT_OF_ROUND, MOST_OUT_OF_ROUND_OUTSIDE
from benchcalc.core.finding import Finding, Level, Value
from benchcalc.core.job import Job

KNOWN = ("sour", "oxygen", "vacuum")
"""Services that have a sentence of their own; any other one is only repeated."""


def services_of(job: Job) -> tuple[str, ...]:
    """The known services that a job names, among whatever else it says."""
    said = job.service.casefold()
    return tuple(name for name in KNOWN if name in said)


def pressed_from_outside(job: Job) -> bool:
    """Whether anything presses on the tube from outside: a pressure, or air on a vacuum."""
    return job.outside_mpa is not None or "vacuum" in services_of(job)


def most_out_of_round(job: Job) -> float:
    """How far out of round a bend may be for what presses on it, a fraction of the diameter."""
    return MOST_OUT_OF_ROUND_OUTSIDE if pressed_from_outside(job) else MOST_OUT_OF_ROUND


def service_findings(job: Job) -> Iterator[Finding]:
    """Temper, the services that are named, and pressure from outside."""
    yield from _temper(job)
    known = services_of(job)
    for name in known:
        yield Finding("caution", "service", None, (("service", name), ("said", job.service)))
    if job.service.strip() and not known:
        yield Finding("note", "service", None, (("said", job.service),))
    if job.outside_mpa is not None:
        yield Finding("note", "pressure", None, (("outside_mpa", job.outside_mpa),))
    if job.pressure is not None or pressed_from_outside(job):
        share = most_out_of_round(job)
        values: tuple[tuple[str, Value], ...] = (
            ("most_mm", share * job.tube.od_mm),
            ("most_share", share),
        )
        yield Finding("note", "out-of-round", None, values)


def _temper(job: Job) -> Iterator[Finding]:
    """Whether the tube is in the state its figures are of; a hardness limit says it, if known."""
    material, hardness = job.material, job.tube.hardness
    about: tuple[tuple[str, Value], ...] = (("material", job.tube.material),)
    if hardness is not None and not material.hardness_max:
        about = (*about, ("hardness", hardness.value), ("scale", hardness.scale))
    if material.temper == "hardened":
        yield Finding("caution", "temper", None, (*about, ("temper", material.temper)))
    elif not material.hardness_max:
        level: Level = "note" if hardness is None else "caution"
        yield Finding(level, "temper", None, (*about, ("temper", material.temper)))
