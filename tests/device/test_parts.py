"""What a bench is made of: pinned by sums, and listed."""

import importlib.util
import json
import re
import tomllib
from importlib import metadata
from types import ModuleType

import pytest

from tests.house.sources import ROOT

SYSTEMD = ROOT / "systemd"
DEBIANS = {"pygame": "python3-pygame", "pyserial": "python3-serial", "pyyaml": "python3-yaml"}
"""What Debian brings in the place of the index."""


def pinned(name: str) -> dict[str, str]:
    """The versions of a file, each line with one sum at least."""
    found = {}
    for line in (SYSTEMD / name).read_text().splitlines():
        if line and not line.startswith("#"):
            read = re.fullmatch(r"([a-z0-9-]+)==(\S+)(?: --hash=sha256:[0-9a-f]{64})+", line)
            assert read, line
            found[read[1]] = read[2]
    return found


def project() -> dict[str, list[str]]:
    told: dict[str, list[str]] = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    return told


def test_each_dependency_is_pinned_or_debians_own() -> None:
    asked = {re.split("[<>=]", text)[0] for text in project()["dependencies"]}
    install = (SYSTEMD / "install").read_text()
    versions = pinned("requirements.txt")
    for name in asked:
        assert name in versions or DEBIANS[name] in install, name
    assert "python3-cryptography" in install and "hatchling" in pinned("build.txt")


def test_a_pin_is_no_older_than_what_is_asked_for() -> None:
    least = dict(text.split(">=") for text in project()["dependencies"])
    for name, version in pinned("requirements.txt").items():
        if name in least:
            numbers = [[int(n) for n in v.split(".")] for v in (least[name], version)]
            assert numbers[0] <= numbers[1]


@pytest.fixture(scope="module")
def listing() -> ModuleType:
    spec = importlib.util.spec_from_file_location("parts", SYSTEMD / "parts.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_list_of_parts_names_each_with_its_version(listing: ModuleType) -> None:
    """Of pytest, which is there whenever this runs; held against what each says of itself."""
    debs = ["./python3-yaml_6.0-3+b2_arm64.deb", "./udev_1%3a252.39-1_arm64.deb"]
    bom = json.loads(json.dumps(listing.bom("pytest", debs)))
    assert (bom["bomFormat"], bom["specVersion"]) == ("CycloneDX", "1.5")
    named = {part["purl"]: part["version"] for part in bom["components"]}
    for name in ("pluggy", "iniconfig", "packaging"):
        assert named[f"pkg:pypi/{name}@{metadata.version(name)}"] == metadata.version(name)
    assert named["pkg:deb/debian/python3-yaml@6.0-3+b2?arch=arm64"] == "6.0-3+b2"
    assert named["pkg:deb/debian/udev@1%3A252.39-1?arch=arm64"] == "1:252.39-1"
    assert not any("xdist" in purl for purl in named), "an extra was not asked for"
    refs = {*named, bom["metadata"]["component"]["bom-ref"]}
    assert {one["ref"] for one in bom["dependencies"]} <= refs
    assert all(set(one["dependsOn"]) <= refs for one in bom["dependencies"])


def test_what_is_not_installed_has_no_list(listing: ModuleType) -> None:
    with pytest.raises(LookupError, match="nothing-of-this-name is not installed"):
        listing.bom("nothing-of-this-name", [])


def test_pins_are_made_of_what_pip_reports(listing: ModuleType) -> None:
    one = {
        "metadata": {"name": "Flex_Parser", "version": "0.4"},
        "download_info": {"archive_info": {"hashes": {"sha256": "ab" * 32}}},
    }
    assert listing.pins({"install": [one]}) == [f"flex-parser==0.4 --hash=sha256:{'ab' * 32}"]
