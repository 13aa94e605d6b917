"""A named shape in the run of a job file, by what the fitter knows of it."""

from collections.abc import Callable

from benchcalc.core.job import Angles, Units
from benchcalc.core.shapes.named_shapes import (
    FlatSaddle,
    Offset,
    Parallel,
    RollingOffset,
    Saddle,
    Shape,
    UBend,
)
from benchcalc.jobfile import values
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.values import ENDLESS, Reader, Span

OVER_ZERO = Span(0, ENDLESS, over=True)
TURN = Span(-360, 360)
SLOPE_DEG = 90.0
"""An offset that bends by more than this goes back."""


class Spelling:
    """How a job writes lengths and angles."""

    def __init__(self, units: Units, angles: Angles) -> None:
        self.size: Reader[float] = values.length(units, OVER_ZERO)
        self.place: Reader[float] = values.length(units)
        self.turn: Reader[float] = values.angle(True, TURN)
        self.included = angles == "included"

    def bend(self, most_deg: float) -> Reader[float]:
        """A bend's angle up to ``most_deg``, 180 itself left out; or the angle it includes."""
        whole = most_deg == 180
        if self.included:
            return values.included_angle(Span(180 - most_deg, 180, over=whole, under=True))
        return values.angle(True, Span(0, most_deg, over=True, under=whole))


def read_shape(item: Fields, spelling: Spelling) -> Shape | None:
    """The shape that an item of a run is; None, with problems noted, when it is not one."""
    name = next(name for name in SHAPES if item.has(name))
    table = item.table(name)
    item.close()
    if table is None:
        return None
    shape = SHAPES[name](table, spelling)
    table.close()
    return shape


def _offset(table: Fields, spelling: Spelling) -> Shape | None:
    leg = table.need("leg", spelling.size)
    height = table.need("height", spelling.size)
    angle = table.need("angle", spelling.bend(SLOPE_DEG))
    turn = table.read("turn", spelling.turn, 0.0)
    if leg is None or height is None or angle is None:
        return None
    return Offset(leg, height, angle, turn)


def _rolling_offset(table: Fields, spelling: Spelling) -> Shape | None:
    leg = table.need("leg", spelling.size)
    rise = table.need("rise", spelling.place)
    roll = table.need("roll", spelling.place)
    angle = table.need("angle", spelling.bend(SLOPE_DEG))
    turn = table.read("turn", spelling.turn, 0.0)
    if rise == 0 and roll == 0:
        table.refuse("rise", "0, and roll 0 too", "one of them must not be 0", "write one")
        return None
    if leg is None or rise is None or roll is None or angle is None:
        return None
    return RollingOffset(leg, rise, roll, angle, turn)


def _saddle(table: Fields, spelling: Spelling) -> Shape | None:
    centre = table.need("centre", spelling.size)
    height = table.need("height", spelling.size)
    flat = table.read("flat", spelling.size, None)
    angle = table.need("angle", spelling.bend(180.0 if flat is None else SLOPE_DEG))
    turn = table.read("turn", spelling.turn, 0.0)
    if centre is None or height is None or angle is None:
        return None
    if flat is None:
        return Saddle(centre, height, angle, turn)
    return FlatSaddle(centre, height, angle, flat, turn)


def _u(table: Fields, spelling: Spelling) -> Shape | None:
    leg = table.need("leg", spelling.size)
    width = table.need("width", spelling.size)
    turn = table.read("turn", spelling.turn, 0.0)
    return None if leg is None or width is None else UBend(leg, width, turn)


def read_parallel(fields: Fields, spelling: Spelling) -> Parallel | None:
    """What ``parallel`` says; None, with problems noted, when it says nothing that can be."""
    table = fields.table("parallel")
    if table is None:
        return None
    spacing = table.need("spacing", spelling.size)
    side = table.read("side", spelling.turn, Parallel(0.0).side_deg)
    table.close()
    return None if spacing is None else Parallel(spacing, side)


SHAPES: dict[str, Callable[[Fields, Spelling], Shape | None]] = {
    "offset": _offset,
    "rolling_offset": _rolling_offset,
    "saddle": _saddle,
    "u": _u,
}
