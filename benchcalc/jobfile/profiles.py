"""Bender profiles and materials as files have them: every quantity with its unit and a source."""

import re
from collections.abc import Callable
from math import pi
from typing import Generic, NamedTuple, TypeVar

from benchcalc.core.job import Bender, Line, Material, Scale, Units, WallRange
from benchcalc.jobfile import values
from benchcalc.jobfile.envelope import read_envelope
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.job_fields import BENDER, BENDER_OF_A_FILE, MATERIAL, OVER_ZERO
from benchcalc.jobfile.problems import BadValue, Report, nearest
from benchcalc.jobfile.strict_yaml import Broken, Scalar, Table, read_table
from benchcalc.jobfile.table import Manner, complete, read_fields, read_part
from benchcalc.jobfile.values import Span

T = TypeVar("T")

_BETWEEN = re.compile(rb"\n(?=[^\s#])")
"""Where the next profile of a file begins: at the start of a line."""

INLINE = "inline"
"""The key of a bender that a job describes itself."""

ANY = "any"
MOST_STRETCH = 0.1
"""The most a bend may lengthen the tube, a share of its arc; theory has 2 to 3 %. No source."""

LINE_FOR = Span(0, 180, over=True)
_KEY = f"letters, digits, - and .; not {INLINE} or {ANY}"


class Spelling(NamedTuple):
    """How a mapping may write: the unit of bare lengths (None: none), and the known materials."""

    bare: Units | None
    materials: tuple[str, ...]


def read_bender(fields: Fields, key: str, spelling: Spelling) -> Bender | None:
    """A bender profile from its mapping; None, with problems noted, when it is not one."""
    manner, inline = Manner(spelling.bare), spelling.bare is not None
    table = BENDER if inline else BENDER_OF_A_FILE
    found, part = read_fields(fields, table, manner), {field.key: field for field in table}
    od, most, re_set = found["od_mm"], found["max_angle_deg"], found["re_set_deg"]
    lines, walls = _read_lines(fields, spelling.bare), _read_walls(fields, od, spelling)
    scale = read_part(fields, part["scale"], manner, Scale, Scale())
    clamp = read_part(fields, part["parts"], manner, _clamp, "")
    envelope = read_envelope(fields, spelling.bare)
    fields.close()
    for name in ("radius", "finished_radius"):
        value = found[f"{name}_mm"]
        if od is not None and value is not None and value <= od / 2:
            fields.refuse(name, f"{value:g} mm", f"over half of od, {od / 2:g} mm", "check both")
    radius, stretch = found["radius_mm"], found["stretch_mm"]
    if radius is not None and stretch is not None and stretch > MOST_STRETCH * radius * pi / 2:
        limit = f"at most {MOST_STRETCH:.0%} of the bend, {MOST_STRETCH * radius * pi / 2:.3g} mm"
        fields.refuse("stretch", f"{stretch:g} mm", limit, "it is 2 to 3 % as a rule: check it")
    if re_set is not None and most is not None and re_set >= most:
        fields.refuse("re_set", f"{re_set:g} deg", f"under max_angle, {most:g} deg", "check both")
    if not complete(found, table):
        return None
    source = "; ".join(found.pop("source"))
    return Bender(
        key, lines=lines, walls=walls, scale=scale, source=source, envelope=envelope, clamp=clamp,
        **found,
    )  # fmt: skip


def _clamp(clamp: str) -> str:
    return clamp


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
        except BadValue as refused:
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
    return values.number(LINE_FOR)(name)


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
        pair = table.read_several(key.text, values.length(spelling.bare, OVER_ZERO), 2)
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


def read_material(fields: Fields, key: str, spelling: Spelling) -> Material | None:
    """A material from its mapping; None, with problems noted, when it is not one."""
    found = read_fields(fields, MATERIAL, Manner(None))
    k, n = found["k_mpa"], found["n"]
    if k and n and len(k) != len(n):
        fields.refuse("n", f"{len(n)} for {len(k)} of k", "as many as k", "write them in pairs")
    fields.close()
    if not complete(found, MATERIAL):
        return None
    return Material(key, source="; ".join(found.pop("source")), **found)


ReadOne = Callable[[Fields, str, Spelling], T | None]


class Loaded(NamedTuple, Generic[T]):
    """The keys of a file, and the profiles built from it."""

    keys: tuple[str, ...]
    built: dict[str, T]


def parse_profiles(
    data: bytes, name: str, read_one: ReadOne[T], materials: tuple[str, ...]
) -> Loaded[T]:
    """All profiles in the bytes of a file called ``name``, in its order.

    Raises BadFile with every problem in it.
    """
    report = Report(name)
    entries = read_table(data, report).entries
    built: dict[str, T] = {}
    for key, node in entries.values():
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


def parse_profiles_named(
    data: bytes, named_in: bytes, read_one: ReadOne[T], materials: tuple[str, ...]
) -> Loaded[T]:
    """The keys of a file that comes along, and those of its profiles whose key ``named_in`` holds.

    Saves the time of reading all the others; a problem in it would be told without its line.
    """
    blocks = [block for block in _BETWEEN.split(data) if not block.startswith(b"#")]
    keys = [block.partition(b":")[0].strip(b'"') for block in blocks]
    named = [block for key, block in zip(keys, blocks, strict=True) if key in named_in]
    found = parse_profiles(b"\n".join(named), "", read_one, materials).built if named else {}
    return Loaded(tuple(key.decode() for key in keys), found)


def _is_key(text: str) -> bool:
    return len(text) <= 40 and text.isascii() and text.replace("-", "").replace(".", "").isalnum()
