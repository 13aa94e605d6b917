"""The install script without a machine to spoil: what it lays out, refuses and explains."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.house.sources import ROOT

SYSTEMD = ROOT / "systemd"
INSTALL = SYSTEMD / "install"
SCRIPTS = (INSTALL, SYSTEMD / "benchcalc-stick", SYSTEMD / "benchcalc-guard")


def ran(*words: str | Path, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([str(word) for word in words], capture_output=True, text=True)


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_scripts_are_scripts(script: Path) -> None:
    shell = "bash" if script.read_text().startswith("#!/usr/bin/env bash") else "sh"
    assert script.stat().st_mode & 0o111
    assert ran(shell, "-n", script).returncode == 0
    if shutil.which("shellcheck"):
        assert ran("shellcheck", "--external-sources", script).stdout == ""


def laid_out(folder: Path) -> dict[str, str]:
    """Every file below a folder with its text, links with what they point to."""
    return {
        str(path.relative_to(folder)): str(path.readlink())
        if path.is_symlink()
        else path.read_text()
        for path in folder.rglob("*")
        if path.is_symlink() or path.is_file()
    }


def test_every_file_has_its_place_and_again_changes_nothing(tmp_path: Path) -> None:
    said = ran(INSTALL, "--files", tmp_path / "root")
    assert said.returncode == 0, said.stderr
    first = laid_out(tmp_path / "root")
    ran(INSTALL, "--files", tmp_path / "root")
    assert laid_out(tmp_path / "root") == first
    texts = list(first.values())
    for path in SYSTEMD.iterdir():
        assert path.read_text() in texts, f"{path.name} is not laid out"
    for name in ("usr/local/lib/systemd/system/benchcalc.service", "usr/local/bin/benchcalc",
                 "etc/udev/rules.d/70-benchcalc.rules"):  # fmt: skip
        assert first[name].startswith("/opt/benchcalc/current/"), "one rename changes all"


def test_links_lead_to_what_is_laid_out(tmp_path: Path) -> None:
    ran(INSTALL, "--files", tmp_path)
    links = {name: to for name, to in laid_out(tmp_path).items() if to.startswith("/")}
    assert len(links) >= 10
    for name, to in links.items():
        path = tmp_path / to.lstrip("/")
        while path.is_symlink():
            path = tmp_path / str(path.readlink()).lstrip("/")
        from_program = ("/bin/benchcalc", "/completions.bash")  # which --files lays out none of
        assert path.exists() or to.endswith(from_program), f"{name} leads to {to}"


def test_what_units_start_lies_where_it_is_laid_out(tmp_path: Path) -> None:
    ran(INSTALL, "--files", tmp_path)
    laid = tmp_path / "opt/benchcalc/a/systemd"
    started = [
        found
        for unit in laid.glob("benchcalc*.service")
        for found in re.findall(r"(?m)^Exec\w+=[-+]*(\S+)", unit.read_text())
    ]
    assert len(started) == 6
    for program in started:
        inside = tmp_path / program.lstrip("/")
        assert inside.name == "benchcalc" or inside.stat().st_mode & 0o111


def test_it_explains_itself() -> None:
    said = ran(INSTALL, "--help")
    assert said.returncode == 0
    for word in ("--from", "--gather", "--uninstall", "--seal", "upgrade"):
        assert word in said.stdout
    assert ran(INSTALL, "--instal").returncode == 2


def test_another_system_is_refused(tmp_path: Path) -> None:
    """On anything but the systems it is made for, or without root, it says so and stops."""
    text = INSTALL.read_text().replace("/etc/os-release", str(tmp_path / "os"))
    copy = tmp_path / "systemd/install"
    shutil.copytree(SYSTEMD, copy.parent)
    copy.write_text(text)
    (tmp_path / "os").write_text('ID=other\nVERSION_ID="3"\n')
    said = ran("bash", copy)
    assert said.returncode == 1
    assert "other 3" in said.stderr or "needs root" in said.stderr
