"""A plain list of points as a job: the run from the file, tube and bender from the command line."""

import re

from benchcalc.core.job import Bender, Job, Material, Tube, Units
from benchcalc.core.lengths import LengthError, parse_length
from benchcalc.core.shapes.drawing import Drawing, draw
from benchcalc.core.shapes.point_list import parse_points
from benchcalc.core.shapes.points import BadPoints, rows_from_points
from benchcalc.core.springback.first_guess import first_guess
from benchcalc.jobfile.problems import BadFile, BadValue, Problem, nearest
from benchcalc.jobfile.shop import Shop

_TUBE = re.compile(r"(.+?) *x *(.+?) +([^ ]+)", re.ASCII)
_TUBE_LIKE = "write it like 8x1 316 or 1/4x0.035 316"


def parse_points_job(
    data: bytes,
    name: str,
    job_name: str,
    tube: tuple[Tube, Material],
    bender: Bender,
    units: Units,
) -> Job:
    """The job of a list of points in the bytes of a file called ``name``.

    Bare numbers are in ``units``.

    Raises BadFile with every problem and its line.
    """
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        todo = "save the file as UTF-8"
        raise BadFile((Problem(name, 1, "points", "other bytes", "UTF-8", todo),)) from None
    lines: tuple[int, ...] = ()
    try:
        listed = parse_points(text, units)
        lines = listed.lines
        rows = rows_from_points(listed.points)
    except BadPoints as bad:
        raise BadFile(
            tuple(
                Problem(name, lines[f.at - 1] if lines else f.at, f.what, f.value, f.limit, f.todo)
                for f in bad.faults
            )
        ) from None
    job, run = Job(job_name, *tube, bender, rows.run, units=units), rows.run
    drawing = Drawing(run.segments, run.last_leg_mm, run.last_measured, in_line=rows.in_line)
    return draw(job, drawing, first_guess(job.tube, bender, job.material))


def parse_tube(text: str, units: Units, shop: Shop) -> tuple[Tube, Material]:
    """A tube in words, OD x wall and material: ``8x1 316``. Raises BadValue."""
    found = _TUBE.fullmatch(text.strip())
    if not found:
        raise BadValue("outside diameter x wall and material", _TUBE_LIKE)
    try:
        od, wall = (float(parse_length(found[n], units).mm) for n in (1, 2))
    except LengthError as error:
        raise BadValue(str(error), _TUBE_LIKE) from None
    if not 0 < wall < od / 2:
        raise BadValue(f"a wall over 0 and under half of {od:g} mm", _TUBE_LIKE)
    return Tube(od, wall, found[3]), _known(shop, found[3])


def _known(shop: Shop, key: str) -> Material:
    material = shop.material(key)
    if material is None:
        known = tuple(m.key for m in shop.materials)
        hint = nearest(key, known)
        todo = f"did you mean {hint}?" if hint else f"write one of {', '.join(known)}"
        raise BadValue(f"no such material: {key}", todo)
    return material
