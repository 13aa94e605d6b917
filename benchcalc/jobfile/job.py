"""A job file, strictly: every problem in it at once, or the job."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any
from zlib import crc32

from benchcalc.core.frozen import replace
from benchcalc.core.job import (
    Bender,
    Ends,
    Fit,
    Job,
    Material,
    Pressure,
    Run,
    Segment,
    SlipOn,
    Tube,
)
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.job_fields import ANGLES, BY_KEY, FORMAT, JOB, ORDER, TUBE, UNITS, VERSION
from benchcalc.jobfile.problems import BadJob, Report, nearest
from benchcalc.jobfile.profiles import INLINE, Spelling, read_bender
from benchcalc.jobfile.run import Items, read_beside, read_order, read_run
from benchcalc.jobfile.shop import Shop
from benchcalc.jobfile.strict_yaml import Broken, Table, read_table
from benchcalc.jobfile.table import Manner, complete, key_text, read_field, read_fields, read_part

if TYPE_CHECKING:
    from benchcalc.core.shapes.named_shapes import Parallel
    from benchcalc.jobfile.places import Corners, PortAsked


def parse_job(data: bytes, name: str, shop: Shop) -> Job:
    """The job in the bytes of a file called ``name``.

    Raises BadJob, whose ``problems`` are all that is wrong in it, sorted by line.
    """
    report = Report(name, BadJob)
    fields = Fields(read_table(data, report), "", report)
    version = read_field(fields, VERSION, Manner("mm"))
    if version is not None and version != FORMAT:
        todo = "use the benchcalc that wrote it"
        fields.refuse("benchcalc", str(version), f"format {FORMAT} only", todo)
        report.refuse()
    job = _read_job(fields, shop)
    if job is None or report.problems:
        report.refuse()
    return job


_PARTS: tuple[tuple[str, Callable[..., Any], Any], ...] = (
    ("ends", Ends, Ends()),
    ("straight", Ends, Ends()),
    ("slip_on", SlipOn, SlipOn()),
    ("fit", Fit, Fit()),
)
"""Mappings of the file that are values of their own, and what holds where they are missing."""


def _read_job(fields: Fields, shop: Shop) -> Job | None:
    manner = Manner(*(read_field(fields, field, Manner("mm")) for field in (UNITS, ANGLES)))
    read_before = (VERSION, UNITS, ANGLES, ORDER)  # the order when the run is known
    found = read_fields(fields, (field for field in JOB if field not in read_before), manner)
    tube = _read_tube(fields, manner, shop)
    bender = _read_bender(fields, manner, shop)
    drawn, beside = read_run(fields, manner), read_beside(fields, manner)
    parts = {
        key: read_part(fields, BY_KEY[key], manner, make, default) for key, make, default in _PARTS
    }
    pressure, outside_mpa = _read_pressure(fields, manner)
    parts |= {"pressure": pressure, "outside_mpa": outside_mpa}
    job = None
    if found["name"] is not None and tube and bender and drawn is not None:
        kinds: dict[str, Any] = {
            "units": manner.units,
            "angles": manner.angles,
            "run": Run((), 0.0),
        }
        bare = Job(tube=tube[0], material=tube[1], bender=bender, **kinds, **found, **parts)
        job = _with_run(bare, drawn, beside, fields)
    order = read_order(fields, job.run if job else None)
    fields.close()
    return replace(job, order=order) if job else None


def _read_pressure(fields: Fields, manner: Manner) -> tuple[Pressure | None, float | None]:
    """The pressure inside, which needs two values, and the one outside, which may stand alone."""
    table = fields.table("pressure")
    if table is None:
        return None, None
    inside = table.has("design") or table.has("allowable") or not table.has("outside")
    part = tuple(
        field._replace(needed=inside and field.key in ("design", "allowable"))
        for field in BY_KEY["pressure"].fields
    )
    found = read_fields(table, part, manner)
    table.close()
    outside_mpa = found.pop("outside_mpa")
    return (Pressure(**found) if inside and complete(found, part) else None), outside_mpa


def _with_run(
    job: Job, drawn: "Items | Corners | PortAsked", beside: "Parallel | None", fields: Fields
) -> Job | None:
    """The job with its run worked out; None, with a problem noted, when there is none."""
    if isinstance(drawn, Items) and drawn.port is None and beside is None:
        segments = tuple(item for item in drawn.items if isinstance(item, Segment))
        if len(segments) == len(drawn.items):
            return replace(job, run=Run(segments, drawn.last_leg_mm, drawn.last_measured))
    from benchcalc.jobfile.drawing import worked_out

    return worked_out(job, drawn, beside, fields)


def _read_tube(fields: Fields, manner: Manner, shop: Shop) -> tuple[Tube, Material] | None:
    table = fields.table("tube", needed=True)
    if table is None:
        return None
    found = read_fields(table, TUBE, manner)
    table.close()
    od, wall, key = found["od_mm"], found["wall_mm"], found["material"]
    if od is not None and wall is not None and wall >= od / 2:
        limit = f"under half of od, {od / 2:g} mm"
        table.refuse("wall", f"{wall:g} mm", limit, "check which is od and which is wall")
        found["od_mm"] = None  # nothing can be worked out with it
    material = shop.material(key) if key is not None else None
    if key is not None and material is None:
        _unknown(table, "material", key, tuple(known.key for known in shop.materials))
    return (Tube(**found), material) if material and complete(found, TUBE) else None


def inline_key(bender: Bender) -> str:
    """The key of a profile written in a job: another one for other values, as each is learnt apart.

    A profile in a file cannot have it, for a key there holds no space. What a profile does not say
    is left out, so that new fields change no key.
    """
    said = repr(replace(bender, key=""))
    for unsaid in (", stretch_mm=0.0", ", radius_within_mm=None", ", stretch_within_mm=None"):
        said = said.replace(unsaid, "")
    said = said.replace(", within_mm=None", "")
    return f"{INLINE} {crc32(said.encode()):08x}"


def _read_bender(fields: Fields, manner: Manner, shop: Shop) -> Bender | None:
    node = fields.node("bender")
    if isinstance(node, Table):
        known = tuple(material.key for material in shop.materials)
        table = Fields(node, "bender", fields.report)
        bender = read_bender(table, INLINE, Spelling(manner.units, known))
        return None if bender is None else replace(bender, key=inline_key(bender))
    key: str | None = fields.need("bender", key_text)
    if key is None or isinstance(node, Broken):
        return None
    bender = shop.bender(key)
    if bender is None:
        _unknown(fields, "bender", key, tuple(known.key for known in shop.benders))
    return bender


def _unknown(fields: Fields, what: str, key: str, known: tuple[str, ...]) -> None:
    hint = nearest(key, known)
    todo = f"did you mean {hint}?" if hint else f"write one of {', '.join(known)}"
    fields.refuse(what, key, f"no such {what} in {what}s.yaml", todo)
