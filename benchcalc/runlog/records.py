"""What the bench remembers of a piece: frozen values, written and read by ``core.plain``.

Lengths are millimetres and angles degrees. A loaded angle is what the tube stands at while it is
held by the handle, a released one what it has opened to afterwards.

A record's ``form`` says which fields it has. Records are never changed: an older form is brought up
when it is read (``upgraded``).
"""

from dataclasses import dataclass, field
from typing import Any, Literal

from benchcalc.core.frozen import frozen

PIECE = "piece"
"""The kind under which a PieceRecord is stored."""

REMARK = "remark"
"""The kind under which a RemarkRecord is stored."""

LOST = "lost"
"""The kind of the record that says which numbers before it the log does not hold any more."""

KINDS = (
    PIECE, REMARK, LOST, "trial", "springback-word", "springback-reset", "first-piece",
    "bends-before", "gauge-check", "scale-check",
)  # fmt: skip
"""Every kind that this program writes."""

SCHEMA_VERSION = 2
"""The form that this program writes; records of the first one carry no number."""


@frozen
class PullRecord:
    """One pull of the handle: the loaded angle it reached and the angle left after release.

    ``raw_deg`` is the sensor's own reading of the latter, ``zero_deg`` that of the straight tube.
    ``told_deg`` is the reading that was told, None where it was not kept.
    """

    pulled_to_deg: float
    released_deg: float
    by: Literal["hand", "sensor"]
    raw_deg: float | None
    zero_deg: float | None
    told_deg: float | None = None


@frozen
class Turned:
    """A turn as it was meant and as it was measured, signed like a drawing's turn.

    ``width_deg`` is how far the reading may be off, 95 % limits; ``by`` is how it was read.
    """

    meant_deg: float
    read_deg: float
    width_deg: float
    by: Literal["across", "flat", "upright", "sensor"]


@frozen
class BendRecord:
    """One bend as it was asked for and as it came out.

    ``order`` is its place in the order of bending, None where form 1 did not say. ``bend_to_deg``
    is the loaded angle that was advised, ``overbend_from`` what the advice rested on,
    ``first_pull_deg`` where the first pull was told to stop. ``released_deg`` is the angle that
    stayed, None when it was never read; ``mark_mm`` is None where no line could be used.
    ``counted`` is how much the bend taught about springback, 0 to 1, None when it taught nothing.
    ``calipers_mm`` are the largest and smallest diameter across the bend, when they were measured.
    ``turned`` is its turn, when that was; ``within_deg`` how near to its angle it had to come.
    """

    number: int
    order: int | None
    target_deg: float
    overbend_deg: float
    bend_to_deg: float
    overbend_from: Literal["estimate", "measured"]
    first_pull_deg: float
    pulls: tuple[PullRecord, ...]
    line: str
    mark_mm: float | None
    turn_deg: float
    held: Literal["reference", "far"]
    radius_mm: float
    released_deg: float | None
    verdict: str
    counted: float | None
    calipers_mm: tuple[float, float] | None
    turned: Turned | None = None
    within_deg: float | None = None


@dataclass(frozen=True, slots=True)
class PieceRecord:
    """One piece, made or scrapped, with everything needed to understand it later.

    ``bender`` and ``material`` are keys, ``bender_values`` and ``material_values`` the numbers that
    stood under them that day, because the files may be edited afterwards; form 1 kept none of the
    material's. ``theory`` is the first guess of springback that was learnt against. Each of the
    ``findings`` that were shown has level, rule, bend, says and ``overridden_by``: None where there
    was nothing to override, else the operator who went on, as far as one was named.
    ``corrections`` are those offered, each with whether it was taken.
    ``why`` says why a piece was scrapped. ``as_made`` is what a piece with all its bends came to:
    its corner points, from end to end, what its far end misses, whether that fits; None where that
    is not known.
    """

    form: Literal[2]
    name: str
    drawing: str
    operator: str
    piece: int
    pieces: int
    od_mm: float
    wall_mm: float
    material: str
    material_values: dict[str, Any] = field(hash=False)
    lot: str
    bender: str
    bender_values: dict[str, Any] = field(hash=False)
    theory: dict[str, float] | None = field(hash=False)
    tolerance_deg: float | None
    cut_length_mm: float
    bends: tuple[BendRecord, ...]
    findings: tuple[dict[str, Any], ...] = field(hash=False)
    corrections: tuple[dict[str, Any], ...] = field(hash=False)
    outcome: Literal["made", "scrapped"]
    why: str
    software: str
    as_made: dict[str, Any] | None = field(hash=False, default=None)


@frozen
class RemarkRecord:
    """What was noticed later: ``about`` is the sequence number of the record it points at."""

    form: Literal[2]
    about: int
    text: str
    operator: str


def remark(about: int, text: str, operator: str = "") -> dict[str, Any]:
    """A remark as the store keeps it.

    Raises ValueError for a number that no record can have, or a remark that says nothing.
    """
    if about < 1:
        raise ValueError(f"remark about record {about}: records are numbered from 1: name another")
    if any("\ud800" <= letter <= "\udfff" for letter in text + operator):
        raise ValueError(f"remark about record {about}: it is no UTF-8 text: type it anew")
    if not text.strip():
        raise ValueError(f"remark about record {about}: it says nothing: write what was noticed")
    return {"form": SCHEMA_VERSION, "about": about, "text": text, "operator": operator}


def upgraded(piece: dict[str, Any]) -> dict[str, Any]:
    """The plain form of a piece, of whatever form it was stored in, as a PieceRecord is read from.

    Raises ValueError for a form that this program does not know.
    """
    form = piece.get("form", 1)
    if form == SCHEMA_VERSION:
        return piece
    if form != 1:
        raise ValueError(
            f"a piece record of form {form}: this program knows up to {SCHEMA_VERSION}"
        )
    bends = [
        {
            **bend,
            "order": None,
            "overbend_from": "estimate",
            "counted": None,
            "calipers_mm": None,
            "pulls": [{**pull, "raw_deg": None, "zero_deg": None} for pull in bend["pulls"]],
        }
        for bend in piece["bends"]
    ]
    findings = [{**finding, "overridden_by": None} for finding in piece["findings"]]
    return {
        **piece,
        "form": SCHEMA_VERSION,
        "material_values": {},
        "theory": None,
        "tolerance_deg": None,
        "bends": bends,
        "findings": findings,
        "corrections": [],
    }
