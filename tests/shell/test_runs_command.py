"""A remark is a record of its own that points at another; nothing stored before it changes."""

import json
import random
from pathlib import Path

import pytest

from benchcalc import cli
from benchcalc.runlog.records import PIECE, REMARK, remark
from benchcalc.runlog.store import Store
from tests.runlog.bench_log import WHEN, piece

Told = pytest.CaptureFixture[str]


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of two records."""
    folder = tmp_path / "state"
    monkeypatch.setenv("BENCHCALC_STATE", str(folder))
    with Store.open(folder, "boot") as store:
        for seed in (1, 2):
            store.append(PIECE, piece(random.Random(seed)), WHEN, True)
    return folder


def test_a_remark_is_added_and_listed(state: Path, capsys: Told) -> None:
    with Store.open(state, "boot") as store:
        before = list(store.stored())
    words = ["runs", "--remark", "1", "weeps at the ferrule", "--by", "R. Ost"]
    assert cli.main(words) == 0
    assert capsys.readouterr().out == "Remark on record 1 stored as record 3.\n"
    with Store.open(state, "boot") as store:
        assert list(store.stored())[:2] == before and store.count() == 3
    assert cli.main(["runs"]) == 0
    first, *_ = capsys.readouterr().out.splitlines()
    assert first.endswith("remark on 1: weeps at the ferrule  (R. Ost)")
    assert cli.main(["runs", "--json"]) == 0
    *_, entry = map(json.loads, capsys.readouterr().out.splitlines())
    assert entry["kind"] == "remark" and entry["body"]["about"] == 1


def test_a_remark_goes_off_with_the_next_copy(state: Path, tmp_path: Path, capsys: Told) -> None:
    assert cli.main(["runs", "--remark", "2", "=refitted"]) == 0
    assert cli.main(["export", str(tmp_path)]) == 0
    (table,) = tmp_path.glob("benchcalc-*/remarks.csv")
    assert ",2,,'=refitted\r\n" in table.read_bytes().decode()
    assert "1 remark." in table.with_name("report.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--remark", "3", "x"), "records go from 1 to 2"),
        (("--remark", "0", "x"), "records go from 1 to 2"),
        (("--remark", "-1", "x"), "records go from 1 to 2"),
        (("--remark", "one", "x"), "records go from 1 to 2"),
        (("--remark", "²", "x"), "records go from 1 to 2"),
        (("--remark", "1", " "), "it says nothing"),
        (("--by", "R. Ost"), "give --remark N TEXT"),
    ],
)
def test_what_cannot_be_a_remark_is_refused(
    words: tuple[str, ...], says: str, state: Path, capsys: Told
) -> None:
    assert cli.main(["runs", *words]) == 2
    assert says in capsys.readouterr().err
    with Store.open(state, "boot") as store:
        assert store.count() == 2


def test_nothing_to_remark_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told
) -> None:
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "none"))
    assert cli.main(["runs", "--remark", "1", "x"]) == 2
    assert "no pieces are stored yet" in capsys.readouterr().err
    assert not (tmp_path / "none").exists()
    with Store.open(tmp_path / "none", "boot"):
        pass
    assert cli.main(["runs", "--remark", "1", "x"]) == 2
    assert "there are no records yet" in capsys.readouterr().err


def test_the_newest_come_first_and_the_last_n_are_as_many(state: Path, capsys: Told) -> None:
    with Store.open(state, "boot") as store:
        for n in range(450):  # more than is looked at together
            store.append(REMARK, remark(1, f"word {n}", ""), WHEN, True)

    def numbers(*words: str) -> list[int]:
        assert cli.main(["runs", *words]) == 0
        lines = capsys.readouterr().out.splitlines()
        if "--json" in words:
            return [json.loads(line)["sequence"] for line in lines]
        return [int(line.split()[0]) for line in lines]

    assert numbers() == list(range(452, 0, -1))
    assert numbers("--json") == list(range(1, 453))
    assert numbers("--last", "3") == [452, 451, 450]
    assert numbers("--last", "3", "--json") == [450, 451, 452]


CHOSEN = [
    (["--lot", "W2208"], True),
    (["--lot", "w2208"], True),
    (["--lot", "W220"], False),
    (["--tube", "10x1"], True),
    (["--tube", "10 x 1 316"], True),
    (["--tube", "10x1.5"], False),
    (["--tube", "10x1 copper"], False),
    (["--bender", "no-such"], False),
    (["--name", "INLET"], True),
    (["--name", "outlet"], False),
    (["--since", "2031-05-04"], True),
    (["--since", "2999-01-01"], False),
    (["--lot", "W2208", "--name", "outlet"], False),
]


@pytest.mark.parametrize(("words", "there"), CHOSEN)
def test_pieces_are_chosen(words: list[str], there: bool, state: Path, capsys: Told) -> None:
    assert cli.main(["runs", "--remark", "1", "weeps"]) == 0
    capsys.readouterr()
    assert cli.main(["runs", *words]) == 0
    out = capsys.readouterr().out
    assert ("piece 1 of" in out) == there
    assert there == ("remark on 1: weeps" in out), "a remark goes with its piece"
    assert there or out == "No piece stored here is like that.\n"
    assert cli.main(["runs", *words, "--json"]) == 0
    plain = capsys.readouterr().out
    assert (plain == "[]\n") != there


@pytest.mark.parametrize(
    "words",
    [["--last", "0"], ["--last", "-1"], ["--last", "x"], ["--since", "yesterday"],
     ["--since", "2031-02-30"], ["--tube", ""], ["--tube", "big"], ["--last", "٣"]],
)  # fmt: skip
def test_what_cannot_be_chosen_by_is_refused(words: list[str], state: Path, capsys: Told) -> None:
    assert cli.main(["runs", *words]) == 2
    told = capsys.readouterr()
    assert told.out == "" and told.err.startswith(f"benchcalc: {words[0]} ")
