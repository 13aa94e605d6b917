"""What the bench remembers of a piece: frozen values, written and read by ``core.plain``.

Lengths are millimetres and angles degrees. A loaded angle is what the tube stands at while it is
held by the handle, a released one what it has opened to afterwards.
"""

from dataclasses import dataclass, field
from typing import Any, Literal

PIECE = "piece"
"""The kind under which a PieceRecord is stored."""


@dataclass(frozen=True, slots=True)
class Pull:
    """One pull of the handle: the loaded angle it reached and the angle left after release."""

    pulled_to_deg: float
    released_deg: float
    by: Literal["hand", "sensor"]


@dataclass(frozen=True, slots=True)
class BendRecord:
    """One bend as it was asked for and as it came out.

    ``bend_to_deg`` is the loaded angle that was advised, ``first_pull_deg`` where the first pull
    was told to stop. ``released_deg`` is the angle that stayed, None when it was never read.
    """

    number: int
    target_deg: float
    overbend_deg: float
    bend_to_deg: float
    first_pull_deg: float
    pulls: tuple[Pull, ...]
    line: str
    mark_mm: float
    turn_deg: float
    held: Literal["reference", "far"]
    radius_mm: float
    released_deg: float | None
    verdict: str


@dataclass(frozen=True, slots=True)
class PieceRecord:
    """One piece, made or scrapped, with everything needed to understand it later.

    ``bender`` is the profile's key and ``bender_values`` the numbers it held that day, because the
    profile may be edited afterwards. ``why`` says why a piece was scrapped.
    """

    name: str
    drawing: str
    operator: str
    piece: int
    pieces: int
    od_mm: float
    wall_mm: float
    material: str
    lot: str
    bender: str
    bender_values: dict[str, Any] = field(hash=False)
    cut_length_mm: float
    bends: tuple[BendRecord, ...]
    findings: tuple[dict[str, Any], ...] = field(hash=False)
    outcome: Literal["made", "scrapped"]
    why: str
    software: str
