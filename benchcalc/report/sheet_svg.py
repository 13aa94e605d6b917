"""The bend sheet as a picture in SVG, for a file or for a notebook."""

from benchcalc.core.sheet import Sheet
from benchcalc.report.sheet_picture import sheet_picture
from benchcalc.report.svg import svg_text
from benchcalc.report.theme import PAPER

PICTURE_SIZE = (1400, 1000)


class Svg(str):
    """The text of an SVG picture; a notebook shows it as the picture."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)


def draw_svg(sheet: Sheet) -> Svg:
    """The run in four views and the straight tube with all its marks, as SVG."""
    return Svg(svg_text(sheet_picture(sheet, PICTURE_SIZE), PAPER))
