"""A finished or scrapped piece as the plain values that the run log keeps."""

from typing import Any, Literal

import benchcalc
from benchcalc.core.plain import to_plain
from benchcalc.core.sheet import Sheet
from benchcalc.panel.model import Making
from benchcalc.panel.steps import made
from benchcalc.panel.wording import finding_says

Outcome = Literal["made", "scrapped"]


def piece_record(sheet: Sheet, making: Making, outcome: Outcome, why: str) -> dict[str, Any]:
    """Everything needed to understand the piece later; lengths mm, angles degrees."""
    job = sheet.job
    return {
        "name": job.name,
        "drawing": job.drawing,
        "operator": job.operator,
        "piece": making.piece,
        "pieces": job.pieces,
        "od_mm": job.tube.od_mm,
        "wall_mm": job.tube.wall_mm,
        "material": job.tube.material,
        "lot": job.tube.lot,
        "bender": job.bender.key,
        "bender_values": to_plain(job.bender),
        "cut_length_mm": sheet.layout.cut_length_mm,
        "bends": [_bend(sheet, making, bend.number) for bend in sheet.layout.bends],
        "findings": [
            {
                "level": finding.level,
                "rule": finding.rule,
                "bend": finding.bend,
                "says": finding_says(finding, job.units),
            }
            for finding in sheet.findings
        ],
        "outcome": outcome,
        "why": why,
        "software": benchcalc.__version__,
    }


def _bend(sheet: Sheet, making: Making, number: int) -> dict[str, Any]:
    bend, pull, done = sheet.layout.bends[number - 1], sheet.pull(number), made(making, number)
    read = [p for p in done.pulls if p.released_deg is not None]
    return {
        "number": number,
        "target_deg": bend.angle_deg,
        "overbend_deg": pull.overbend_deg,
        "bend_to_deg": pull.bend_to_deg,
        "first_pull_deg": pull.first_pull_to_deg,
        "pulls": [to_plain(p) for p in read],
        "line": bend.mark.line.name if bend.mark else "",
        "mark_mm": bend.mark.at_mm if bend.mark else None,
        "turn_deg": bend.turn_deg,
        "held": bend.held,
        "radius_mm": bend.radius_mm,
        "released_deg": read[-1].released_deg if read else None,
        "verdict": done.verdict or ("not finished" if done.pulls else "not bent"),
    }
