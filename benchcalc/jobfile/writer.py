"""A job written back as a job file, so that reading it gives the same job again."""

import json
from collections.abc import Iterable
from dataclasses import fields
from decimal import Decimal
from fractions import Fraction

from benchcalc.core.geometry.envelope import Envelope
from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Bender, Ends, Fit, Hardness, Job, Segment, Units
from benchcalc.core.lengths import LengthError, format_exact
from benchcalc.core.shapes.drawing import Drawing, drawing_of
from benchcalc.core.shapes.named_shapes import (
    FlatSaddle,
    Offset,
    Parallel,
    RollingOffset,
    Saddle,
    Shape,
    UBend,
)
from benchcalc.core.shapes.ports import Port
from benchcalc.jobfile.profiles import INLINE
from benchcalc.jobfile.units import MOST_DIGITS

_NAMES: dict[type, str] = {
    Offset: "offset", RollingOffset: "rolling_offset", Saddle: "saddle", FlatSaddle: "saddle",
    UBend: "u",
}  # fmt: skip


def format_job(job: Job) -> str:
    """The job as a file; a bender from the shop by its key, one of the job's own in full.

    Numbers are written so that they are read as the same floats, down to lengths and angles of
    a millionth: below that, to the 23rd decimal.
    """
    units = job.units
    lines = ["benchcalc: 1", f"name: {_text(job.name)}"]
    for key, value in (("drawing", job.drawing), ("note", job.note), ("operator", job.operator)):
        if value:
            lines.append(f"{key}: {_text(value)}")
    lines += [f"pieces: {job.pieces}", f"units: {units}", f"angles: {job.angles}"]
    lines += [f"tube: {_tube(job)}", f"bender: {_bender(job.bender, units)}"]
    lines += [f"measured: {job.measured}", f"ends: {_ends(job.ends, units)}"]
    lines += [f"straight: {_ends(job.straight, units)}", f"held: {job.held}"]
    slip_on = (("start", job.slip_on.start), ("finish", job.slip_on.finish))
    lines.append(f"slip_on: {_flow((key, _text(part)) for key, part in slip_on if part)}")
    if job.order:
        lines.append(f"order: [{', '.join(map(str, job.order))}]")
    lines.append(f"tolerance: {_number(job.tolerance_deg)}")
    lines.append(f"turn_tolerance: {_number(job.turn_tolerance_deg)}")
    lines.append(f"fit: {_fit(job.fit, units)}")
    lines += _pressure(job)
    if job.stock_mm is not None:
        lines.append(f"stock: {_length(job.stock_mm, units)}")
    lines += _drawing(job)
    return "\n".join(lines) + "\n"


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


def _ends(ends: Ends, units: Units) -> str:
    pairs = (("start", ends.start_mm), ("finish", ends.finish_mm))
    return _flow((key, _length(mm, units)) for key, mm in pairs)


def _fit(fit: Fit, units: Units) -> str:
    return _flow([("within", _length(fit.within_mm, units)), ("angle", _number(fit.angle_deg))])


def _tube(job: Job) -> str:
    tube, units = job.tube, job.units
    pairs = [("od", _length(tube.od_mm, units)), ("wall", _length(tube.wall_mm, units))]
    pairs.append(("material", _text(tube.material)))
    if tube.lot:
        pairs.append(("lot", _text(tube.lot)))
    if tube.hardness:
        pairs.append(("hardness", _hardness(tube.hardness)))
    if tube.wall_under is not None:
        pairs.append(("wall_under", _share(tube.wall_under)))
    return _flow(pairs)


def _pressure(job: Job) -> list[str]:
    given = job.pressure
    if given is None:
        return []
    pairs = [("design", f'"{_number(given.design_mpa)} MPa"')]
    pairs.append(("allowable", f'"{_number(given.allowable_mpa)} MPa"'))
    pairs += [("quality", _number(given.quality)), ("weld", _number(given.weld))]
    pairs.append(("corrosion", _length(given.corrosion_mm, job.units)))
    return [f"pressure: {_flow(pairs)}"]


def _drawing(job: Job) -> list[str]:
    """The run as it was drawn: its corner points, its ports, or segments and shapes."""
    drawn = drawing_of(job) or Drawing(job.run.segments, job.run.last_leg_mm, job.run.last_measured)
    lines = [] if drawn.beside is None else [f"parallel: {_parallel(drawn.beside, job.units)}"]
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
        _segment(item, job) if isinstance(item, Segment) else _shape(item, job)
        for item in drawn.items
    ]
    return [*lines, "run:", *(f"  - {item}" for item in (*written, _flow(last)))]


def _shape(shape: Shape, job: Job) -> str:
    name, sizes = _NAMES[type(shape)], []
    for field in fields(shape):
        key, value = field.name.rsplit("_", 1)[0], getattr(shape, field.name)
        if field.name.endswith("_mm"):
            sizes.append((key, _length(value, job.units)))
        elif key == "turn":
            sizes.append((key, _number(value)))
        else:
            sizes.append((key, _bend(value, job)))
    return _flow([(name, _flow(sizes))])


def _parallel(beside: Parallel, units: Units) -> str:
    spacing = _length(beside.spacing_mm, units)
    return _flow([("spacing", spacing), ("side", _number(beside.side_deg))])


def _port(port: Port, units: Units) -> list[tuple[str, str]]:
    along = f"[{', '.join(map(_number, port.travel))}]"
    return [("at", _three(port.point, units)), ("along", along)]


def _three(at_mm: Vector, units: Units) -> str:
    return f"[{', '.join(_length(one, units) for one in at_mm)}]"


def _bend(angle_deg: float, job: Job) -> str:
    bend = Fraction(repr(angle_deg))
    return _number(180 - bend if job.angles == "included" else angle_deg)


def _segment(segment: Segment, job: Job) -> str:
    pairs = [("leg", _length(segment.leg_mm, job.units))]
    pairs.append(("bend", _bend(segment.angle_deg, job)))
    pairs.append(("turn", _number(segment.turn_deg)))
    said = (("to", segment.to), ("measured", segment.measured), ("held", segment.held))
    return _flow(pairs + [(key, word) for key, word in said if word])


def _bender(bender: Bender, units: Units) -> str:
    if not bender.key.startswith(INLINE + " "):
        return _text(bender.key)
    pairs = [("od", _length(bender.od_mm, units)), ("radius", _length(bender.radius_mm, units))]
    if bender.finished_radius_mm is not None:
        pairs.append(("finished_radius", _length(bender.finished_radius_mm, units)))
    pairs.append(("max_angle", _number(bender.max_angle_deg)))
    rooms = (("grip", bender.grip_mm), ("free", bender.free_mm), ("between", bender.between_mm))
    pairs += [(key, _length(mm, units)) for key, mm in rooms]
    lines = ((_text(line.name), _length(line.offset_mm, units)) for line in bender.lines)
    pairs.append(("lines", _flow(lines)))
    walls = (
        (_text(r.material), f"[{_length(r.least_mm, units)}, {_length(r.most_mm, units)}]")
        for r in bender.walls
    )
    pairs.append(("walls", _flow(walls)))
    scale = (("step", bender.scale.step_deg), ("zero", bender.scale.zero_deg))
    pairs.append(("scale", _flow((key, _number(deg)) for key, deg in scale)))
    if bender.re_set_deg is not None:
        pairs.append(("re_set", _number(bender.re_set_deg)))
    if bender.clamp:
        pairs.append(("parts", _flow([("clamp", _text(bender.clamp))])))
    if bender.source:
        pairs.append(("source", _text(bender.source)))
    if any(bender.envelope.bodies):
        pairs.append(("envelope", _envelope(bender.envelope, units)))
    return _flow(pairs)


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
