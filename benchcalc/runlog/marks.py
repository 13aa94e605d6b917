"""Small files beside the log that say what it once held, so that a loss from it shows.

``records.head.json`` is where the chain ended after the last record that was acknowledged,
``records.copied.json`` where it ended in the last copy. A mark that lags behind its log is no loss:
the power may go between a record and its mark. A log that lags behind its mark has lost something.

``records.notices.json`` is what the panel has to say until someone has pressed it away.
"""

import json
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.runlog.body import read_value
from benchcalc.runlog.chain import Head, is_hash
from benchcalc.runlog.folder import replace_whole

HEAD_FILE, COPIED_FILE = "records.head.json", "records.copied.json"
NOTICES_FILE = "records.notices.json"


class LogMark(NamedTuple):
    """Where the chain of a device ended."""

    device: str
    sequence: int
    hash: str

    @property
    def head(self) -> Head:
        """The chain's end."""
        return Head(self.sequence, self.hash)


def read_mark(path: Path) -> LogMark | None:
    """A mark, None where there is none that makes sense."""
    plain = _read(path)
    try:
        mark = LogMark(str(plain["device"]), int(plain["sequence"]), str(plain["hash"]))
        return mark if plain["sum"] == _sum(mark) and is_hash(mark.hash) else None
    except (KeyError, TypeError, ValueError):
        return None


def keep_mark(path: Path, mark: LogMark) -> None:
    """Put a mark in the place of the one before. Raises OSError."""
    replace_whole(path, json.dumps({**mark._asdict(), "sum": _sum(mark)}).encode())


def mark_copied(folder: Path, mark: LogMark) -> None:
    """Remember that all up to here was copied off, once the copy is whole. Raises OSError."""
    before = read_mark(folder / COPIED_FILE)
    if before is None or before.device != mark.device or before.sequence < mark.sequence:
        keep_mark(folder / COPIED_FILE, mark)


def _sum(mark: LogMark) -> str:
    """A mark that was damaged itself must accuse nobody."""
    return sha256(repr(tuple(mark)).encode()).hexdigest()[:16]


def read_notices(folder: Path) -> list[dict[str, Any]]:
    """What is to be said until it is pressed away, oldest first."""
    plain = _read(folder / NOTICES_FILE)
    return [one for one in plain if isinstance(one, dict)] if isinstance(plain, list) else []


def add_notice(folder: Path, **notice: Any) -> None:
    """One more thing to be said. Raises OSError."""
    data = json.dumps([*read_notices(folder), notice]).encode()
    replace_whole(folder / NOTICES_FILE, data)


def clear_notices(folder: Path) -> None:
    """Someone has pressed them away. Raises OSError."""
    (folder / NOTICES_FILE).unlink(missing_ok=True)


def _read(path: Path) -> Any:
    with suppress(OSError, ValueError):
        if path.is_file():
            return read_value(path.read_text(encoding="utf-8"))
    return None
