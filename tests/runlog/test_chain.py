"""The chain over the records: where it ends, how it is made, and what it shows."""

import json
import sqlite3
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from benchcalc.runlog import schema
from benchcalc.runlog.body import read_body
from benchcalc.runlog.chain import FIRST, Stored, checked, export_line, linked, parse_line
from benchcalc.runlog.database import connect
from benchcalc.runlog.look import look, sentences
from benchcalc.runlog.store import Head, Store

WHEN = "2031-05-04T09:30:00+00:00"


def put(opened: Store, n: int) -> int:
    return opened.append("piece", {"n": n, "lot": "½ é"}, WHEN, n % 2 == 0)


def test_each_hash_covers_the_record_and_the_hash_before(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        assert opened.head() == Head(0, FIRST)
        put(opened, 1)
        put(opened, 2)
        # By hand, as anybody could with a JSON library and sha256sum.
        device, previous = opened.device, "0" * 64
        for n in (1, 2):
            whole = {
                "device": device, "sequence": n, "boot_id": "b", "wall_time": WHEN,
                "clock_trusted": n == 2, "kind": "piece", "body": {"lot": "½ é", "n": n},
            }  # fmt: skip
            text = json.dumps(whole, ensure_ascii=False, separators=(",", ":"))
            previous = sha256(f"{previous}\n{text}".encode()).hexdigest()
        assert opened.head() == (2, previous)
        assert [e.hash for e in opened.records()][1] == previous


def test_the_device_is_named_once(tmp_path: Path) -> None:
    with Store.open(tmp_path / "a", "b") as one, Store.open(tmp_path / "b", "b") as other:
        assert one.device != other.device
        name = one.device
        assert len(name) == 16 and int(name, 16) >= 0
    with Store.open(tmp_path / "a", "later") as again:
        assert again.device == name


def test_a_store_of_the_first_step_gets_its_chain(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first_step(tmp_path, 250)
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside is None
        put(opened, 251)
        entries = list(opened.records())
        last = [e.hash for e in entries]
        assert [e.body["n"] for e in entries] == list(range(1, 252))
    previous = FIRST
    for record, told in zip(entries, last, strict=True):
        whole = {"device": opened.device, **record._asdict()}
        del whole["hash"]
        text = json.dumps(whole, ensure_ascii=False, separators=(",", ":"))
        previous = sha256(f"{previous}\n{text}".encode()).hexdigest()
        assert told == previous


def first_step(folder: Path, records: int) -> None:
    """A store as the program made it before there was a chain."""
    db = sqlite3.connect(folder / "records.db", isolation_level=None)
    db.execute("PRAGMA journal_mode = wal")
    db.execute(schema.LEDGER)
    for statement in schema.STEPS[0]:
        db.execute(statement)
    db.execute("INSERT INTO schema_steps VALUES (1, 'b')")
    rows = [("b", WHEN, n % 2, "piece", f'{{"lot":"½ é","n":{n}}}') for n in range(1, records + 1)]
    db.execute("BEGIN")
    db.executemany(
        "INSERT INTO records (boot_id, wall_time, clock_trusted, kind, body) "
        "VALUES (?, ?, ?, ?, ?)",
        rows,
    )
    db.execute("COMMIT")
    db.close()


def edited(statement: str) -> Callable[[sqlite3.Connection], None]:
    def do(db: sqlite3.Connection) -> None:
        triggers = ("records_no_update", "records_no_delete")
        kept = [
            db.execute("SELECT sql FROM sqlite_schema WHERE name = ?", (t,)).fetchone()[0]
            for t in triggers
        ]
        for trigger in triggers:
            db.execute(f"DROP TRIGGER {trigger}")
        db.execute(statement)
        for sql in kept:
            db.execute(sql)

    return do


DEVICE_TRIGGER = schema.STEPS[1][2]


def other_device(db: sqlite3.Connection) -> None:
    db.executescript(
        f"DROP TRIGGER device_no_update; UPDATE device SET id = '00'; {DEVICE_TRIGGER}"
    )


EDITS = {
    "last changed": edited("UPDATE records SET body = '{\"n\":9}' WHERE sequence = 5"),
    "last given another time": edited("UPDATE records SET wall_time = 'x' WHERE sequence = 5"),
    "one before removed": edited("DELETE FROM records WHERE sequence = 4"),
    "hash changed": edited("UPDATE records SET hash = 'x' WHERE sequence = 4"),
    "another device": other_device,
}


FOUND = {
    "last changed": (4, ["Record 5 does not match its hash."]),
    "last given another time": (4, ["Record 5 does not match its hash."]),
    "one before removed": (4, ["Record 4 is missing."]),
    # The record after it proves its text.
    "hash changed": (5, []),
    "another device": (5, []),
}


@pytest.mark.parametrize("edit", EDITS)
def test_an_edit_is_found_and_stays_in_its_record(tmp_path: Path, edit: str) -> None:
    with Store.open(tmp_path, "b") as opened:
        for n in range(1, 6):
            put(opened, n)
        device, head = opened.device, opened.head()
    db = sqlite3.connect(tmp_path / "records.db", isolation_level=None)
    EDITS[edit](db)
    db.close()
    with Store.open(tmp_path, "b") as again:
        assert (again.device, again.head()) == (device, head)
        looked = look(again)
        assert (looked.whole, sentences(looked)) == FOUND[edit]
        assert put(again, 6) == 6  # and the log goes on
        assert again.count() == 6 - (edit == "one before removed")
    with Store.open(tmp_path, "b") as third:
        assert look(third).whole == FOUND[edit][0] + 1


def test_an_edit_behind_the_back_of_a_running_panel_is_found(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        put(opened, 1)
        put(opened, 2)
        db = connect(tmp_path / "records.db")
        edited("UPDATE records SET body = '{}' WHERE sequence = 2")(db)
        db.close()
        assert put(opened, 3) == 3
        assert [e.sequence for e in opened.records()] == [1, 3]
        assert [d.says for d in opened.damage] == ["Record 2 does not match its hash."]


def test_a_hash_known_from_elsewhere_proves_the_last_record_or_accuses_it(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        for n in range(1, 4):
            put(opened, n)
        rows, device = list(opened.stored()), opened.device
    *before, last = rows
    start = Head(0, FIRST)
    broken = [*before, last._replace(hash="f" * 64)]
    assert [bool(one.wrong) for one in checked(broken, device, start)] == [False, False, True]
    proved = list(checked(broken, device, start, {3: last.hash}))
    assert [one.record for one in proved] == rows and not proved[-1].wrong
    # Someone who works the hash out again after an edit is found by the mark.
    edited_ = last._replace(body='{"n":9}')
    own = linked(before[-1].hash, edited_.text(device).encode())
    forged = [*before, edited_._replace(hash=own)]
    assert not list(checked(forged, device, start))[-1].wrong
    assert list(checked(forged, device, start, {3: last.hash}))[-1].wrong


def test_a_line_of_an_export_comes_apart_again() -> None:
    record = Stored(7, 'b"\\', "w", 1, "piece", '{"lot":"é"}', "ab" * 32)
    text = record.text("0123456789abcdef").encode()
    line = export_line(text, record.hash)
    assert json.loads(line)["hash"] == record.hash
    assert parse_line(line, "here") == ("0123456789abcdef", record, text, "here")
    for bad in (
        b"",
        b"\n",
        b"{}\n",
        line[:-1],
        line[1:-1],
        line[:40],
        line.replace(b'"hash"', b'"hush"'),
        line.replace(b"0123456789abcdef", b"../../etc/passwd"),
        line.replace(b'"w"', b'"\\ud800"'),
        line.replace(b'"w"', b'"\\u0077"'),
        line.replace(b'"w"', b'"\xff"'),
    ):
        with pytest.raises(ValueError):
            parse_line(bad)


@pytest.mark.parametrize(
    "number", ["1e999", "-1E999", "9" * 21, "9" * 400 + ".5", "NaN", "-Infinity"]
)
@pytest.mark.parametrize("before", ["", '"a":0.1,', '"a":"9e9",'])
def test_a_number_that_cannot_be_is_refused_wherever_it_stands(number: str, before: str) -> None:
    with pytest.raises(ValueError, match=r"no number|too long"):
        read_body(f'{{{before}"b":{number}}}')
    assert read_body(f'{{{before}"b":{"9" * 20},"c":1.5e300,"d":0.30000000000000004}}')["d"] > 0.3
