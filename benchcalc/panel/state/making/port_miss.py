"""Where a piece missed its port, and what follows for the pieces to come and for the bender."""

import json
from dataclasses import replace
from typing import Any, NamedTuple, get_args

from benchcalc.core.finding import Finding
from benchcalc.core.fit.first_piece import (
    Arrival,
    FirstPiece,
    Suspect,
    arrival,
    bender_by,
    first_piece,
    miss_in_run,
    swing_in_run,
)
from benchcalc.core.geometry.frames import length
from benchcalc.core.geometry.vectors import Vector, subtract
from benchcalc.core.serialize import serialize
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.calibration import as_aimed
from benchcalc.jobfile.shop import Shop
from benchcalc.panel.state.fields import Field, read_length, read_number
from benchcalc.panel.state.making.correcting import sheet_now
from benchcalc.panel.state.making.steps import bent_so_far, happened
from benchcalc.panel.state.model import (
    Aim,
    AimKept,
    Draft,
    Making,
    PieceBefore,
    PortField,
    PortMiss,
    Work,
)

"""The kind of record that keeps where a piece missed and what was done about it."""

PORT_FIELDS: tuple[PortField, ...] = get_args(PortField)
ANGLES: tuple[PortField, ...] = ("tilt_up", "tilt_right")

MOST_MM, MOST_DEG = 100.0, 20.0
"""A piece that missed by more was made to another run; no correction of a few widths mends it."""


class AimOffer(NamedTuple):
    """What can be done after a miss. ``told`` is the miss at the port, ``again`` what of it is
    taken to come again: the rest came from the bends that were measured off.

    ``stops`` are findings that forbid the corrected run.
    """

    told: Arrival
    again: Arrival
    found: FirstPiece
    sheet: Sheet
    stops: tuple[Finding, ...]


def came_out(drawn: Sheet, making: Making) -> PieceBefore | None:
    """A finished piece as its measured bends say that it came out."""
    if making.step != "store":
        return None
    bent_by = sheet_now(drawn, making)
    bent = bent_so_far(making, drawn)
    if not all(0 < angle <= 180 for angle in bent.values()):
        return None
    off = arrival(bent_by.job, bent_by.layout, drawn.springback, bent, drawn.path)
    return PieceBefore(making.piece, off.missed_mm, off.swung)


MARKS = 2**127 - 1
"""A prime: two runs have one mark by a chance that nobody meets."""

AIMS = 40
"""Jobs whose lesson is kept at most; of more the oldest goes."""


def job_mark(draft: Draft) -> str:
    """What tells a run on its bender from every other; name, lot and how many do not matter."""
    run = replace(draft, name="", lot="", pieces=1, tape="", bender=None, material=None)
    plain = [serialize(run), draft.bender.key if draft.bender else ""]
    text = json.dumps(plain, sort_keys=True).encode()
    return f"{int.from_bytes(text, 'big') % MARKS:x}"


def aim_of_last_time(work: Work) -> Aim | None:
    """What this job taught when it was made before; None for one that was never told to miss."""
    mark = job_mark(work.draft)
    return next((kept.aim for kept in work.aims if kept.job == mark), None)


def with_aim_kept(work: Work) -> Work:
    """The work with the aim of its piece kept for the next time its job is made."""
    if work.making is None or work.making.aim is None:
        return work
    mark = job_mark(work.draft)
    others = tuple(kept for kept in work.aims if kept.job != mark)
    return replace(work, aims=(*others[1 - AIMS :], AimKept(mark, work.making.aim)))


def port_field(field: PortField, draft: Draft) -> Field:
    """The typed field of one part of the miss."""
    name = f"port.{field}"
    if field in ANGLES:
        return Field(name, "angle", 0.0, MOST_DEG)
    return Field(name, "length", 0.0, MOST_MM, draft.units)


def port_text(port: PortMiss) -> str:
    """What is typed in the field in hand, without its sign."""
    return str(getattr(port, port.field)).removeprefix("-")


def other_way(port: PortMiss) -> bool:
    """Whether the field in hand counts short, low, left or down."""
    return str(getattr(port, port.field)).startswith("-")


def with_port(port: PortMiss, text: str, other: bool) -> PortMiss:
    """The miss with another text in the field in hand."""
    return replace(port, **{port.field: "-" * other + text})  # type: ignore[arg-type]


def told_at_port(drawn: Sheet, port: PortMiss, draft: Draft) -> Arrival:
    """The typed miss in the run's own space; nothing typed is none. Raises Refused."""

    def value(field: PortField) -> float:
        text = str(getattr(port, field))
        bare, way = text.removeprefix("-"), -1.0 if text.startswith("-") else 1.0
        if not bare:
            return 0.0
        typed = port_field(field, draft)
        return way * (
            read_number(typed, bare) if field in ANGLES else float(read_length(typed, bare))
        )

    missed = miss_in_run(drawn.path, value("ahead"), value("up"), value("right"))
    return Arrival(missed, swing_in_run(drawn.path, value("tilt_up"), value("tilt_right")))


def aim_offer(drawn: Sheet, making: Making, draft: Draft) -> AimOffer:
    """What the typed miss asks of the pieces to come. Raises Refused.

    A direction counts only when one was told; what the bends were measured off comes off both.
    """
    told = told_at_port(drawn, making.port, draft)
    own = making.before or PieceBefore(making.piece, (0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    pointed = any(getattr(making.port, field).strip("-") for field in ANGLES)
    again: Vector = subtract(told.missed_mm, own.missed_mm)
    swung: Vector = subtract(told.swung, own.swung) if pointed else (0.0, 0.0, 0.0)
    found = first_piece(drawn.job, drawn.springback, again, swung, drawn.usual)
    sheet = drawn.of(found.correction.job)
    stops = tuple(finding for finding in sheet.findings if finding.level == "stop")
    return AimOffer(told, Arrival(again, swung), found, sheet, stops)


def suspect_of(offer: AimOffer, cause: str) -> Suspect | None:
    """The suspect by its cause."""
    return next((s for s in offer.found.suspects if s.cause == cause), None)


def aimed(making: Making, offer: AimOffer | None) -> Making:
    """On to the cut, by the corrected run when an offer was taken."""
    making = replace(happened(making, "answered"), port=PortMiss())
    if offer is None:
        return making
    piece = making.before.piece if making.before else making.piece
    after, run = offer.found.correction.after, offer.found.correction.job.run
    return replace(making, aim=Aim(piece, run, after.by_mm, after.by_deg))


def aim_record(
    drawn: Sheet, making: Making, draft: Draft, offer: AimOffer, answer: str
) -> dict[str, Any]:
    """The record of a miss and its answer: ``pieces``, ``line``, ``radius`` or ``leave``.

    ``bender_after`` is the profile as it counts from then on, None when it stays.
    """
    job, correction = drawn.job, offer.found.correction
    suspect = suspect_of(offer, answer)
    after = bender_by(job.bender, drawn.layout, suspect) if suspect else None
    return {
        "form": 1,
        "name": job.name,
        "piece": making.before.piece if making.before else making.piece,
        "pieces": job.pieces,
        "bender": job.bender.key,
        "od_mm": job.tube.od_mm,
        "typed": serialize(making.port),
        "unit": draft.units,
        "missed_mm": list(offer.told.missed_mm),
        "missed_again_mm": list(offer.again.missed_mm),
        "swung_again": list(offer.again.swung),
        "suspects": [dict(s._asdict()) for s in offer.found.suspects],
        "answer": answer,
        "run": serialize(correction.job.run),
        "miss_after_mm": correction.after.by_mm,
        "points_off_after_deg": correction.after.by_deg,
        "bender_after": None
        if after is None
        else {
            "finished_radius_mm": after.finished_radius_mm,
            "lines": {line.name: line.offset_mm for line in after.lines},
        },
    }


def miss_size(off: Arrival) -> float:
    """How far off a place is, mm."""
    return length(off.missed_mm)


def with_aimed_bender(shop: Shop, record: dict[str, Any]) -> Shop:
    """The shop with a bender's profile as a miss corrected it, where the record says so."""
    benders = tuple(
        as_aimed(bender, record) if bender.key == record["bender"] else bender
        for bender in shop.benders
    )
    return replace(shop, benders=benders)
