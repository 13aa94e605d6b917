"""What can go wrong with the store, each as one sentence for the operator."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class StoreError(Exception):
    """The store cannot do what was asked; the message says what happened and what to do."""


class StoreBusy(StoreError):
    """Another program has this store open."""


class StoreNewer(StoreError):
    """The store was written by a newer program; it has not been touched."""


def busy(folder: Path) -> StoreBusy:
    """The store is locked by someone else."""
    return StoreBusy(
        f"The records in {folder} are in use by another benchcalc: close that one first."
    )


def newer(folder: Path, step: int, known: int) -> StoreNewer:
    """The store has a schema step that this program does not know."""
    return StoreNewer(
        f"The records in {folder} were written by a newer benchcalc (form {step}, this one knows "
        f"{known}): install the newer program. Nothing was changed."
    )


def not_brought_up(folder: Path, step: int, wanted: int, reason: Exception) -> StoreError:
    """A store that is whole, written by an older program, does not take this program's steps."""
    return StoreError(
        f"The records in {folder} cannot be brought from form {step} to form {wanted} ({reason}): "
        "go on with the program that wrote them. Nothing was changed."
    )


def damaged(folder: Path) -> StoreError:
    """Damage met while the store was in use."""
    return StoreError(
        f"The record file in {folder} is damaged and the last act was not kept: start benchcalc "
        "again; it sets the damaged file aside and begins a new one."
    )


def gone(folder: Path, last: int, aside: list[str]) -> StoreError:
    """There is no log where there was one."""
    was = f"There is no log in {folder}"
    if last:
        was += f", where one ended at record {last}"
    if aside:
        return StoreError(
            f"{was}; set aside there: {', '.join(aside)}. benchcalc restore FILE puts one back."
        )
    return StoreError(f"{was}: find the file records.db again, or copy the log back.")


def unusable(folder: Path, why: str) -> StoreError:
    """A log that only the panel may mend, met by a command that adds to it."""
    return StoreError(
        f"The log in {folder} cannot be added to ({why}): start the panel; it sets the damaged "
        "file aside and goes on with every record that is whole. Nothing was changed."
    )


def pragma_refused(folder: Path, name: str, got: object, wanted: object) -> StoreError:
    """A setting that keeps records through a power cut did not take."""
    return StoreError(
        f"Records cannot be kept in {folder} so that they outlast a power cut ({name} is {got}, "
        f"must be {wanted}): use a folder on this machine's own disk."
    )


_TOLD_BY_CODE = {
    # Primary result codes, https://www.sqlite.org/rescode.html
    3: "it may not be written by this user: give the user the right to it, then try again",
    5: "another program holds the record file: close that program, then try again",
    6: "another program holds the record file: close that program, then try again",
    7: "the machine is out of memory: close other programs, then try again",
    8: "it is read-only: check the disk and the rights on the folder, then try again",
    10: "the disk failed while reading or writing: try again; if it stays, replace the disk",
    13: "the disk is full: make room on it, then try again",
    14: "the record file cannot be opened: check the disk and the rights on the folder",
}


_NO_ROOM_FOR_INDEX = 4874
"""SQLITE_IOERR_SHMSIZE: the log's index, a file of its own, could not be made large enough."""


def told_by_code(folder: Path, code: int | None) -> StoreError | None:
    """The fault behind a result code when the machine is to blame, and not the file's content."""
    if code == _NO_ROOM_FOR_INDEX:
        code = 13
    if code is None or code & 0xFF not in _TOLD_BY_CODE:
        return None
    return StoreError(f"Records cannot be kept in {folder}: {_TOLD_BY_CODE[code & 0xFF]}.")


@contextmanager
def telling_os_errors(folder: Path, done: str = "kept") -> Iterator[None]:
    """Turn an error of the file system into a StoreError; ``done`` is what cannot be done."""
    try:
        yield
    except OSError as error:
        what = (error.strerror or str(error)).lower()
        raise StoreError(
            f"Records cannot be {done} in {folder}: {what}. Check the disk and the rights on the "
            "folder, or choose another folder."
        ) from error
