"""The folder of the store: its lock, its files, and setting a damaged file aside."""

import fcntl
import os
from pathlib import Path

from benchcalc.runlog.faults import busy

DATABASE = "records.db"
NEW_DATABASE = "records.new.db"
LOCK = "records.lock"
SUSPECT = "records.suspect"
"""Its presence says that damage was met while in use: the next open looks at every page."""

_SUFFIXES = ("", "-wal", "-shm", "-journal")


def make_folder(folder: Path) -> None:
    """Create the folder so that it outlasts a power cut."""
    if folder.is_dir():
        return
    folder.mkdir(parents=True, exist_ok=True)
    sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """Wait until the names in a folder are on the disk."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def take_lock(folder: Path) -> int:
    """The open lock file, exclusively ours until it is closed or the process ends.

    The file stays when the lock goes: deleting it would let two openers lock two files.
    """
    handle = os.open(folder / LOCK, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o666)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BaseException as error:
        os.close(handle)
        if isinstance(error, BlockingIOError):
            raise busy(folder) from error
        raise
    return handle


def set_aside(folder: Path) -> Path | None:
    """Rename the database, or what is left of it, to a free ``records.damaged-N.db``.

    Its write-ahead log goes with it: beside a new database it would be played into that one.
    Returns the first file's new path, None when there was nothing to rename.
    """
    found = [s for s in _SUFFIXES if (folder / (DATABASE + s)).exists()]
    if not found:
        return None
    number = 1
    while any((folder / f"records.damaged-{number}.db{s}").exists() for s in found):
        number += 1
    for suffix in found:
        target = folder / f"records.damaged-{number}.db{suffix}"
        (folder / (DATABASE + suffix)).rename(target)
    sync_folder(folder)
    return folder / f"records.damaged-{number}.db{found[0]}"


def clear_new(folder: Path) -> None:
    """Remove a new database whose making was cut short."""
    for suffix in _SUFFIXES:
        (folder / (NEW_DATABASE + suffix)).unlink(missing_ok=True)


def put_new_in_place(folder: Path) -> None:
    """Give the finished new database its name, so that a database under that name is whole."""
    (folder / NEW_DATABASE).rename(folder / DATABASE)
    sync_folder(folder)
