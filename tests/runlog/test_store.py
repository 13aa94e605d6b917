"""The store in good health: what it keeps, what it refuses, and the settings it stands on."""

import sqlite3
import tracemalloc
from pathlib import Path
from typing import Any

import pytest

from benchcalc.runlog import opening, schema
from benchcalc.runlog.database import connect
from benchcalc.runlog.store import Store, StoreBusy, StoreError, StoreNewer
from tests.runlog.bench_log import fill_fast

NAMES = ["records.db", "records.head.json", "records.lock"]
WHEN = "2031-05-04T09:30:00+00:00"


def put(open_store: Store, n: int, kind: str = "piece", work: Any = None) -> int:
    return open_store.append(kind, {"n": n}, WHEN, clock_trusted=False, work=work)


def test_records_and_work_are_there_after_reopening(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / "bench"
    with Store.open(folder, "boot-1") as first:
        assert first.set_aside is None
        assert first.load_work() is None
        assert put(first, 1, work={"step": "mark", "typed": "½ é"}) == 1
        first.save_work("other", ["x"])
    with Store.open(folder, "boot-2") as second:
        assert second.append("note", {"ä": 1.5}, WHEN, clock_trusted=True) == 2
        entries = list(second.records())
        assert entries[0][:-1] == (1, "boot-1", WHEN, False, "piece", {"n": 1})
        assert entries[1][:-1] == (2, "boot-2", WHEN, True, "note", {"ä": 1.5})
        assert second.load_work() == {"step": "mark", "typed": "½ é"}
        assert second.load_work("other") == ["x"]
        assert second.load_work("none") is None


def test_bodies_are_compact_sorted_and_readable(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        opened.append("piece", {"b": [1, 2], "a": "é"}, WHEN, False, work={"z": 1, "c": None})
        texts = opened._writing.execute("SELECT body FROM records UNION ALL SELECT body FROM work")
        assert [t for (t,) in texts] == ['{"a":"é","b":[1,2]}', '{"c":null,"z":1}']


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), "\ud800"])
def test_a_body_that_is_no_json_is_refused_and_nothing_is_kept(tmp_path: Path, bad: Any) -> None:
    with Store.open(tmp_path, "b") as opened:
        with pytest.raises(ValueError):
            opened.append("piece", {"x": bad}, WHEN, False)
        with pytest.raises(ValueError):
            opened.append("piece", {"x": 1}, WHEN, False, work={"x": bad})
        with pytest.raises(ValueError):
            opened.save_work("panel", bad)
        assert opened.count() == 0
        assert put(opened, 1) == 1


def test_records_by_kind_and_after(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        for n in range(1, 351):
            put(opened, n, kind="trial" if n % 3 == 0 else "piece")
        assert [e.sequence for e in opened.records()] == list(range(1, 351))
        assert [e.sequence for e in opened.records("trial")] == list(range(3, 351, 3))
        assert [e.sequence for e in opened.records("trial", after=345)] == [348]
        assert [e.sequence for e in opened.records(after=350)] == []
        assert (opened.count(), opened.count("trial"), opened.count("x")) == (350, 116, 0)


def test_reading_many_records_takes_little_memory_and_lets_writes_in(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        fill_fast(opened, 3000, {"pad": "x" * 2000})
        tracemalloc.start()
        reader = opened.records()
        next(reader)
        put(opened, 1)  # a read half done does not stand in the way
        assert sum(1 for _ in reader) == 3000
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert peak < 1_500_000  # all of them are over 6 MB


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE records SET body = '{}' WHERE sequence = 1",
        "UPDATE OR IGNORE records SET kind = 'x'",
        "UPDATE OR REPLACE records SET sequence = 2 WHERE sequence = 1",
        "DELETE FROM records",
        "DELETE FROM records WHERE sequence = 2",
        "INSERT OR REPLACE INTO records VALUES (1, 'b', 'w', 0, 'piece', '{}', 'h')",
        "REPLACE INTO records VALUES (2, 'b', 'w', 0, 'piece', '{}', 'h')",
        "INSERT INTO records VALUES (2, 'b', 'w', 0, 'piece', '{}', 'h')",
        "INSERT INTO records VALUES (2, 'b', 'w', 0, 'piece', '{}', 'h') "
        "ON CONFLICT (sequence) DO UPDATE SET body = excluded.body",
        "UPDATE device SET id = 'another'",
        "DELETE FROM device",
        "REPLACE INTO device VALUES (1, 'another')",
        "INSERT INTO device VALUES (2, 'another')",
    ],
)
def test_a_record_is_never_changed(tmp_path: Path, statement: str) -> None:
    with Store.open(tmp_path, "b") as opened:
        put(opened, 1)
        put(opened, 2)
        before = list(opened.records())
        with pytest.raises(sqlite3.IntegrityError):
            opened._writing.execute(statement)
        assert list(opened.records()) == before


def test_without_recursive_triggers_replace_would_walk_through(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        put(opened, 1)
        opened._writing.execute("PRAGMA recursive_triggers = OFF")
        opened._writing.execute("REPLACE INTO records VALUES (1, 'b', 'w', 0, 'piece', '{}', 'h')")
        assert list(opened.records()) == []  # and the chain would tell
        assert [damage.first for damage in opened.damage] == [1]


def test_the_settings_have_taken(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        for name, wanted in [
            ("journal_mode", "wal"),
            ("synchronous", 2),
            ("recursive_triggers", 1),
            ("foreign_keys", 1),
            ("mmap_size", 0),
        ]:
            assert opened._writing.execute(f"PRAGMA {name}").fetchone() == (wanted,)
        assert opened._writing.isolation_level is None


def test_a_setting_that_does_not_take_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A page size cannot change once the log is on: SQLite ignores the wish without an error.
    monkeypatch.setitem(opening._PRAGMAS, "page_size", 8192)
    with pytest.raises(StoreError, match="page_size is 4096, must be 8192"):
        Store.open(tmp_path, "b")
    monkeypatch.delitem(opening._PRAGMAS, "page_size")
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside is None


def test_a_second_opener_is_told_and_does_no_harm(tmp_path: Path) -> None:
    first = Store.open(tmp_path, "b")
    with pytest.raises(StoreBusy, match="in use by another benchcalc"):
        Store.open(tmp_path, "b")
    put(first, 1)
    first.close()
    first.close()
    with Store.open(tmp_path, "b") as again:
        assert again.count() == 1


def test_an_older_store_is_brought_up_step_by_step(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Store.open(tmp_path, "b") as opened:
        put(opened, 1, work={"a": 1})
    more = (("ALTER TABLE work ADD COLUMN remark TEXT",), ("CREATE TABLE lots (lot TEXT) STRICT",))
    monkeypatch.setattr(schema, "STEPS", schema.STEPS + more)
    with Store.open(tmp_path, "later") as opened:
        assert opened.set_aside is None
        assert opened.load_work() == {"a": 1}
        steps = opened._writing.execute("SELECT step, boot_id FROM schema_steps").fetchall()
        assert steps == [(1, "b"), (2, "b"), (3, "b"), (4, "later"), (5, "later")]


def test_a_step_that_fails_leaves_nothing_of_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Store.open(tmp_path, "b").close()
    db = connect(tmp_path / "records.db")
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, ("CREATE TABLE one (a)", "NONSENSE")))
    with pytest.raises(sqlite3.OperationalError):
        schema.apply_steps(db, "b", after=len(schema.STEPS) - 1)
    assert db.execute("SELECT step FROM schema_steps").fetchall() == [(1,), (2,), (3,)]
    assert db.execute("SELECT 1 FROM sqlite_schema WHERE name = 'one'").fetchone() is None
    db.close()


def test_a_step_that_a_store_does_not_take_leaves_the_store_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is tried on a copy: of two steps of which the second fails, not even the first is kept."""
    with Store.open(tmp_path, "b") as opened:
        put(opened, 1, work={"a": 1})
    before = (tmp_path / "records.db").read_bytes()
    more = (
        ("CREATE TABLE lots (lot TEXT) STRICT",),
        ("CREATE UNIQUE INDEX one_each ON records (kind, boot_id)", "INSERT INTO lots VALUES (x)"),
    )
    with monkeypatch.context() as later:
        later.setattr(schema, "STEPS", schema.STEPS + more)
        with pytest.raises(StoreError, match=r"from form 3 to form 5 .*Nothing was changed"):
            Store.open(tmp_path, "later")
    assert (tmp_path / "records.db").read_bytes() == before
    assert sorted(p.name for p in tmp_path.iterdir()) == NAMES
    with Store.open(tmp_path, "b") as opened:
        assert opened.load_work() == {"a": 1} and opened.count() == 1


def test_a_newer_store_is_refused_and_untouched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    more = ("ALTER TABLE work ADD COLUMN remark TEXT",)
    with monkeypatch.context() as later:
        later.setattr(schema, "STEPS", (*schema.STEPS, more))
        with Store.open(tmp_path, "b") as opened:
            put(opened, 1)
    before = (tmp_path / "records.db").read_bytes()
    with pytest.raises(StoreNewer, match=r"newer benchcalc \(form 4, this one knows 3\)"):
        Store.open(tmp_path, "b")
    assert (tmp_path / "records.db").read_bytes() == before
    assert sorted(p.name for p in tmp_path.iterdir()) == NAMES
