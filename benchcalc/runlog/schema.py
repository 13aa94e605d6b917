"""The store's tables, as numbered steps.

A step that has shipped is never edited: a change is a new step at the end. Each step is applied in
one transaction with its row in ``schema_steps``.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Any, Protocol

from benchcalc.runlog.chain import FIRST

Step = tuple[str, ...]
"""The SQL statements of one step, in order."""

LEDGER = """
CREATE TABLE schema_steps (
    step INTEGER PRIMARY KEY,
    boot_id TEXT NOT NULL
) STRICT
"""
"""Which steps a store has; the only table that no step makes."""

_NO_UPDATE = """
CREATE TRIGGER records_no_update BEFORE UPDATE ON records
BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END
"""

STEPS: tuple[Step, ...] = (
    (
        """
        CREATE TABLE records (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            boot_id TEXT NOT NULL,
            wall_time TEXT NOT NULL,
            clock_trusted INTEGER NOT NULL CHECK (clock_trusted IN (0, 1)),
            kind TEXT NOT NULL,
            body TEXT NOT NULL
        ) STRICT
        """,
        "CREATE INDEX records_by_kind ON records (kind)",
        """
        CREATE TRIGGER records_no_update BEFORE UPDATE ON records
        BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END
        """,
        # REPLACE deletes first, and fires this trigger only under recursive_triggers = ON.
        """
        CREATE TRIGGER records_no_delete BEFORE DELETE ON records
        BEGIN SELECT RAISE(ABORT, 'a record is never deleted'); END
        """,
        "CREATE TABLE work (slot TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT",
    ),
    (
        "CREATE TABLE device (one INTEGER PRIMARY KEY CHECK (one = 1), id TEXT NOT NULL) STRICT",
        "INSERT INTO device VALUES (1, lower(hex(randomblob(8))))",
        """
        CREATE TRIGGER device_no_update BEFORE UPDATE ON device
        BEGIN SELECT RAISE(ABORT, 'a store keeps its name'); END
        """,
        """
        CREATE TRIGGER device_no_delete BEFORE DELETE ON device
        BEGIN SELECT RAISE(ABORT, 'a store keeps its name'); END
        """,
        "ALTER TABLE records ADD COLUMN hash TEXT NOT NULL DEFAULT ''",
        "DROP TRIGGER records_no_update",
        # The records of step 1 get their place in the chain, from the first to the last.
        f"""
        WITH RECURSIVE done(sequence, hash) AS (
            SELECT 0, '{FIRST}'
            UNION ALL
            SELECT r.sequence, record_hash(done.hash, device.id, r.sequence, r.boot_id,
                                           r.wall_time, r.clock_trusted, r.kind, r.body)
            FROM done JOIN records AS r ON r.sequence = done.sequence + 1 JOIN device
        )
        UPDATE records SET hash = done.hash FROM done WHERE records.sequence = done.sequence
        """,
        _NO_UPDATE,
    ),
    # Work in hand has no chain; a sum of its own tells a damaged number from a typed one.
    ("ALTER TABLE work ADD COLUMN hash TEXT NOT NULL DEFAULT ''",),
)
CHAINED, SUMMED = 2, 3
"""The steps from which on records have their hashes, and work its sums."""

KEEPS_DEVICE = STEPS[1][2]
"""The trigger that keeps a store's name."""


class Database(Protocol):
    """What is needed of a connection here."""

    def execute(self, sql: str, parameters: Sequence[Any] = (), /) -> Any:
        """Run one statement."""


@contextmanager
def transaction(db: Database) -> Iterator[None]:
    """All of what is done within, or nothing."""
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
        db.execute("COMMIT")
    except BaseException:
        with suppress(Exception):  # some failures have rolled back already
            db.execute("ROLLBACK")
        raise


def apply_steps(db: Database, boot_id: str, after: int) -> None:
    """Bring a store up from step ``after``; ``record_hash`` must be known to the connection."""
    for number, statements in enumerate(STEPS[after:], start=after + 1):
        with transaction(db):
            for statement in statements:
                db.execute(statement)
            db.execute("INSERT INTO schema_steps (step, boot_id) VALUES (?, ?)", (number, boot_id))


def shape(db: Database) -> list[tuple[Any, ...]]:
    """The tables, indexes and triggers of a store, to be compared."""
    found: list[tuple[Any, ...]] = db.execute(
        "SELECT type, name, sql FROM sqlite_schema ORDER BY name"
    ).fetchall()
    return found
