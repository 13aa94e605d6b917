"""Nothing ends in a traceback, whatever the machine, the terminal or the file is like."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from benchcalc.files.loading import asset_path
from tests.shell.fuzzed_jobs import study

DEMO = str(asset_path("demo.yaml"))
COMMAND = [sys.executable, "-m", "benchcalc"]
Done = subprocess.CompletedProcess[bytes]


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "state"))
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path / "config"))
    (tmp_path / "config").mkdir()


def shell(line: str, *words: str, unbuffered: str = "") -> Done:
    """A line of shell, in which "$@" is the command."""
    environment = os.environ | {"PYTHONUNBUFFERED": unbuffered}
    command = ["sh", "-c", line, "sh", *COMMAND, *words]
    done = subprocess.run(command, capture_output=True, env=environment, timeout=60)
    assert b"Traceback" not in done.stderr + done.stdout, done
    return done


JOB = """\
benchcalc: 1
name: odd tube
tube: {od: 1, wall: WALL, material: 304}
bender: bench-10mm
run:
  - FIRST
  - {leg: 100}
"""


@pytest.mark.parametrize("wall", ["10", "1", "0.5", "0.4999999999999999999"])
@pytest.mark.parametrize(
    "first", ["{offset: {height: 60, angle: 45, leg: 150}}", "{leg: 100, bend: 90}"]
)
def test_a_wall_that_leaves_no_bore_is_refused_in_words(
    tmp_path: Path, wall: str, first: str
) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(JOB.replace("WALL", wall).replace("FIRST", first))
    done = shell('"$@"', "sheet", str(path))
    assert done.returncode == 2 and not done.stdout
    assert f"{path}:3: tube wall: ".encode() in done.stderr


@pytest.mark.parametrize("unbuffered", ["", "1"])
@pytest.mark.parametrize("closing", [">&-", ">/dev/full", "1</dev/null"])
@pytest.mark.parametrize(
    "words",
    [("sheet", DEMO), ("sheet", DEMO, "--json"), ("sheet", "--help"), ("--version",), ("runs",)],
)
def test_output_that_cannot_be_written_is_said_and_ends_with_3(
    words: tuple[str, ...], closing: str, unbuffered: str
) -> None:
    done = shell(f'"$@" {closing}', *words, unbuffered=unbuffered)
    assert done.returncode == 3
    assert done.stderr.startswith(b"benchcalc: standard output cannot be written: ")
    assert done.stderr.count(b"\n") == 1


@pytest.mark.parametrize("closing", [">&- 2>&- <&-", ">/dev/full 2>/dev/full", "2>&-"])
def test_nowhere_to_say_it_the_exit_still_tells(closing: str) -> None:
    done = shell(f'"$@" {closing}', "sheet", DEMO)
    assert done.returncode == (0 if closing == "2>&-" else 3) and not done.stderr
    assert shell(f'"$@" {closing}', "sheet", "/nowhere.yaml").returncode == 2


def test_a_file_of_ours_never_takes_the_place_of_a_closed_stream(tmp_path: Path) -> None:
    assert shell('"$@" >&- 2>&- <&-', "export", str(tmp_path)).returncode == 3
    assert shell('"$@" >&-', "sheet", DEMO, "--picture", f"{tmp_path}/a.svg").returncode == 3
    assert (tmp_path / "a.svg").read_text().rstrip().endswith("</svg>")


LINES = {
    "ASCII": "PYTHONIOENCODING=ascii",
    "cp1252": "PYTHONIOENCODING=cp1252",
    "the C locale": "LC_ALL=C PYTHONCOERCECLOCALE=0 PYTHONUTF8=0",
}


@pytest.mark.parametrize("terminal", LINES)
def test_a_terminal_without_our_letters_gets_others(tmp_path: Path, terminal: str) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(Path(DEMO).read_text().replace("WSR-12 A", "Größe ✓ 😀"))
    done = shell(f'{LINES[terminal]} "$@"', "sheet", str(path))
    assert done.returncode == 0 and not done.stderr
    said = done.stdout.decode("cp1252")
    degree = "°" if terminal == "cp1252" else " deg"
    assert f"90{degree}" in said and "?" not in said and "\\u2713 \\ud83d\\ude00" in said


@pytest.mark.parametrize("terminal", LINES)
def test_json_on_such_a_terminal_says_the_same(tmp_path: Path, terminal: str) -> None:
    import json

    path = tmp_path / "job.yaml"
    path.write_text(Path(DEMO).read_text().replace("inlet to bottle 1", "Größe ✓ 😀"))
    done = shell(f'{LINES[terminal]} "$@"', "sheet", "--json", str(path))
    name = json.loads(done.stdout.decode("cp1252"))["name"]
    assert done.returncode == 0 and name == "water-sampling rack, Größe ✓ 😀"


def test_a_name_that_is_no_utf_8_can_be_said() -> None:
    command = [*COMMAND, "sheet", os.fsdecode(b"/nowhere/\xff.yaml")]
    done = subprocess.run(command, capture_output=True, timeout=60)
    assert done.returncode == 2 and b"/nowhere/\\udcff.yaml:1: file: cannot" in done.stderr


def _as_root(*options: str) -> str:
    if os.geteuid() != 0 or shutil.which("setpriv") is None:
        pytest.skip("needs root and setpriv (util-linux)")
    return f"setpriv {' '.join(options)}"


@pytest.mark.parametrize(
    "words", [("sheet", DEMO), ("sheet", DEMO, "--bench"), ("runs",), ("verify",), ("springback",)]
)
def test_a_user_without_a_home_works_with_the_bench(words: tuple[str, ...]) -> None:
    """A number that no account has, which may still read this tree."""
    keep = ("--inh-caps=+dac_override", "--ambient-caps=+dac_override")
    become = _as_root("--reuid=54321", "--clear-groups", *keep)
    clear = "env -u HOME -u BENCHCALC_STATE -u BENCHCALC_CONFIG -u XDG_STATE_HOME"
    done = shell(f'{clear} -u XDG_CONFIG_HOME {become} "$@"', *words)
    assert done.returncode == 0 and not done.stderr


@pytest.mark.parametrize("name", ["benders.yaml", "materials.yaml"])
@pytest.mark.parametrize("locked", ["the file", "the folder"])
def test_a_config_that_may_not_be_read_is_said(tmp_path: Path, name: str, locked: str) -> None:
    before = _as_root("--bounding-set=-dac_override,-dac_read_search")
    own = tmp_path / "config" / name
    own.write_text("{}")
    (own if locked == "the file" else own.parent).chmod(0o000)
    done = shell(f'{before} "$@"', "sheet", DEMO)
    assert done.returncode == 2 and not done.stdout
    assert b"cannot be read: Permission denied" in done.stderr
    if locked == "the file":
        assert str(own).encode() in done.stderr


@pytest.mark.parametrize("name", ["benders.yaml", "materials.yaml", "sensors.yaml"])
def test_a_link_that_leads_nowhere_is_said(tmp_path: Path, name: str) -> None:
    own = tmp_path / "config" / name
    own.symlink_to("/nowhere/at/all.yaml")
    words = ("sheet", DEMO) if name != "sensors.yaml" else ("sensor", "/dev/null")
    done = shell('"$@"', *words)
    assert done.returncode == 2 and not done.stdout
    assert f"{own}:1: file: cannot be read: No such file".encode() in done.stderr


def test_a_pipe_that_nobody_writes_into_is_no_job(tmp_path: Path) -> None:
    pipe = tmp_path / "job.yaml"
    os.mkfifo(pipe)
    done = shell('"$@"', "sheet", str(pipe))
    assert done.returncode == 2 and b"it is a pipe, and for 5 s nobody wrote into it" in done.stderr
    done = shell('"$@"', "sensor", "--replay", str(pipe), "--profile", "nmea-pitch",
                 "--expect", "90", "--pull-to", "93")  # fmt: skip
    assert done.returncode == 2 and b"a pipe, no file" in done.stderr


def test_a_pipe_that_somebody_writes_into_is_one(tmp_path: Path) -> None:
    pipe = tmp_path / "job.yaml"
    os.mkfifo(pipe)
    done = shell(f'(sleep 0.3; cat {DEMO} >{pipe}) & "$@"; wait', "sheet", str(pipe))
    assert done.returncode == 0 and done.stdout == shell('"$@"', "sheet", DEMO).stdout


@pytest.mark.parametrize("what", ["a folder", "/dev/zero", "a link to itself"])
def test_what_is_no_file_is_no_job(tmp_path: Path, what: str) -> None:
    path = tmp_path / "job.yaml"
    if what == "a folder":
        path.mkdir()
    else:
        path.symlink_to(what if what.startswith("/") else path)
    done = shell('"$@"', "sheet", str(path))
    assert done.returncode == 2 and done.stderr.startswith(f"{path}:1: file: ".encode())


def test_whatever_stands_in_a_job_file_it_is_a_sheet_or_a_sentence(tmp_path: Path) -> None:
    """More of them: ``python -m tests.shell.fuzzed_jobs --jobs 10000``."""
    assert study(250, 3, tmp_path) == []
