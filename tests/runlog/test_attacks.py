"""Samples of the attacks on the log and on its copies; their main parts do them at size."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchcalc.core.one_line import one_line
from benchcalc.runlog.copies.csv_text import neutral
from benchcalc.runlog.marks import read_notices
from benchcalc.runlog.store import Store, StoreError
from tests.runlog import hostile
from tests.runlog.bench_log import WHEN, bench_log
from tests.runlog.flips import Made, attack, environment, flips, made, run
from tests.runlog.test_store_damage import overwrite


@pytest.fixture(scope="module")
def store_made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return made(tmp_path_factory.mktemp("made"))


@pytest.mark.parametrize(("where", "count"), [("records", 12), ("structure", 12), ("log", 6)])
def test_flipped_bits_stay_where_they_are_and_are_said(
    store_made: Made, where: str, count: int
) -> None:
    counts = {"records": 0, "structure": 0, "log": 0} | {where: count}
    some = list(flips(store_made, **counts, seed=3))
    assert len(some) == count and attack(store_made, some) == []


def test_the_attack_sees_what_is_not_said(store_made: Made) -> None:
    """With records whose loss nobody was told of it must not be content."""
    (one,) = flips(store_made, 1, 0, 0, seed=3)
    assert attack(store_made, [one._replace(hit=frozenset())])


@pytest.fixture
def copy(memory: Path) -> Path:
    return hostile.whole(memory)


def test_edits_are_found_with_their_hashes_done_again(copy: Path) -> None:
    _, wrong = hostile.edits(copy, 150, 5)
    assert wrong == []


def test_no_edit_passes_for_a_known_benchs_copy(memory: Path) -> None:
    """Not with all hashes done over, not without a signature, not with one of the forger's."""
    bench, forger = hostile.key(memory / "bench"), hostile.key(memory / "forger")
    known = {bench.fingerprint: "bench 1"}
    unproved, wrong = hostile.edits(hostile.whole(memory, bench), 150, 5, known, forger)
    assert unproved > 5 and wrong == []


def test_a_good_copy_beside_hostile_folders_is_collected(copy: Path) -> None:
    assert hostile.beside(copy, len(hostile.HOSTILE) + 3, 5) == []


@pytest.fixture
def state(tmp_path: Path) -> Iterator[Path]:
    bench_log(tmp_path / "state").close()
    with environment(tmp_path / "state"):
        yield tmp_path / "state"


def test_setting_aside_is_undone_by_one_command_and_that_too(state: Path) -> None:
    path = state / "records.db"
    before = path.read_bytes()
    overwrite(0, b"\xa5" * 100)(path)
    damaged = path.read_bytes()
    with Store.open(state, "b") as store:
        assert store.set_aside and store.append("piece", {"n": 1}, WHEN, False) == 15
    assert (state / "records.damaged-1.db").read_bytes() == damaged != before
    ran = run("restore", "records.damaged-1.db")
    assert ran.code == 0 and "set aside as records.damaged-2.db" in ran.says
    assert path.read_bytes() == damaged
    assert run("restore", "records.damaged-2.db").code == 0
    with Store.open(state, "b") as store:
        assert store.set_aside is None and store.head().sequence == 15
    assert [notice["what"] for notice in read_notices(state)] == ["set-aside"]


def test_what_cannot_be_put_back_is_said(state: Path, tmp_path: Path) -> None:
    assert run("restore", "records.damaged-9.db").code == 2
    (tmp_path / "other.db").write_bytes(b"x")
    assert "does not lie in" in run("restore", str(tmp_path / "other.db")).says
    (state / "records.damaged-1.db").write_bytes(b"x" * 9000)
    assert "nothing in it can be read" in run("restore", "records.damaged-1.db").says
    with Store.open(state, "b"):
        ran = run("restore", "records.db")
        assert ran.code == 3 and "in use" in ran.says


def test_a_command_that_adds_to_a_damaged_log_leaves_it_to_the_panel(state: Path) -> None:
    overwrite(0, b"\xa5" * 100)(state / "records.db")
    before = {p.name: p.read_bytes() for p in state.iterdir()}
    for words in (("runs", "--remark", "1", "x"), ("trial", "bench-10mm", "--keep", "--u", "64")):
        ran = run(*words)
        assert ran.code == 3 and "start the panel" in ran.says
    assert {p.name: p.read_bytes() for p in state.iterdir()} == before


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain é ½ 8x1", "plain é ½ 8x1"),
        ("two\nlines\r\n\there", "two lines here"),
        ("\x1b[2Jcleared \x07", " [2Jcleared "),
        ("left\u202eright\u200b", "left right "),
        ("\ud800\udfff", " "),
        ("x" * 300, "x" * 199 + "…"),
        ("\n" * 5000, " "),
    ],
)
def test_a_text_is_printed_on_one_line(text: str, shown: str) -> None:
    assert one_line(text) == shown and shown.isprintable()


@pytest.mark.parametrize(
    "before", ["", " ", "\u200b", "\u00a0", "\ufeff", "\u00ad\u2060", "\u0301"]
)
def test_a_formula_is_neutral_whatever_stands_before_it(before: str) -> None:
    assert neutral(f"{before}=1+1") == f"'{before}=1+1"
    assert neutral(f"{before}plain") == f"{before}plain"


def test_a_remark_that_is_no_text_is_refused(state: Path) -> None:
    ran = run("runs", "--remark", "1", "\udcff")
    assert ran.code == 2 and "Traceback" not in ran.says


def test_a_folder_that_may_not_be_written_is_told_by_what_adds(state: Path) -> None:
    with pytest.raises(StoreError, match="start the panel"):
        (state / "records.db").unlink()
        Store.open(state, "b", mend=False)
