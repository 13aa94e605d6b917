"""A finished or scrapped piece as the plain values that the run log keeps."""

from typing import Any, Literal

import benchcalc
from benchcalc.core.serialize import serialize
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.learning import Taught
from benchcalc.core.springback.lessons import subject, theory_plain
from benchcalc.panel.state.in_hand import counted_in_hand
from benchcalc.panel.state.making.correcting import (
    as_made_plain,
    corrections_plain,
    sheet_now,
    sheet_of_bend,
)
from benchcalc.panel.state.making.steps import made
from benchcalc.panel.state.model import Making
from benchcalc.report.finding_text import finding_says
from benchcalc.report.units_shown import showing
from benchcalc.words.language import speaking

Outcome = Literal["made", "scrapped"]

FORM = 2
"""The form of what is built here; the run log reads it and every form before it."""


def remark_record(about: int, text: str) -> dict[str, Any]:
    """What was noticed later about the piece of record ``about``, as a record of its own."""
    return {"form": FORM, "about": about, "text": text, "operator": ""}


def piece_record(
    sheet: Sheet, making: Making, outcome: Outcome, why: str, taught: Taught, today: str
) -> dict[str, Any]:
    """Everything needed to understand the piece later; lengths mm, angles degrees.

    ``sheet`` is the job as drawn; each bend is told by the sheet that it was bent by.
    ``taught`` is what the bench knew before this piece; how much each bend counts follows from it
    and from ``today``, the lot of a tube that has none.
    """
    with speaking("en"), showing(None):  # records read the same wherever they were made
        return _piece_record(sheet, making, outcome, why, taught, today)


def _piece_record(
    sheet: Sheet, making: Making, outcome: Outcome, why: str, taught: Taught, today: str
) -> dict[str, Any]:
    job = sheet.job
    about = subject(job.tube, job.bender, job.material)
    counted = counted_in_hand(taught, about, making.made, today)
    return {
        "form": FORM,
        "name": job.name,
        "drawing": job.drawing,
        "operator": job.operator,
        "piece": making.piece,
        "pieces": job.pieces,
        "od_mm": job.tube.od_mm,
        "wall_mm": job.tube.wall_mm,
        "material": job.tube.material,
        "material_values": serialize(job.material),
        "lot": job.tube.lot,
        "bender": job.bender.key,
        "bender_values": serialize(job.bender),
        "theory": theory_plain(about.theory),
        "tolerance_deg": job.tolerance_deg,
        "cut_length_mm": sheet.layout.cut_length_mm,
        "bends": [
            _bend(sheet_of_bend(sheet, making, bend.number), making, bend.number, counted)
            for bend in sheet.layout.bends
        ],
        "findings": [
            {
                "level": finding.level,
                "rule": finding.rule,
                "bend": finding.bend,
                "says": finding_says(finding, job.units),
                # A note asks for nothing; whoever goes on past the others has overridden them.
                "overridden_by": None if finding.level == "note" else job.operator,
            }
            for finding in sheet_now(sheet, making).findings
        ],
        "corrections": corrections_plain(sheet, making),
        "as_made": as_made_plain(sheet, making),
        "outcome": outcome,
        "why": why,
        "software": benchcalc.__version__,
    }


def _bend(sheet: Sheet, making: Making, number: int, counted: dict[int, float]) -> dict[str, Any]:
    bend, done = sheet.layout.bends[number - 1], made(making, number)
    if done.within_deg is not None:  # as near as it was told then
        sheet = sheet._replace(needed=((number, done.within_deg),))
    pull = sheet.pull(number)
    read = [p for p in done.pulls if p.released_deg is not None]
    return {
        "number": number,
        "order": bend.order,
        "target_deg": bend.angle_deg,
        "overbend_deg": pull.overbend_deg,
        "bend_to_deg": pull.bend_to_deg,
        "overbend_from": sheet.live.source,
        "first_pull_deg": pull.first_pull_to_deg,
        "pulls": [serialize(p) for p in read],
        "line": bend.mark.line.name if bend.mark else "",
        "mark_mm": bend.mark.at_mm if bend.mark else None,
        "turn_deg": bend.turn_deg,
        "held": bend.held,
        "radius_mm": bend.radius_mm,
        "released_deg": read[-1].released_deg if read else None,
        "verdict": done.verdict or ("not finished" if done.pulls else "not bent"),
        "counted": counted.get(number),
        "calipers_mm": list(done.calipers) if done.calipers else None,
        "turned": serialize(done.turn),
        "within_deg": done.within_deg,
    }
