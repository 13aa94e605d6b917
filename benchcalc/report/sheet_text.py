"""The bend sheet in words and columns, to read at the bench."""

from collections.abc import Iterator

from benchcalc.core.fit.expected_miss import Cause, Miss
from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.report.figures import (
    angle_figure,
    angle_text,
    decimal,
    length_figure,
    length_text,
    scale_text,
    size_text,
    tape_for,
    tape_text,
)
from benchcalc.report.finding_text import cautions, finding_says, held_says, level_word, turn_says

WIDTH = 96

SHARED: dict[Cause, str] = {
    "line": "where a line of the bender lies",
    "radius": "the finished radius",
    "stretch": "the stretch of the bends",
    "gauge": "what the gauge may read wrong",
    "cut": "the cut length",
}
MEASURE: dict[Cause, str] = {
    "radius": "measure lines and radius by trial bends, a 90° and a U",
    "gauge": "check the gauge on a known square",
}


def sheet_text(sheet: Sheet) -> str:
    """The whole sheet, every line at most ``WIDTH`` wide where words allow."""
    parts = (_head(sheet), _cut(sheet), _bends(sheet), _end(sheet), _mind(sheet), _cautions())
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def _head(sheet: Sheet) -> Iterator[str]:
    job, units = sheet.job, sheet.job.units
    tube = job.tube
    pieces = f"{job.pieces} piece{'s' if job.pieces != 1 else ''}"
    yield f"{job.name}   {pieces}" + (f"   drawing {job.drawing}" if job.drawing else "")
    lot = f", lot {tube.lot}" if tube.lot else ""
    size = f"{size_text(tube.od_mm, units)} x {size_text(tube.wall_mm, units)}"
    yield f"Tube {size}, {tube.material}{lot}"
    bender = job.bender
    if bender.finished_radius_mm is None:
        radius = f"die radius {size_text(bender.radius_mm, units)}, nominal"
    else:
        radius = f"finished radius {size_text(bender.finished_radius_mm, units)}, measured"
        if bender.trials:
            nominal = size_text(bender.radius_mm, units)
            bends = f"{bender.trials} trial bend{'s' if bender.trials > 1 else ''}"
            radius += f" by {bends}; the die is {nominal}, nominal"
    if bender.stretch_mm:
        radius += f", stretch {size_text(round(bender.stretch_mm, 3), units)} by 90°"
    yield f"Bender {bender.key}, {radius}"
    if job.note:
        yield f"Note: {job.note}"
    if sheet.drawing is not None and sheet.drawing.in_line:
        points = ", ".join(str(n) for n in sheet.drawing.in_line)
        yield f"Left out, for they lie on the straight between their neighbours: points {points}"


def _cut(sheet: Sheet) -> Iterator[str]:
    job, units, layout = sheet.job, sheet.job.units, sheet.layout
    tape = tape_for(None, units)
    whole = layout.cut_length_mm
    yield f"CUT TO  {length_text(whole, units)}   (tape {tape_text(whole, tape)})"
    ends = job.ends
    if ends.start_mm or ends.finish_mm:
        net = whole - ends.start_mm - ends.finish_mm
        yield (
            f"        with allowances of {length_text(ends.start_mm, units)} at the flagged end "
            f"and {length_text(ends.finish_mm, units)} at the far end;"
        )
        yield f"        the run alone takes {length_text(net, units)}"
    yield "Flag the reference end. Measure every mark from it, on the straight tube."


def _bends(sheet: Sheet) -> Iterator[str]:
    for turn in sheet.turns:
        bend = sheet.layout.bends[turn.bend - 1]
        yield from _bend(sheet, bend)


def _bend(sheet: Sheet, bend: BendLayout) -> Iterator[str]:
    units, pull, scale = sheet.job.units, sheet.pull(bend.number), sheet.job.bender.scale
    turn = sheet.turn(bend.number)
    kind = "to its crown" if bend.crown else "to its corner"
    if bend.number in sheet.so_far.bent:
        yield f"BEND {bend.number}   made, {angle_text(bend.angle_deg)} {kind}"
        return
    yield f"BEND {bend.number}   {angle_text(bend.angle_deg)} {kind}"
    if bend.mark is None:
        yield "   mark     none can be given, see below"
    else:
        at = bend.mark.at_mm
        tape = tape_text(at, tape_for(None, units))
        along = _as_you_go(sheet, bend)
        yield f"   mark     {length_text(at, units):>12}   tape {tape}{along}"
        yield f"   line     {bend.mark.line.name:>12}   {held_says(bend.held)}"
    first = bend.order == 1
    yield "   turn     " + (
        "any way round; draw a line along the heel" if first else turn_says(turn)
    )
    if not first:
        yield "            seen from the held end along the tube"
    reading = scale_text(pull.bend_to_deg, scale)
    yield (
        f"   pull to  {angle_figure(pull.bend_to_deg):>11}°   scale {reading}"
        f"   = {angle_text(bend.angle_deg)} + {angle_figure(pull.overbend_deg)}"
        f" ± {angle_figure(pull.spread_deg)}, {_from(sheet)}"
    )
    if pull.first_pull_to_deg < pull.bend_to_deg:
        first_pull = angle_figure(pull.first_pull_to_deg)
        yield f"   first to {first_pull:>11}°   scale {scale_text(pull.first_pull_to_deg, scale)}"
        yield "            then let go, measure, and pull on as needed"
    re_set = sheet.job.bender.re_set_deg
    if re_set is not None and pull.bend_to_deg > re_set:
        yield f"   at {angle_text(re_set)} set the handle back and go on"


def _as_you_go(sheet: Sheet, bend: BendLayout) -> str:
    along, before = (
        sheet.layout.from_last_corner_mm(bend.number),
        sheet.layout.last_corner(bend.number),
    )
    if along is None or before is None:
        return ""
    where = "crown" if before.crown else "corner"
    return f"   or {length_text(along, sheet.job.units)} from the {where} of bend {before.number}"


def _from(sheet: Sheet) -> str:
    return "an estimate" if sheet.live.source == "estimate" else "as this bench measured"


def _end(sheet: Sheet) -> Iterator[str]:
    """Where the far end comes to lie, and how far it may miss."""
    units, path = sheet.job.units, sheet.path
    at = ", ".join(length_figure(x, units) for x in path.end_point)
    way = ", ".join(decimal(x, 3) for x in path.end_direction)
    miss = sheet.expected_miss()
    yield f"FAR END  at {at} {units}, pointing {way}"
    fed = f"fed most by {_fed(miss)}"
    yield f"         may miss by {length_text(miss.radius_mm, units)} (95 %), {fed}"
    width = sheet.widths
    mark = length_text(width.mark_mm, units)
    angle, turn = angle_text(width.angle_deg), angle_text(round(width.turning_deg, 1))
    yield f"         with marks ± {mark}, angles ± {angle}, turns ± {turn}"
    yield from _measure(sheet)


def _fed(miss: Miss) -> str:
    """What feeds a miss most: an error of one bend, or one that all of them share."""
    if miss.bend:
        return f"the {miss.cause} of bend {miss.bend}"
    return SHARED[miss.cause]


def _measure(sheet: Sheet) -> Iterator[str]:
    """What to measure for a smaller ring."""
    first = sheet.best_measured()
    if first is not None:
        less = length_text(first.radius_mm, sheet.job.units)
        yield f"         {MEASURE[first.cause]}: then by {less}"


def _mind(sheet: Sheet) -> Iterator[str]:
    yield "WHAT TO MIND"
    for finding in sheet.findings:
        where = "" if finding.bend is None else f"bend {finding.bend}: "
        yield f"  {level_word(finding.level)}  {where}{finding_says(finding, sheet.job.units)}"


def _cautions() -> Iterator[str]:
    yield "CAUTIONS"
    for caution in cautions():
        yield f"  {caution}"
