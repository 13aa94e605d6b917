"""Runs, bends and remarks as rows, and rows as CSV (RFC 4180) that a spreadsheet cannot run.

The unit stands in each column's name; numbers have a decimal point and all their digits; an empty
cell is not known, or nothing said. Text that a spreadsheet would take for a formula gets an
apostrophe in front; a text that is a plain number, such as a lot ``-12``, stays as it is.
"""

import csv
import re
from collections.abc import Callable, Iterable
from io import StringIO
from operator import itemgetter
from typing import Any

from benchcalc.core.one_line import first_seen
from benchcalc.runlog.chain import Stored

Row = tuple[Any, ...]
BEGINS_FORMULA = frozenset("=+-@\t\r\n＝＋－＠")
_PLAIN_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?", re.ASCII)
_MOST_KEPT = 20_000
_ROWS = 500

_RUN_BODY = (
    "name", "drawing", "operator", "piece", "pieces", "od_mm", "wall_mm", "material", "lot",
    "bender", "tolerance_deg", "cut_length_mm",
)  # fmt: skip
RUN_COLUMNS = (
    "device", "sequence", "boot_id", "wall_time", "clock_trusted", *_RUN_BODY,
    "bender_radius_mm", "bends", "outcome", "why", "findings", "overridden_by", "software",
)  # fmt: skip
_BEND_BODY = (
    "number", "order", "target_deg", "overbend_deg", "bend_to_deg", "overbend_from",
    "first_pull_deg", "line", "mark_mm", "turn_deg", "held", "radius_mm", "verdict",
    "released_deg",
)  # fmt: skip
BEND_COLUMNS = (
    "device", "sequence", "wall_time", "clock_trusted", "outcome", "name", "material", "od_mm",
    "wall_mm", "lot", "bender", *_BEND_BODY, "error_deg", "pulls", "first_loaded_deg",
    "first_released_deg", "last_loaded_deg", "measured_by", "turn_meant_deg", "turn_read_deg",
    "turn_read_by",
)  # fmt: skip
REMARK_COLUMNS = (
    "device", "sequence", "wall_time", "clock_trusted", "about_sequence", "operator", "text",
)  # fmt: skip
POINT_COLUMNS = (
    "device", "sequence", "outcome", "name", "drawing", "piece", "point", "kind",
    "x_mm", "y_mm", "z_mm",
)  # fmt: skip


def point_rows(device: str, record: Stored, piece: dict[str, Any]) -> list[Row]:
    """The rows of a piece's corner points as made, in the order of POINT_COLUMNS."""
    head = (device, record.sequence, *(piece[key] for key in ("outcome", "name", "drawing")))
    made = piece.get("as_made") or {"points": []}
    return [
        (*head, piece["piece"], number, point["kind"], point["x_mm"], point["y_mm"], point["z_mm"])
        for number, point in enumerate(made["points"], 1)
    ]


def run_row(device: str, record: Stored, piece: dict[str, Any]) -> Row:
    """The row of a piece, in the order of RUN_COLUMNS. Raises KeyError for one that is no piece."""
    shown = piece["findings"]
    by = {f["overridden_by"] for f in shown if f["overridden_by"] is not None}
    return (
        device,
        record.sequence,
        record.boot_id,
        record.wall_time,
        _TRUTH[record.clock_trusted],
        *_run_body(piece),
        piece["bender_values"].get("radius_mm"),
        len(piece["bends"]),
        piece["outcome"],
        piece["why"],
        "; ".join([f"{f['level']}: {f['rule']}" for f in shown]),
        "; ".join(sorted(name or "not named" for name in by)),
        piece["software"],
    )


def bend_rows(device: str, record: Stored, piece: dict[str, Any]) -> list[Row]:
    """The rows of a piece's bends, in the order of BEND_COLUMNS."""
    head = (
        device,
        record.sequence,
        record.wall_time,
        _TRUTH[record.clock_trusted],
        piece["outcome"],
        piece["name"],
        piece["material"],
        piece["od_mm"],
        piece["wall_mm"],
        piece["lot"],
        piece["bender"],
    )
    return [(*head, *_bend_cells(bend)) for bend in piece["bends"]]


def _bend_cells(bend: dict[str, Any]) -> Row:
    pulls, released = bend["pulls"], bend["released_deg"]
    cells, turned = _bend_body(bend), bend.get("turned") or {}
    turn = (turned.get("meant_deg"), turned.get("read_deg"), turned.get("by"))
    if not pulls:
        return (*cells, None, 0, None, None, None, None, *turn)
    first, last = pulls[0], pulls[-1]
    off = None if released is None else round(released - bend["target_deg"], 9)
    loaded = (first["pulled_to_deg"], first["released_deg"], last["pulled_to_deg"])
    return (*cells, off, len(pulls), *loaded, last["by"], *turn)


def remark_row(device: str, record: Stored, body: dict[str, Any]) -> Row:
    """The row of a remark, in the order of REMARK_COLUMNS."""
    trusted = _TRUTH[record.clock_trusted]
    told = (body["about"], body["operator"], body["text"])
    return (device, record.sequence, record.wall_time, trusted, *told)


_TRUTH = ("false", "true")
_run_body, _bend_body = itemgetter(*_RUN_BODY), itemgetter(*_BEND_BODY)


class _Neutral(dict[str, str]):
    """Texts and what is written for them; most come again and again."""

    def __missing__(self, text: str) -> str:
        written = neutral(text)
        if len(self) < _MOST_KEPT:
            self[text] = written
        return written


def neutral(text: str) -> str:
    """A text that no spreadsheet runs."""
    begins = first_seen(text) in BEGINS_FORMULA
    return f"'{text}" if begins and not _PLAIN_NUMBER.fullmatch(text) else text


class CsvFile:
    """CSV written through ``write``, a good many rows at a time."""

    def __init__(self, columns: tuple[str, ...], write: Callable[[bytes], object]) -> None:
        self._write = write
        self._rows: list[list[Any]] = []
        self._neutral = _Neutral()
        self._text = StringIO(newline="")
        self._writer = csv.writer(self._text, lineterminator="\r\n")
        self._writer.writerow(columns)

    def add(self, rows: Iterable[Row]) -> None:
        """Rows in the order of the columns: texts, numbers, None."""
        clean = self._neutral
        self._rows += [[clean[c] if type(c) is str else c for c in row] for row in rows]
        if len(self._rows) >= _ROWS:
            self.flush()

    def flush(self) -> None:
        """Write what is held back."""
        self._writer.writerows(self._rows)
        self._rows.clear()
        self._write(self._text.getvalue().encode())
        self._text.seek(0)
        self._text.truncate()
