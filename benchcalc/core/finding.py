"""One thing found about a run: how grave, by which rule, with its numbers by name.

``stop``: it cannot be bent or must not be; ``caution``: a person decides; ``note``: worth knowing.
The sentences are wording and live with the panel.
"""

from collections.abc import Mapping
from typing import Literal, NamedTuple

from benchcalc.core.job import End

Level = Literal["stop", "caution", "note"]
Value = float | str
Values = Mapping[str, Value]

SAME_MM = 1e-6
"""Two sizes this near are one size written twice, in inches and in millimetres say."""

SAME_SHARE = 1e-9
"""The same for a ratio of two sizes."""


class Finding(NamedTuple):
    """One thing found. ``bend`` is None when it concerns the whole run.

    ``instead`` is the order of bending, with the end to hold for each bend, that would not meet
    this; empty where there is none, None where none was looked for.
    """

    level: Level
    rule: str
    bend: int | None
    values: tuple[tuple[str, Value], ...]
    instead: tuple[tuple[int, End], ...] | None = None
