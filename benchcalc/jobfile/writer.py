"""A job written back as a job file, so that reading it gives the same job again."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from benchcalc.core.geometry.envelope import Envelope
from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Bender, Hardness, Job, Segment, Units
from benchcalc.core.lengths import LengthError, format_exact
from benchcalc.core.shapes.drawing import Drawing, drawing_of
from benchcalc.core.shapes.named_shapes import Shape
from benchcalc.core.shapes.ports import Port
from benchcalc.jobfile.job_fields import BENDER, BY_KEY, FORMAT, JOB, PARALLEL, SEGMENT, SHAPES
from benchcalc.jobfile.profiles import INLINE
from benchcalc.jobfile.shapes import MAKES
from benchcalc.jobfile.table import Field, Manner
from benchcalc.jobfile.units import MOST_DIGITS


def format_job(job: Job) -> str:
    """The job as a file; a bender from the shop by its key, one of the job's own in full.

    Numbers are written so that they are read as the same floats, down to lengths and angles of
    a millionth: below that, to the 23rd decimal.
    """
    manner = Manner(job.units, job.angles)
    own = {
        "benchcalc": str(FORMAT),
        "bender": _bender(job.bender, job.units),
        "order": f"[{', '.join(map(str, job.order))}]" if job.order else "",
        "pressure": _pressure(job, manner),
    }
    lines = [f"{key}: {text}" for key, text in _pairs(JOB, job, manner, own)]
    return "\n".join([*lines, *_drawing(job, manner)]) + "\n"


def _pressure(job: Job, manner: Manner) -> str:
    """The mapping of the pressures inside and outside; nothing where there is none."""
    fields = BY_KEY["pressure"].fields
    found = list(_pairs(fields, job.pressure, manner)) if job.pressure else []
    if job.outside_mpa is not None:
        found.append(("outside", _TEXTS["pressure"](job.outside_mpa, manner)))
    return _flow(found) if found else ""


def _pairs(
    table: Iterable[Field], value: object, manner: Manner, own: Mapping[str, str] = {}
) -> Iterator[tuple[str, str]]:
    """The fields of a value as its file has them; what is empty is left out.

    ``own`` has the texts that are not made by the field's kind alone.
    """
    for field in table:
        text = own.get(field.key)
        if text is None and field.kind != "other":
            text = _field(field, getattr(value, field.name, None), manner)
        if text:
            yield field.key, text


def _field(field: Field, value: Any, manner: Manner) -> str:
    """One value as its kind of field is written; nothing for a value that is empty."""
    if value is None or value == "":
        return ""
    if field.kind == "table":
        return _flow(_pairs(field.fields, value, manner))
    return _TEXTS[field.kind](value, manner)


def _flow(pairs: Iterable[tuple[str, str]]) -> str:
    return "{" + ", ".join(f"{key}: {value}" for key, value in pairs) + "}"


def _text(value: str) -> str:
    return json.dumps(value, ensure_ascii=False)


def _number(value: float | Fraction) -> str:
    """The shortest plain decimal that is read as the same float."""
    if isinstance(value, Fraction):
        exact = Decimal(value.numerator) / Decimal(value.denominator)
    else:
        exact = Decimal(repr(value))
    digits = f"{exact:f}"
    if sum(c.isdigit() for c in digits) > MOST_DIGITS:
        digits = f"{exact:.{MOST_DIGITS - len(str(int(abs(exact))))}f}"
    return digits.rstrip("0").rstrip(".") if "." in digits else digits


def _length(mm: float, units: Units) -> str:
    """A length bare when it has an exact decimal in the job's units, else with its own unit."""
    try:
        digits = format_exact(Fraction(repr(mm)), units)
        if sum(c.isdigit() for c in digits) <= MOST_DIGITS:
            return digits
    except LengthError:
        pass
    return f'"{_number(mm)} mm"'


def _share(value: float) -> str:
    return f'"{_number(Fraction(repr(value)) * 100)} %"'


def _hardness(value: Hardness) -> str:
    return f'"{_number(value.value)} {value.scale}"'


def _drawing(job: Job, manner: Manner) -> list[str]:
    """The run as it was drawn: its corner points, its ports, or segments and shapes."""
    drawn = drawing_of(job) or Drawing(job.run.segments, job.run.last_leg_mm, job.run.last_measured)
    lines = []
    if drawn.beside is not None:
        lines.append(f"parallel: {_flow(_pairs(PARALLEL, drawn.beside, manner))}")
    if drawn.points:
        return [*lines, "points:", *(f"  - {_three(at, job.units)}" for at in drawn.points)]
    goal = drawn.goal
    if goal is not None and goal.start is not None:
        ports = [("start", _flow(_port(goal.start, job.units)))]
        ports += [("finish", _flow(_port(goal.end, job.units))), ("take", str(goal.take))]
        return [*lines, f"ports: {_flow(ports)}"]
    if goal is not None:
        last = [("port", _flow([*_port(goal.end, job.units), ("take", str(goal.take))]))]
    else:
        last = [("leg", _length(drawn.last_leg_mm, job.units))]
        if drawn.last_measured:
            last.append(("measured", drawn.last_measured))
    written = [
        _flow(_pairs(SEGMENT, item, manner)) if isinstance(item, Segment) else _shape(item, manner)
        for item in drawn.items
    ]
    return [*lines, "run:", *(f"  - {item}" for item in (*written, _flow(last)))]


def _shape(shape: Shape, manner: Manner) -> str:
    name = next(name for name, kind in MAKES.items() if type(shape) is kind)
    sizes = _flow(_pairs(SHAPES[name], shape, manner))
    return _flow([(name.removeprefix("flat_"), sizes)])


def _port(port: Port, units: Units) -> list[tuple[str, str]]:
    along = f"[{', '.join(map(_number, port.travel))}]"
    return [("at", _three(port.point, units)), ("along", along)]


def _three(at_mm: Vector, units: Units) -> str:
    return f"[{', '.join(_length(one, units) for one in at_mm)}]"


def _bender(bender: Bender, units: Units) -> str:
    if not bender.key.startswith(INLINE + " "):
        return _text(bender.key)
    lines = ((_text(line.name), _length(line.offset_mm, units)) for line in bender.lines)
    walls = (
        (_text(r.material), f"[{_length(r.least_mm, units)}, {_length(r.most_mm, units)}]")
        for r in bender.walls
    )
    own = {
        "lines": _flow(lines),
        "walls": _flow(walls),
        "parts": _flow([("clamp", _text(bender.clamp))]) if bender.clamp else "",
        "envelope": _envelope(bender.envelope, units) if any(bender.envelope.bodies) else "",
    }
    return _flow(_pairs(BENDER, bender, Manner(units), own))


def _envelope(envelope: Envelope, units: Units) -> str:
    bodies: list[tuple[str, list[tuple[str, str]]]] = []
    for capsule in envelope.capsules:
        ends = [("from", _three(capsule.from_mm, units)), ("to", _three(capsule.to_mm, units))]
        bodies.append((capsule.name, [*ends, ("radius", _length(capsule.radius_mm, units))]))
    for box in envelope.boxes:
        bodies.append(
            (box.name, [("low", _three(box.low_mm, units)), ("high", _three(box.high_mm, units))])
        )
    for plane in envelope.planes:
        faces = f"[{', '.join(map(_number, plane.faces))}]"
        bodies.append((plane.name, [("faces", faces), ("at", _length(plane.at_mm, units))]))
    return _flow((_text(name), _flow(fields)) for name, fields in bodies)


def _bend(angle_deg: float, manner: Manner) -> str:
    bend = Fraction(repr(angle_deg))
    return _number(180 - bend if manner.angles == "included" else angle_deg)


_TEXTS: dict[str, Callable[[Any, Manner], str]] = {
    "text": lambda value, manner: _text(value),
    "key": lambda value, manner: _text(value),
    "choice": lambda value, manner: str(value),
    "whole": lambda value, manner: str(value),
    "number": lambda value, manner: _number(value),
    "length": lambda value, manner: _length(value, manner.units or "mm"),
    "angle": lambda value, manner: _number(value),
    "bend": _bend,
    "pressure": lambda value, manner: f'"{_number(value)} MPa"',
    "share": lambda value, manner: _share(value),
    "hardness": lambda value, manner: _hardness(value),
}
