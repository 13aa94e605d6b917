"""A job file, strictly: every problem in it at once, or the job."""

from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING
from zlib import crc32

from benchcalc.core.job import (
    Angles,
    Bender,
    End,
    Ends,
    Fit,
    Job,
    Material,
    Measured,
    Pressure,
    Run,
    Segment,
    SlipOn,
    Tube,
    Units,
)
from benchcalc.jobfile import values
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.files import load_shop
from benchcalc.jobfile.problems import BadJob, Report, nearest
from benchcalc.jobfile.profiles import INLINE, LENGTH, ROOM, Spelling, read_bender, read_bytes
from benchcalc.jobfile.run import Items, Manner, read_beside, read_order, read_run
from benchcalc.jobfile.shop import Shop
from benchcalc.jobfile.strict_yaml import Broken, Scalar, Table, read_table
from benchcalc.jobfile.values import Span

if TYPE_CHECKING:
    from benchcalc.core.shapes.named_shapes import Parallel
    from benchcalc.jobfile.places import Corners, PortAsked

FORMAT = 1
MEASURED: tuple[Measured, ...] = ("centre", "outside", "inside")
ENDS: tuple[End, ...] = ("reference", "far")
UNITS: tuple[Units, ...] = ("mm", "in")
ANGLES: tuple[Angles, ...] = ("bend", "included")
ONE = Span(0, 1, over=True)
STRESS = Span(0, 10_000, over=True)


def load_job(path: "str | PathLike[str]", shop: Shop | None = None) -> Job:
    """The job in a file, with the built-in profiles and materials or those of a ``shop``.

    Raises BadJob, whose ``problems`` are all that is wrong in it, sorted by line.
    """
    if shop is None:
        return load_job_with(Path(path), None)
    return load_job_text(read_bytes(Path(path), BadJob), str(path), shop)


def load_job_with(path: Path, folder: Path | None) -> Job:
    """The job in a file, with the shop of a configuration folder (None: the built-in one).

    Builds only those built-in profiles whose key the file holds; a file with a problem is read
    again with all of them, so that it is told what it may have meant. Raises BadJob, and BadFile
    for a profile of the folder.
    """
    data = read_bytes(path, BadJob)
    try:
        return load_job_text(data, str(path), load_shop(folder, named_in=data))
    except BadJob:
        return load_job_text(data, str(path), load_shop(folder))


def load_job_text(data: bytes, name: str, shop: Shop) -> Job:
    """The job in the bytes of a file called ``name``. Raises BadJob as ``load_job`` does."""
    report = Report(name, BadJob)
    fields = Fields(read_table(data, report), "", report)
    version = fields.need("benchcalc", values.whole(Span(0, 1e9)))
    if version is not None and version != FORMAT:
        todo = "use the benchcalc that wrote it"
        fields.refuse("benchcalc", str(version), f"format {FORMAT} only", todo)
        report.refuse()
    job = _read_job(fields, shop)
    if job is None or report.problems:
        report.refuse()
    return job


def _read_job(fields: Fields, shop: Shop) -> Job | None:
    name = fields.need("name", values.text())
    drawing, note, operator = (
        fields.read(key, values.text(empty=True), "") for key in ("drawing", "note", "operator")
    )
    pieces = fields.read("pieces", values.whole(Span(1, 9999)), 1)
    units = fields.read("units", values.choice(*UNITS), None) or "mm"
    angles = fields.read("angles", values.choice(*ANGLES), None) or "bend"
    measured = fields.read("measured", values.choice(*MEASURED), None) or "centre"
    held = fields.read("held", values.choice(*ENDS), None) or "reference"
    tolerance = fields.read("tolerance", values.angle(True, Span(0, 10, over=True)), 0.5)
    turn_tolerance = fields.read("turn_tolerance", values.angle(True, Span(0, 30, over=True)), 1.0)
    stock = fields.read("stock", values.length(units, LENGTH), None)
    found = _read_tube(fields, units, shop)
    bender = _read_bender(fields, units, shop)
    manner = Manner(units, angles, MEASURED, ENDS)
    drawn, beside = read_run(fields, manner), read_beside(fields, manner)
    ends = _read_ends(fields, "ends", units, None)
    straight = _read_ends(fields, "straight", units, ROOM)
    slip_on, fit = _read_slip_on(fields), _read_fit(fields, units)
    pressure = _read_pressure(fields, units)
    job = None
    if name is not None and found is not None and bender is not None and drawn is not None:
        bare = Job(
            name, *found, bender, Run((), 0.0), drawing, note, operator, pieces, units, angles,
            measured, ends, straight, slip_on, held, (), tolerance, fit, pressure, stock,
            turn_tolerance,
        )  # fmt: skip
        job = _with_run(bare, drawn, beside, fields)
    order = read_order(fields, job.run if job else None)
    fields.close()
    return replace(job, order=order) if job else None


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


def _read_tube(fields: Fields, units: Units, shop: Shop) -> tuple[Tube, Material] | None:
    table = fields.table("tube", needed=True)
    if table is None:
        return None
    od = table.need("od", values.length(units, LENGTH))
    wall = table.need("wall", values.length(units, LENGTH))
    key = table.need("material", _key)
    lot = table.read("lot", values.text(empty=True), "")
    hardness = table.read("hardness", values.hardness, None)
    under = table.read("wall_under", values.share(Span(0, 0.5)), None)
    table.close()
    if od is not None and wall is not None and wall >= od / 2:
        limit = f"under half of od, {od / 2:g} mm"
        table.refuse("wall", f"{wall:g} mm", limit, "check which is od and which is wall")
    material = shop.material(key) if key is not None else None
    if key is not None and material is None:
        _unknown(table, "material", key, tuple(known.key for known in shop.materials))
    if od is None or wall is None or key is None or material is None:
        return None
    return Tube(od, wall, key, lot, hardness, under), material


def inline_key(bender: Bender) -> str:
    """The key of a profile written in a job: another one for other values, as each is learnt apart.

    A profile in a file cannot have it, for a key there holds no space.
    """
    return f"{INLINE} {crc32(repr(replace(bender, key='')).encode()):08x}"


def _read_bender(fields: Fields, units: Units, shop: Shop) -> Bender | None:
    node = fields.node("bender")
    if isinstance(node, Table):
        known = tuple(material.key for material in shop.materials)
        table = Fields(node, "bender", fields.report)
        bender = read_bender(table, INLINE, Spelling(units, known))
        return None if bender is None else replace(bender, key=inline_key(bender))
    key = fields.need("bender", _key)
    if key is None or isinstance(node, Broken):
        return None
    bender = shop.bender(key)
    if bender is None:
        _unknown(fields, "bender", key, tuple(known.key for known in shop.benders))
    return bender


def _key(scalar: Scalar) -> str:
    """The text of a key into the shop; what no profile is called is told by the caller."""
    return scalar.text


def _unknown(fields: Fields, what: str, key: str, known: tuple[str, ...]) -> None:
    hint = nearest(key, known)
    todo = f"did you mean {hint}?" if hint else f"write one of {', '.join(known)}"
    fields.refuse(what, key, f"no such {what} in {what}s.yaml", todo)


def _read_ends(fields: Fields, key: str, units: Units, span: Span | None) -> Ends:
    table = fields.table(key)
    if table is None:
        return Ends()
    start = table.read("start", values.length(units, span), 0.0)
    finish = table.read("finish", values.length(units, span), 0.0)
    table.close()
    return Ends(start, finish)


def _read_slip_on(fields: Fields) -> SlipOn:
    table = fields.table("slip_on")
    if table is None:
        return SlipOn()
    start = table.read("start", values.text(empty=True), "")
    finish = table.read("finish", values.text(empty=True), "")
    table.close()
    return SlipOn(start, finish)


def _read_fit(fields: Fields, units: Units) -> Fit:
    table = fields.table("fit")
    if table is None:
        return Fit()
    within = table.read("within", values.length(units, LENGTH), Fit().within_mm)
    angle = table.read("angle", values.angle(True, Span(0, 180, over=True)), Fit().angle_deg)
    table.close()
    return Fit(within, angle)


def _read_pressure(fields: Fields, units: Units) -> Pressure | None:
    table = fields.table("pressure")
    if table is None:
        return None
    design = table.need("design", values.pressure(STRESS))
    allowable = table.need("allowable", values.pressure(STRESS))
    quality = table.read("quality", values.number(ONE), 1.0)
    weld = table.read("weld", values.number(ONE), 1.0)
    corrosion = table.read("corrosion", values.length(units, ROOM), 0.0)
    table.close()
    if design is None or allowable is None:
        return None
    return Pressure(design, allowable, quality, weld, corrosion)
