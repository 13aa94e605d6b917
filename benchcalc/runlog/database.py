"""The one file that knows SQLite: connections, and what its errors mean."""

import sqlite3
from pathlib import Path
from typing import Any

from benchcalc.runlog.chain import Stored, linked

WAIT_S = 0.5  # for a tool that looks into the file; longer would freeze the panel
PAGE = 4096
"""The size of a page where a file does not tell; SQLite's own, which a store never changes."""

_DAMAGE_CODES = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_TOOBIG)
# In a damaged file SQLite's own error text may be no UTF-8, and Python stumbles over that instead.
FILE_ERRORS = (sqlite3.Error, UnicodeDecodeError)

Connection = sqlite3.Connection


class Damaged(Exception):
    """The database file cannot be what this program wrote."""


def _record_hash(previous: str, device: str, *columns: Any) -> str:
    """The hash of a record, for a schema step."""
    return linked(previous, Stored._make((*columns, "")).text(device).encode())


def connect(path: Path | str, uri: bool = False) -> Connection:
    """A connection that knows ``record_hash``; transactions are begun and ended by hand.

    A stored text that is no UTF-8 any more is read all the same; it cannot match its hash.
    """
    db = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None, uri=uri)
    db.text_factory = _text
    db.create_function("record_hash", 8, _record_hash, deterministic=True)
    return db


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


def only_to_read(path: Path) -> Connection:
    """A connection to a file that nobody changes meanwhile: no lock, and no file beside it."""
    return connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)


def code_of(error: Exception) -> int | None:
    """SQLite's result code of an error."""
    code: int | None = getattr(error, "sqlite_errorcode", None)
    return code


def is_damage(error: Exception) -> bool:
    """Whether an error says that the file's content is damaged."""
    code = code_of(error)
    if code is None:
        # An OperationalError without a code is Python's: a stored text that is no UTF-8.
        return isinstance(error, (Damaged, UnicodeDecodeError, sqlite3.OperationalError))
    return code & 0xFF in _DAMAGE_CODES
