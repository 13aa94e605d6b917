"""A shape as it was typed, and one being typed: text until a formula needs it."""

from dataclasses import dataclass
from typing import Literal

from benchcalc.core.job import Units
from benchcalc.core.shapes.ports import Pattern

ShapeKind = Literal[
    "offset", "rolling_offset", "saddle", "flat_saddle", "u", "parallel", "port", "ports",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class ShapeTyped:
    """A shape's fields as typed, in the order its form asks for them.

    ``unit`` is that of bare lengths; ``way`` what the way to a port is known by, once one is taken.
    """

    kind: ShapeKind
    texts: tuple[str, ...]
    unit: Units = "mm"
    way: Pattern = ()


@dataclass(frozen=True, slots=True)
class Shaping:
    """A shape being typed; None while it is still to be chosen.

    ``new`` when it is not in the run yet; ``fresh`` when the next digit replaces what stands there;
    ``asking`` while a second press is waited for. ``left`` is the one that was left last with
    something typed in it.
    """

    shape: ShapeTyped | None = None
    field: int = 0
    new: bool = True
    fresh: bool = True
    asking: bool = False
    left: ShapeTyped | None = None
