"""The bytes of a file that somebody named, whatever it turns out to be."""

import os
import stat
from pathlib import Path

from benchcalc.jobfile.problems import BadFile, Problem

WAIT_S = 5.0
"""How long a pipe may say nothing: whoever writes into one has begun by then."""


def read_bytes(path: Path, most: int, error: type[BadFile] = BadFile) -> bytes:
    """A file's bytes, one more than ``most`` at most; raises ``error`` when it cannot be read."""
    try:
        with open(path, "rb", buffering=0, opener=_opened) as file:
            if stat.S_ISFIFO(os.fstat(file.fileno()).st_mode):
                return _of_pipe(file.fileno(), most + 1)
            found = b""
            while block := file.read(most + 1 - len(found)):
                found += block
            return found
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        todo = "check the name and that the file may be read"
        raise error((Problem(str(path), 1, "file", "cannot be read", why, todo),)) from fault


def _opened(name: str, flags: int) -> int:
    """Opened without waiting: a pipe would wait for somebody to write into it."""
    handle = os.open(name, flags | os.O_NONBLOCK)
    if not stat.S_ISFIFO(os.fstat(handle).st_mode):
        os.set_blocking(handle, True)
    return handle


def _of_pipe(handle: int, most: int) -> bytes:
    """What is written into a pipe, to its end."""
    import select
    import time

    found, since_s = b"", time.monotonic()
    while len(found) < most:
        left_s = since_s + WAIT_S - time.monotonic()
        if left_s <= 0:
            raise ValueError(f"it is a pipe, and for {WAIT_S:g} s nobody wrote into it")
        try:
            block = os.read(handle, most - len(found))
        except BlockingIOError:
            select.select([handle], [], [], left_s)
            continue
        if block:
            found, since_s = found + block, time.monotonic()
        elif found:
            break
        else:
            time.sleep(0.02)  # whoever writes has not opened it yet
    return found
