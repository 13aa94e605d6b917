"""The parts of a release, as CycloneDX JSON: ``python systemd/parts.py [DEB…] >parts.json``.

Run by the interpreter whose parts are wanted: benchcalc and, from what each package says of itself,
all that it needs and finds there; and Debian's packages, by their files' names. ``--pin REPORT``
prints the lines of requirements.txt anew instead, from what ``pip install --dry-run
--ignore-installed --report REPORT pint font-source-sans-pro`` has written.

*Source* of the form: CycloneDX 1.5, https://cyclonedx.org/docs/1.5/json/; of package URLs (purl):
https://github.com/package-url/purl-spec, types pypi and deb.
"""

import json
import re
import sys
from importlib import metadata
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote

START = "benchcalc"
_NAME = re.compile(r"[A-Za-z0-9._-]+")


def plain(name: str) -> str:
    """A package's name in the one spelling that indexes use (PEP 503)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def needs(dist: metadata.Distribution) -> list[str]:
    """What a package asks for, its extras left out."""
    asked = [text for text in dist.requires or () if "extra ==" not in text]
    return sorted({plain(found[0]) for text in asked if (found := _NAME.match(text))})


def parts(start: str) -> dict[str, metadata.Distribution]:
    """A package and, of all that it needs, what is installed, by name."""
    found: dict[str, metadata.Distribution] = {}
    waiting = [start]
    while waiting:
        name = waiting.pop()
        if name in found:
            continue
        try:
            found[name] = metadata.distribution(name)
        except metadata.PackageNotFoundError:
            continue  # asked for by a marker for another system
        waiting += needs(found[name])
    return found


def component(name: str, dist: metadata.Distribution) -> dict[str, Any]:
    """One part."""
    url = f"pkg:pypi/{name}@{dist.version}"
    told = {"type": "library", "bom-ref": url, "name": name, "version": dist.version, "purl": url}
    license_ = dist.metadata.get("License-Expression") or dist.metadata.get("License")
    if license_ and "\n" not in license_ and len(license_) < 100:
        told["licenses"] = [{"license": {"name": license_}}]  # type: ignore[assignment]
    return told


def of_debian(file: str) -> dict[str, Any]:
    """One of Debian's packages, by the name of its file as apt keeps it."""
    name, version, arch = (unquote(text) for text in Path(file).stem.split("_"))
    url = f"pkg:deb/debian/{name}@{quote(version, '.+~')}?arch={arch}"
    return {"type": "library", "bom-ref": url, "name": name, "version": version, "purl": url}


def bom(start: str, debs: list[str]) -> dict[str, Any]:
    """The list of parts, and which asks for which. Raises LookupError for what is not installed."""
    found = parts(start)
    if start not in found:
        raise LookupError(f"{start} is not installed for {sys.executable}: install it, then ask")
    python = [component(name, found[name]) for name in sorted(found) if name != start]
    refs = {name: f"pkg:pypi/{name}@{dist.version}" for name, dist in found.items()}
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "version": 1,
        "metadata": {"component": {**component(start, found[start]), "type": "application"}},
        "components": [*python, *map(of_debian, sorted(debs))],
        "dependencies": [
            {"ref": refs[n], "dependsOn": [refs[o] for o in needs(found[n]) if o in refs]}
            for n in sorted(found)
        ],
    }


def pins(report: dict[str, Any]) -> list[str]:
    """The lines of requirements.txt for what pip would install."""
    lines = []
    for one in report["install"]:
        name, version = plain(one["metadata"]["name"]), one["metadata"]["version"]
        own = one["download_info"]["archive_info"]["hashes"]["sha256"]
        lines.append(f"{name}=={version} --hash=sha256:{own}")
    return sorted(lines)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--pin"]:
        print("\n".join(pins(json.loads(Path(sys.argv[2]).read_text()))))
    else:
        print(json.dumps(bom(START, sys.argv[1:]), indent=1))
