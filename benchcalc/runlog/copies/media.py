"""A stick or folder to copy to: new files only, each read back, and the manifest last.

On a stick's file system a rename is not atomic and a name may hold few characters, so nothing is
ever renamed or written over: a folder counts once its manifest lies in it.
"""

import errno
import os
from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any, BinaryIO, Protocol

from benchcalc.runlog.copies.manifest import (
    HEAD,
    MANIFEST,
    Facts,
    head_text,
    is_portable,
    manifest_text,
)
from benchcalc.runlog.signing import SIGNATURE, Signer

_BLOCK = 1 << 20
_MOST_NAMES = 1000
_MOST_UNSYNCED = 16 << 20
"""A slow stick takes seconds for this much; one wait for a whole copy would hang the panel."""


class CopyFailed(Exception):
    """The copy could not be made; the message says why and what to do."""


class Media(Protocol):
    """What is needed of a place that files are written to."""

    def make_folder(self, path: Path) -> None:
        """Make a folder that is not there yet; raises FileExistsError when it is."""

    def create(self, path: Path) -> BinaryIO:
        """A new file to write; raises FileExistsError for a name that is taken."""

    def sync(self, file: BinaryIO) -> None:
        """Wait until a file lies on the medium, and forget what memory holds of it."""

    def sync_folder(self, path: Path) -> None:
        """Wait until the names in a folder lie on the medium."""

    def read(self, path: Path) -> BinaryIO:
        """A file to read."""

    def remove(self, path: Path) -> None:
        """Remove a file, or an empty folder."""


class Disk:
    """Any folder of this machine."""

    def make_folder(self, path: Path) -> None:
        """Make a folder that is not there yet."""
        path.mkdir()

    def create(self, path: Path) -> BinaryIO:
        """A new file to write."""
        return path.open("xb")

    def sync(self, file: BinaryIO) -> None:
        """Wait for the medium; what is read back afterwards comes from there, not from memory."""
        file.flush()
        os.fsync(file.fileno())
        with suppress(OSError, AttributeError):
            os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)

    def sync_folder(self, path: Path) -> None:
        """Wait until the names in a folder lie on the medium."""
        handle = os.open(path, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

    def read(self, path: Path) -> BinaryIO:
        """A file to read."""
        return path.open("rb")

    def remove(self, path: Path) -> None:
        """Remove a file, or an empty folder."""
        if path.is_dir():
            path.rmdir()
        else:
            path.unlink()


class NewFile:
    """A file being written, its length and hash known all the while."""

    def __init__(self, media: Media, file: BinaryIO) -> None:
        self._media = media
        self._file = file
        self._hash = sha256()
        self._bytes = self._synced = 0

    def write(self, data: bytes) -> None:
        """Add to it."""
        self._file.write(data)
        self._hash.update(data)
        self._bytes += len(data)
        if self._bytes - self._synced > _MOST_UNSYNCED:
            self._media.sync(self._file)
            self._synced = self._bytes

    def close(self) -> Facts:
        """Bring it to the medium."""
        try:
            self._media.sync(self._file)
        finally:
            self._file.close()
        return Facts(self._bytes, self._hash.hexdigest())

    def drop(self) -> None:
        """Close it, whatever becomes of it."""
        with suppress(OSError):
            self._file.close()


class NewFolder:
    """A folder being written: nothing in it counts until ``seal`` has put its manifest there."""

    def __init__(self, media: Media, parent: Path, name: str) -> None:
        self.path = _make_free(media, parent, name)
        self._media = media
        self._open: dict[str, NewFile] = {}
        self._facts: dict[str, Facts] = {}
        self._folders: list[Path] = [self.path]
        self._files: list[Path] = []

    def new(self, name: str) -> NewFile:
        """A new file in it; ``name`` may lie in folders below, parted by ``/``."""
        *folders, own = name.split("/")
        if not is_portable(name):
            raise ValueError(
                f"{name}: a stick may not hold this name: use letters, digits, . _ - ="
            )
        folder = self.path
        for part in folders:
            folder = folder / part
            if folder not in self._folders:
                self._media.make_folder(folder)
                self._folders.append(folder)
        self._files.append(folder / own)
        self._open[name] = NewFile(self._media, self._media.create(folder / own))
        return self._open[name]

    def put(self, name: str, data: bytes) -> None:
        """A whole file at once."""
        self.new(name).write(data)

    def close(self, name: str) -> None:
        """Bring a file to the medium."""
        self._facts[name] = self._open[name].close()
        del self._open[name]

    def seal(self, head: dict[str, Any], signer: Signer | None = None) -> Iterator[tuple[int, int]]:
        """Read everything back, and only when it is right write the manifest; yields bytes read.

        The signature lies there before it: with the manifest the copy is whole.

        Raises CopyFailed for a file that came back different.
        """
        for name in list(self._open):
            self.close(name)
            yield 0, 1
        self.put(HEAD, head_text(head, self._facts))
        self.close(HEAD)
        for folder in reversed(self._folders):
            self._media.sync_folder(folder)
        total, done = sum(facts.bytes for facts in self._facts.values()), 0
        for name, facts in self._facts.items():
            for count in self._read_back(name, facts):
                done += count
                yield done, total
        manifest = manifest_text({n: f.sha256 for n, f in self._facts.items()})
        if signer is not None:
            self._put_proved(SIGNATURE, signer.sign(manifest))
        self._put_proved(MANIFEST, manifest)
        self._media.sync_folder(self.path)
        self._media.sync_folder(self.path.parent)

    def _put_proved(self, name: str, data: bytes) -> None:
        self.put(name, data)
        facts = self._open.pop(name).close()
        for _ in self._read_back(name, facts):
            pass

    def _read_back(self, name: str, facts: Facts) -> Iterator[int]:
        found, length = sha256(), 0
        with self._media.read(self.path / name) as file:
            while block := file.read(_BLOCK):
                found.update(block)
                length += len(block)
                yield len(block)
        if Facts(length, found.hexdigest()) != facts:
            raise CopyFailed(
                f"{self.path / name}: what was read back is not what was written: "
                "take another stick, this one does not keep what it is given."
            )

    def discard(self) -> None:
        """Remove what was written, the manifest first; what cannot be removed has no manifest."""
        for file in self._open.values():
            file.drop()
        for path in (*reversed(self._files), *reversed(self._folders)):
            with suppress(OSError):
                self._media.remove(path)


def _make_free(media: Media, parent: Path, name: str) -> Path:
    """A folder of this name, or the first free one with a number after it."""
    for number in range(1, _MOST_NAMES):
        path = parent / (name if number == 1 else f"{name}-{number}")
        try:
            media.make_folder(path)
            return path
        except FileExistsError:
            continue
    raise CopyFailed(f"{parent}: holds {_MOST_NAMES} copies named {name}: clear some away.")


_TOLD = {
    errno.ENOSPC: "it is full: make room on it, or take another stick",
    errno.EDQUOT: "it is full: make room on it, or take another stick",
    errno.EROFS: "it may only be read: undo its write lock, or take another stick",
    errno.EACCES: "it may not be written by this user: give the user the right to it",
    errno.EPERM: "it may not be written by this user: give the user the right to it",
    errno.ENOENT: "it is not there: put it in and leave it in until the copy is done",
    errno.ENODEV: "it is not there: put it in and leave it in until the copy is done",
    errno.ENXIO: "it is not there: put it in and leave it in until the copy is done",
    errno.EIO: "it failed or was pulled out: put it in again, or take another stick",
    errno.ENOTDIR: "it is no folder: name a folder",
    errno.EFBIG: "a file grew larger than it can hold: copy to another file system",
}


def told(parent: Path, error: OSError) -> CopyFailed:
    """What an error of the file system means to whoever holds the stick."""
    what = _TOLD.get(error.errno or 0, f"{error.strerror or error}: try again or name another")
    return CopyFailed(f"Nothing was copied to {parent}: {what}. The records here are untouched.")
