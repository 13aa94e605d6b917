"""A piece under way by the command line: what was bent, turned and marked, one after another."""

import json
from pathlib import Path
from typing import Any

import pytest

from benchcalc.cli import main

JOB = """benchcalc: 1
name: three
tube: {od: 10, wall: 1, material: "316"}
bender: bench-10mm
ORDERrun:
  - {leg: 120, bend: 90}
  - {leg: 150, bend: 44, turn: 90}
  - {leg: 130, bend: 60, turn: -30}
  - {leg: 160}
"""


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "state"))
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path / "config"))


class Bench:
    """The job in a file, and what the command says of it."""

    def __init__(self, folder: Path, printed: pytest.CaptureFixture[str], order: str = "") -> None:
        self.file, self.printed = folder / "job.yaml", printed
        self.file.write_text(JOB.replace("ORDER", order), encoding="utf-8")

    def text(self, *words: str) -> str:
        main(["sheet", str(self.file), *words])
        return self.printed.readouterr().out

    def sheet(self, *words: str) -> Any:
        return json.loads(self.text(*words, "--json"))

    def refused(self, *words: str) -> str:
        assert main(["sheet", str(self.file), *words]) == 2
        told = self.printed.readouterr()
        assert told.out == ""
        return told.err


@pytest.fixture
def bench(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Bench:
    return Bench(tmp_path, capsys)


def test_a_turn_alone_corrects_the_rest_and_its_own_angle(bench: Bench) -> None:
    told = bench.sheet("--turned", "2=91.5")
    assert told["miss_now"] > 1 and told["miss_after"] < 0.1
    assert told["bends"][0]["angle"] == 90 and told["bends"][1]["turn"] == 91.5
    assert told["bends"][1]["angle"] != 44
    other = bench.sheet("--turned", "2=88.5")
    assert (told["bends"][2]["turn"] + 30) * (other["bends"][2]["turn"] + 30) < 0


def test_a_turn_as_drawn_changes_nothing(bench: Bench) -> None:
    drawn, told = bench.sheet(), bench.sheet("--turned", "2=90")
    assert told["miss_now"] == pytest.approx(0, abs=1e-9)
    for own, other in zip(told["bends"], drawn["bends"], strict=True):
        assert own["mark"] == pytest.approx(other["mark"], abs=1e-6)


def test_corrections_one_after_another(bench: Bench) -> None:
    """Bend 1 off and corrected, bend 2 made by the new sheet, exactly: the rest stays as told."""
    first = bench.sheet("--bent", "1=91.2")
    second = first["bends"][1]
    so_far = ("--bent", "1=91.2", "--bent", f"2={second['angle']}")
    whole = (*so_far, "--turned", f"2={second['turn']}", "--marked", f"2={second['mark']}")
    then = bench.sheet(*whole)
    assert then["miss_after"] < 0.05
    for key in ("angle", "turn", "mark"):
        assert then["bends"][2][key] == pytest.approx(first["bends"][2][key], abs=0.02), key
    unsaid = bench.sheet(*so_far)["bends"][2]
    assert abs(unsaid["turn"] - first["bends"][2]["turn"]) > 0.5


def test_as_made_after_the_last_bend(bench: Bench) -> None:
    exact = bench.sheet("--bent", "1=90", "--bent", "2=44", "--bent", "3=60")
    drawn = bench.sheet()
    assert exact["as_made"]["points"][-1] == pytest.approx(drawn["end_point"], abs=1e-6)
    made = bench.sheet("--bent", "1=91", "--bent", "2=44", "--bent", "3=59", "--turned", "3=-28")
    assert made["miss_now"] == made["miss_after"] > 1
    assert made["as_made"]["points"][-1] == pytest.approx(made["end_point"])
    across = sum(x * x for x in made["end_point"]) ** 0.5
    assert made["as_made"]["end_to_end"] == pytest.approx(across)
    assert "as_made" not in bench.sheet("--bent", "1=91")
    text = bench.text("--bent", "1=91", "--bent", "2=44", "--bent", "3=59")
    assert text.startswith("AS MADE") and f"{made['cut_length']:.1f}" in text


def test_a_made_bend_is_told_no_pull_and_feeds_the_ring_no_more(bench: Bench) -> None:
    text = bench.text("--bent", "1=90.8", "--turned", "2=91")
    first, rest = text.split("BEND 2 ", 1)
    assert "BEND 1   made, 90.8" in first and "pull to" not in first.split("BEND 1 ")[1]
    assert "pull to" in rest and "fed most by the angle of bend 1" not in text
    assert bench.sheet("--bent", "1=90")["expected_miss"] < bench.sheet()["expected_miss"]


def test_a_heel_nobody_can_touch_is_not_called_one(bench: Bench) -> None:
    told = bench.text("--bent", "1=90.8", "--bent", "2=44.6").split("\n\n")[0]
    assert "heel of bend 2" not in told and "straight edges" in told
    assert "from the heel of bend 1" in bench.text("--bent", "1=90.8").split("\n\n")[0]


def test_in_another_order_no_distance_from_a_bend_that_is_not_made(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    reverse = Bench(tmp_path, capsys, "order: [3, 2, 1]\n")
    assert "from the corner" not in reverse.text()
    other = Bench(tmp_path, capsys, "order: [1, 3, 2]\n")
    text = other.text()
    assert text.count("from the corner of bend 1") == 2 and "corner of bend 2" not in text
    third = other.sheet()["bends"]
    assert third[2]["from_last_corner"] > third[1]["from_last_corner"]


def test_what_cannot_be_is_refused(bench: Bench) -> None:
    assert "made first" in bench.refused("--turned", "1=3")
    assert "write the bend and its turn" in bench.refused("--turned", "2=x")
    assert "write the bend and its angle" in bench.refused("--bent", "2")
    assert "from 0 to the tube's" in bench.refused("--marked", "2=9000")
    assert "told twice" in bench.refused("--bent", "2=44", "--bent", "2=45")
    assert "bends 1 to 3" in bench.refused("--turned", "9=4")
    assert "from -360 to 360" in bench.refused("--turned", "2=nan")


def test_re_aimed_no_mark_moves_and_the_far_end_comes_nearer(bench: Bench) -> None:
    drawn = bench.sheet()
    told = bench.sheet("--bent", "1=90.4", "--re-aim")
    assert told["miss_after"] < 0.2 < told["miss_now"]
    for new, old in zip(told["bends"][1:], drawn["bends"][1:], strict=True):
        assert new["mark"] == pytest.approx(old["mark"], abs=1e-6)
    pairs = zip(told["bends"][1:], drawn["bends"][1:], strict=True)
    assert any(abs(a["turn"] - b["turn"]) + abs(a["angle"] - b["angle"]) > 0.05 for a, b in pairs)


def test_a_measured_turn_re_aims_too(bench: Bench) -> None:
    told = bench.sheet("--bent", "1=90.4", "--turned", "2=91.5", "--re-aim")
    assert told["bends"][1]["turn"] == pytest.approx(91.5)
    assert told["miss_after"] < told["miss_now"] / 3


def test_re_aiming_without_a_measurement_is_refused(bench: Bench) -> None:
    assert "nothing is measured yet" in bench.refused("--re-aim")
