"""A start pays for no library that the panel does not use, and nobody else loses it."""

import subprocess
import sys

import pytest

from benchcalc.files.loading import asset_path
from benchcalc.shell.unneeded import without

UNUSED = ("numpy", "pkg_resources", "pint", "serial.tools.list_ports_linux")

PANEL = ("benchcalc.panel.state.model", "benchcalc.panel.update", "pygame", "sqlite3")


@pytest.mark.parametrize("module", ["display.screen", "display.paint", "sound"])
def test_the_window_is_there_without_them(module: str) -> None:
    program = f"import sys, benchcalc.shell.{module}; print(*sys.modules)"
    said = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    loaded = said.stdout.split()
    assert "pygame" in loaded
    assert [name for name in UNUSED if name in loaded] == []


def test_a_sheet_is_there_without_the_panel() -> None:
    job = asset_path("demo.yaml")
    program = f"import sys; from benchcalc.cli import main; main(['sheet', {str(job)!r}])"
    asked = [sys.executable, "-c", f"{program}; print(*sys.modules, file=sys.stderr)"]
    said = subprocess.run(asked, capture_output=True, text=True)
    loaded = said.stderr.split()
    assert "mm" in said.stdout and "benchcalc.core.sheet" in loaded
    assert [name for name in (*UNUSED, *PANEL) if name in loaded] == []


def test_they_can_be_had_afterwards() -> None:
    program = "import benchcalc.shell.display.screen, numpy; print(numpy.zeros(3).sum())"
    said = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert said.stdout.split()[-1] == "0.0"


def test_what_is_there_already_stays() -> None:
    before = sys.modules["json"] if "json" in sys.modules else __import__("json")
    with without("json", "benchcalc_no_such_module"):
        assert sys.modules["json"] is before
        with pytest.raises(ImportError):
            __import__("benchcalc_no_such_module")
    assert sys.modules["json"] is before
    assert "benchcalc_no_such_module" not in sys.modules
