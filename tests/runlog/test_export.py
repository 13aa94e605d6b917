"""A copy: what is in it, what of it is new, what is said when it cannot be made."""

import csv
import json
import random
import subprocess
from pathlib import Path

import pytest

from benchcalc.runlog.chain import FIRST
from benchcalc.runlog.copies.csv_text import neutral
from benchcalc.runlog.copies.export import Enclosed, export
from benchcalc.runlog.copies.manifest import read_head
from benchcalc.runlog.copies.media import CopyFailed, Disk
from benchcalc.runlog.copies.verify import verify
from benchcalc.runlog.marks import COPIED_FILE, LogMark, keep_mark
from benchcalc.runlog.records import PIECE
from benchcalc.runlog.store import Store
from tests.runlog.bench_log import WHEN, bench_log, old_piece, piece
from tests.runlog.copying import copied, finished

FORMULAS = ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\tx", "\rx", "\n=x", " =1", "＝1"]
PLAIN = ["-12", "+4.5", "W2208", "a=b", "3-way", "", "é ½", 'say "no"', "a,b", "a\nb", "'x"]


def rows_of(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_copy_holds_everything_and_the_system_s_own_tool_finds_it_whole(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store:
        enclosed = Enclosed({"benders.yaml": b"x: 1\n"}, {"lots": {"W2208": [1, 2]}}, WHEN, True)
        exported = copied(store, tmp_path, enclosed)
        head = store.head()
    folder = exported.folder
    assert sorted(p.name for p in folder.iterdir()) == [
        "HEAD.json", "MANIFEST", "benders.yaml", "bends.csv", "points.csv", "records.jsonl",
        "remarks.csv", "report.html", "runs.csv", "springback.json",
    ]  # fmt: skip
    checked = subprocess.run(["sha256sum", "--strict", "-c", "MANIFEST"], cwd=folder)
    assert checked.returncode == 0
    read = read_head((folder / "HEAD.json").read_bytes())
    assert [(s.after, s.after_hash, s.last, s.last_hash) for s in read.spans] == [
        (0, FIRST, head.sequence, head.hash)
    ]
    assert json.loads((folder / "springback.json").read_text()) == {"lots": {"W2208": [1, 2]}}
    assert exported.records == head.sequence == 14


def test_the_lines_are_the_records(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store:
        folder = copied(store, tmp_path).folder
        entries = list(store.records())
        lines = [json.loads(t) for t in (folder / "records.jsonl").read_text().splitlines()]
        assert [line.pop("device") for line in lines] == [store.device] * len(entries)
        assert lines == [entry._asdict() for entry in entries]


def test_runs_bends_and_remarks_say_what_the_records_say(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store:
        folder = copied(store, tmp_path).folder
        pieces = list(store.records(PIECE))
    runs, bends = rows_of(folder, "runs.csv"), rows_of(folder, "bends.csv")
    assert [int(r["sequence"]) for r in runs] == [e.sequence for e in pieces]
    assert [r["tolerance_deg"] for r in runs] == ["0.5"] * 12 + [""]  # the old form kept none
    wanted = [(e.sequence, b["number"], b) for e in pieces for b in e.body["bends"]]
    assert len(bends) == len(wanted) == 12 * 4 + 2
    for row, (sequence, number, bend) in zip(bends, wanted, strict=True):
        assert (int(row["sequence"]), int(row["number"])) == (sequence, number)
        for key in ("target_deg", "bend_to_deg", "turn_deg", "mark_mm", "released_deg"):
            assert float(row[key]) == bend[key]
        off = bend["released_deg"] - bend["target_deg"]
        assert float(row["error_deg"]) == pytest.approx(off, abs=1e-9)
        assert float(row["last_loaded_deg"]) == bend["pulls"][-1]["pulled_to_deg"]
        assert int(row["pulls"]) == len(bend["pulls"])
    (remark,) = rows_of(folder, "remarks.csv")
    assert (remark["about_sequence"], remark["text"]) == ("1", "leaks at the ferrule")


def test_a_measured_turn_is_a_row_s_last_cells(tmp_path: Path) -> None:
    turned = {"meant_deg": -90.0, "read_deg": -91.2, "width_deg": 0.5, "by": "sensor"}
    with bench_log(tmp_path / "state") as store:
        body = piece(random.Random(4))
        body["bends"][1]["turned"] = turned
        store.append(PIECE, body, WHEN, False)
        rows = rows_of(copied(store, tmp_path).folder, "bends.csv")[-4:]
    assert [row["turn_read_deg"] for row in rows] == ["", "-91.2", "", ""]
    assert (rows[1]["turn_meant_deg"], rows[1]["turn_read_by"]) == ("-90.0", "sensor")


def test_only_what_is_new_and_all_on_request(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store:
        assert store.copied_to() == 0
        store.mark_copied(copied(store, tmp_path).head)
        assert store.copied_to() == 14
        store.append(PIECE, piece(random.Random(9)), WHEN, False)
        later = copied(store, tmp_path, after=store.copied_to())
        assert (later.after, later.head.sequence, later.records) == (14, 15, 1)
        assert [int(r["sequence"]) for r in rows_of(later.folder, "runs.csv")] == [15]
        assert verify(later.folder).verdict == "whole"
        store.mark_copied(later.head)
        everything = copied(store, tmp_path)
        assert everything.records == 15
        store.mark_copied(everything.head._replace(sequence=3))
        assert store.copied_to() == 15


def test_a_mark_of_another_store_says_nothing(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store:
        keep_mark(tmp_path / "state" / COPIED_FILE, LogMark("f" * 16, *store.head()))
        assert store.copied_to() == 0


def test_records_added_while_copying_are_left_for_the_next_copy(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state", pieces=450) as store:
        steps = export(store, tmp_path, Disk(), Enclosed())
        next(steps)
        store.append(PIECE, old_piece(random.Random(1)), WHEN, False)
        exported = finished(steps)
        assert exported.head.sequence == exported.records == 452
        assert verify(exported.folder).verdict == "whole"


def test_progress_grows_to_one_and_a_cancelled_copy_leaves_nothing(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state", pieces=900) as store:
        into = tmp_path / "stick"
        into.mkdir()
        shares = [step.share for step in export(store, into, Disk(), Enclosed())]
        assert shares == sorted(shares) and shares[-1] == 1.0 and len(shares) > 6
        (whole,) = into.iterdir()
        for cancelled_after in range(1, len(shares) + 1):
            steps = export(store, into, Disk(), Enclosed())
            for _ in range(cancelled_after):
                next(steps)
            steps.close()
            assert list(into.iterdir()) == [whole]


def test_each_copy_has_a_folder_of_its_own(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store:
        names = [copied(store, tmp_path).folder.name for _ in range(3)]
    first = f"benchcalc-{store.device[:8]}-000001-000014"
    assert names == [first, f"{first}-2", f"{first}-3"]


@pytest.mark.parametrize("text", FORMULAS)
def test_what_a_spreadsheet_would_run_is_made_text(text: str) -> None:
    assert neutral(text) == f"'{text}"


@pytest.mark.parametrize("text", PLAIN)
def test_other_text_stays_as_it_is(text: str) -> None:
    assert neutral(text) == text


def test_odd_texts_come_back_from_the_csv(tmp_path: Path) -> None:
    dice = random.Random(4)
    with Store.open(tmp_path / "state", "b") as store:
        for text in FORMULAS + PLAIN:
            store.append(PIECE, piece(dice, name=text, lot=text), WHEN, False)
        folder = copied(store, tmp_path).folder
    data = (folder / "runs.csv").read_bytes()
    assert data.count(b"\r\n") == len(FORMULAS + PLAIN) + 1
    rows = rows_of(folder, "runs.csv")
    assert [row["name"] for row in rows] == [f"'{t}" for t in FORMULAS] + PLAIN
    bends = rows_of(folder, "bends.csv")
    assert {float(b["turn_deg"]) for b in bends} == {-90.0, 0.0, 180.0}


def test_a_record_that_no_table_can_hold_is_told_and_in_the_lines(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store:
        store.append(PIECE, {"form": 9}, WHEN, False)
        exported = copied(store, tmp_path)
        assert len(exported.notes) == 1 and f"15 of {store.device}" in exported.notes[0]
    assert len((exported.folder / "records.jsonl").read_text().splitlines()) == 15
    assert verify(exported.folder).verdict == "whole"


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store, pytest.raises(CopyFailed, match="not there"):
        copied(store, tmp_path / "stick")


def test_a_name_that_a_stick_may_not_hold_is_a_fault_of_ours(tmp_path: Path) -> None:
    with bench_log(tmp_path / "state") as store:
        for name in ("a:b", "con|x", "é.yaml", "../x", "x.", ".", "a b", "what?"):
            with pytest.raises(ValueError, match="may not hold"):
                copied(store, tmp_path, Enclosed({name: b""}))
    assert [p.name for p in tmp_path.iterdir()] == ["state"]
