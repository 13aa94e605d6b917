"""A bench's own name: on its sheets and pages, in its copies and their reports."""

import json
import random
from pathlib import Path

import pytest

from benchcalc.cli import main
from benchcalc.files.loading import asset_path, bench_name
from benchcalc.runlog.records import PIECE
from benchcalc.runlog.store import Store
from tests.runlog.bench_log import WHEN, piece

NAME = "Bench 3 <deck> «ü»"
DEMO = str(asset_path("demo.yaml"))


@pytest.fixture(autouse=True)
def named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file of the bench's name."""
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "state"))
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path))
    file = tmp_path / "bench-name"
    file.write_text(f"{NAME}\n", encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (b"", ""),
        (b"\n\n", ""),
        (b"  Bench 3 \r\nmore\n", "Bench 3"),
        (b"\x1b[31mred\x07", "[31mred"),
        (b"\xff\xfe", "\ufffd\ufffd"),
        (b"long " * 100, "long " * 11 + "long…"),
    ],
)
def test_what_the_file_may_hold(data: bytes, name: str, named: Path) -> None:
    named.write_bytes(data)
    assert bench_name() == name or bench_name().strip() == name
    assert len(bench_name()) <= 60 and bench_name().isprintable()


def test_without_a_file_or_with_a_folder_of_that_name_there_is_none(named: Path) -> None:
    named.unlink()
    assert bench_name() == ""
    named.mkdir()
    assert bench_name() == ""


def test_a_sheet_of_this_bench_says_whose_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "page.html"
    assert main(["sheet", DEMO, "--bench", "--page", str(page)]) == 0
    assert capsys.readouterr().out.startswith(f"As {NAME} bends it\n")
    assert "Bench 3 &lt;deck&gt; «ü»" in page.read_text(encoding="utf-8")
    assert main(["sheet", DEMO, "--page", str(page)]) == 0
    assert NAME not in capsys.readouterr().out
    assert "Bench 3" not in page.read_text(encoding="utf-8")
    assert main(["sheet", DEMO, "--bench", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["benchcalc"] == 1


def test_a_copy_and_its_report_carry_the_name_and_are_whole(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], named: Path
) -> None:
    with Store.open(tmp_path / "state", "boot") as store:
        store.append(PIECE, piece(random.Random(1)), WHEN, True)
    stick = tmp_path / "stick"
    stick.mkdir()
    assert main(["export", str(stick)]) == 0
    (copy,) = stick.iterdir()
    head = json.loads((copy / "HEAD.json").read_text(encoding="utf-8"))
    assert head["title"].startswith(f"{NAME}, bench ")
    assert "Bench 3 &lt;deck&gt; «ü», bench " in (copy / "report.html").read_text(encoding="utf-8")
    named.write_text("another", encoding="utf-8")
    assert main(["verify", str(stick)]) == 0, "it is checked by the name it carries"
    capsys.readouterr()
