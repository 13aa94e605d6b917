"""Every dependency is to be had for a 64-bit Raspberry Pi ready-made: nothing is compiled there."""

import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.house.sources import ROOT

PYTHONS = ("3.11", "3.13")
"""Of Debian 12 and 13. Source: https://packages.debian.org/python3"""

UNREACHED = re.compile(
    r"connection broken|failed to establish|could not fetch|timed out|name resolution",
    re.IGNORECASE,
)
LONGEST_S = 90


def resolved(wanted: list[str], python: str, folder: Path) -> list[str]:
    """The wheels that pip would fetch for such a machine; skips where no index can be reached."""
    command = [
        sys.executable, "-m", "pip", "install", "--quiet", "--dry-run", "--ignore-installed",
        "--report=-", "--target", str(folder), "--python-version", python,
        "--platform=manylinux2014_aarch64", "--only-binary=:all:", "--retries=0", "--timeout=10",
        "--disable-pip-version-check", *wanted,
    ]  # fmt: skip
    try:
        said = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST_S)
    except subprocess.TimeoutExpired:
        pytest.skip(f"the package index did not answer within {LONGEST_S} s")
    if said.returncode and UNREACHED.search(said.stderr):
        pytest.skip(f"no package index can be reached: {said.stderr.strip().splitlines()[0]}")
    if said.returncode:
        raise LookupError(said.stderr)
    return [found["download_info"]["url"] for found in json.loads(said.stdout)["install"]]


def dependencies() -> list[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    return list(project["dependencies"])


@pytest.mark.parametrize("python", PYTHONS)
def test_every_dependency_has_a_wheel_for_arm64(python: str, tmp_path: Path) -> None:
    wheels = resolved(dependencies(), python, tmp_path)
    assert all(wheel.endswith(".whl") for wheel in wheels)
    assert len(wheels) >= len(dependencies())
    assert any("pygame" in wheel and "aarch64" in wheel for wheel in wheels)


def test_a_dependency_without_one_is_found(tmp_path: Path) -> None:
    with pytest.raises(LookupError, match="No matching distribution"):
        resolved(["pyserial>=999"], PYTHONS[0], tmp_path)


def test_pygame_comes_from_debian_all_the_same() -> None:
    """The wheel's SDL draws in a desktop only; Debian's draws on a bare screen."""
    assert "python3-pygame" in (ROOT / "systemd/install").read_text()


@pytest.mark.parametrize("python", PYTHONS)
@pytest.mark.parametrize("name", ["requirements.txt", "build.txt"])
def test_what_is_pinned_is_to_be_had_by_its_sums(name: str, python: str, tmp_path: Path) -> None:
    pinned = ["--require-hashes", "-r", str(ROOT / "systemd" / name)]
    wheels = resolved(pinned, python, tmp_path)
    assert wheels and all(wheel.endswith("-none-any.whl") for wheel in wheels)
