"""A file that was set aside put back in its place, and the one there set aside: nothing is lost."""

import os
from pathlib import Path

from benchcalc.runlog import faults
from benchcalc.runlog import folder as files


def put_back(folder: Path, path: Path) -> Path | None:
    """Exchange the log for a file set aside in the same folder; the one that gave way, if any.

    The mark of the log's end stays: what only the other file holds is then said to be missing, and
    no number is used twice. Raises StoreBusy, StoreError.
    """
    with faults.telling_os_errors(folder):
        lock = files.take_lock(folder)
        try:
            aside = files.set_aside(folder, files.free_name(folder))
            files.move(path, folder / files.DATABASE)
        finally:
            os.close(lock)
    return aside
