"""A list of X, Y, Z as pasted from a drawing or a spreadsheet: one point a line, read strictly.

Numbers stand apart by commas, semicolons, tabs or spaces. One line of words may stand on top.
Nothing is guessed: a decimal comma, a fourth number, a wrong unit are refused with their line.
"""

import re
from typing import NamedTuple

from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Units
from benchcalc.core.lengths import LengthError, parse_length
from benchcalc.core.shapes.points import BadPoints, Fault

MOST_POINTS = 202
"""Two more than the bends that a run may have."""

_COMMA_NUMBER = re.compile(r"[-+]?[0-9]+,[0-9]+", re.ASCII)
_UNIT_WORDS = {"mm": "mm", "in": "in", "inch": "in", "inches": "in", '"': "in"}
_OTHER_UNITS = {"cm", "m", "ft", "feet", "mil", "mils", "thou"}
_DECIMAL_COMMA = "a decimal comma"


class PointList(NamedTuple):
    """The points in millimetres, and the line each stands on."""

    points: tuple[Vector, ...]
    lines: tuple[int, ...]


def parse_points(text: str, bare_unit: Units) -> PointList:
    """Read a list of points; a number without a unit is in ``bare_unit``.

    A first line in which no field is a number is a header; a unit it names must be ``bare_unit``.
    Raises BadPoints with every fault and its line.
    """
    points: list[Vector] = []
    lines: list[int] = []
    faults: list[Fault] = []
    first = True
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1):
        if not line.strip():
            continue
        header = first and _no_number(line, bare_unit)
        first = False
        found = _header(line, number, bare_unit) if header else _point(line, number, bare_unit)
        if isinstance(found, Fault):
            faults.append(found)
        elif found is not None:
            points.append(found)
            lines.append(number)
    if len(points) + len(faults) > MOST_POINTS:
        count = f"{len(points) + len(faults)} points"
        faults.append(Fault(1, "points", count, f"at most {MOST_POINTS}", "split the run"))
    elif not points and not faults:
        faults.append(Fault(1, "points", "none", "a line each", "write X, Y, Z"))
    if faults:
        raise BadPoints(tuple(faults))
    return PointList(tuple(points), tuple(lines))


def _fields(line: str) -> list[str]:
    """The fields of a line, parted by the strongest sign of parting that stands in it."""
    for sign in (";", "\t", ","):
        if sign in line:
            return [field.strip() for field in line.split(sign)]
    return line.split()


def _no_number(line: str, bare: Units) -> bool:
    return not any(_is_number(field, bare) for field in (*_fields(line), *line.split()))


def _is_number(field: str, bare: Units) -> bool:
    try:
        parse_length(field, bare)
    except LengthError:
        return bool(_COMMA_NUMBER.search(field))
    return True


def _header(line: str, number: int, bare: Units) -> Fault | None:
    """A fault when a header names a unit that the numbers would not be read in."""
    words = re.findall(r'[a-z]+|"', line.lower())
    if bare in words and not _OTHER_UNITS.intersection(words):
        return None
    for word in words:
        if word in _OTHER_UNITS or _UNIT_WORDS.get(word, bare) != bare:
            limit, todo = f"bare numbers are in {bare} here", "write the unit after each number"
            return Fault(number, "header", word, limit, todo)
    return None


def _point(line: str, number: int, bare: Units) -> Vector | Fault:
    if (fault := _decimal_commas(line, number)) is not None:
        return fault
    fields = _fields(line)
    if len(fields) != 3:
        todo = "write X, Y, Z with a comma between"
        return Fault(number, "point", f"{len(fields)} fields", "three numbers a line", todo)
    found: list[float] = []
    for name, field in zip("XYZ", fields, strict=True):
        try:
            found.append(float(parse_length(field, bare).mm))
        except LengthError as error:
            limit, todo = _in_two(str(error))
            return Fault(number, name, field or "nothing", limit, todo)
    return (found[0], found[1], found[2])


def _decimal_commas(line: str, number: int) -> Fault | None:
    """Refuse commas that part a number: beside another parting sign, or too many of them."""
    todo = "write the decimal point, 12.5"
    if ";" in line or "\t" in line:
        if found := _COMMA_NUMBER.search(line):
            return Fault(number, "point", found.group(), _DECIMAL_COMMA, todo)
    elif "," in line:
        words = line.split()
        if len(words) == 3 and any(_COMMA_NUMBER.fullmatch(word) for word in words):
            return Fault(number, "point", line.strip(), _DECIMAL_COMMA, todo)
        if line.count(",") in (3, 4, 5) and not line.strip().endswith(","):
            value = f"{line.count(',') + 1} fields"
            return Fault(number, "point", value, "three numbers, or " + _DECIMAL_COMMA, todo)
    return None


def _in_two(says: str) -> tuple[str, str]:
    """A length's sentence as limit and what to do."""
    limit, _, todo = says.rpartition(": ")
    return (limit, todo) if limit else (says, "write 120, 12.5 or 4-3/8 in")
