"""The two files that close a copy: HEAD.json says what it is, MANIFEST that it is whole.

MANIFEST is what ``sha256sum -c`` reads. It names HEAD.json in its last line, so that a manifest
that was cut off shows; HEAD.json carries the ends of the chains, and length and hash of each file.
"""

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

HEAD = "HEAD.json"
MANIFEST = "MANIFEST"
FORMAT = 1
"""The number of this layout; another one is refused."""

_LINE = re.compile(r"([0-9a-f]{64})  ([A-Za-z0-9._=/-]+)", re.ASCII)


class Span(NamedTuple):
    """A stretch of one device's chain: the records past ``after`` up to ``last``.

    ``after_hash`` is None where the record before the stretch could not be read.
    """

    device: str
    after: int
    after_hash: str | None
    last: int
    last_hash: str


class Facts(NamedTuple):
    """A file's length and hash as HEAD.json has them."""

    bytes: int
    sha256: str


class HeadFile(NamedTuple):
    """HEAD.json, read: what kind of copy this is, its chains and its files."""

    kind: str
    software: str
    wall_time: str
    clock_trusted: bool
    spans: tuple[Span, ...]
    files: dict[str, Facts]
    notes: tuple[str, ...]


def head_text(head: Mapping[str, Any], files: Mapping[str, tuple[int, str]]) -> bytes:
    """HEAD.json with the facts of every other file."""
    facts = {name: {"bytes": files[name][0], "sha256": files[name][1]} for name in sorted(files)}
    whole = {"benchcalc": FORMAT, **head, "files": facts}
    return (json.dumps(whole, ensure_ascii=False, indent=1) + "\n").encode()


def head_of(
    kind: str,
    software: str,
    when: tuple[str, bool],
    spans: Iterable[Span],
    notes: Iterable[str] = (),
) -> dict[str, Any]:
    """What HEAD.json says of a copy; ``when`` is the wall time and whether to trust it."""
    return {
        "kind": kind,
        "software": software,
        "wall_time": when[0],
        "clock_trusted": when[1],
        "chains": [span._asdict() for span in spans],
        "notes": list(notes),
    }


def read_head(data: bytes) -> HeadFile:
    """HEAD.json back again. Raises ValueError, with the reason, for anything else."""
    try:
        plain = json.loads(data)
        if plain["benchcalc"] != FORMAT:
            raise ValueError(f"layout {plain['benchcalc']}, this program knows {FORMAT}")
        return HeadFile(
            str(plain["kind"]),
            str(plain["software"]),
            str(plain["wall_time"]),
            bool(plain["clock_trusted"]),
            tuple(_span(span) for span in plain["chains"]),
            {n: Facts(int(f["bytes"]), str(f["sha256"])) for n, f in plain["files"].items()},
            tuple(str(note) for note in plain["notes"]),
        )
    except (KeyError, TypeError, AttributeError, RecursionError) as error:
        raise ValueError(f"it is no head of a copy ({error})") from error


def _span(plain: Any) -> Span:
    before = plain["after_hash"]
    return Span(
        str(plain["device"]),
        int(plain["after"]),
        None if before is None else str(before),
        int(plain["last"]),
        str(plain["last_hash"]),
    )


def manifest_text(files: Mapping[str, str]) -> bytes:
    """MANIFEST for files and their hashes, HEAD.json last."""
    names = [*sorted(name for name in files if name != HEAD), HEAD]
    return "".join(f"{files[name]}  {name}\n" for name in names).encode()


class ManifestRead(NamedTuple):
    """MANIFEST, read: the hash of each file, and what is wrong with it."""

    files: dict[str, str]
    wrong: str


def read_manifest(data: bytes) -> ManifestRead:
    """MANIFEST back again; ``wrong`` is empty when it is as this program wrote it."""
    lines = data.decode("ascii", "replace").split("\n")
    files: dict[str, str] = {}
    for number, line in enumerate(lines[:-1], 1):
        found = _LINE.fullmatch(line)
        if not found or found[2] in files:
            return ManifestRead(files, f"altered: line {number} is none of a manifest")
        files[found[2]] = found[1]
    if lines[-1] or not files or list(files)[-1] != HEAD:
        return ManifestRead(files, f"cut off: it does not end with {HEAD}")
    if manifest_text(files) != data:
        return ManifestRead(files, "altered: its lines are not in their order")
    return ManifestRead(files, "")
