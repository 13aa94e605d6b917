"""export, verify and collect as commands: what they print, and how they end."""

import random
from pathlib import Path

import pytest

from benchcalc.cli import main
from benchcalc.runlog.records import PIECE
from benchcalc.runlog.store import Store
from tests.runlog.bench_log import WHEN, bench_log, piece
from tests.runlog.test_store_damage import overwrite


@pytest.fixture
def stick(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "state"))
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path / "config"))
    bench_log(tmp_path / "state").close()
    (tmp_path / "stick").mkdir()
    return tmp_path / "stick"


def one_copy(stick: Path) -> Path:
    (folder,) = stick.iterdir()
    return folder


def test_export_then_verify(stick: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", str(stick)]) == 0
    folder = one_copy(stick)
    told = capsys.readouterr().out.splitlines()
    assert told[:2] == [str(folder), "14 records, 1 to 14, read back and found right."]
    assert main(["verify", str(folder)]) == 0
    out = capsys.readouterr().out
    assert out.startswith(f"{folder}: whole\n")
    with Store.open(stick.parent / "state", "b") as store:
        assert store.head().hash in told[2] and store.head().hash in out


def test_the_second_export_has_nothing_new(stick: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", str(stick)]) == 0
    capsys.readouterr()
    assert main(["export", str(stick)]) == 0
    assert "Nothing new since the last copy (record 14); --all" in capsys.readouterr().out
    assert len(list(stick.iterdir())) == 1
    assert main(["export", str(stick), "--all"]) == 0
    assert len(list(stick.iterdir())) == 2


def test_the_profile_files_in_use_go_along(stick: Path) -> None:
    config = stick.parent / "config"
    config.mkdir()
    (config / "benders.yaml").write_text("# ours\n")
    assert main(["export", str(stick)]) == 0
    folder = one_copy(stick)
    assert (folder / "own-benders.yaml").read_text() == "# ours\n"
    assert (folder / "benders.yaml").stat().st_size > 1000
    assert (folder / "materials.yaml").exists() and not (folder / "own-materials.yaml").exists()


def test_an_altered_copy_ends_with_1(stick: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["export", str(stick)])
    folder = one_copy(stick)
    (folder / "bends.csv").write_bytes((folder / "bends.csv").read_bytes()[:-10])
    capsys.readouterr()
    assert main(["verify", str(stick)]) == 1
    out = capsys.readouterr().out
    assert out.startswith(f"{folder}: cut off\n  bends.csv: ")


def test_collect(stick: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["export", str(stick)])
    main(["export", "--all", str(stick)])
    capsys.readouterr()
    into = tmp_path / "office"
    into.mkdir()
    assert main(["collect", str(stick), "--into", str(into)]) == 0
    folder = into / "benchcalc-collected"
    first, told, *copies = capsys.readouterr().out.splitlines()
    assert (first, told) == (str(folder), "14 records of 1 bench.")
    assert len(copies) == 2 and all(copy.endswith(": not signed") for copy in copies)
    assert main(["verify", str(folder)]) == 0
    (next(stick.iterdir()) / "MANIFEST").unlink()
    assert main(["collect", str(stick), "--into", str(into)]) == 1
    assert "left out, incomplete: MANIFEST: missing" in capsys.readouterr().out


def test_a_damaged_record_is_left_out_and_all_else_exported(
    stick: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "state" / "records.db"
    at = path.read_bytes().rindex(b'"form":2')
    overwrite(at, b'"form":7')(path)
    assert main(["verify"]) == 3
    assert "does not match its hash" in capsys.readouterr().out
    assert main(["export", str(stick)]) == 3
    assert "13 records" in (told := capsys.readouterr().out)
    assert "does not match its hash" in told
    folder = one_copy(stick)
    assert main(["verify", str(folder)]) == 0
    assert '\\"form\\":7' in (folder / "damaged.jsonl").read_text()
    assert main(["export", str(stick), "--from", str(path)]) == 3


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["export", "no-such"], 2, "no-such is no folder"),
        (["export", ".", "--from", "no-such"], 2, "no-such is no file"),
        (["verify", "no-such"], 2, "neither a copy nor a folder with copies"),
        (["collect", "no-such"], 2, "neither a copy nor a folder with copies"),
        (["collect", "no-such", "--into", "nowhere"], 2, "--into: nowhere is no folder"),
    ],
)
def test_bad_usage_is_told_in_a_sentence(
    stick: Path,
    words: list[str],
    code: int,
    says: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(stick)
    assert main(words) == code
    told = capsys.readouterr()
    assert told.err.startswith("benchcalc: ") and says in told.err
    assert told.out == "" and list(stick.iterdir()) == []


def test_a_store_in_use_is_copied_beside_the_panel(
    stick: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with Store.open(stick.parent / "state", "b") as store:
        store.append(PIECE, piece(random.Random(1)), WHEN, False)
        store.save_work("panel", {"in": "hand"})
        assert main(["export", str(stick)]) == 0
        assert "15 records" in capsys.readouterr().out
        assert store.copied_to() == 15


def test_a_tail_that_is_gone_is_no_nothing_new(
    stick: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = stick.parent / "state" / "records.db"
    before = path.read_bytes()
    with Store.open(stick.parent / "state", "b") as store:
        store.append(PIECE, piece(random.Random(1)), WHEN, False)
    assert main(["export", str(stick)]) == 0
    path.write_bytes(before)
    capsys.readouterr()
    for words in (["export", str(stick)], ["verify"], ["runs"]):
        assert main(words) == 3
        told = capsys.readouterr()
        assert "Record 15 is missing." in told.out + told.err


def test_nothing_stored_yet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "none"))
    assert main(["export", str(tmp_path)]) == 0
    assert capsys.readouterr().out == "No records stored yet.\n"
    assert list(tmp_path.iterdir()) == []
