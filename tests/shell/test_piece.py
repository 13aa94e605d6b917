"""A stored piece read back for the panel, and a remark typed there as the copy has it."""

import csv
from pathlib import Path

import pytest

from benchcalc import cli
from benchcalc.core.springback.lessons import PIECE, REMARK, RESET
from benchcalc.panel.state.making.record import remark_record
from benchcalc.panel.state.messages import AppendRecord, MoreTaught, ReadPiece
from benchcalc.runlog.records import remark
from benchcalc.runlog.store import Store
from benchcalc.shell.memory import LOOKED_AT, carry_out, read_piece
from tests.panel.driver import Hands, Kept
from tests.panel.journeys import JOB

WHEN = "2026-01-02T03:04:05+00:00"


@pytest.fixture(scope="module")
def log() -> list[Kept]:
    """Three pieces far apart, remarks on two of them, and others between."""
    (piece,) = Hands().tap(*JOB).log
    other = Kept(RESET, {"bender": "gone"})
    far = [other] * (2 * LOOKED_AT + 3)
    said = [Kept(REMARK, remark(1, "first")), Kept(REMARK, remark(2, "second"))]
    return [piece, piece, *said, *far, piece, other, Kept(REMARK, remark(1, "again"))]


def test_every_piece_is_found_from_everywhere(log: list[Kept], tmp_path: Path) -> None:
    hands = Hands()
    hands.log = log
    with Store.open(tmp_path, "boot") as store:
        for kept in log:
            store.append(kept.kind, kept.body, WHEN, True)
        for number in range(len(log) + 2):
            for step in (-1, 0, 1):
                command = ReadPiece(number, step)
                found, wanted = read_piece(store, command), hands.piece(command)
                assert (found.entry is None) == (wanted.entry is None), command
                if found.entry is not None and wanted.entry is not None:
                    assert found.entry["sequence"] == wanted.entry["sequence"]
                    assert found.entry["body"] == wanted.entry["body"]
                remarks = [[r["body"] for r in one.remarks] for one in (found, wanted)]
                assert remarks[0] == remarks[1]


def test_an_empty_log_has_none(tmp_path: Path) -> None:
    with Store.open(tmp_path, "boot") as store:
        assert [read_piece(store, ReadPiece(0, step)).entry for step in (-1, 0, 1)] == [None] * 3


def test_a_remark_of_the_panel_goes_off_with_the_next_copy(
    log: list[Kept], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "state"))
    said = remark_record(1, "WEEPS AT THE FERRULE")
    with Store.open(tmp_path / "state", "boot") as store:
        store.append(PIECE, log[0].body, WHEN, True)
        (news,) = carry_out(store, AppendRecord(REMARK, said, {"form": 1}))
        assert news == MoreTaught(2, REMARK, said)
        assert store.load_work() == {"form": 1}, "the text typed and its record go together"
    assert cli.main(["export", str(tmp_path)]) == 0
    (table,) = tmp_path.glob("benchcalc-*/remarks.csv")
    (row,) = csv.DictReader(table.read_text(encoding="utf-8").splitlines())
    assert "WEEPS AT THE FERRULE" in row.values() and "1" in row.values()
    assert "WEEPS AT THE FERRULE" in table.with_name("records.jsonl").read_text(encoding="utf-8")


def test_a_remark_of_another_form_is_a_fault_of_ours(tmp_path: Path) -> None:
    with Store.open(tmp_path, "boot") as store, pytest.raises(ValueError, match="text missing"):
        carry_out(store, AppendRecord(REMARK, {"form": 2, "about": 1, "operator": ""}))
    with Store.open(tmp_path, "boot") as store:
        assert store.head()[0] == 0
