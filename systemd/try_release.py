"""Tries a new program on a copy of a bench's records: its panel comes up, and reads them all.

``python -I try_release.py STATE CONFIG FOLDER``, run as the panel's user by the Python of the new
program; everything is done inside FOLDER, while the old panel may go on. A sentence and exit 1
when the program is not to be trusted with the records, or the records not with any program.
"""

import json
import os
import shutil
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from urllib.parse import quote

PROGRAM = Path(sys.executable).parent / "benchcalc"
DATABASE = "records.db"
LEFT_OUT = ("records.damaged-*", "*.lock", "*-shm")
"""Of the folder: what was set aside before, and what only running programs have a use for."""

PROFILES = ("benders.yaml", "materials.yaml")
"""Not the sensors: the panel that is tried would open their ports beside the one at work."""

UP_WITHIN_S, DOWN_WITHIN_S = 120.0, 20.0
ADVICE = "start the panel once, which sets aside what is damaged and says so; then again"


class TrialFailed(Exception):
    """Why the new program is not taken; a sentence."""


def main(words: list[str]) -> int:
    """The trial; 0 when the program comes up and tells of every piece."""
    state, config, folder = map(Path, words)
    copy, profiles = folder / "state", folder / "profiles"
    try:
        copied(state, copy, kept(state))
        copied(config, profiles, PROFILES)
        pieces = counted(copy)
        environment = {
            "PATH": os.environ.get("PATH", os.defpath), "HOME": str(folder), "LC_ALL": "C.UTF-8",
            "BENCHCALC_STATE": str(copy), "BENCHCALC_CONFIG": str(profiles),
            "BENCHCALC_STICKS": str(folder / "sticks"), "PYTHONNOUSERSITE": "1",
            "SDL_VIDEODRIVER": "dummy", "SDL_AUDIODRIVER": "dummy",
        }  # fmt: skip
        panel_comes_up(folder, environment)
        reads_all(copy, environment, pieces)
        chain_holds(folder, environment, pieces)
    except TrialFailed as failed:
        print(f"benchcalc: trial: {failed}", file=sys.stderr)
        return 1
    except (OSError, shutil.Error) as error:
        print(f"benchcalc: trial: no copy could be made or read: {error}", file=sys.stderr)
        return 1
    print(f"benchcalc: trial: the new panel came up on a copy of the records, {pieces} pieces")
    return 0


def kept(state: Path) -> list[str]:
    """The files in a bench's folder that its panel would read."""
    if not state.is_dir():
        return []
    return sorted(
        path.name
        for path in state.iterdir()
        if path.is_file() and not any(path.match(pattern) for pattern in LEFT_OUT)
    )


def copied(source: Path, to: Path, names: Iterable[str]) -> None:
    """Copy what is there of these files, byte by byte, as of one moment. Raises OSError."""
    to.mkdir()
    with held(source / DATABASE):
        for name in names:
            with suppress(FileNotFoundError):
                shutil.copyfile(source / name, to / name)


@contextmanager
def held(database: Path) -> Iterator[None]:
    """While a reader reads, no panel begins its write-ahead log anew: main file and log agree.

    A file that SQLite cannot read is copied as it is, and found out afterwards.
    Source: https://www.sqlite.org/walformat.html, "Checkpoints", and wal.html, "Avoiding
    Excessively Large WAL Files".
    """
    if not database.is_file():
        yield
        return
    with closing(reader(database)) as db:
        with suppress(sqlite3.Error):
            db.execute("BEGIN")
            db.execute("SELECT count(*) FROM sqlite_master").fetchone()
        yield


def reader(database: Path) -> sqlite3.Connection:
    """A connection that writes nothing."""
    return sqlite3.connect(f"file:{quote(str(database))}?mode=ro", uri=True, isolation_level=None)


def counted(copy: Path) -> int:
    """The pieces in the records by SQLite alone, with no program between. Raises TrialFailed."""
    if not (copy / DATABASE).exists():
        return 0
    try:
        with closing(reader(copy / DATABASE)) as db:
            whole = db.execute("PRAGMA integrity_check(1)").fetchone()
            (pieces,) = db.execute("SELECT count(*) FROM records WHERE kind = 'piece'").fetchone()
    except (sqlite3.Error, UnicodeDecodeError) as error:
        raise TrialFailed(f"the records cannot be read ({error}): {ADVICE}") from error
    if whole != ("ok",):
        raise TrialFailed(f"the records are damaged ({whole[0]}): {ADVICE}")
    return int(pieces)


def panel_comes_up(folder: Path, environment: dict[str, str]) -> None:
    """Its first frame is drawn, on a screen that shows nothing, and it says so as to systemd."""
    ear_name = folder / "ear"
    with closing(socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)) as ear:
        ear.bind(str(ear_name))
        ear.settimeout(UP_WITHIN_S / 240)
        panel = subprocess.Popen(
            [str(PROGRAM), "--window", "800x480"],
            env=environment | {"NOTIFY_SOCKET": str(ear_name)},
            stderr=subprocess.PIPE, text=True, errors="replace",
        )  # fmt: skip
        try:
            ready = _heard_ready(ear, panel)
        finally:
            panel.terminate()
            with suppress(subprocess.TimeoutExpired):
                panel.wait(DOWN_WITHIN_S)
            panel.kill()
            said = panel.communicate()[1]
    if not ready:
        last = said.strip().splitlines()[-1:] or [f"nothing within {UP_WITHIN_S:.0f} s"]
        raise TrialFailed(f"the new panel does not come up: {last[0]}")


def _heard_ready(ear: socket.socket, panel: subprocess.Popen[str]) -> bool:
    for _ in range(240):
        with suppress(TimeoutError):
            if b"READY=1" in ear.recv(4096):
                return True
        if panel.poll() is not None:
            return False
    return False


def reads_all(copy: Path, environment: dict[str, str], pieces: int) -> None:
    """Nothing was set aside, and the new program tells of every piece. Raises TrialFailed."""
    runs = _ran(environment, "runs", "--json")
    if aside := sorted(path.name for path in copy.glob("records.damaged-*")):
        raise TrialFailed(f"the new program set the records aside as {aside[0]}: {ADVICE}")
    told = sum(json.loads(line)["kind"] == "piece" for line in runs.splitlines() if line)
    if told < pieces:
        raise TrialFailed(f"of {pieces} pieces the new program tells of {told}: {ADVICE}")


def chain_holds(folder: Path, environment: dict[str, str], pieces: int) -> None:
    """No record was altered: a copy for a stick is made and verified. Raises TrialFailed."""
    stick = folder / "stick"
    stick.mkdir()
    _ran(environment, "export", "--all", str(stick))
    if pieces:
        _ran(environment, "verify", str(stick))


def _ran(environment: dict[str, str], *words: str) -> str:
    """What a command of the new program prints. Raises TrialFailed unless it ends well."""
    ran = subprocess.run([str(PROGRAM), *words], env=environment, capture_output=True, text=True)
    if ran.returncode:
        said = " ".join((ran.stderr or ran.stdout).split())
        raise TrialFailed(
            f"benchcalc {words[0]} of the new program ends with {ran.returncode}: {said}: {ADVICE}"
        )
    return ran.stdout


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
