"""A table of bends made elsewhere, or before: a note on the wall as rows that teach.

Comma separated, a line of column names first: ``pulled_to,came_out`` and, where they are known,
``lot`` and ``day``; in the order the bends were made. Angles are degrees.
"""

import csv
import io
from datetime import date
from typing import NamedTuple

from benchcalc.jobfile.problems import BadFile, Problem, Report, nearest
from benchcalc.jobfile.units import QuantityError, parse_decimal

NEEDED, COLUMNS = ("pulled_to", "came_out"), ("pulled_to", "came_out", "lot", "day")
MOST_BYTES, MOST_ROWS, MOST_LOT = 4 * 1024 * 1024, 20_000, 80
MOST_PULL_DEG, MOST_ANGLE_DEG = 250.0, 200.0
MOST_BACK_DEG, MOST_AHEAD_DEG = 60.0, 15.0
"""What a wrong key makes and no tube does: so much given back, or out past the pull."""


class MadeBend(NamedTuple):
    """One row: the reading pulled to, the angle it opened to, its lot and day, empty if unsaid."""

    pulled_deg: float
    came_out_deg: float
    lot: str
    day: str


def parse_bends_file(content: bytes, name: str) -> tuple[MadeBend, ...]:
    """The rows in the bytes of a file. Raises BadFile with every row that cannot be taken."""
    if len(content) > MOST_BYTES:
        todo = "leave out the oldest bends"
        raise BadFile((Problem(name, 1, "file", "over 4 MiB", "at most 4 MiB", todo),))
    try:
        return parse_bends(content.decode("utf-8-sig"), name)
    except UnicodeDecodeError:
        todo = "save the file as UTF-8"
        raise BadFile((Problem(name, 1, "bends", "other bytes", "UTF-8", todo),)) from None


def parse_bends(text: str, name: str) -> tuple[MadeBend, ...]:
    """The rows of a text; ``name`` stands before every problem. Raises BadFile with them all."""
    report, rows = Report(name), list[MadeBend]()
    reader = csv.reader(io.StringIO(text, newline=""), skipinitialspace=True, strict=True)
    columns: list[str] | None = None
    try:
        for cells in reader:
            line = reader.line_num
            if not any(cell.strip() for cell in cells):
                continue
            if columns is None:
                columns = _columns(cells, line, report)
            elif len(rows) == MOST_ROWS:
                report.add(
                    line, "bends", "more rows", f"at most {MOST_ROWS}", "leave out the oldest"
                )
                break
            elif (row := _row(columns, cells, line, report)) is not None:
                rows.append(row)
    except csv.Error as error:
        report.add(reader.line_num, "row", str(error), "comma separated values", "mend the quotes")
    ahead = sum(row.came_out_deg > row.pulled_deg for row in rows)
    if ahead > len(rows) / 2:
        limit = "came_out under pulled_to, for tube springs back"
        report.add(1, "columns", f"the other way in {ahead} rows", limit, "swap the two columns")
    if columns is None and not report.problems:
        report.add(1, "columns", "", ",".join(NEEDED), "begin with a line of column names")
    if report.problems:
        report.refuse()
    return tuple(rows)


def _columns(cells: list[str], line: int, report: Report) -> list[str]:
    found = [cell.strip() for cell in cells]
    for cell in found:
        if cell not in COLUMNS:
            hint = nearest(cell, COLUMNS)
            todo = f"did you mean {hint}?" if hint else "leave it out"
            if ";" in cell:
                todo = "part the columns by commas"
            report.add(line, "column", cell, f"one of {', '.join(COLUMNS)}", todo)
        elif found.count(cell) > 1:
            report.add(line, "column", cell, "each column once", "leave one out")
    for needed in NEEDED:
        if needed not in found and not report.problems:
            todo = f"begin with a line {','.join(NEEDED)}"
            report.add(line, "columns", ",".join(found), f"with {needed}", todo)
    if report.problems:
        report.refuse()  # every row would only say the same
    return found


def _row(columns: list[str], cells: list[str], line: int, report: Report) -> MadeBend | None:
    if len(cells) != len(columns):
        limit = f"{len(columns)} values as in the first line"
        report.add(line, "row", ",".join(cells), limit, "write one value for each column")
        return None
    before = len(report.problems)
    told = dict(zip(columns, (cell.strip() for cell in cells), strict=True))
    pulled = _angle("pulled_to", told["pulled_to"], MOST_PULL_DEG, line, report)
    out = _angle("came_out", told["came_out"], MOST_ANGLE_DEG, line, report)
    lot, day = told.get("lot", ""), told.get("day", "")
    if len(lot) > MOST_LOT or not lot.isprintable():
        report.add(line, "lot", lot, f"at most {MOST_LOT} printable characters", "write it shorter")
    if day and not is_day(day):
        report.add(line, "day", day, "a day as YYYY-MM-DD", "write it like 2026-03-09")
    if pulled is None or out is None or len(report.problems) > before:
        return None
    if not -MOST_AHEAD_DEG <= pulled - out <= MOST_BACK_DEG:
        limit = f"at most {MOST_BACK_DEG:g} under pulled_to and {MOST_AHEAD_DEG:g} over it"
        report.add(
            line, "came_out", told["came_out"], limit, "check both angles, or strike the row"
        )
        return None
    return MadeBend(pulled, out, lot, day)


def _angle(what: str, text: str, most: float, line: int, report: Report) -> float | None:
    limit = f"over 0 and at most {most:g} degrees"
    try:
        value = float(parse_decimal(text))
    except QuantityError as error:
        report.add(line, what, text, limit, str(error).partition(": ")[2] or str(error))
        return None
    if not 0 < value <= most:
        report.add(line, what, text, limit, "check the angle, or strike the row")
        return None
    return value


def is_day(text: str) -> bool:
    """Whether a text is a day of the calendar, YYYY-MM-DD."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
