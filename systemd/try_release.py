"""Tries a new program on a copy of a bench's records: its panel comes up, and reads them all.

``python -I try_release.py STATE CONFIG FOLDER [damaged]``, run as the panel's user by the Python of
the new program; everything is done inside FOLDER, while the old panel may go on. A sentence and
exit 1 when the program is not to be trusted with the records, or when they are damaged: with the
word ``damaged`` that is said and no hindrance.
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
DATABASE, STATE = "records.db", "BENCHCALC_STATE"
LEFT_OUT = ("records.damaged-*", "*.lock", "*-shm")
"""Of the folder: what was set aside before, and what only running programs have a use for."""

PROFILES = ("benders.yaml", "materials.yaml")
"""Not the sensors: the panel that is tried would open their ports beside the one at work."""

LACKS = 3
"""The exit code of a command that could not read all there was."""

UP_WITHIN_S, DOWN_WITHIN_S = 120.0, 20.0
ADVICE = (
    "start the panel once, which sets aside what is damaged and says so; then again. "
    "Or copy the records off, and give --damaged first"
)


class TrialFailed(Exception):
    """Why the new program is not taken; a sentence."""


def main(words: list[str]) -> int:
    """The trial; 0 when the program comes up and tells of every piece."""
    state, config, folder = map(Path, words[:3])
    copy, profiles, strict = folder / "state", folder / "profiles", words[3:] != ["damaged"]
    environment = {
        "PATH": os.environ.get("PATH", os.defpath), "HOME": str(folder), "LC_ALL": "C.UTF-8",
        "BENCHCALC_CONFIG": str(profiles), "BENCHCALC_STICKS": str(folder / "sticks"),
        "PYTHONNOUSERSITE": "1",
        "SDL_VIDEODRIVER": "dummy", "SDL_AUDIODRIVER": "dummy",
    }  # fmt: skip
    try:
        copied(state, copy, kept(state))
        copied(config, profiles, PROFILES)
        pieces = counted(copy, strict)
        tried = Path(shutil.copytree(copy, folder / "tried"))
        panel_comes_up(folder, environment | {STATE: str(tried)})
        ran(environment | {STATE: str(copy)}, strict, "verify")
        reads_all(tried, environment | {STATE: str(tried)}, pieces, strict)
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


def counted(copy: Path, strict: bool) -> int:
    """The pieces in the records by SQLite alone, with no program between.

    Raises TrialFailed when the file is damaged; unless strict, no piece is asked for then.
    """
    if not (copy / DATABASE).exists():
        return 0
    try:
        with closing(reader(copy / DATABASE)) as db:
            whole = db.execute("PRAGMA integrity_check(1)").fetchone()
            (pieces,) = db.execute("SELECT count(*) FROM records WHERE kind = 'piece'").fetchone()
    except (sqlite3.Error, UnicodeDecodeError) as error:
        whole, pieces = (str(error),), 0
    if whole != ("ok",):
        told_or_raised(f"the records are damaged ({whole[0]})", strict)
    return int(pieces)


def told_or_raised(what: str, strict: bool) -> None:
    """Damage that was there before this program came: no hindrance to whoever knows of it."""
    if strict:
        raise TrialFailed(f"{what}: {ADVICE}")
    print(f"benchcalc: trial: {what}", file=sys.stderr)


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


def reads_all(copy: Path, environment: dict[str, str], pieces: int, strict: bool) -> None:
    """Nothing was set aside, and the new program tells of every piece. Raises TrialFailed."""
    if aside := sorted(path.name for path in copy.glob("records.damaged-*")):
        told_or_raised(f"the new panel set the records aside as {aside[0]}", strict)
    lines = ran(environment, strict, "runs", "--json").splitlines()
    told = sum(json.loads(line)["kind"] == "piece" for line in lines if line.startswith("{"))
    if told < pieces:
        told_or_raised(f"of {pieces} pieces the new program tells of {told}", strict)


def ran(environment: dict[str, str], strict: bool, *words: str) -> str:
    """What a command of the new program prints. Raises TrialFailed unless it reads everything."""
    done = subprocess.run([str(PROGRAM), *words], env=environment, capture_output=True, text=True)
    said = " ".join(f"{done.stdout if words == ('verify',) else ''} {done.stderr}".split())
    if done.returncode == LACKS:
        told_or_raised(f"benchcalc {words[0]} says: {said}", strict)
    elif done.returncode:
        raise TrialFailed(
            f"benchcalc {words[0]} of the new program ends with {done.returncode}: {said}"
        )
    return done.stdout


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
