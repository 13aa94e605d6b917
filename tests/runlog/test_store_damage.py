"""Damaged files are set aside by name; the new store holds all that was whole in them."""

import random
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from benchcalc.runlog import opening
from benchcalc.runlog.beside import Log
from benchcalc.runlog.look import look, sentences
from benchcalc.runlog.marks import read_mark, read_notices
from benchcalc.runlog.records import LOST
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


LEAVES = {
    "empty": 0, "header only": 0, "one page": 0, "half the pages": 0, "cut within a page": 3,
    "garbage header": 60, "text file": 0, "zeros": 0, "first page": 60,
    "another program's": 0, "a trigger gone": 60, "last bytes missing": 58,
}  # fmt: skip
"""How many of sixty records can still be found in the bytes; at least so many are carried over."""


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_file_is_set_aside_and_what_is_whole_carried_over(
    tmp_path: Path, damage: str
) -> None:
    path = fill(tmp_path)
    with Store.open(tmp_path, "b") as opened:
        device, before = opened.device, list(opened.stored())
    DAMAGES[damage](path)
    found = path.read_bytes()
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside == tmp_path / "records.damaged-1.db"
        assert opened.set_aside.read_bytes() == found
        carried = list(opened.stored())
        *whole, last = carried
        assert opened.device == device
        if len(carried) == 60:
            whole.append(last)
        else:
            assert last.kind == LOST and last.sequence == 61
        assert len(whole) >= LEAVES[damage] and set(whole) <= set(before)
        assert opened.damage == []  # what is lost is said in the log itself
        (notice,) = read_notices(tmp_path)
        assert (notice["name"], notice["carried"]) == ("records.damaged-1.db", len(whole))
        assert bool(notice["lost"]) == (len(whole) < 60)
        number = opened.append("piece", {"n": 1}, WHEN, False, work={"n": 1})
        assert number == last.sequence + 1
    with Store.open(tmp_path, "b") as again:
        assert again.set_aside is None
        assert len(list(again.stored())) == len(carried) + 1


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
        assert opened.count() == 60


def test_a_log_left_without_its_database_never_meets_the_new_one(tmp_path: Path) -> None:
    fill(tmp_path)
    (tmp_path / "records.db").unlink()
    (tmp_path / "records.db-wal").write_bytes(b"\x11" * 5000)
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside == tmp_path / "records.damaged-1.db"
        assert (tmp_path / "records.damaged-1.db-wal").read_bytes() == b"\x11" * 5000
        assert [(r.sequence, r.kind) for r in opened.stored()] == [(61, LOST)]


def test_a_making_that_was_cut_short_is_no_damage(tmp_path: Path) -> None:
    fill(tmp_path, 3).rename(tmp_path / "records.making.db")
    (tmp_path / "records.head.json").unlink()
    (tmp_path / "records.making.db-journal").write_bytes(b"half")
    with Store.open(tmp_path, "b") as opened:
        assert (opened.set_aside, opened.count()) == (None, 0)
    names = ["records.db", "records.head.json", "records.lock"]
    assert sorted(p.name for p in tmp_path.iterdir()) == names


def test_a_rebuilding_that_was_cut_short_is_ended(tmp_path: Path) -> None:
    """The new file is whole, the old one not yet, or just, out of the way."""
    new = fill(tmp_path, 3)
    data = new.read_bytes()
    for old in (b"\xa5" * 9000, None):
        new.unlink()
        (tmp_path / "records.new.db").write_bytes(data)
        if old is not None:
            new.write_bytes(old)
        with Store.open(tmp_path, "b") as opened:
            assert (opened.set_aside, opened.count()) == (None, 3)
        assert not (tmp_path / "records.new.db").exists()
    assert (tmp_path / "records.damaged-1.db").read_bytes() == b"\xa5" * 9000


def test_whoever_adds_from_outside_sets_nothing_aside(tmp_path: Path) -> None:
    path = fill(tmp_path)
    overwrite(0, b"\xa5" * 100)(path)
    before = path.read_bytes()
    with pytest.raises(StoreError, match="start the panel"):
        Store.open(tmp_path, "b", mend=False)
    assert path.read_bytes() == before


def killed(folder: Path, records: int, saves: int) -> None:
    """What a kill leaves: records, and work saved since the last of them."""
    opened = Store.open(folder, "b")
    for n in range(1, records + 1):
        opened.append("piece", {"n": n}, WHEN, False, work={"n": n})
    for n in range(1, saves + 1):
        opened.save_work("panel", {"saved": n})
    files = {p.name: p.read_bytes() for p in folder.iterdir()}
    opened.close()
    for name, data in files.items():
        (folder / name).write_bytes(data)


def test_what_was_acknowledged_does_not_lie_in_the_log_alone(tmp_path: Path) -> None:
    killed(tmp_path, 5, 3)
    (tmp_path / "records.db-wal").unlink()
    with Store.open(tmp_path, "b") as again:
        assert [e.body["n"] for e in again.records()] == [1, 2, 3, 4, 5]
        assert again.load_work() == {"n": 5}


def test_a_torn_log_gives_the_work_before_the_tear_and_it_is_said(tmp_path: Path) -> None:
    killed(tmp_path, 5, 3)
    log = tmp_path / "records.db-wal"
    overwrite(log.stat().st_size - 300, b"\xff" * 20)(log)
    with Store.open(tmp_path, "b") as again:
        assert (again.set_aside, again.count()) == (None, 5)
        assert again.load_work() == {"saved": 2}
        assert [notice["what"] for notice in read_notices(tmp_path)] == ["work-behind"]


def test_a_log_that_is_whole_says_nothing(tmp_path: Path) -> None:
    killed(tmp_path, 5, 3)
    with Store.open(tmp_path, "b") as again:
        assert again.load_work() == {"saved": 3}
    assert read_notices(tmp_path) == []


def test_a_log_that_lags_behind_its_mark_is_said_and_its_numbers_are_not_used(
    tmp_path: Path,
) -> None:
    with Store.open(tmp_path, "b") as opened:
        for n in range(1, 4):
            opened.append("piece", {"n": n}, WHEN, False)
    older = (tmp_path / "records.db").read_bytes()
    with Store.open(tmp_path, "b") as opened:
        for n in range(4, 7):
            opened.append("piece", {"n": n}, WHEN, False)
    (tmp_path / "records.db").write_bytes(older)
    with Log(tmp_path / "records.db", tmp_path) as log:
        assert sentences(look(log)) == ["Records 4 to 6 are missing."]
    with Store.open(tmp_path, "b") as opened:
        assert read_notices(tmp_path) == [{"what": "lost", "first": 4, "last": 6}]
        assert opened.append("piece", {"n": 7}, WHEN, False) == 8
        assert [(e.sequence, e.kind) for e in opened.records(after=3)] == [(7, LOST), (8, "piece")]
        assert look(opened).right  # it is said in the log, and is no damage any more
    with Store.open(tmp_path, "b"):
        assert len(read_notices(tmp_path)) == 1


def test_a_mark_that_lags_behind_its_log_is_no_loss(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        opened.append("piece", {"n": 1}, WHEN, False)
        mark = (tmp_path / "records.head.json").read_bytes()
        opened.append("piece", {"n": 2}, WHEN, False)
    (tmp_path / "records.head.json").write_bytes(mark)
    with Store.open(tmp_path, "b") as opened:
        assert look(opened).right and read_notices(tmp_path) == []
    assert (tmp_path / "records.head.json").read_bytes() != mark


@pytest.mark.parametrize("content", [b"", b"{}", b"[" * 9000, b"null", b"\xff\xfe", b'{"sum":1}'])
def test_a_mark_that_is_damaged_accuses_nobody(tmp_path: Path, content: bytes) -> None:
    fill(tmp_path, 3)
    (tmp_path / "records.head.json").write_bytes(content)
    with Store.open(tmp_path, "b") as opened:
        assert look(opened).right and read_notices(tmp_path) == []


def test_every_flip_of_a_bit_in_a_mark_is_seen(tmp_path: Path) -> None:
    fill(tmp_path, 3)
    path = tmp_path / "records.head.json"
    data, mark = path.read_bytes(), read_mark(path)
    for at in range(len(data)):
        for bit in range(8):
            overwrite(at, bytes([data[at] ^ 1 << bit]))(path)
            assert read_mark(path) in (None, mark)
            path.write_bytes(data)


def page_of(path: Path, text: bytes) -> int:
    return path.read_bytes().index(text) // PAGE


def test_damage_met_in_use_stays_where_it_is_and_is_mended_next_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "_SMALL_BYTES", 0)  # as in a file of many records
    path = fill(tmp_path)
    overwrite(page_of(path, b'{"n":20,') * PAGE, b"\xff" * PAGE)(path)
    with Store.open(tmp_path, "b") as opened:
        assert opened.set_aside is None  # a short look does not see every page
        kept = [e.body["n"] for e in opened.records()]
        assert len(kept) >= 55 and 20 not in kept
        assert any(d.first <= 20 <= d.last for d in opened.damage)
        opened.append("piece", {"n": 61}, WHEN, False, work={"n": 61})
    with Store.open(tmp_path, "b") as again:
        assert again.set_aside == tmp_path / "records.damaged-1.db"
        assert again.load_work() == {"n": 61}
        assert [e.body["n"] for e in again.records("piece")] == [*kept, 61]
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
                found = [e.sequence for e in opened.records()]
                # Where the last pages are damaged, what lies on them is found at the next start.
                assert last in found or (tmp_path / "records.suspect").exists()
                assert opened.load_work() == {"n": 0}
            except StoreError:
                assert (tmp_path / "records.suspect").exists()
