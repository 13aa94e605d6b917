"""A start pays for no library that the panel does not use, and nobody else loses it."""

import subprocess
import sys

import pytest

from benchcalc.shell.unneeded import without

UNUSED = ("numpy", "pkg_resources", "pint", "serial.tools.list_ports_linux")


@pytest.mark.parametrize("module", ["screen", "paint", "sound"])
def test_the_window_is_there_without_them(module: str) -> None:
    program = f"import sys, benchcalc.shell.{module}; print(*sys.modules)"
    said = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    loaded = said.stdout.split()
    assert "pygame" in loaded
    assert [name for name in UNUSED if name in loaded] == []


def test_they_can_be_had_afterwards() -> None:
    program = "import benchcalc.shell.screen, numpy; print(numpy.zeros(3).sum())"
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
