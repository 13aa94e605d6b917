"""The bend sheet as a picture: the run in four views, and the straight tube with all its marks."""

from benchcalc.core.sheet import Sheet
from benchcalc.report.drawings import flag
from benchcalc.report.figures import angle_text, length_text, size_text
from benchcalc.report.finding_text import held_says, turn_says
from benchcalc.report.plain_views import views
from benchcalc.report.scene import Box, Fill, Label, Picture, Scene, Shape, Stroke

FLAG_ROWS = 3
"""Marks near each other are written on three heights, by turns."""

TUBE_HIGH = 250.0
"""What the straight tube with its marks takes at the foot of the picture, pixels."""


def sheet_picture(sheet: Sheet, size: tuple[int, int]) -> Scene:
    """The picture that ``--picture`` writes: four views above, the tube with its marks below."""
    width, height = float(size[0]), float(size[1])
    job = sheet.job
    od, wall = (size_text(x, job.units) for x in (job.tube.od_mm, job.tube.wall_mm))
    cut = length_text(sheet.layout.cut_length_mm, job.units)
    title = f"{job.name}   {od} x {wall} {job.tube.material}   cut to {cut}"
    head = Label(Box(30, 16, width - 60, 44), title, 36.0)
    run = views(Box(30, 70, width - 60, height * 0.67), sheet)
    tube = _marked_tube(Box(30, height - TUBE_HIGH, width - 60, TUBE_HIGH), sheet)
    return Scene(size, (Fill(Box(0, 0, width, height), "ground"), head, *run, tube), ())


def _marked_tube(box: Box, sheet: Sheet) -> Picture:
    layout, units = sheet.layout, sheet.job.units
    whole = max(layout.cut_length_mm, 1.0)
    line = 22.0
    top, thick = box.y + line * 2.2 * FLAG_ROWS + 20, 24.0
    shapes: list[Shape] = [Fill(Box(box.x, top, box.w, thick), "tube")]
    for bend in layout.bends:
        x0, x1 = (box.x + box.w * at / whole for at in (bend.start_mm, bend.end_mm))
        shapes.append(Fill(Box(x0, top, x1 - x0, thick), "lit"))
    for edge in (top, top + thick):
        shapes.append(Stroke(((box.x, edge), (box.right, edge)), "tube_edge", 2.5))
    shapes.append(Stroke(((box.right, top), (box.right, top + thick)), "tube_edge", 2.5))
    shapes += flag((box.x, top), thick)
    for place, bend in enumerate(layout.bends):
        if bend.mark is None:
            continue
        x = box.x + box.w * bend.mark.at_mm / whole
        y = box.y + line * 2.2 * (place % FLAG_ROWS)
        shapes.append(Stroke(((x, y + line * 2), (x, top + thick + 6)), "pen", 3.0))
        at = min(max(x - 130, box.x), box.right - 260)
        mark = f"{bend.number}: {length_text(bend.mark.at_mm, units)}, line {bend.mark.line.name}"
        shapes.append(Label(Box(at, y, 260, line), mark, line, "pen", "centre"))
        to = angle_text(round(bend.bend_to_deg, 1))
        turn = "" if bend.order == 1 else f", {turn_says(sheet.turn(bend.number))}"
        says = f"{angle_text(bend.angle_deg)}, pull to {to}{turn}"
        shapes.append(Label(Box(at, y + line, 260, line), says, line * 0.8, "ink", "centre"))
    held = ", ".join(sorted({held_says(bend.held) for bend in layout.bends}))
    legs = "" if sheet.job.measured == "centre" else f" measured {sheet.job.measured}"
    says = (
        f"Every mark from the flagged end; {held}; turns seen from the held end. "
        f"Sizes over the tube, legs as given{legs}."
    )
    shapes.append(Label(Box(box.x, top + thick + 12, box.w, line * 1.2), says, line, "quiet"))
    return Picture(box, tuple(shapes))
