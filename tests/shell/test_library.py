"""The first page of the library works: a job file to a job, a sheet, its values, a picture."""

import json
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

import benchcalc
from benchcalc import BadJob, draw_svg, load_job, sheet_dict, work_out
from benchcalc.cli import main
from benchcalc.files.loading import asset_path

DEMO = asset_path("demo.yaml")
CLASHING = """benchcalc: 1
name: port to port
tube: {od: 10, wall: 1, material: 304}
bender: bench-10mm
ports:
  start: {at: [0, 0, 0], along: [1, 0, 0]}
  finish: {at: [300, 180, 120], along: [0, 0.25, 1]}
"""


def test_its_sheet_is_that_of_the_command(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path))
    sheet = work_out(load_job(DEMO))
    assert load_job(str(DEMO)) == sheet.job
    picture = tmp_path / "demo.svg"
    code = main(["sheet", str(DEMO), "--json", "--picture", str(picture)])
    assert json.loads(capsys.readouterr().out) == sheet_dict(sheet)
    drawn = draw_svg(sheet)
    assert drawn == picture.read_text("utf-8") == drawn._repr_svg_() and code == 0
    assert ElementTree.fromstring(drawn).tag == "{http://www.w3.org/2000/svg}svg"


def test_all_that_is_wrong_with_a_job_is_told(tmp_path: Path) -> None:
    file = tmp_path / "bad.yaml"
    file.write_text(CLASHING.replace("od: 10,", "od: ten,").replace("bender:", "bendr:"))
    with pytest.raises(BadJob) as told:
        load_job(file)
    assert [problem.line for problem in told.value.problems] == [3, 4]
    assert str(told.value).startswith(f"{file}:3: tube od: ten: ")
    with pytest.raises(BadJob):
        load_job(tmp_path / "none.yaml")


def test_its_names_are_told_and_no_others() -> None:
    assert set(benchcalc.__all__) <= set(dir(benchcalc))
    assert all(getattr(benchcalc, name) for name in benchcalc.__all__)
    with pytest.raises(AttributeError):
        getattr(benchcalc, "load_" + "jobs")
    assert (Path(benchcalc.__file__).parent / "py.typed").is_file()


def modules_after(code: str) -> set[str]:
    """The modules that a fresh interpreter has after some code."""
    asked = f"{code}\nimport sys; print(*sys.modules)"
    found = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True
    )
    return set(found.stdout.splitlines()[-1].split())


def test_importing_it_loads_neither_panel_nor_pygame_nor_anything_else() -> None:
    found = modules_after("import benchcalc")
    assert {name for name in found if name.startswith("benchcalc")} == {"benchcalc"}


@pytest.mark.parametrize("more", [(), ("--json",), ("--bent", "1=91"), ("--picture", "x.svg")])
def test_a_sheet_loads_no_module_of_the_panel(tmp_path: Path, more: tuple[str, ...]) -> None:
    """Shapes, ports and a search for another order of bending neither."""
    job = tmp_path / "clashing.yaml"
    job.write_text(CLASHING)
    more = tuple(str(tmp_path / word) if word == "x.svg" else word for word in more)
    found = modules_after(
        f"from benchcalc.cli import main\nmain(['sheet', {str(job)!r}, *{more!r}])\n"
        f"main(['sheet', {str(DEMO)!r}, *{more!r}])"
    )
    assert "benchcalc.core.sheet" in found
    heavy = ("benchcalc.panel", "benchcalc.shell", "pygame", "pint", "serial", "sqlite3")
    assert {name for name in found if name.startswith(heavy)} == set()


def test_a_sheet_of_this_bench_loads_no_module_of_the_panel(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """With a log to read: its widths, what it was taught, its benders as measured."""
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path))
    main(["trial", "bench-10mm", "--bend", "150,80,90,90", "--keep"])
    found = modules_after(
        f"from benchcalc.cli import main\nmain(['sheet', '--bench', {str(DEMO)!r}])\n"
    )
    assert "benchcalc.runlog.beside" in found
    assert {name for name in found if name.startswith(("benchcalc.panel", "pygame"))} == set()
