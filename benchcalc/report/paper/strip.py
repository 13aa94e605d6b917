"""A paper strip at true size with every mark, to lay along the straight tube.

A4 lying, a row a quarter of a metre (nine inches); rows are cut out and laid end to end by the
numbers of their scale. Units of the drawing are millimetres of paper.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import ceil, floor
from typing import NamedTuple
from xml.sax.saxutils import escape

from benchcalc.core.job import Units
from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.report.figures import angle_text, length_text, size_text
from benchcalc.report.paper.levels import flag_levels

PAGE = (297.0, 210.0)
LEFT, TOP, BOTTOM = 12.0, 24.0, 190.0
"""Where rows begin, and the paper between head and foot; printers leave 5 mm all round."""

ROW: dict[Units, float] = {"mm": 250.0, "in": 9 * 25.4}
TICKS: dict[Units, tuple[float, int, int]] = {"mm": (1.0, 5, 10), "in": (25.4 / 16, 8, 16)}
"""The scale's step, mm, and how many steps to a longer line, and to one with a number."""

FLAG_WIDE, FLAG_HIGH, LETTER = 27.0, 9.4, 2.8
BAND, SCALE, GAP = 6.0, 8.0, 5.0
LONGER = 6.0
"""What a last row may be longer, so that no row is a sliver."""

OVERLAP = 4.0
"""How far the band goes on past a row's end, to glue the next row on."""

CHECK_MM = 100.0
LETTERS = 0.58
"""A letter's width as a part of its height, wide of most fonts without serifs."""

PEN, INK, QUIET, EDGE, TUBE = "#620eac", "#161411", "#393630", "#2c3236", "#e4e8ea"
STYLE = "svg { display: block } svg + svg { break-before: page } body { margin: 0 }"
PRINT = "Print at 100 %, not fitted to the page. This line must measure"


class StripRow(NamedTuple):
    """A row of the strip: what of the tube it shows, its flags with their levels, its height."""

    low_mm: float
    high_mm: float
    flags: tuple[tuple[BendLayout, int], ...]
    high: float


def strip_html(sheets: Sequence[Sheet]) -> str:
    """The strips of the jobs as a page to print, A4 lying."""
    drawn = "\n".join(_svg(page, "") for sheet in sheets for page in _pages(sheet))
    title = escape(", ".join(sheet.job.name for sheet in sheets))
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>{title}</title>\n'
        f"<style>@page {{ size: 297mm 210mm; margin: 0 }} {STYLE}</style></head>\n"
        f"<body>\n{drawn}\n</body></html>\n"
    )


def strip_svg(sheets: Sequence[Sheet]) -> str:
    """The same in one picture, a page below the other."""
    wide, high = PAGE
    pages = [page for sheet in sheets for page in _pages(sheet)]
    drawn = "\n".join(_svg(page, f' y="{high * i:g}"') for i, page in enumerate(pages))
    tall = high * len(pages)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{tall:g}mm" '
        f'viewBox="0 0 {wide:g} {tall:g}">\n{drawn}\n</svg>\n'
    )


def _svg(page: str, place: str) -> str:
    wide, high = PAGE
    inner = (
        f'width="{wide:g}" height="{high:g}"' if place else f'width="{wide}mm" height="{high}mm"'
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {inner}{place} viewBox="0 0 {wide:g} {high:g}" '
        f'font-family="sans-serif">\n{page}\n</svg>'
    )


def _pages(sheet: Sheet) -> list[str]:
    """What stands on each page of a job's strip."""
    pages: list[list[StripRow]] = [[]]
    for row in _rows(sheet):
        if pages[-1] and sum(r.high for r in pages[-1]) + row.high > BOTTOM - TOP:
            pages.append([])
        pages[-1].append(row)
    return [
        "\n".join(_page(sheet, rows, number, len(pages))) for number, rows in enumerate(pages, 1)
    ]


def _rows(sheet: Sheet) -> Iterator[StripRow]:
    whole, long = max(sheet.layout.cut_length_mm, 1.0), ROW[sheet.job.units]
    count = max(ceil((whole - LONGER) / long), 1)
    for number in range(count):
        last = number == count - 1
        low, high = number * long, whole if last else (number + 1) * long
        here = [
            bend
            for bend in sheet.layout.bends
            if bend.mark and low <= bend.mark.at_mm and (bend.mark.at_mm < high or last)
            if bend.mark.at_mm <= whole
        ]
        places = [(bend.mark.at_mm, FLAG_WIDE) for bend in here if bend.mark]
        levels = flag_levels(places)
        tall = (max(levels, default=0) + 1) * FLAG_HIGH + BAND + SCALE + GAP
        yield StripRow(low, high, tuple(zip(here, levels, strict=True)), tall)


def _page(sheet: Sheet, rows: Iterable[StripRow], number: int, pages: int) -> Iterator[str]:
    job = sheet.job
    od, wall = (size_text(x, job.units) for x in (job.tube.od_mm, job.tube.wall_mm))
    cut = length_text(sheet.layout.cut_length_mm, job.units)
    head = f"{job.name}   {od} x {wall} {job.tube.material}   cut to {cut}"
    yield _text(LEFT, 12, head, 4.2, wide=240.0)
    yield _text(PAGE[0] - LEFT, 12, f"{number} of {pages}", 4.2, "end")
    undrawn = ", ".join(str(bend.number) for bend in _undrawn(sheet))
    says = "Lay the flagged end on 0. Cut the rows out and lay them end to end by their scale."
    if undrawn:
        says += f" No mark lies on the tube for bend {undrawn}: see the sheet."
    yield _text(LEFT, 18, says, 3.0, colour=QUIET, wide=270.0)
    top = TOP
    for row in rows:
        yield from _row(sheet, row, top)
        top += row.high
    yield from _check_line()


def _undrawn(sheet: Sheet) -> list[BendLayout]:
    """Bends whose mark lies off the tube, or that have none."""
    whole = sheet.layout.cut_length_mm
    return [b for b in sheet.layout.bends if b.mark is None or not 0 <= b.mark.at_mm <= whole]


def _row(sheet: Sheet, row: StripRow, top: float) -> Iterator[str]:
    units, whole = sheet.job.units, sheet.layout.cut_length_mm
    band = top + row.high - BAND - SCALE - GAP

    def x_of(at_mm: float) -> float:
        return LEFT + at_mm - row.low_mm

    start = x_of(max(row.low_mm - OVERLAP, 0.0))
    end = x_of(min(row.high_mm + OVERLAP, whole))
    yield _rect(start, band, end - start, BAND, TUBE)
    for edge in (band, band + BAND):
        yield _line(start, edge, end, edge, EDGE, 0.25)
    for at, there in ((row.low_mm, row.low_mm > 0), (row.high_mm, row.high_mm < whole)):
        if there:  # where the next row is laid on
            yield _line(x_of(at), band, x_of(at), band + BAND + 2, QUIET, 0.2, "1 1")
    if row.low_mm == 0:
        yield _line(start, band - 5, start, band + BAND, INK, 0.5)
        yield _rect(start - 4, band - 5, 4, 4, INK)
    if row.high_mm == whole:
        yield _line(end, band - 2, end, band + BAND, INK, 0.3)
        yield _text(end + 1, band + 4, f"cut {length_text(whole, units)}", LETTER, wide=24.0)
    yield from _scale(row, x_of, band + BAND, units)
    for bend, level in row.flags:
        yield from _flag(sheet, bend, x_of(bend.mark.at_mm if bend.mark else 0.0), band, level)


def _flag(sheet: Sheet, bend: BendLayout, x: float, band: float, level: int) -> Iterator[str]:
    if bend.mark is None:
        return
    top = band - (level + 1) * FLAG_HIGH
    yield (
        f'<line class="mark" x1="{x:.4f}" y1="{top:.2f}" x2="{x:.4f}" y2="{band + BAND:.2f}" '
        f'stroke="{PEN}" stroke-width="0.3"/>'
    )
    held = ", held far" if bend.held == "far" else ""
    says = (
        f"{bend.number}: {length_text(bend.mark.at_mm, sheet.job.units)}",
        f"line {bend.mark.line.name}{held}",
        f"pull to {angle_text(round(sheet.pull(bend.number).bend_to_deg, 1))}",
    )
    for number, text in enumerate(says):
        colour = INK if number else PEN
        yield _text(x + 0.8, top + 2.6 + 3.0 * number, text, LETTER, "start", colour, FLAG_WIDE - 2)


def _scale(
    row: StripRow, x_of: Callable[[float], float], top: float, units: Units
) -> Iterator[str]:
    """Lines from the flagged end on, with a number every centimetre or inch."""
    step, longer, numbered = TICKS[units]
    path, numbers = [], []
    first, last = ceil(row.low_mm / step - 1e-6), floor(row.high_mm / step + 1e-6)
    for tick in range(first, last + 1):
        x = x_of(tick * step)
        high = 3.4 if tick % numbered == 0 else 2.6 if tick % longer == 0 else 1.6
        path.append(f"M{x:.3f} {top:.2f}v{high}")
        if tick % numbered == 0:
            shown = tick if units == "mm" else tick // numbered
            numbers.append(_text(x, top + 6.2, str(shown), 2.4, "middle", QUIET))
    yield f'<path d="{"".join(path)}" stroke="{EDGE}" stroke-width="0.15" fill="none"/>'
    yield from numbers


def _check_line() -> Iterator[str]:
    y = 199.0
    left, right = LEFT, LEFT + CHECK_MM
    yield f'<path class="check" d="M{left} {y - 3}v6M{right} {y - 3}v6M{left} {y}H{right}" '
    yield f'stroke="{INK}" stroke-width="0.2" fill="none"/>'
    yield _text(right + 4, y + 1, f"{PRINT} {CHECK_MM:g} mm.", 3.4)


def _text(
    x: float, y: float, says: str, size: float, anchor: str = "start", colour: str = INK,
    wide: float = 0.0,
) -> str:  # fmt: skip
    if wide:
        size = min(size, wide / (LETTERS * max(len(says), 1)))
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" text-anchor="{anchor}" '
        f'fill="{colour}" xml:space="preserve">{escape(says)}</text>'
    )


def _rect(x: float, y: float, wide: float, high: float, colour: str) -> str:
    return f'<rect x="{x:.3f}" y="{y:.2f}" width="{wide:.3f}" height="{high:.2f}" fill="{colour}"/>'


def _line(
    x1: float, y1: float, x2: float, y2: float, colour: str, width: float, dashes: str = ""
) -> str:
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<line x1="{x1:.3f}" y1="{y1:.2f}" x2="{x2:.3f}" y2="{y2:.2f}" '
        f'stroke="{colour}" stroke-width="{width}"{dashed}/>'
    )
