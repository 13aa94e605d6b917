"""The log is read beside an open panel and left as it is; so is a file that was set aside."""

import random
import shutil
import sqlite3
from pathlib import Path

import pytest

from benchcalc.runlog import beside
from benchcalc.runlog.beside import Log
from benchcalc.runlog.chain import Stored
from benchcalc.runlog.copies.verify import verify
from benchcalc.runlog.look import look
from benchcalc.runlog.store import Store, StoreError
from tests.runlog.bench_log import bench_log, piece
from tests.runlog.copying import copied
from tests.runlog.test_chain import EDITS, first_step
from tests.runlog.test_store_damage import PAGE, fill, overwrite, page_of

WHEN = "2031-05-04T09:30:00+00:00"


def read(folder: Path) -> list[Stored]:
    log = Log.of(folder)
    assert log is not None
    with log:
        return list(log.stored())


def files_of(folder: Path) -> dict[str, tuple[bytes, int]]:
    return {p.name: (p.read_bytes(), p.stat().st_mtime_ns) for p in folder.iterdir()}


def test_what_an_open_panel_just_kept_is_read_and_nothing_is_touched(tmp_path: Path) -> None:
    dice = random.Random(1)
    with bench_log(tmp_path, pieces=30) as store:
        for n in range(8):
            if n % 2:
                store.append("piece", piece(dice, 8), WHEN, False)
            store.save_work("panel", {"n": n})
            wanted, before = list(store.stored()), files_of(tmp_path)
            with Log(tmp_path / "records.db", tmp_path) as log:
                assert list(log.stored()) == wanted
                assert log.load_work() == {"n": n}
                assert log.device == store.device and look(log).right
            assert files_of(tmp_path) == before
    before = files_of(tmp_path)
    assert len(read(tmp_path)) == 36
    assert files_of(tmp_path) == before and not (tmp_path / "records.db-wal").exists()


def test_a_log_that_grows_while_it_is_read_is_read_to_its_new_end(tmp_path: Path) -> None:
    """At rest it is read where it lies; a checkpoint in between makes it be read anew."""
    dice = random.Random(1)
    bench_log(tmp_path, pieces=300).close()
    with Log(tmp_path / "records.db", tmp_path) as log:
        rows = log.stored()
        found = [next(rows) for _ in range(150)]
        with Store.open(tmp_path, "later") as store:
            for n in range(40):
                store.append("piece", piece(dice, 6), WHEN, False, work={"n": n})
            found += list(rows)
            assert found == list(store.stored()) and len(found) == 342


def test_a_copy_that_was_overtaken_is_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The log is begun anew while its database is copied: the copy would be of two moments."""
    dice = random.Random(1)
    with bench_log(tmp_path, pieces=20) as store:
        store.save_work("panel", {"n": 0})
        real, done = shutil.copyfile, list[int]()

        def meanwhile(source: Path, target: Path) -> None:
            real(source, target)
            if source.name == "records.db" and len(done) < 3:
                done.append(store.append("piece", piece(dice), WHEN, False))
                store.save_work("panel", {"n": len(done)})

        monkeypatch.setattr(shutil, "copyfile", meanwhile)
        with Log(tmp_path / "records.db", tmp_path) as log:
            assert [r.sequence for r in log.stored()] == list(range(1, 26))
            assert log.load_work() == {"n": 3} and look(log).right
        assert len(done) == 3


def test_no_log_and_a_log_that_is_gone(tmp_path: Path) -> None:
    assert Log.of(tmp_path / "none") is None and Log.of(tmp_path) is None
    bench_log(tmp_path).close()
    (tmp_path / "records.db").unlink()
    with pytest.raises(StoreError, match="where one ended at record 14"):
        Log.of(tmp_path)


def test_without_room_for_a_copy_it_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with bench_log(tmp_path) as store:
        store.save_work("panel", {"n": 0})
        monkeypatch.setattr(beside, "_ROOM", 1 << 60)
        with pytest.raises(StoreError, match="no room to read the log beside the open panel"):
            Log(tmp_path / "records.db", tmp_path)


def salvaged(path: Path, into: Path) -> tuple[list[int], tuple[str, ...], str]:
    into.mkdir()
    before = path.read_bytes()
    with Log.of_file(path) as log:
        exported = copied(log, into)
        numbers = [record.sequence for record in log.stored()]
    assert path.read_bytes() == before
    return numbers, exported.notes, verify(exported.folder).verdict


def test_all_but_a_damaged_page_is_copied(tmp_path: Path) -> None:
    path = fill(tmp_path)
    overwrite(page_of(path, b'{"n":20,') * PAGE, b"\xff" * PAGE)(path)
    numbers, notes, verdict = salvaged(path, tmp_path / "stick")
    lost = set(range(1, 61)) - set(numbers)
    assert 20 in lost and len(lost) < 6
    assert notes[0] == f"Records {min(lost)} to {max(lost)} are missing."
    assert verdict == "whole"


def test_what_the_log_holds_is_copied_too(tmp_path: Path) -> None:
    opened = Store.open(tmp_path / "state", "b")
    for n in range(1, 6):
        opened.append("note", {"n": n}, "w", False)
    for suffix in ("", "-wal"):
        data = (tmp_path / "state" / f"records.db{suffix}").read_bytes()
        (tmp_path / f"records.damaged-1.db{suffix}").write_bytes(data)
    opened.close()
    numbers, notes, verdict = salvaged(tmp_path / "records.damaged-1.db", tmp_path / "stick")
    assert (numbers, notes, verdict) == ([1, 2, 3, 4, 5], (), "whole")


def test_an_edited_store_is_copied_without_the_record_and_accused(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        for n in range(1, 6):
            opened.append("note", {"n": n}, "w", False)
    connection = sqlite3.connect(tmp_path / "records.db", isolation_level=None)
    EDITS["last changed"](connection)
    connection.close()
    numbers, notes, verdict = salvaged(tmp_path / "records.db", tmp_path / "stick")
    assert numbers == [1, 2, 3, 4]
    assert notes == ("Record 5 does not match its hash.",)
    assert verdict == "whole"


def test_a_store_from_before_the_chain(tmp_path: Path) -> None:
    first_step(tmp_path, 30)
    numbers, _, verdict = salvaged(tmp_path / "records.db", tmp_path / "stick")
    assert (numbers, verdict) == (list(range(1, 31)), "whole")
    with Log.of_file(tmp_path / "records.db") as one, Log.of_file(tmp_path / "records.db") as two:
        assert one.device == two.device and len(one.device) == 16


@pytest.mark.parametrize("content", [b"", b"not a database " * 900, bytes(9000)])
def test_a_file_that_gives_nothing_is_told(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "records.damaged-1.db"
    path.write_bytes(content)
    with pytest.raises(StoreError, match=r"nothing in it can be read"):
        Log.of_file(path)
    with pytest.raises(StoreError, match="no such file"):
        Log.of_file(tmp_path / "gone.db")


@pytest.mark.parametrize("seed", range(40))
def test_random_damage_gives_whole_copies_or_a_sentence(memory: Path, seed: int) -> None:
    path = fill(memory, 40)
    dice = random.Random(seed)
    for _ in range(dice.choice([1, 5, 40])):
        at = dice.randrange(path.stat().st_size)
        overwrite(at, dice.randbytes(dice.choice([1, 8, 600])))(path)
    try:
        numbers, _, verdict = salvaged(path, memory / "stick")
    except StoreError:
        return
    assert numbers == sorted(set(numbers))
    assert verdict == "whole"
