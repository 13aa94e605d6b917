"""``benchcalc springback --bends``: what a table of bends made elsewhere teaches."""

import json
import random
from pathlib import Path
from typing import Any

import pytest

from benchcalc.cli import main

COMMAND = ("--bender", "bench-6mm", "--tube", "6x1 316")
WALL = """pulled_to,came_out,lot,day
92,89.3,A,2026-01-02
92.2,89.4,A,2026-01-02
47,45.1,A,2026-01-03
92,86,A,2026-01-03
"""


@pytest.fixture
def wall(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A place for a table, on a bench whose own records nobody may open."""
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    return tmp_path / "wall.csv"


def asked(capsys: pytest.CaptureFixture[str], wall: Path, text: str, *more: str) -> dict[str, Any]:
    wall.write_text(text, encoding="utf-8")
    assert main(["springback", "--bends", str(wall), *COMMAND, "--json", *more]) == 0
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    return told


def refused(capsys: pytest.CaptureFixture[str], wall: Path, text: str, *more: str) -> list[str]:
    wall.write_text(text, encoding="utf-8")
    assert main(["springback", "--bends", str(wall), *(more or COMMAND)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    return err.splitlines()


def test_a_note_on_the_wall_becomes_a_bench_that_knows(
    wall: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = asked(capsys, wall, WALL, "--lot", "A", "--at", "45,90")
    assert told["benchcalc"] == 1 and [at["angle"] for at in told["at"]] == [45, 90]
    square = told["at"][1]
    assert square["overbend"] == pytest.approx(2.8, abs=0.15)
    assert square["pull_to"] == pytest.approx(90 + square["overbend"])
    assert 0.2 < square["spread"] < 0.4
    assert square["pull_to"] - 0.3 < square["first_pull_to"] <= square["pull_to"]
    assert [bend["row"] for bend in told["bends"]] == [1, 2, 3, 4]
    weights = [bend["weight"] for bend in told["bends"]]
    assert min(weights[:3]) > 0.9 and weights[3] < 0.1


def test_no_rows_give_the_first_guess(wall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = asked(capsys, wall, "pulled_to,came_out\n")
    square = told["at"][1]
    assert told["bends"] == [] and [at["angle"] for at in told["at"]] == [45, 90, 180]
    assert 2.0 < square["overbend"] < 3.0 and square["spread"] > 1.0
    # Over is scrap: 1.6 degrees of springback, the least of this tube, still stays under 90.5.
    assert square["first_pull_to"] < 92.1 - 0.4


def test_the_benchs_own_records_are_neither_read_nor_made(
    wall: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    asked(capsys, wall, WALL)
    assert not (tmp_path / "state").exists()


def test_a_blank_lot_is_a_new_lot_each_day(wall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = "".join(f"{92 + i},{89 + i},,2026-03-0{i // 3 + 1}\n" for i in range(9))
    text = "pulled_to,came_out,lot,day\n" + rows
    spreads = [
        asked(capsys, wall, text, "--at", "90", "--day", day)["at"][0]["spread"]
        for day in ("2026-03-03", "2026-03-04")
    ]
    assert spreads[0] < 0.8 * spreads[1]


def test_rows_without_a_day_were_made_today(wall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = "pulled_to,came_out\n92,89\n93,90\n47,45\n"
    undated = asked(capsys, wall, text, "--day", "2026-03-09")
    dated = "pulled_to,came_out,day\n92,89,2026-03-09\n93,90,2026-03-09\n47,45,2026-03-09\n"
    assert undated == asked(capsys, wall, dated, "--day", "2026-03-09")
    assert undated == asked(capsys, wall, text)
    assert undated != asked(capsys, wall, dated, "--day", "2026-03-10")


def test_columns_in_any_order_with_a_mark_and_blank_lines(
    wall: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plain = asked(capsys, wall, "pulled_to,came_out,lot\n92,89,A\n47,45,A\n", "--lot", "A")
    turned = '\ufeffcame_out, lot ,pulled_to\r\n\r\n89,"A",92\r\n 45, A , 47\r\n'
    assert asked(capsys, wall, turned, "--lot", "A") == plain


def test_every_bad_row_is_refused_with_its_line(
    wall: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = ["92,8", '"92,5",3', ",4", "92;90", "nan,1", "-4,3", "92,90,3", "92,1e3", "92,120"]
    lines = refused(capsys, wall, "\n".join(["pulled_to,came_out", *rows, "92,89"]) + "\n")
    assert [line.split(": ")[0] for line in lines] == [f"{wall}:{n}" for n in range(2, 11)]
    assert all(len(line.split(": ")) >= 5 for line in lines)
    assert "write 12.5" in lines[1] and "check both angles" in lines[0]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "begin with a line of column names"),
        ("92,89\n", "leave it out"),
        ("pulled_to\n92\n", "with came_out"),
        ("pulled_to;came_out\n92;89\n", "part the columns by commas"),
        ("pulled_to,came_uot\n92,89\n", "did you mean came_out?"),
        ("pulled_to,came_out,lot,lot\n92,89,A,B\n", "each column once"),
        ('pulled_to,came_out\n92,"89\n', "mend the quotes"),
        ("pulled_to,came_out,day\n92,89,2026-02-30\n", "a day as YYYY-MM-DD"),
        ("pulled_to,came_out,day\n92,89,9.3.2026\n", "write it like 2026-03-09"),
        ("pulled_to,came_out,lot\n92,89," + "x" * 81 + "\n", "write it shorter"),
        ("pulled_to,came_out\n" + "92,89\n" * 20_001, "leave out the oldest"),
    ],
)
def test_a_table_that_is_none_is_refused(
    wall: Path, capsys: pytest.CaptureFixture[str], text: str, says: str
) -> None:
    lines = refused(capsys, wall, text)
    assert lines and says in lines[0] and lines[0].startswith(f"{wall}:")


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--bender", "bench-6mm"), "name --bender KEY and --tube"),
        (("--bender", "bench-6m", "--tube", "6x1 316"), "did you mean bench-6mm?"),
        (("--bender", "bench-6mm", "--tube", "6x1 361"), "no such material"),
        (("--bender", "bench-8mm", "--tube", "6x1 316"), "made for 8 mm"),
        ((*COMMAND, "--at", "90,0"), "over 0 and at most 180"),
        ((*COMMAND, "--at", "9O"), "not a plain decimal number"),
        ((*COMMAND, "--day", "today"), "a day as YYYY-MM-DD"),
        ((*COMMAND, "--refit"), "leave it out beside --bends"),
    ],
)
def test_words_that_cannot_be_taken(
    wall: Path, capsys: pytest.CaptureFixture[str], more: tuple[str, ...], says: str
) -> None:
    (line,) = refused(capsys, wall, WALL, *more)
    assert says in line


def test_words_that_go_with_a_table_are_refused_without_one(
    wall: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["springback", "--lot", "A"]) == 2
    assert "--lot goes with --bends FILE" in capsys.readouterr().err


def test_a_table_that_cannot_be_read(wall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["springback", "--bends", str(wall), *COMMAND]) == 2
    assert "cannot be read" in capsys.readouterr().err
    wall.write_bytes(b"pulled_to,came_out,lot\n92,89,\xff\n")
    assert main(["springback", "--bends", str(wall), *COMMAND]) == 2
    assert "save the file as UTF-8" in capsys.readouterr().err


def test_ten_thousand_rows(wall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rng = random.Random(1)
    rows = []
    for n in range(10_000):
        loaded = rng.choice((46.5, 92.7, 123.5))
        day = f"20{20 + n // 2800}-{n // 240 % 12 + 1:02}-{n // 10 % 24 + 1:02}"
        rows.append(f"{loaded},{loaded - 0.5 - 0.025 * loaded + rng.gauss(0, 0.2):.2f},,{day}")
    told = asked(capsys, wall, "pulled_to,came_out,lot,day\n" + "\n".join(rows) + "\n")
    assert len(told["bends"]) == 10_000 and told["bends"][0]["weight"] == 0.0
    assert told["at"][1]["overbend"] == pytest.approx(2.82, abs=0.15)


def test_the_table_in_words(wall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wall.write_text(WALL, encoding="utf-8")
    assert main(["springback", "--bends", str(wall), *COMMAND, "--lot", "A", "--at", "90"]) == 0
    said = capsys.readouterr().out
    assert "bends 4" in said and "rows that hardly count: 4" in said and "pull to 92.8°" in said
