"""The bend sheet as a picture: the run in four views, and the straight tube with all its marks."""

from collections.abc import Iterable
from itertools import pairwise
from math import ceil

from benchcalc.core.sheet import Sheet
from benchcalc.report.drawings import flag
from benchcalc.report.figures import angle_text, length_text, size_text
from benchcalc.report.finding_text import held_says, turn_says
from benchcalc.report.paper.levels import flag_levels
from benchcalc.report.plain_views import views
from benchcalc.report.scene import Box, Fill, Label, Picture, Scene, Shape, Stroke

TEXT, LEAST_TEXT, LIST_HIGH = 20.0, 11.0, 320.0
"""Height of a line of text, of one where there are very many bends, and of all bends' lines."""

LEAST_NUMBER, MOST_LEVELS = 9.0, 5
"""Height of the smallest number at a mark, pixels, and how many stand over one another at most."""

FOOT = 96.0
"""The tube itself, a row of numbers over it and the line below it, pixels."""


def sheet_picture(sheet: Sheet, size: tuple[int, int]) -> Scene:
    """The picture that ``--picture`` writes: four views above, the tube with its marks below."""
    width, height = float(size[0]), float(size[1])
    job = sheet.job
    od, wall = (size_text(x, job.units) for x in (job.tube.od_mm, job.tube.wall_mm))
    cut = length_text(sheet.layout.cut_length_mm, job.units)
    title = f"{job.name}   {od} x {wall} {job.tube.material}   cut to {cut}"
    head = Label(Box(30, 16, width - 60, 44), title, 36.0)
    long, bends = width - 60, _bends(sheet)
    high = _line_high(len(bends))
    number = _number_high([at * long for _, at, _ in bends])
    levels = flag_levels([(at * long, _number_wide(number)) for _, at, _ in bends])
    tallest = min(max(levels, default=0), MOST_LEVELS)
    list_high = ceil(len(bends) / 2) * high
    tube_high = FOOT + tallest * number
    foot = height - list_high - tube_high - 8
    run = views(Box(30, 70, long, foot - 80), sheet)
    tube = _marked_tube(Box(30, foot, long, tube_high), sheet, bends, levels, number)
    says = _listed(Box(30, foot + tube_high, long, list_high), bends, high)
    return Scene(size, (Fill(Box(0, 0, width, height), "ground"), head, *run, tube, *says), ())


def _bends(sheet: Sheet) -> list[tuple[int, float, str]]:
    """Of each bend that has a mark its number, how far along the tube that is, and what it says."""
    layout, units = sheet.layout, sheet.job.units
    whole = max(layout.cut_length_mm, 1.0)
    told = []
    for bend in layout.bends:
        if bend.mark is None:
            continue
        to = angle_text(round(bend.bend_to_deg, 1))
        turn = "" if bend.order == 1 else f", {turn_says(sheet.turn(bend.number))}"
        says = (
            f"{bend.number}: {length_text(bend.mark.at_mm, units)}, line {bend.mark.line.name}; "
            f"{angle_text(bend.angle_deg)}, pull to {to}{turn}"
        )
        told.append((bend.number, bend.mark.at_mm / whole, says))
    return told


def _number_high(places: list[float]) -> float:
    """The height of the numbers at marks, so that each has its room before the next mark."""
    gap = min((b - a for a, b in pairwise(sorted(places))), default=2 * TEXT)
    return min(TEXT, max((gap - 6.5) / 1.3, LEAST_NUMBER))


def _number_wide(high: float) -> float:
    return high * 1.3 + 6.0


def _line_high(bends: int) -> float:
    return min(TEXT * 1.25, max(LIST_HIGH / max(ceil(bends / 2), 1), LEAST_TEXT))


def _listed(box: Box, bends: list[tuple[int, float, str]], high: float) -> Iterable[Label]:
    """Every bend with its mark, a line each in two columns."""
    half = ceil(len(bends) / 2)
    for place, (_, _, says) in enumerate(bends):
        column, row = divmod(place, half)
        line = Box(box.x + column * box.w / 2, box.y + row * high, box.w / 2 - 20, high)
        yield Label(line, says, high / 1.25, "ink")


def _marked_tube(
    box: Box,
    sheet: Sheet,
    bends: list[tuple[int, float, str]],
    levels: list[int],
    high: float,
) -> Picture:
    thick = 24.0
    top = box.bottom - 60.0
    shapes: list[Shape] = [Fill(Box(box.x, top, box.w, thick), "tube")]
    whole = max(sheet.layout.cut_length_mm, 1.0)
    for bend in sheet.layout.bends:
        x0, x1 = (box.x + box.w * at / whole for at in (bend.start_mm, bend.end_mm))
        shapes.append(Fill(Box(x0, top, x1 - x0, thick), "lit"))
    for edge in (top, top + thick):
        shapes.append(Stroke(((box.x, edge), (box.right, edge)), "tube_edge", 2.5))
    shapes.append(Stroke(((box.right, top), (box.right, top + thick)), "tube_edge", 2.5))
    shapes += flag((box.x, top), thick)
    for (number, at, _), level in zip(bends, levels, strict=True):
        there = level <= MOST_LEVELS
        x, y = box.x + box.w * at, top - 10 - ((level if there else 0) + 1) * high
        shapes.append(Stroke(((x, y), (x, top + thick + 6)), "pen", 3.0))
        if there:
            place = Box(x + 5, y, high * 1.3, high)
            shapes.append(Label(place, str(number), high, "pen"))
    held = ", ".join(sorted({held_says(bend.held) for bend in sheet.layout.bends}))
    legs = "" if sheet.job.measured == "centre" else f" measured {sheet.job.measured}"
    says = (
        f"Every mark from the flagged end; {held}; turns seen from the held end. "
        f"Sizes over the tube, legs as given{legs}."
    )
    shapes.append(Label(Box(box.x, top + thick + 8, box.w, TEXT * 1.2), says, TEXT, "quiet"))
    return Picture(box, tuple(shapes))
