"""A store that was set aside can still be copied off, as far as it can be read."""

import random
import sqlite3
from pathlib import Path

import pytest

from benchcalc.runlog.salvage import Salvage
from benchcalc.runlog.store import Store, StoreError
from benchcalc.runlog.verify import verify
from tests.runlog.copying import copied
from tests.runlog.test_chain import EDITS, first_step
from tests.runlog.test_store_damage import PAGE, fill, overwrite, page_of


def salvaged(path: Path, into: Path) -> tuple[list[int], tuple[str, ...], str]:
    into.mkdir()
    before = path.read_bytes()
    salvage = Salvage(path)
    exported = copied(salvage, into)
    numbers = [record.sequence for record in salvage.stored()]
    salvage.close()
    assert path.read_bytes() == before
    return numbers, exported.notes, verify(exported.folder).verdict


def test_all_but_a_damaged_page_is_copied(tmp_path: Path) -> None:
    path = fill(tmp_path)
    overwrite(page_of(path, b'{"n":20,') * PAGE, b"\xff" * PAGE)(path)
    numbers, notes, verdict = salvaged(path, tmp_path / "stick")
    lost = set(range(1, 61)) - set(numbers)
    assert 20 in lost and len(lost) < 6
    which = f"{min(lost)} to {max(lost)}"
    assert notes[0] == f"These records could not be read and are missing here: {which}."
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


def test_an_edited_store_is_copied_and_accused(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as opened:
        for n in range(1, 6):
            opened.append("note", {"n": n}, "w", False)
    connection = sqlite3.connect(tmp_path / "records.db", isolation_level=None)
    EDITS["last changed"](connection)
    connection.close()
    numbers, notes, verdict = salvaged(tmp_path / "records.db", tmp_path / "stick")
    assert numbers == [1, 2, 3, 4, 5]
    assert "do not match their hash: 5" in notes[0]
    assert verdict == "altered"


def test_a_store_from_before_the_chain(tmp_path: Path) -> None:
    first_step(tmp_path, 30)
    numbers, _, verdict = salvaged(tmp_path / "records.db", tmp_path / "stick")
    assert (numbers, verdict) == (list(range(1, 31)), "whole")
    one, other = Salvage(tmp_path / "records.db"), Salvage(tmp_path / "records.db")
    assert one.device == other.device and len(one.device) == 16
    one.close()
    other.close()


@pytest.mark.parametrize("content", [b"", b"not a database " * 900, bytes(9000)])
def test_a_file_that_gives_nothing_is_told(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "records.damaged-1.db"
    path.write_bytes(content)
    with pytest.raises(StoreError, match=r"nothing in it can be read"):
        Salvage(path)
    with pytest.raises(StoreError, match="no such file"):
        Salvage(tmp_path / "gone.db")


@pytest.mark.parametrize("seed", range(40))
def test_random_damage_gives_whole_copies_or_a_sentence(memory: Path, seed: int) -> None:
    path = fill(memory, 40)
    dice = random.Random(seed)
    for _ in range(dice.choice([1, 5, 40])):
        at = dice.randrange(path.stat().st_size)
        overwrite(at, dice.randbytes(dice.choice([1, 8, 600])))(path)
    try:
        numbers, notes, verdict = salvaged(path, memory / "stick")
    except StoreError:
        return
    assert numbers == sorted(set(numbers))
    assert verdict == "whole" or "do not match" in " ".join(notes)
