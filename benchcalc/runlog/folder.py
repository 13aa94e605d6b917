"""The folder of the store: its lock, its files, and setting a damaged file aside."""

import errno
import fcntl
import os
from pathlib import Path

from benchcalc.runlog.faults import busy

DATABASE = "records.db"
MAKING, NEW_DATABASE = "records.making.db", "records.new.db"
"""A new database while it is made, and once it is whole."""

LOCK = "records.lock"
SUSPECT = "records.suspect"
"""Its presence says that damage was met while in use: the next open looks at every page."""

_SUFFIXES = ("", "-wal", "-shm", "-journal")


def make_folder(folder: Path) -> None:
    """Create the folder so that it outlasts a power cut."""
    if folder.is_dir():
        return
    refuse_file(folder)
    folder.mkdir(parents=True, exist_ok=True)
    sync_folder(folder.parent)


def refuse_file(folder: Path) -> None:
    """Raises NotADirectoryError where something that is no folder has the folder's name."""
    if not folder.is_dir() and os.path.lexists(folder):
        raise NotADirectoryError(
            errno.ENOTDIR, "a file or a dead link has the folder's name: move that away"
        )


def sync_folder(folder: Path) -> None:
    """Wait until the names in a folder are on the disk."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def replace_whole(path: Path, data: bytes) -> None:
    """Put a small file in the place of another over a power cut: the new one whole, or the old.

    Raises OSError.
    """
    fresh = path.with_name(f"{path.name}.new")
    with fresh.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    fresh.replace(path)
    sync_folder(path.parent)  # else the new name itself may be lost


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


def free_name(folder: Path) -> str:
    """A name that no file set aside has: ``records.damaged-N.db``."""
    number = 1
    while any((folder / f"records.damaged-{number}.db{s}").exists() for s in _SUFFIXES):
        number += 1
    return f"records.damaged-{number}.db"


def aside_in(folder: Path) -> list[Path]:
    """The files that were set aside, by name."""
    return sorted(folder.glob("records.damaged-*.db"))


def set_aside(folder: Path, name: str) -> Path | None:
    """Rename the database, or what is left of it.

    Its write-ahead log goes with it: beside a new database it would be played into that one.
    Returns the first file's new path, None when there was nothing to rename.
    """
    found = move(folder / DATABASE, folder / name)
    return found[0] if found else None


def move(path: Path, target: Path) -> list[Path]:
    """Rename a database and what lies beside it of its own; the new paths."""
    found = [s for s in _SUFFIXES if path.with_name(f"{path.name}{s}").exists()]
    for suffix in found:
        path.with_name(f"{path.name}{suffix}").rename(target.with_name(f"{target.name}{suffix}"))
    if found:
        sync_folder(path.parent)
    return [target.with_name(f"{target.name}{suffix}") for suffix in found]


def clear_making(folder: Path) -> None:
    """Remove a new database whose making was cut short."""
    for suffix in _SUFFIXES:
        (folder / (MAKING + suffix)).unlink(missing_ok=True)


def making_done(folder: Path) -> None:
    """Name the new database as one that is whole, so that an opening cut short can be ended."""
    (folder / MAKING).rename(folder / NEW_DATABASE)
    sync_folder(folder)


def put_new_in_place(folder: Path) -> None:
    """Give the finished new database its name, so that a database under that name is whole."""
    (folder / NEW_DATABASE).rename(folder / DATABASE)
    sync_folder(folder)
