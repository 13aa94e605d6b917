"""Copies of several benches made into one: each record once, whatever overlaps."""

import json
import random
import shutil
from pathlib import Path
from typing import Any

import pytest

from benchcalc.runlog.copies.collect import copies_in
from benchcalc.runlog.copies.verify import verify
from benchcalc.runlog.records import PIECE
from benchcalc.runlog.store import Store
from tests.runlog.bench_log import WHEN, bench_log, piece
from tests.runlog.copying import collected, copied
from tests.runlog.test_export import rows_of


def add(store: Store, pieces: int, seed: int = 50) -> None:
    dice = random.Random(seed)
    for _ in range(pieces):
        store.append(PIECE, piece(dice), WHEN, False)


class Learner:
    """Counts what it is shown."""

    def __init__(self) -> None:
        self.seen: list[tuple[str, str]] = []

    def take(self, device: str, sequence: int, kind: str, body: dict[str, Any], day: str) -> None:
        self.seen.append((device, kind))

    def state(self) -> dict[str, Any]:
        return {"seen": len(self.seen), "devices": sorted({d for d, _ in self.seen})}


def files_of(folder: Path) -> dict[str, bytes]:
    """All that does not carry the time or name of its making."""
    return {
        str(p.relative_to(folder)): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and p.name not in ("HEAD.json", "MANIFEST", "report.html")
    }


@pytest.fixture
def stick(memory: Path) -> Path:
    """Two benches, three copies of the first that overlap, two of the second that do not."""
    into = memory / "stick"
    into.mkdir()
    with bench_log(memory / "one", pieces=10, seed=1) as one:
        copied(one, into)
        add(one, 5)
        copied(one, into, after=7)
        copied(one, into)
    with bench_log(memory / "two", pieces=4, seed=2) as two:
        copied(two, into)
        add(two, 3)
        copied(two, into, after=6)
    return into


def test_every_record_is_there_once(memory: Path, stick: Path) -> None:
    learner = Learner()
    told = collected([stick], memory / "all", learner)
    assert (told.devices, told.records, told.notes) == (2, 17 + 9, ())
    bends = rows_of(told.folder, "bends.csv")
    assert len({(b["device"], b["sequence"], b["number"]) for b in bends}) == len(bends)
    assert len(rows_of(told.folder, "runs.csv")) == 16 + 8
    assert verify(told.folder).verdict == "whole"
    state = json.loads((told.folder / "springback.json").read_text())
    assert state["seen"] == 26 and len(state["devices"]) == 2


def test_order_and_repetition_change_nothing(memory: Path, stick: Path) -> None:
    copies = copies_in([stick])
    wanted = files_of(collected([stick], memory / "all").folder)
    dice = random.Random(5)
    for number in range(6):
        some = [*copies, *dice.sample(copies, 3)]
        dice.shuffle(some)
        assert files_of(collected(some, memory / f"again-{number}").folder) == wanted
    once_more = collected([stick, memory / "all"], memory / "both")
    assert files_of(once_more.folder) == wanted


def test_the_layout(memory: Path, stick: Path) -> None:
    folder = collected([stick], memory / "all").folder
    lines = rows = 0
    for path in folder.glob("records/device=*/month=*/records.jsonl"):
        for line in path.read_text().splitlines():
            record = json.loads(line)
            assert path.parent.name == f"month={record['wall_time'][:7]}"
            assert path.parent.parent.name == f"device={record['device']}"
            lines += 1
    for path in folder.glob("bends/device=*/month=*/bends.jsonl"):
        rows += len(path.read_text().splitlines())
    assert (lines, rows) == (26, len(rows_of(folder, "bends.csv")))


def test_a_copy_that_is_not_whole_is_left_out_and_named(memory: Path, stick: Path) -> None:
    copies = copies_in([stick])
    for copy in copies[:2]:
        (copy / "records.jsonl").write_bytes((copy / "records.jsonl").read_bytes()[:-9])
    told = collected([stick], memory / "all")
    assert [note.split(" left out, ")[0] for note in told.notes[:2]] == [c.name for c in copies[:2]]
    assert verify(told.folder).verdict == "whole"


def test_what_no_copy_holds_is_named(memory: Path) -> None:
    with bench_log(memory / "one", pieces=10) as store:
        first = copied(store, memory)
        add(store, 6)
        later = copied(store, memory, after=15)
    told = collected([first.folder, later.folder], memory / "all")
    assert told.notes == (f"Records 13 to 15 of device {store.device} are in no copy.",)
    assert told.records == 12 + 3
    assert verify(told.folder).verdict == "whole"


def test_a_cloned_bench_is_told_and_its_records_do_not_mix(memory: Path) -> None:
    with bench_log(memory / "one", pieces=5) as store:
        pass
    shutil.copytree(memory / "one", memory / "clone")
    for name, seed in (("one", 1), ("clone", 2)):
        with Store.open(memory / name, "b") as store:
            add(store, 3, seed)
            (memory / f"of {name}").mkdir()
            copied(store, memory / f"of {name}")
            add(store, 1, seed)
            copied(store, memory / f"of {name}", after=3)
    told = collected([memory / "of one", memory / "of clone"], memory / "all")
    assert any("they differ from another copy" in note for note in told.notes)
    assert verify(told.folder).verdict == "whole"
    runs = rows_of(told.folder, "runs.csv")
    assert len({run["sequence"] for run in runs}) == len(runs) == 5 + 1 + 4


def test_a_folder_without_a_copy_is_refused(memory: Path) -> None:
    with pytest.raises(FileNotFoundError, match="neither a copy nor a folder with copies"):
        copies_in([memory])


def test_a_clone_whose_copy_begins_before_they_part_is_told_too(memory: Path) -> None:
    with bench_log(memory / "one", pieces=5) as store:
        pass
    shutil.copytree(memory / "one", memory / "clone")
    copies = []
    for name, pieces, after in (("one", 2, 0), ("clone", 5, 3)):
        with Store.open(memory / name, "b") as store:
            add(store, pieces, seed=pieces)
            (memory / f"of {name}").mkdir()
            copies.append(copied(store, memory / f"of {name}", after=after).folder)
    told = collected(copies, memory / "all")
    assert len(told.notes) == 1 and "4 to 12 of device" in told.notes[0]
    assert told.records == 9
    assert verify(told.folder).verdict == "whole"
