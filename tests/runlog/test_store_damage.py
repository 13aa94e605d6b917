"""Damaged files are set aside by name, a new store begins, and readable work is carried over."""

import random
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from benchcalc.runlog.store import Store, StoreError

WHEN = "2031-05-04T09:30:00+00:00"
PAGE = 4096


def fill(folder: Path, records: int = 60) -> Path:
    with Store.open(folder, "b") as opened:
        for n in range(1, records + 1):
            opened.append("piece", {"n": n, "pad": "x" * 900}, WHEN, False, work={"n": n})
    return folder / "records.db"


def cut(length: int) -> Callable[[Path], None]:
    def do(path: Path) -> None:
        path.write_bytes(path.read_bytes()[:length])

    return do


def overwrite(offset: int, with_bytes: bytes) -> Callable[[Path], None]:
    def do(path: Path) -> None:
        data = bytearray(path.read_bytes())
        data[offset : offset + len(with_bytes)] = with_bytes
        path.write_bytes(data)

    return do


def other_program(path: Path) -> None:
    path.unlink()
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE notes (a)")
    db.commit()
    db.close()


def drop_trigger(path: Path) -> None:
    db = sqlite3.connect(path)
    db.execute("DROP TRIGGER records_no_delete")
    db.commit()
    db.close()


DAMAGES = {
    "empty": cut(0),
    "header only": cut(60),
    "one page": cut(PAGE),
    "half the pages": cut(8 * PAGE),
    "cut within a page": cut(9 * PAGE + 100),
    "last bytes missing": lambda p: cut(p.stat().st_size - 700)(p),
    "garbage header": overwrite(0, b"\xa5" * 100),
    "text file": lambda p: p.write_text("not a database " * 900) and None,
    "zeros": lambda p: p.write_bytes(bytes(p.stat().st_size)) and None,
    "first page": overwrite(100, b"\x5a" * (PAGE - 100)),
    "another program's": other_program,
    "a trigger gone": drop_trigger,
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_file_is_set_aside_and_a_new_one_begun(tmp_path: Path, damage: str) -> None:
    path = fill(tmp_path)
    DAMAGES[damage](path)
    found = path.read_bytes()
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside == tmp_path / "records.damaged-1.db"
        assert opened.set_aside.read_bytes() == found
        assert opened.count() == 0
        assert opened.append("piece", {"n": 1}, WHEN, False, work={"n": 1}) == 1
    with Store.open(tmp_path, "b") as again:
        assert again.set_aside is None
        assert again.count() == 1


def test_each_damaged_file_keeps_a_name_of_its_own(tmp_path: Path) -> None:
    for number in (1, 2, 3):
        cut(60)(fill(tmp_path, 2))
        with Store.open(tmp_path, "b") as opened:
            assert opened.set_aside == tmp_path / f"records.damaged-{number}.db"
    names = sorted(p.name for p in tmp_path.glob("*.db"))
    assert names == [*(f"records.damaged-{n}.db" for n in (1, 2, 3)), "records.db"]


def test_the_log_goes_with_the_damaged_file(tmp_path: Path) -> None:
    overwrite(0, b"\xa5" * 100)(fill(tmp_path))
    (tmp_path / "records.db-wal").write_bytes(b"\x11" * 5000)
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside == tmp_path / "records.damaged-1.db"
        assert opened.count() == 0


def test_a_log_left_without_its_database_never_meets_the_new_one(tmp_path: Path) -> None:
    fill(tmp_path)
    (tmp_path / "records.db").unlink()
    (tmp_path / "records.db-wal").write_bytes(b"\x11" * 5000)
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside == tmp_path / "records.damaged-1.db-wal"
        assert opened.count() == 0


def test_a_making_that_was_cut_short_is_no_damage(tmp_path: Path) -> None:
    fill(tmp_path, 3).rename(tmp_path / "records.new.db")
    (tmp_path / "records.new.db-journal").write_bytes(b"half")
    with Store.open(tmp_path, "b") as opened:
        assert (opened.set_aside, opened.count()) == (None, 0)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["records.db", "records.lock"]


def test_a_torn_log_gives_the_commits_before_the_tear(tmp_path: Path) -> None:
    opened = Store.open(tmp_path, "b")
    for n in range(1, 6):
        opened.append("piece", {"n": n}, WHEN, False, work={"n": n})
    log = (tmp_path / "records.db-wal").read_bytes()
    data = (tmp_path / "records.db").read_bytes()
    opened.close()
    (tmp_path / "records.db").write_bytes(data)
    (tmp_path / "records.db-wal").write_bytes(log[:-300])
    with Store.open(tmp_path, "b") as again:
        assert again.set_aside is None
        assert [e.body["n"] for e in again.records()] == [1, 2, 3, 4]
        assert again.load_work() == {"n": 4}


def page_of(path: Path, text: bytes) -> int:
    return path.read_bytes().index(text) // PAGE


def test_damage_met_in_use_is_told_and_set_aside_next_time_with_the_work(tmp_path: Path) -> None:
    path = fill(tmp_path)
    overwrite(page_of(path, b'{"n":20,') * PAGE, b"\xff" * PAGE)(path)
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside is None  # a short look does not see every page
        with pytest.raises(StoreError, match="damaged and the last act was not kept"):
            list(opened.records())
        opened.append("piece", {"n": 61}, WHEN, False, work={"n": 61})
    with Store.open(tmp_path, "b") as again:
        assert again.set_aside == tmp_path / "records.damaged-1.db"
        assert again.load_work() == {"n": 61}
        assert again.count() == 0
    with Store.open(tmp_path, "b") as third:
        assert third.set_aside is None
        assert third.load_work() == {"n": 61}


def test_a_suspicion_that_proves_wrong_changes_nothing(tmp_path: Path) -> None:
    fill(tmp_path, 3)
    (tmp_path / "records.suspect").touch()
    with Store.open(tmp_path, "b") as opened:
        assert (opened.set_aside, opened.count()) == (None, 3)
    assert not (tmp_path / "records.suspect").exists()


@pytest.mark.parametrize("seed", [*range(30), 36, 38])
def test_random_damage_never_ends_in_anything_but_a_sentence(tmp_path: Path, seed: int) -> None:
    path = fill(tmp_path, 12)
    dice = random.Random(seed)
    for _ in range(dice.choice([1, 3, 20])):
        at = dice.randrange(path.stat().st_size)
        overwrite(at, dice.randbytes(dice.choice([1, 8, 600])))(path)
    for _ in range(3):
        with Store.open(tmp_path, "b") as opened:
            try:
                opened.load_work()
                last = opened.append("piece", {"n": 0}, WHEN, False, work={"n": 0})
                assert [e.sequence for e in opened.records()][-1] == last
                assert opened.load_work() == {"n": 0}
            except StoreError:
                assert (tmp_path / "records.suspect").exists()
