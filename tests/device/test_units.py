"""The units, rules and lists in ``systemd/`` as the system's own programs see them."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.house.sources import ROOT

SYSTEMD = ROOT / "systemd"
UNITS = sorted(p for p in SYSTEMD.iterdir() if p.suffix in (".service", ".path"))
SERVICE = SYSTEMD / "benchcalc.service"
MOST_EXPOSED = 1.5


def need(program: str) -> None:
    if not shutil.which(program):
        pytest.skip(f"{program} is not installed")


def ran(*command: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([str(word) for word in command], capture_output=True, text=True)


def settings(unit: Path) -> dict[str, list[str]]:
    """Every setting of a unit with all its values, whatever its section."""
    found: dict[str, list[str]] = {}
    for line in unit.read_text().splitlines():
        if "=" in line and not line.startswith("#"):
            name, _, value = line.partition("=")
            found.setdefault(name, []).append(value)
    return found


@pytest.fixture
def as_installed(tmp_path: Path) -> Path:
    """The units with programs that are there, for what they start lies nowhere here."""
    for unit in UNITS:
        text = re.sub(r"(?m)^(Exec\w+=[-+]*)[^-+\s]\S*", r"\1/bin/true", unit.read_text())
        (tmp_path / unit.name).write_text(text)
    return tmp_path


@pytest.mark.parametrize("name", [unit.name for unit in UNITS])
def test_systemd_has_nothing_to_say(name: str, as_installed: Path) -> None:
    need("systemd-analyze")
    unit = as_installed / name.replace("@", "@sda1")
    (as_installed / name).rename(unit)
    said = ran("systemd-analyze", "verify", "--man=no", "--recursive-errors=one", unit)
    assert (said.returncode, said.stderr) == (0, "")


def test_systemd_would_say_something(as_installed: Path) -> None:
    need("systemd-analyze")
    unit = as_installed / SERVICE.name
    unit.write_text(unit.read_text().replace("Restart=always", "Restart=sometimes"))
    assert "sometimes" in ran("systemd-analyze", "verify", "--man=no", unit).stderr


def exposure(unit: Path) -> float:
    need("systemd-analyze")
    said = ran("systemd-analyze", "security", "--offline=true", "--no-pager", unit)
    found = re.search(r"Overall exposure level for \S+: ([0-9.]+)", said.stdout)
    if found is None:
        pytest.skip(f"this systemd-analyze reckons no exposure offline: {said.stderr.strip()}")
    return float(found[1])


def test_the_panel_is_exposed_little(tmp_path: Path) -> None:
    assert exposure(SERVICE) <= MOST_EXPOSED
    bare = tmp_path / "bare.service"
    bare.write_text("[Service]\nExecStart=/bin/true\n")
    assert exposure(bare) > 9  # the same reckoning finds a unit without any of it wanting


def test_the_panel_is_always_there() -> None:
    found = settings(SERVICE)
    for name, value in {
        "Type": "notify",
        "NotifyAccess": "main",
        "Restart": "always",
        "StartLimitIntervalSec": "0",
        "User": "benchcalc",
        "WantedBy": "multi-user.target",
    }.items():
        assert found[name] == [value]
    assert 0 < int(found["WatchdogSec"][0]) <= 10


def test_what_is_plugged_in_later_is_let_through() -> None:
    """By number: a name such as char-ttyUSB is looked up once, when the panel starts."""
    found = settings(SERVICE)
    assert all(re.fullmatch(r"char-[0-9]+ rw", allowed) for allowed in found["DeviceAllow"])
    majors = {int(allowed[5:-3]) for allowed in found["DeviceAllow"]}
    # Linux, Documentation/admin-guide/devices.txt: input, ACM and USB serial adapters, DRM
    assert majors >= {13, 166, 188, 226}
    assert "PrivateNetwork" not in found, "no word of plugged devices would come"
    assert "AF_NETLINK" in found["RestrictAddressFamilies"][0]


def test_no_code_is_read_where_the_panel_may_write() -> None:
    """HOME is the folder of the records: what Python would run from below it is left alone."""
    assert "PYTHONNOUSERSITE=1" in settings(SERVICE)["Environment"]


def test_a_file_in_the_place_of_the_records_keeps_no_panel_from_its_start() -> None:
    """systemd would fail at StateDirectory= again and again, and nobody would read why."""
    found = settings(SERVICE)
    assert "StateDirectory" not in found
    assert "BENCHCALC_STATE=/var/lib/benchcalc" in found["Environment"]
    assert "-/var/lib/benchcalc" in found["ReadWritePaths"][0].split()


def test_the_user_has_the_groups_that_the_unit_gives_the_panel() -> None:
    text = (SYSTEMD / "benchcalc.sysusers").read_text()
    members = set(re.findall(r"(?m)^m benchcalc (\w+)$", text))
    assert members == set(settings(SERVICE)["SupplementaryGroups"][0].split())


def test_folders_and_helpers_have_the_same_names_everywhere() -> None:
    helper = (SYSTEMD / "benchcalc-stick").read_text()
    folders = (SYSTEMD / "benchcalc.tmpfiles").read_text()
    named = re.findall(r"(?m)^\w+=(/run/benchcalc/\w+)$", helper)
    assert len(named) == 3
    for folder in named:
        assert f"d {folder} " in folders
    rules = (SYSTEMD / "70-benchcalc.rules").read_text()
    wanted = re.findall(r'SYSTEMD_WANTS\}\+="([^$"]+)\$kernel([^"]+)"', rules)
    assert wanted and all((SYSTEMD / f"{a}{b}").is_file() for a, b in wanted)


RULE_PART = re.compile(
    r'[A-Z]+(\{[A-Za-z_.]+\})?\s*(==|!=|\+=|=)\s*"[^"]*"\s*(,\s*|$)',
)


def bad_rules(text: str) -> list[str]:
    """Lines of udev rules that are none: parts by commas, each KEY{ATTRIBUTE} operator "value"."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    jumps = set(re.findall(r'GOTO="(\w+)"', text)) - set(re.findall(r'LABEL="(\w+)"', text))
    return [line for line in lines if RULE_PART.sub("", line)] + sorted(jumps)


def test_udev_rules_are_rules(tmp_path: Path) -> None:
    rules = SYSTEMD / "70-benchcalc.rules"
    assert bad_rules(rules.read_text()) == []
    if shutil.which("udevadm") and "verify" in ran("udevadm", "--help").stdout:
        said = ran("udevadm", "verify", rules)
        assert said.returncode == 0, said.stderr


@pytest.mark.parametrize(
    "bad", ['KERNEL="tty', 'KERNEL=="a" SYMLINK+="b"', 'kernel=="a"', 'GOTO="nowhere"']
)
def test_a_rule_that_is_none_is_found(bad: str) -> None:
    assert len(bad_rules(bad + "\n")) == 1
