"""``benchcalc sheet`` in a pipe: standard input and output, and errors as JSON."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

JOB = """benchcalc: 1
name: sampling rack
tube: {od: 10, wall: 1, material: 316}
bender: bench-10mm
run:
  - {leg: 140, bend: 90}
  - {leg: 120}
"""
POINTS = "0,0,0\n140,0,0\n140,120,0\n"
TUBE = ("--bender", "bench-10mm", "--tube", "10x1 316")

Run = subprocess.CompletedProcess[str]


def run(folder: Path, *words: str, given: str = "") -> Run:
    return subprocess.run(
        [sys.executable, "-m", "benchcalc", *words],
        input=given, capture_output=True, text=True, timeout=60, cwd=folder,
        env={**os.environ, "BENCHCALC_STATE": str(folder / "state"),
             "BENCHCALC_CONFIG": str(folder / "config")},
    )  # fmt: skip


def errors(done: Run) -> list[dict[str, object]]:
    return [json.loads(line) for line in done.stderr.splitlines()]


def test_a_job_from_standard_input_is_the_job_from_a_file(tmp_path: Path) -> None:
    (tmp_path / "rack.yaml").write_text(JOB, encoding="utf-8")
    from_file = run(tmp_path, "sheet", "rack.yaml")
    piped = run(tmp_path, "sheet", "-", given=JOB)
    assert (piped.returncode, piped.stderr, piped.stdout) == (0, "", from_file.stdout)
    listed = run(tmp_path, "sheet", "-", *TUBE, "--json", given=POINTS)
    assert json.loads(listed.stdout)["cut_length"] == pytest.approx(
        json.loads(run(tmp_path, "sheet", "-", "--json", given=JOB).stdout)["cut_length"]
    )


def test_what_is_wrong_in_standard_input_is_said_by_line(tmp_path: Path) -> None:
    done = run(tmp_path, "sheet", "-", given=JOB.replace("120}", "twelve}"))
    assert done.returncode == 2 and done.stdout == "" and done.stderr.startswith("-:7: ")
    for nothing in ("", "\0", "x" * 300_000):
        done = run(tmp_path, "sheet", "-", given=nothing)
        assert done.returncode == 2 and done.stderr.startswith("-:1: ")


def test_a_picture_on_standard_output_is_all_that_is_there(tmp_path: Path) -> None:
    picture = run(tmp_path, "sheet", "-", "--picture", "-", given=JOB).stdout
    run(tmp_path, "sheet", "-", "--picture", "rack.svg", given=JOB)
    assert picture == (tmp_path / "rack.svg").read_text(encoding="utf-8")
    points = run(tmp_path, "sheet", "-", "--points", "-", given=JOB).stdout
    assert points.splitlines()[0] == "X mm,Y mm,Z mm"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["-", "-"], "read once"),
        (["-", "--picture", "-", "--json"], "--picture and --json"),
        (["-", "--picture", "-", "--points", "-"], "--picture and --points"),
        (["-", "--picture", "x.gif"], ".svg or .png"),
        (["a.yaml", "b.yaml", "--bent", "1=90"], "--bent says something about one job"),
    ],
)
def test_words_that_do_not_go_together(words: list[str], says: str, tmp_path: Path) -> None:
    done = run(tmp_path, "sheet", *words, given=JOB)
    assert done.returncode == 2 and done.stdout == "" and says in done.stderr


def test_problems_of_several_jobs_are_all_told(tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text(JOB.replace("140", "x"), encoding="utf-8")
    done = run(tmp_path, "sheet", "bad.yaml", "none.yaml", "--json")
    told = errors(done)
    assert done.returncode == 2 and done.stdout == ""
    assert [(one["file"], one["line"]) for one in told] == [("bad.yaml", 6), ("none.yaml", 1)]
    assert all(one["benchcalc"] == 1 for one in told)


def test_words_used_wrongly_are_an_error_as_json(tmp_path: Path) -> None:
    for words in (["sheet", "--json", "--jsn", "x"], ["sheet", "--json"], ["runs", "--json", "x"]):
        done = run(tmp_path, *words)
        (told,) = errors(done)
        assert done.returncode == 2 and "error: " in str(told["error"])


def test_an_empty_bench_is_json(tmp_path: Path) -> None:
    done = run(tmp_path, "runs", "--json")
    assert (done.returncode, json.loads(done.stdout), done.stderr) == (0, [], "")
    assert json.loads(run(tmp_path, "springback", "--json").stdout)["lots"] == []


def test_several_jobs_are_a_list_of_sheets(tmp_path: Path) -> None:
    for name in ("a.yaml", "b.yaml"):
        (tmp_path / name).write_text(JOB.replace("rack", name), encoding="utf-8")
    done = run(tmp_path, "sheet", "a.yaml", "b.yaml", "--json")
    listed = json.loads(done.stdout)
    assert [one["name"] for one in listed] == ["sampling a.yaml", "sampling b.yaml"]
    assert done.returncode == 0
