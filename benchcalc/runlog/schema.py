"""The store's tables, as numbered steps.

A step that has shipped is never edited: a change is a new step at the end. Each step is applied in
one transaction with its row in ``schema_steps``.
"""

Step = tuple[str, ...]
"""The SQL statements of one step, in order."""

LEDGER = """
CREATE TABLE schema_steps (
    step INTEGER PRIMARY KEY,
    boot_id TEXT NOT NULL
) STRICT
"""
"""Which steps a store has; the only table that no step makes."""

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
)
