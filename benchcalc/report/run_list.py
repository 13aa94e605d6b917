"""A stored piece, or a later remark on one, as one line of a list."""

from typing import Any

from benchcalc.report.figures import angle_text, decimal


def run_line(entry: dict[str, Any]) -> str:
    """Number, time (with a question mark when the clock was not to be trusted), piece, bends."""
    body = entry["body"]
    lot = f", lot {body['lot']}" if body["lot"] else ""
    bends = ", ".join(_bend(bend) for bend in body["bends"])
    outcome = body["outcome"] + (f" ({body['why']})" if body["why"] else "")
    return (
        f"{_begin(entry)}{body['name'] or 'unnamed run'}  "
        f"piece {body['piece']} of {body['pieces']}  {outcome}  "
        f"{body['material']} {body['od_mm']:g} x {body['wall_mm']:g} mm{lot}  bends {bends}"
    )


def remark_line(entry: dict[str, Any]) -> str:
    """Number and time of a remark, the record that it is about, and what it says."""
    body = entry["body"]
    by = f"  ({body['operator']})" if body["operator"] else ""
    return f"{_begin(entry)}remark on {body['about']}: {body['text']}{by}"


def _begin(entry: dict[str, Any]) -> str:
    doubt = "" if entry["clock_trusted"] else "?"
    return f"{entry['sequence']:>5}  {entry['wall_time']}{doubt}  "


def _bend(bend: dict[str, Any]) -> str:
    released = bend["released_deg"]
    if released is None:
        return f"{angle_text(bend['target_deg'])} not measured"
    off = released - bend["target_deg"]
    sign = "+" if off >= 0 else ""
    return f"{angle_text(bend['target_deg'])} {sign}{decimal(off, 1)}"
