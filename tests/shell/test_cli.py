"""The commands: exit codes, what goes to which stream, and the JSON's fixed keys."""

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import benchcalc
from benchcalc.cli import main
from benchcalc.files.loading import asset_path
from benchcalc.report.settings import Settings, settings_plain
from benchcalc.runlog.records import remark
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.shell.settings_file import SettingsFile
from tests.panel.driver import Hands
from tests.panel.journeys import JOB

DEMO = asset_path("demo.yaml")
SHEET_KEYS = [
    "benchcalc", "name", "units", "cut_length", "shift", "bends", "straight_after", "end_point",
    "end_direction", "expected_miss", "findings",
]  # fmt: skip
BEND_KEYS = [
    "number", "order", "held", "angle", "turn", "radius", "mark", "line", "start", "end", "corner",
    "from_last_corner", "set_back", "gain", "straight_before", "overbend", "overbend_spread",
    "bend_to", "first_pull_to", "overbend_from",
]  # fmt: skip
FINDING_KEYS = ["level", "rule", "bend", "values", "says"]
RULES = {
    "straight-between", "straight-first", "straight-last", "negative-straight",
    "mark-off-straight", "angle-travel", "od-die", "wall-die", "u-width", "strain",
    "radius-ratio", "hardness", "wall-after", "out-of-round", "pressure", "stock", "slip-on",
    "clash-self", "clash-bender", "standard-range", "overbend-guess", "fit", "service", "temper",
    "seam", "stretch",
}  # fmt: skip

Run = subprocess.CompletedProcess[str]


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "state"))
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)


def run(*words: str, before: tuple[str, ...] = ()) -> Run:
    command = [*before, sys.executable, "-m", "benchcalc", *words]
    return subprocess.run(command, capture_output=True, text=True, timeout=60)


def job_file(folder: Path, old: str = "", new: str = "") -> Path:
    """The demo's job with one thing changed."""
    text = DEMO.read_text(encoding="utf-8")
    assert old in text
    path = folder / "job.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


def code_of(*words: str) -> int:
    """The exit code, argparse's own too."""
    try:
        return main(list(words))
    except SystemExit as left:
        assert isinstance(left.code, int)
        return left.code


def test_a_sheet_is_printed_and_nothing_else(capsys: pytest.CaptureFixture[str]) -> None:
    assert code_of("sheet", str(DEMO)) == 0
    told = capsys.readouterr()
    assert "water-sampling rack, inlet to bottle 1" in told.out and told.err == ""


def test_a_stop_gives_1_and_the_sheet_all_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job_file(tmp_path, "{leg: 110, bend: 45", "{leg: 20, bend: 45")
    assert code_of("sheet", str(path)) == 1
    told = capsys.readouterr()
    assert "STOP" in told.out and "water-sampling rack" in told.out and told.err == ""
    assert code_of("sheet", str(path), "--json") == 1
    levels = [finding["level"] for finding in json.loads(capsys.readouterr().out)["findings"]]
    assert levels == sorted(levels, key=["stop", "caution", "note"].index) and levels[0] == "stop"


def test_bad_files_give_2_and_all_their_problems_on_the_error_stream(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job_file(tmp_path, "wall: 1,", "wall: 1 furlong,")
    path.write_text(path.read_text().replace("pieces: 3", "pieces: many"))
    picture = tmp_path / "never.svg"
    assert code_of("sheet", str(path), "--picture", str(picture)) == 2
    told = capsys.readouterr()
    lines = told.err.splitlines()
    assert told.out == "" and len(lines) == 2 and not picture.exists()
    for line in lines:
        assert re.match(rf"{re.escape(str(path))}:\d+: \S.*", line), line
    assert code_of("sheet", str(tmp_path / "none.yaml")) == 2
    told = capsys.readouterr()
    assert "none.yaml" in told.err and told.out == "" and "Traceback" not in told.err


@pytest.mark.parametrize(
    "words",
    [
        ("sheet",),
        ("sheet", str(DEMO), "--jso"),
        ("sheet", str(DEMO), "--picture", "run.gif"),
        ("runs", "too", "many"),
        ("demo", "--window", "tiny"),
        ("--window", "100x100"),
        ("--window", "800x480x2"),
        ("one.yaml", "two.yaml"),
        ("--unknown",),
    ],
)
def test_bad_usage_gives_2_on_the_error_stream(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert code_of(*words) == 2
    told = capsys.readouterr()
    assert told.out == "" and told.err.strip() and "Traceback" not in told.err


def test_the_keys_of_the_json_are_those_that_were_promised(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert code_of("sheet", str(DEMO), "--json") == 0
    sheet = json.loads(capsys.readouterr().out)
    assert list(sheet) == SHEET_KEYS
    assert [list(bend) for bend in sheet["bends"]] == [BEND_KEYS] * 4
    assert all(list(finding) == FINDING_KEYS for finding in sheet["findings"])
    assert {finding["rule"] for finding in sheet["findings"]} <= RULES
    assert (sheet["benchcalc"], sheet["units"]) == (1, "mm")
    assert len(sheet["end_point"]) == len(sheet["end_direction"]) == 3
    assert sheet["expected_miss"] > 0


def test_a_crown_has_no_corner_and_inches_are_inches(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job_file(tmp_path, "{leg: 140, bend: 90}", "{leg: 140, bend: 90, to: crown}")
    assert code_of("sheet", str(path), "--json") == 0
    in_mm = json.loads(capsys.readouterr().out)
    assert [bend["corner"] is None for bend in in_mm["bends"]] == [True, False, False, False]
    text = path.read_text().replace("units: mm", "units: in")
    for number in ("140", "110", "125", "160", "120"):
        text = text.replace(f"leg: {number},", f"leg: {number} mm,")
        text = text.replace(f"leg: {number}}}", f"leg: {number} mm}}")
    text = text.replace("od: 10, wall: 1,", "od: 10 mm, wall: 1 mm,").replace("3000", "3000 mm")
    text = text.replace("start: 30, finish: 30", "start: 30 mm, finish: 30 mm")
    path.write_text(text.replace("within: 2", "within: 2 mm"))
    assert code_of("sheet", str(path), "--json") == 0
    in_inches = json.loads(capsys.readouterr().out)
    for key in ("cut_length", "straight_after", "expected_miss"):
        assert in_inches[key] * 25.4 == pytest.approx(in_mm[key], abs=1e-9)
    for one, other in zip(in_inches["bends"], in_mm["bends"], strict=True):
        assert one["mark"] * 25.4 == pytest.approx(other["mark"], abs=1e-9)
        assert one["bend_to"] == pytest.approx(other["bend_to"], abs=1e-12)


def test_a_picture_is_written_beside_the_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, start in (("run.svg", b"<svg "), ("run.png", b"\x89PNG\r\n\x1a\n")):
        assert code_of("sheet", str(DEMO), "--picture", str(tmp_path / name)) == 0
        written = (tmp_path / name).read_bytes()
        assert start in written[:200] and len(written) > 2000
    assert "water-sampling rack" in capsys.readouterr().out
    assert code_of("sheet", str(DEMO), "--picture", str(tmp_path / "none" / "run.svg")) == 3
    told = capsys.readouterr()
    assert "cannot be written" in told.err and told.out == ""


@pytest.mark.parametrize("verb", [(), ("sheet",), ("demo",), ("runs",)])
def test_help_everywhere(verb: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert code_of(*verb, "--help") == 0
    told = capsys.readouterr()
    assert " ".join(("benchcalc", *verb)) in told.out and told.err == ""


def test_a_sheet_of_this_bench_counts_with_the_widths_that_are_set(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    SettingsFile(tmp_path / "state").keep(settings_plain(Settings(mark_mm=1.0, turn_deg=3.0)))
    assert code_of("sheet", str(DEMO)) == 0
    plain = capsys.readouterr().out
    assert "with marks ± 0.5 mm, angles ± 0.5°, turns ± 2.9°" in plain
    assert code_of("sheet", str(DEMO), "--bench") == 0
    assert "with marks ± 1.0 mm, angles ± 0.5°, turns ± 3°" in capsys.readouterr().out


def test_the_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert code_of("--version") == 0
    assert capsys.readouterr().out == f"benchcalc {benchcalc.__version__}\n"


def test_runs_before_and_after_the_first_piece(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert code_of("runs") == 0
    assert capsys.readouterr().out == "No pieces stored yet.\n"
    assert not (tmp_path / "state").exists(), "a look must not make anything"
    hands = Hands().tap(*JOB)
    with Store.open(tmp_path / "state", "boot") as store:
        store.append("piece", hands.records[0], "2026-01-02T03:04:05+00:00", False)
    assert code_of("runs") == 0
    told = capsys.readouterr().out
    assert "2026-01-02T03:04:05+00:00?" in told and "90° −0.2, 45° +1.2" in told
    assert code_of("runs", "--json") == 0
    entry = json.loads(capsys.readouterr().out)
    assert entry["sequence"] == 1 and entry["body"]["outcome"] == "made"


@pytest.mark.parametrize("words", [(), (str(DEMO),), ("--window", "800x480")])
def test_without_a_display_one_sentence_names_the_sheet(words: tuple[str, ...]) -> None:
    done = run(*words)
    assert done.returncode == 3 and done.stdout == ""
    (line,) = done.stderr.splitlines()
    assert line.startswith("benchcalc: ") and "benchcalc sheet" in line


def test_the_demo_without_a_display_prints_its_sheet(tmp_path: Path) -> None:
    done = run("demo")
    assert done.returncode == 3
    assert "benchcalc sheet" in done.stderr and len(done.stderr.splitlines()) == 1
    assert "water-sampling rack, inlet to bottle 1" in done.stdout
    assert not (tmp_path / "state").exists(), "the demo keeps nothing"


def test_a_bad_job_is_told_before_a_screen_is_looked_for(tmp_path: Path) -> None:
    done = run(str(job_file(tmp_path, "pieces: 3", "pieces: 0")))
    assert done.returncode == 2 and "pieces" in done.stderr and done.stdout == ""


def test_a_store_in_use_elsewhere_gives_3(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    with Store.open(tmp_path / "state", "boot") as store:
        store.save_work(PANEL_SLOT, {})
        for words in (("--window", "800x480"), ("runs", "--remark", "1", "x")):
            done = run(*words)
            assert done.returncode == 3 and done.stdout == ""
            (line,) = done.stderr.splitlines()
            assert "in use by another benchcalc" in line
        assert run("runs").returncode == 0


def test_a_folder_that_cannot_be_written_gives_3(tmp_path: Path) -> None:
    """What adds to the log says so; what reads it needs no more than to read."""
    with Store.open(tmp_path / "state", "boot") as store:
        store.append("remark", remark(1, "holds"), "", False)
    (tmp_path / "stick").mkdir(mode=0o777)
    (tmp_path / "stick").chmod(0o777)
    files = sorted((tmp_path / "state").iterdir())
    for path in (*files, tmp_path / "state"):
        path.chmod(0o555 if path.is_dir() else 0o444)
    before = _before()
    done = run("runs", "--remark", "1", "x", before=before)
    assert done.returncode == 3 and done.stdout == ""
    assert "Records cannot be kept in" in done.stderr and "permission denied" in done.stderr
    for words in (("runs",), ("verify",), ("springback",), ("export", str(tmp_path / "stick"))):
        done = run(*words, before=before)
        assert done.returncode == 0 and done.stderr == "", (words, done)
    assert sorted((tmp_path / "state").iterdir()) == files
    (tmp_path / "state").chmod(0o000)
    done = run("runs", before=before)
    assert done.returncode == 3 and "cannot be read" in done.stderr


def _before() -> tuple[str, ...]:
    """For root nothing is read-only until that right is given up."""
    if os.geteuid() == 0:
        if shutil.which("setpriv") is None:
            pytest.skip("run by root, and setpriv (util-linux) is not installed")
        return ("setpriv", "--bounding-set=-dac_override,-dac_read_search")
    return ()


@pytest.mark.parametrize("words", [("sheet", str(DEMO), "--json"), ("sheet", "--help")])
def test_a_reader_that_goes_away_is_no_error(words: tuple[str, ...]) -> None:
    read, write = os.pipe()
    os.close(read)
    command = [sys.executable, "-m", "benchcalc", *words]
    done = subprocess.run(command, stdout=write, stderr=subprocess.PIPE, timeout=60)
    os.close(write)
    assert done.stderr == b"" and done.returncode == 0
