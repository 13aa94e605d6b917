"""What a session really asked of the disk: its system calls, recorded by strace."""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Literal, NamedTuple

CALLS = "openat,write,pwrite64,ftruncate,fsync,fdatasync,rename,unlink,mkdir"
LONGEST = 200_000
"""Bytes of one write that are recorded; a page is 4096, a line of the log some hundred."""

_LINE = re.compile(r"\d+\s+(\w+)\((.*)\)\s+= (-?\d+)(?:<([^>]*)>)?")
_TEXT = r'"((?:\\x[0-9a-f]{2})*)"'
_FILE = r"\d+<((?:\\x[0-9a-f]{2})*)>"

Doing = Literal["create", "write", "truncate", "sync", "rename", "unlink", "told"]


WHOLE = ".new"
"""A small file that is made new, written in one go, and renamed over the one before."""


class Act(NamedTuple):
    """One thing asked of the disk; paths are names inside the session's folder, "" itself."""

    doing: Doing
    name: str
    at: int = 0
    data: bytes = b""
    other: str = ""


def recorded(
    kind: str, folder: Path, log: Path, strace_out: Path, module: str = "tests.crash.session"
) -> list[Act]:
    """Run a session, a module's main part, under strace and read what it did to its folder."""
    command = [
        "strace", "-f", "-y", "-xx", "-s", str(LONGEST), "--seccomp-bpf", "-e", f"trace={CALLS}",
        "-o", str(strace_out), sys.executable, "-m", module, kind, str(folder), str(log),
    ]  # fmt: skip
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, timeout=600)
    lines = strace_out.read_text(encoding="ascii", errors="replace").splitlines()
    return list(acts(lines, str(folder), str(log)))


def acts(lines: list[str], folder: str, log: str) -> Iterator[Act]:
    """The calls that concern the folder or the log, in order; shared memory outlasts nothing."""
    for line in lines:
        if "unfinished" in line or "resumed" in line:
            raise ValueError(f"two threads at the disk at once: {line[:80]}")
        found = _LINE.match(line)
        if found is None or int(found[3]) < 0:
            continue
        act = _act(found[1], found[2], found[4] or "", folder, log)
        if act is not None and not act.name.endswith("-shm"):
            yield act


def _act(call: str, words: str, result: str, folder: str, log: str) -> Act | None:
    if call in ("rename", "unlink", "mkdir", "openat"):
        return _named(call, words, folder)
    file = re.match(_FILE, words)
    path = _plain(file[1]).decode() if file else ""
    if path == log and call == "write":
        return Act("told", "", data=_data(words))
    name = _inside(path, folder)
    if name is None:
        return None
    if call == "write" and name.endswith(WHOLE):
        return Act("write", name, 0, _data(words))
    if call == "pwrite64":
        return Act("write", name, int(words.rsplit(", ", 1)[1]), _data(words))
    if call == "ftruncate":
        return Act("truncate", name, int(words.rsplit(", ", 1)[1]))
    if call in ("fsync", "fdatasync"):
        return Act("sync", name)
    raise ValueError(f"a {call} to {name} that the replay does not know")


def _named(call: str, words: str, folder: str) -> Act | None:
    names = [_inside(_plain(text).decode(), folder) for text in re.findall(_TEXT, words)]
    if not names or names[0] is None or call == "mkdir":
        return None
    if call == "openat":
        made = "O_CREAT" in words and names[0]
        return Act("create", names[0]) if made else None
    if call == "rename":
        return Act("rename", names[0], other=names[1] or "")
    return Act("unlink", names[0])


def _inside(path: str, folder: str) -> str | None:
    if path == folder:
        return ""
    return path[len(folder) + 1 :] if path.startswith(f"{folder}/") else None


def _data(words: str) -> bytes:
    text = re.search(_TEXT, words)
    if text is None or words[text.end() : text.end() + 3] == "...":
        raise ValueError("a write longer than what was recorded of it")
    return _plain(text[1])


def _plain(text: str) -> bytes:
    return bytes.fromhex(text.replace("\\x", ""))
