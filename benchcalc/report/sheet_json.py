"""The bend sheet as JSON: numbers unrounded, lengths in the job's units, angles in degrees."""

import json
from typing import TYPE_CHECKING, Any

from benchcalc.core.checks.findings import Finding
from benchcalc.core.job import End, Units
from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.report.figures import in_units
from benchcalc.report.finding_text import finding_says

if TYPE_CHECKING:
    from benchcalc.core.fit.correction import Correction

FORMAT_VERSION = 1


def sheet_json(sheet: Sheet, correction: "Correction | None" = None) -> str:
    """The whole sheet as one JSON object."""
    plain = sheet_dict(sheet, correction)
    return json.dumps(plain, ensure_ascii=False, allow_nan=False, indent=1)


def sheet_dict(sheet: Sheet, correction: "Correction | None" = None) -> dict[str, Any]:
    """The sheet as plain values, in the fixed order of its keys.

    With a correction, what the far end misses now and then, in the job's units, and the degrees of
    its direction that are left.
    """
    job, layout, units = sheet.job, sheet.layout, sheet.job.units
    return {
        "benchcalc": FORMAT_VERSION,
        "name": job.name,
        "units": units,
        "cut_length": in_units(layout.cut_length_mm, units),
        "shift": in_units(layout.shift_mm, units),
        "bends": [_bend(sheet, bend) for bend in layout.bends],
        "straight_after": in_units(layout.straight_after_mm, units),
        "end_point": [in_units(x, units) for x in sheet.path.end_point],
        "end_direction": list(sheet.path.end_direction),
        "expected_miss": in_units(sheet.expected_miss().radius_mm, units),
        **(_misses(correction, units) if correction else {}),
        **(_as_made(correction, units) if correction and sheet.all_made else {}),
        "findings": [_finding(finding, units) for finding in sheet.findings],
    }


def _misses(correction: "Correction", units: Units) -> dict[str, float]:
    return {
        "miss_now": in_units(correction.now.by_mm, units),
        "miss_after": in_units(correction.after.by_mm, units),
        "turned_off": correction.after.by_deg,
    }


def _as_made(correction: "Correction", units: Units) -> dict[str, Any]:
    from benchcalc.core.fit.as_made import as_made

    made = as_made(correction)
    plain = [[in_units(x, units) for x in point] for point in made.points]
    end_to_end = in_units(made.end_to_end_mm, units)
    return {"as_made": {"points": plain, "end_to_end": end_to_end, "fits": made.fits}}


def _bend(sheet: Sheet, bend: BendLayout) -> dict[str, Any]:
    def length(value_mm: float | None) -> float | None:
        return None if value_mm is None else in_units(value_mm, sheet.job.units)

    pull, mark = sheet.pull(bend.number), bend.mark
    return {
        "number": bend.number,
        "order": bend.order,
        "held": bend.held,
        "angle": bend.angle_deg,
        "turn": bend.turn_deg,
        "radius": length(bend.radius_mm),
        "mark": length(mark.at_mm if mark else None),
        "line": mark.line.name if mark else None,
        "start": length(bend.start_mm),
        "end": length(bend.end_mm),
        "corner": length(bend.corner_mm),
        "from_last_corner": length(sheet.layout.from_last_corner_mm(bend.number)),
        "set_back": length(bend.set_back_mm),
        "gain": length(bend.gain_mm),
        "straight_before": length(bend.straight_before_mm),
        "overbend": pull.overbend_deg,
        "overbend_spread": pull.spread_deg,
        "bend_to": pull.bend_to_deg,
        "first_pull_to": pull.first_pull_to_deg,
        "overbend_from": sheet.live.source,
    }


def _finding(finding: Finding, units: Units) -> dict[str, Any]:
    return {
        "level": finding.level,
        "rule": finding.rule,
        "bend": finding.bend,
        "values": {
            **dict(_plain_value(name, value, units) for name, value in finding.values),
            **_order(finding.instead),
        },
        "says": finding_says(finding, units),
    }


def _order(steps: tuple[tuple[int, End], ...] | None) -> dict[str, str]:
    """The order of bending that a finding offers, and the ends to hold for it; empty for none."""
    if steps is None:
        return {}
    return {
        "order": ", ".join(str(number) for number, _ in steps),
        "held": ", ".join(end for _, end in steps),
    }


def _plain_value(name: str, value: float | str, units: Units) -> tuple[str, float | str]:
    """Lengths to the job's units; the unit leaves the name, for the whole sheet has one.

    A name ending in ``_mpa`` keeps it: no job has a unit of pressure.
    """
    if isinstance(value, str):
        return name, value
    if name.endswith("_mm"):
        return name.removesuffix("_mm"), in_units(value, units)
    return name.removesuffix("_deg"), value
