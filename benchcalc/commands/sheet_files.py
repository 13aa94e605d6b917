"""What ``benchcalc sheet`` writes beside the sheet: a picture, the corner points."""

from pathlib import Path

from benchcalc.commands.refusal import BadUse, Lacks
from benchcalc.core.sheet import Sheet


def picture_bytes(sheet: Sheet, name: str) -> bytes:
    """The picture, SVG unless ``name`` ends otherwise. Raises Lacks for a PNG without pygame."""
    from benchcalc.report.sheet_svg import PICTURE_SIZE, draw_svg

    if Path(name).suffix != ".png":
        return draw_svg(sheet).encode("utf-8")
    try:
        from benchcalc.shell.display.paint import to_png
    except ImportError as error:
        raise Lacks(f"a PNG needs pygame ({error}): .svg works without it") from None
    from benchcalc.report.sheet_picture import sheet_picture
    from benchcalc.report.theme import PAPER

    return to_png(sheet_picture(sheet, PICTURE_SIZE), PAPER, 2)


def points_text(sheet: Sheet) -> str:
    """The corner points as a table. Raises BadUse for a run that has a crown instead of one."""
    from benchcalc.core.layout.path import corner_points
    from benchcalc.report.points_csv import points_csv

    crown = next((bend.number for bend in sheet.layout.bends if bend.crown), None)
    if crown is not None:
        raise BadUse(
            f"--points: bend {crown} is measured to its crown: it has no corner point: leave "
            "--points out"
        )
    return points_csv(corner_points(sheet.layout, sheet.path))
