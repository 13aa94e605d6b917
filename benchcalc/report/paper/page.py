"""A job on one page of A4, for the clipboard: what is read at the bench, and where to write."""

from collections.abc import Iterator, Sequence
from math import ceil
from xml.sax.saxutils import escape

from benchcalc.core.job import Scale
from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.report.figures import (
    angle_text,
    length_text,
    scale_text,
    size_text,
    tape_for,
    tape_text,
)
from benchcalc.report.finding_text import cautions, finding_says, held_says, level_word, turn_says
from benchcalc.report.sheet_svg import PICTURE_SIZE, draw_svg

WIDE_MM, HIGH_MM = 190.0, 275.0
"""The paper inside its margins of 10 mm, a little under so that nothing runs over."""

LETTERS_PT = (9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0)
PICTURES_MM = (190.0, 170.0, 150.0, 130.0, 110.0)
"""Sizes of print and widths of the picture, the largest that leave all on one page are taken."""

PT_MM, LEADING = 0.3528, 1.3
COLUMNS = ("bend", "mark, from the flag", "line", "turn", "pull to", "first to", "came out")
STYLE = """@page { size: A4; margin: 10mm }
body { margin: 0 auto; font-family: sans-serif; color: #161411; line-height: 1.3; max-width: 190mm }
section + section { break-before: page }
h1 { font-size: 1.7em; margin: 0 0 1mm } p { margin: 0 0 1mm } ul { margin: 0; padding: 0 }
li { list-style: none; break-inside: avoid } .cut { font-size: 1.5em; font-weight: bold }
table { border-collapse: collapse; width: 100%; margin: 1mm 0 }
td, th { border-bottom: 0.2mm solid #7d776b; padding: 0.6mm 1.5mm; text-align: left;
  vertical-align: top; overflow-wrap: anywhere }
td.n { font-weight: bold; white-space: nowrap } td.pen { border: 0.2mm solid #161411; width: 24mm }
svg { display: block; margin: 0 auto; max-width: 100%; height: auto }
.stop { font-weight: bold } .signed { margin-top: 2mm }
@media screen and (max-width: 600px) {
  body { margin: 3mm } section { font-size: 10pt !important }
  td, th { padding: 0.6mm 1mm; overflow-wrap: normal } td.n { white-space: normal }
  table { display: block; overflow-x: auto } td.pen, th:last-child { display: none }
}"""


def page_html(sheets: Sequence[Sheet], bench: str = "") -> str:
    """The jobs as one document, a page each; ``bench`` is what the bench they are for is called."""
    title = escape(", ".join(sheet.job.name for sheet in sheets))
    body = "\n".join("\n".join(_section(sheet, bench)) for sheet in sheets)
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width">'
        f"<title>{title}</title>\n<style>{STYLE}</style></head>\n<body>\n{body}\n</body></html>\n"
    )


def _section(sheet: Sheet, bench: str) -> Iterator[str]:
    letters_pt, picture_mm = _sizes(sheet)
    picture = draw_svg(sheet).replace(
        f'width="{PICTURE_SIZE[0]}" height="{PICTURE_SIZE[1]}"', f'width="{picture_mm:g}mm"', 1
    )
    yield f'<section style="font-size: {letters_pt}pt">'
    yield from _head(sheet, bench)
    yield from _table(sheet)
    yield picture
    yield "<ul>"
    yield from (f'<li class="{level}">{escape(says)}</li>' for level, says in _minded(sheet))
    yield "</ul>"
    yield '<p class="signed">Made by ____________________ on ______________ lot ______________</p>'
    yield "</section>"


def _head(sheet: Sheet, bench: str) -> Iterator[str]:
    job, units = sheet.job, sheet.job.units
    tube, cut = job.tube, sheet.layout.cut_length_mm
    size = f"{size_text(tube.od_mm, units)} x {size_text(tube.wall_mm, units)} {tube.material}"
    told = [
        f"{job.pieces} piece{'s' if job.pieces != 1 else ''}",
        f"drawing {job.drawing}" if job.drawing else "",
        size + (f", lot {tube.lot}" if tube.lot else ""),
        f"bender {job.bender.key}" + (f" at {bench}" if bench else ""),
        f"for {job.operator}" if job.operator else "",
    ]
    yield f"<h1>{escape(job.name)}</h1>"
    yield f"<p>{escape('; '.join(filter(None, told)))}</p>"
    if job.note:
        yield f"<p>Note: {escape(job.note)}</p>"
    tape = tape_text(cut, tape_for(None, units))
    yield f'<p class="cut">Cut to {length_text(cut, units)} (tape {tape})</p>'
    yield (
        "<p>Flag the reference end. Every mark from it, on the straight tube. Turns are seen from "
        "the held end along the tube.</p>"
    )


def _table(sheet: Sheet) -> Iterator[str]:
    heads = "".join(f"<th>{name}</th>" for name in COLUMNS)
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>"
    for turn in sheet.turns:
        bend = sheet.layout.bends[turn.bend - 1]
        cells = "".join(
            f"<td{' class=n' if place in (1, 4) else ''}>{escape(text)}</td>"
            for place, text in enumerate(_cells(sheet, bend))
        )
        yield f'<tr>{cells}<td class="pen"></td></tr>'
    yield "</tbody></table>"


def _cells(sheet: Sheet, bend: BendLayout) -> tuple[str, ...]:
    units, pull, scale = sheet.job.units, sheet.pull(bend.number), sheet.job.bender.scale
    to, first = pull.bend_to_deg, pull.first_pull_to_deg
    mark, line = "none", ""
    if bend.mark is not None:
        mark = length_text(bend.mark.at_mm, units)
        line = f"{bend.mark.line.name}, {held_says(bend.held)}"
    turn = "any way round" if bend.order == 1 else turn_says(sheet.turn(bend.number))
    return (
        f"{bend.number}: {angle_text(bend.angle_deg)}",
        mark,
        line,
        turn,
        f"{_pulled(to, scale)} ± {angle_text(round(pull.spread_deg, 1))}",
        _pulled(first, scale) if first < to else "",
    )


def _pulled(angle_deg: float, scale: Scale) -> str:
    """The angle under load, and what the bender's own scale says of it where that differs."""
    true, reading = angle_text(round(angle_deg, 1)), scale_text(angle_deg, scale)
    return true if reading == true else f"{true}, scale {reading}"


def _minded(sheet: Sheet) -> Iterator[tuple[str, str]]:
    for finding in sheet.findings:
        where = "" if finding.bend is None else f"bend {finding.bend}: "
        says = finding_says(finding, sheet.job.units)
        yield finding.level, f"{level_word(finding.level)}: {where}{says}"
    yield from (("caution", says) for says in cautions())


def _sizes(sheet: Sheet) -> tuple[float, float]:
    """The print and the picture that leave the job on one page, by an estimate of its lines.

    A job of very many bends runs on to a second page in the smallest print.
    """
    ratio = PICTURE_SIZE[1] / PICTURE_SIZE[0]
    for letters_pt in LETTERS_PT:
        for picture_mm in PICTURES_MM:
            if _text_mm(sheet, letters_pt) + picture_mm * ratio <= HIGH_MM:
                return letters_pt, picture_mm
    return LETTERS_PT[-1], PICTURES_MM[-1]


def _text_mm(sheet: Sheet, letters_pt: float) -> float:
    line = letters_pt * PT_MM * LEADING
    across = WIDE_MM / (letters_pt * PT_MM * 0.52)
    minded = sum(ceil(len(says) / across) for _, says in _minded(sheet))
    note = ceil((len(sheet.job.note) + 6) / across) if sheet.job.note else 0
    rows = 0.0
    for bend in sheet.layout.bends:
        tall = max(ceil(len(text) / (across / 6.5)) for text in _cells(sheet, bend))
        rows += tall * line + 1.5
    title = ceil(len(sheet.job.name) * 1.7 / across) * 1.7
    return (title + 1 + note + 1.5 + 2 + minded + 2) * line + rows + 14
