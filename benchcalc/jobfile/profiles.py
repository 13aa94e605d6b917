"""Bender profiles and materials as files have them: every quantity with its unit and a source."""

from collections.abc import Callable
from pathlib import Path
from typing import Generic, NamedTuple, TypeVar

from benchcalc.core.job import Bender, Line, Material, Scale, Units, WallRange
from benchcalc.jobfile import values
from benchcalc.jobfile.envelope import read_envelope
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.problems import BadFile, Problem, Refused, Report, nearest
from benchcalc.jobfile.strict_yaml import MOST_BYTES, Broken, Scalar, Table, read_table
from benchcalc.jobfile.values import ENDLESS, Span

T = TypeVar("T")

INLINE = "inline"
"""The key of a bender that a job describes itself."""

ANY = "any"
LONGEST_PART = 20
LENGTH = Span(0, ENDLESS, over=True)
ROOM = Span(0, ENDLESS)
BEND = Span(0, 180, over=True)
_KEY = f"letters, digits, - and .; not {INLINE} or {ANY}"


class Spelling(NamedTuple):
    """How a mapping may write: the unit of bare lengths (None: none), and the known materials."""

    bare: Units | None
    materials: tuple[str, ...]


def read_bender(fields: Fields, key: str, spelling: Spelling) -> Bender | None:
    """A bender profile from its mapping; None, with problems noted, when it is not one."""
    bare, inline = spelling.bare, spelling.bare is not None
    od = fields.need("od", values.length(bare, LENGTH))
    radius = fields.need("radius", values.length(bare, LENGTH))
    finished = fields.read("finished_radius", values.length(bare, LENGTH), None)
    most = fields.need("max_angle", values.angle(inline, Span(0, 270, over=True)))
    re_set = fields.read("re_set", values.angle(inline, Span(0, 270, over=True)), None)
    room = values.length(bare, ROOM)
    grip, free, between = (fields.read(name, room, 0.0) for name in ("grip", "free", "between"))
    lines = _read_lines(fields, bare)
    walls = _read_walls(fields, od, spelling)
    scale = _read_scale(fields, inline)
    clamp = _read_clamp(fields)
    source = _read_source(fields, needed=not inline)
    envelope = read_envelope(fields, bare)
    fields.close()
    for name, value in (("radius", radius), ("finished_radius", finished)):
        if od is not None and value is not None and value <= od / 2:
            fields.refuse(name, f"{value:g} mm", f"over half of od, {od / 2:g} mm", "check both")
    if re_set is not None and most is not None and re_set >= most:
        fields.refuse("re_set", f"{re_set:g} deg", f"under max_angle, {most:g} deg", "check both")
    if od is None or radius is None or most is None:
        return None
    return Bender(
        key,
        od,
        radius,
        most,
        lines,
        finished,
        walls,
        grip,
        free,
        between,
        scale,
        re_set,
        source,
        envelope,
        clamp=clamp,
    )


def _read_lines(fields: Fields, bare: Units | None) -> tuple[Line, ...]:
    table = fields.table("lines", needed=True)
    if table is None:
        return ()
    if not table.names():
        fields.refuse("lines", "none", "at least one line", "write lines: {start: 0 mm}")
    lines: list[Line] = []
    for name in table.names():
        offset = table.read(name.text, values.length(bare), None)
        try:
            made_for = _line_angle(name)
        except Refused as refused:
            table.refuse(name.text, name.text, refused.limit, refused.todo)
            continue
        if made_for is not None and any(line.angle_deg == made_for for line in lines):
            table.refuse(name.text, name.text, "one line for an angle", "remove one of the two")
        elif offset is not None:
            lines.append(Line(name.text, offset, made_for))
    return tuple(lines)


def _line_angle(name: Scalar) -> float | None:
    """The bend a line is made for, from its name; None for a word such as ``start``."""
    if name.text[:1].isalpha() and len(name.text) <= 20 and name.text.replace(" ", "").isalpha():
        return None
    return values.number(BEND)(name)


def _read_walls(fields: Fields, od: float | None, spelling: Spelling) -> tuple[WallRange, ...]:
    table = fields.table("walls")
    if table is None:
        return ()
    known = (*spelling.materials, ANY)
    walls: list[WallRange] = []
    for key in table.names():
        if key.text not in known:
            hint = nearest(key.text, known)
            todo = f"did you mean {hint}?" if hint else "write one of " + ", ".join(known)
            table.refuse(key.text, key.text, "a material or any", todo)
        pair = table.read_several(key.text, values.length(spelling.bare, LENGTH), 2)
        if len(pair) != 2:
            if pair:
                table.refuse(key.text, "one value", "least and most", "write [least, most]")
            continue
        if pair[0] > pair[1]:
            table.refuse(key.text, "least over most", "least first", "swap the two")
        if od is not None and pair[1] >= od / 2:
            limit = f"under half of od, {od / 2:g} mm"
            table.refuse(key.text, f"{pair[1]:g} mm", limit, "check the walls")
        walls.append(WallRange(key.text, *pair))
    return tuple(walls)


def _read_scale(fields: Fields, inline: bool) -> Scale:
    table = fields.table("scale")
    if table is None:
        return Scale()
    step = table.read("step", values.angle(inline, Span(0, 15, over=True)), 1.0)
    zero = table.read("zero", values.angle(inline, Span(-45, 45)), 0.0)
    table.close()
    return Scale(step, zero)


def _read_clamp(fields: Fields) -> str:
    """The bender's own name for what holds the tube: short, for it stands under a picture."""
    table = fields.table("parts")
    if table is None:
        return ""
    clamp = table.read("clamp", _part, "")
    table.close()
    return clamp


def _part(written: Scalar) -> str:
    name = values.text()(written)
    if len(name) > LONGEST_PART:
        raise Refused(f"at most {LONGEST_PART} letters", "write a shorter name")
    return name


def _read_source(fields: Fields, needed: bool) -> str:
    found = fields.read_several("source", values.text(), 20)
    if needed and not fields.has("source"):
        fields.miss("source")
    return "; ".join(found)


def read_material(fields: Fields, key: str, spelling: Spelling) -> Material | None:
    """A material from its mapping; None, with problems noted, when it is not one."""
    k = fields.read_several("k", values.pressure(Span(1, 10_000)), 2)
    n = fields.read_several("n", values.number(Span(0, 1, under=True)), 2)
    for name in ("k", "n"):
        if not fields.has(name):
            fields.miss(name)
    if k and n and len(k) != len(n):
        fields.refuse("n", f"{len(n)} for {len(k)} of k", "as many as k", "write them in pairs")
    e = fields.need("e", values.pressure(Span(1000, 1_000_000)))
    elongation = fields.need("elongation", values.share(Span(0, 2, over=True)))
    hardness = fields.read_several("hardness_max", values.hardness, 5)
    under = fields.read("wall_under", values.share(Span(0, 0.5)), None)
    source = _read_source(fields, needed=True)
    fields.close()
    if not k or not n or e is None or elongation is None:
        return None
    return Material(key, k, n, e, elongation, hardness, under, source)


ReadOne = Callable[[Fields, str, Spelling], T | None]


class Loaded(NamedTuple, Generic[T]):
    """The keys of a file, and the profiles built from it."""

    keys: tuple[str, ...]
    built: dict[str, T]


def load_profiles(
    path: Path, read_one: ReadOne[T], materials: tuple[str, ...], named_in: bytes | None = None
) -> Loaded[T]:
    """All profiles of one file in its order, or only those whose key ``named_in`` holds.

    Raises BadFile with every problem in it; one that cannot be opened is a BadFile too.
    """
    report = Report(str(path))
    entries = read_table(read_bytes(path), report).entries
    built: dict[str, T] = {}
    for key, node in entries.values():
        if named_in is not None and key.text.encode() not in named_in:
            continue
        if key.text in (INLINE, ANY) or not _is_key(key.text):
            report.add(key.line, "key", key.text, _KEY, "write another key")
        if not isinstance(node, Table):
            if not isinstance(node, Broken):
                report.add(key.line, key.text, "no mapping", "a profile", "write its fields")
            continue
        one = read_one(Fields(node, key.text, report), key.text, Spelling(None, materials))
        if one is not None:
            built[key.text] = one
    if report.problems:
        report.refuse()
    return Loaded(tuple(entries), built)


def _is_key(text: str) -> bool:
    return len(text) <= 40 and text.isascii() and text.replace("-", "").replace(".", "").isalnum()


def read_bytes(path: Path, error: type[BadFile] = BadFile) -> bytes:
    """A file's bytes, one more than the limit at most; raises ``error`` when it cannot be read."""
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        todo = "check the name and that the file may be read"
        raise error((Problem(str(path), 1, "file", "cannot be read", why, todo),)) from fault
