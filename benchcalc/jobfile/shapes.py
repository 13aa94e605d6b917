"""A named shape in the run of a job file, by what the fitter knows of it."""

from benchcalc.core.shapes.named_shapes import (
    FlatSaddle,
    Offset,
    Parallel,
    RollingOffset,
    Saddle,
    Shape,
    UBend,
)
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.job_fields import PARALLEL, SHAPES
from benchcalc.jobfile.table import Manner, complete, read_fields

MAKES: dict[str, type[Shape]] = {
    "offset": Offset,
    "rolling_offset": RollingOffset,
    "saddle": Saddle,
    "flat_saddle": FlatSaddle,
    "u": UBend,
}
"""What each shape of the table is in core."""


def read_shape(item: Fields, manner: Manner) -> Shape | None:
    """The shape that an item of a run is; None, with problems noted, when it is not one."""
    name = next(name for name in SHAPES if item.has(name))
    table = item.table(name)
    item.close()
    if table is None:
        return None
    if name == "saddle" and table.has("flat"):
        name = "flat_saddle"
    found = read_fields(table, SHAPES[name], manner)
    table.close()
    if name == "rolling_offset" and found["rise_mm"] == 0 == found["roll_mm"]:
        table.refuse("rise", "0, and roll 0 too", "one of them must not be 0", "write one")
        return None
    return MAKES[name](**found) if complete(found, SHAPES[name]) else None


def read_parallel(fields: Fields, manner: Manner) -> Parallel | None:
    """What ``parallel`` says; None, with problems noted, when it says nothing that can be."""
    table = fields.table("parallel")
    if table is None:
        return None
    found = read_fields(table, PARALLEL, manner)
    table.close()
    return Parallel(**found) if complete(found, PARALLEL) else None
