"""A stored piece, or a later remark on one, as one line of a list."""

from typing import Any

from benchcalc.core.one_line import one_line
from benchcalc.report.figures import angle_text, decimal

MOST_NAME, MOST_REMARK = 80, 400
"""Characters of a name and of a remark on a line; the log and its copies have them whole."""


def run_line(entry: dict[str, Any]) -> str:
    """Number, time (with a question mark when the clock was not to be trusted), piece, bends."""
    body = entry["body"]
    lot = f", lot {one_line(body['lot'], MOST_NAME)}" if body["lot"] else ""
    bends = ", ".join(_bend(bend) for bend in body["bends"])
    material = one_line(body["material"], MOST_NAME)
    why = one_line(body["why"], MOST_NAME)
    outcome = body["outcome"] + (f" ({why})" if why else "")
    return (
        f"{_begin(entry)}{one_line(body['name'], MOST_NAME) or 'unnamed run'}  "
        f"piece {body['piece']} of {body['pieces']}  {outcome}  "
        f"{material} {body['od_mm']:g} x {body['wall_mm']:g} mm{lot}  bends {bends}"
    )


def remark_line(entry: dict[str, Any]) -> str:
    """Number and time of a remark, the record that it is about, and what it says."""
    body = entry["body"]
    by = f"  ({one_line(body['operator'], MOST_NAME)})" if body["operator"] else ""
    return f"{_begin(entry)}remark on {body['about']}: {one_line(body['text'], MOST_REMARK)}{by}"


def _begin(entry: dict[str, Any]) -> str:
    doubt = "" if entry["clock_trusted"] else "?"
    return f"{entry['sequence']:>5}  {one_line(entry['wall_time'], MOST_NAME)}{doubt}  "


def _bend(bend: dict[str, Any]) -> str:
    released = bend["released_deg"]
    if released is None:
        return f"{angle_text(bend['target_deg'])} not measured"
    off = released - bend["target_deg"]
    sign = "+" if off >= 0 else ""
    return f"{angle_text(bend['target_deg'])} {sign}{decimal(off, 1)}"
