"""The linter, the formatter and the type checker, run by the one command that checks all."""

import subprocess
import sys
import tomllib

import pytest

from tests.house.sources import ROOT


@pytest.mark.parametrize(
    "words", ["ruff check", "ruff format --check", "mypy"], ids=["lint", "format", "types"]
)
def test_tool_has_nothing_to_say(words: str) -> None:
    command = [sys.executable, "-m", *words.split()]
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    assert ran.returncode == 0, f"{words}\n{ran.stdout}{ran.stderr}"


def test_types_are_checked_strictly_and_everywhere() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["mypy"]
    assert settings["strict"] is True
    assert settings["files"] == ["benchcalc", "tests"]
