"""The two files that close a copy: HEAD.json says what it is, MANIFEST that it is whole.

MANIFEST is what ``sha256sum -c`` reads. It names HEAD.json in its last line, so that a manifest
that was cut off shows; HEAD.json carries the ends of the chains, and length and hash of each file.
"""

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from benchcalc.core.one_line import one_line
from benchcalc.runlog.body import read_value
from benchcalc.runlog.chain import is_device

HEAD = "HEAD.json"
MANIFEST = "MANIFEST"
FORMAT = 1
"""The number of this layout; another one is refused."""

TABLES = 2
"""The number of the form of tables and report; a copy that was made in another is not worked out
again. Whatever changes a byte of them for the same records needs the next number."""

MOST_BYTES = 64 << 20

_LINE = re.compile(r"([0-9a-f]{64})  ([A-Za-z0-9._=/-]+)", re.ASCII)
_PART = re.compile(r"[A-Za-z0-9_=-][A-Za-z0-9._=-]*(?<!\.)", re.ASCII)
_MOST_PARTS = 6


class ChainSpan(NamedTuple):
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
    """HEAD.json, read: what kind of copy this is, its chains and its files.

    ``signed_by`` is the fingerprint of the key that signs the copy, empty where none does.
    """

    kind: str
    title: str
    tables: int
    software: str
    wall_time: str
    clock_trusted: bool
    spans: tuple[ChainSpan, ...]
    files: dict[str, Facts]
    notes: tuple[str, ...]
    signed_by: str = ""


def head_text(head: Mapping[str, Any], files: Mapping[str, tuple[int, str]]) -> bytes:
    """HEAD.json with the facts of every other file."""
    facts = {name: {"bytes": files[name][0], "sha256": files[name][1]} for name in sorted(files)}
    whole = {"benchcalc": FORMAT, **head, "files": facts}
    return (json.dumps(whole, ensure_ascii=False, indent=1) + "\n").encode()


def is_portable(name: str) -> bool:
    """Whether any medium may hold a file of this name, and inside the copy's own folder."""
    parts = name.split("/")
    return len(parts) <= _MOST_PARTS and all(map(_PART.fullmatch, parts))


def head_of(
    kind: str,
    title: str,
    software: str,
    when: tuple[str, bool],
    spans: Iterable[ChainSpan],
    notes: Iterable[str] = (),
    signed_by: str = "",
) -> dict[str, Any]:
    """What HEAD.json says of a copy; ``when`` is the wall time and whether to trust it."""
    signed = {"signed_by": signed_by} if signed_by else {}
    return {
        **signed,
        "kind": kind,
        "title": title,
        "tables": TABLES,
        "software": software,
        "wall_time": when[0],
        "clock_trusted": when[1],
        "chains": [span._asdict() for span in spans],
        "notes": list(notes),
    }


def read_head(data: bytes) -> HeadFile:
    """HEAD.json back again. Raises ValueError, with the reason, for anything else."""
    try:
        plain = read_value(data.decode("utf-8"))
        if plain["benchcalc"] != FORMAT:
            raise ValueError(f"layout {plain['benchcalc']}, this program knows {FORMAT}")
        return HeadFile(
            str(plain["kind"]),
            str(plain.get("title", "")),
            int(plain.get("tables", 0)),
            str(plain["software"]),
            str(plain["wall_time"]),
            bool(plain["clock_trusted"]),
            tuple(_span(span) for span in plain["chains"]),
            {n: _facts(n, facts) for n, facts in plain["files"].items()},
            tuple(str(note) for note in plain["notes"]),
            str(plain.get("signed_by", "")),
        )
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(f"it is no head of a copy ({error})") from error


def _facts(name: str, plain: Any) -> Facts:
    if not is_portable(name):
        raise ValueError(f"it names {one_line(name)}, which is no file of a copy")
    return Facts(int(plain["bytes"]), str(plain["sha256"]))


def _span(plain: Any) -> ChainSpan:
    device, before = str(plain["device"]), plain["after_hash"]
    if not is_device(device):
        raise ValueError(f"it names the device {one_line(device)}, as none is named")
    after, last = int(plain["after"]), int(plain["last"])
    if not 0 <= after <= last:
        raise ValueError(f"it names records {after + 1} to {last}")
    after_hash = None if before is None else str(before)
    return ChainSpan(device, after, after_hash, last, str(plain["last_hash"]))


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
