"""Pseudo-terminals and counts of what a process holds, for the tests of ports."""

import os
import threading
import time
import tty
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")


class Terminal:
    """A pseudo-terminal: what is written here arrives at the port ``name``."""

    def __init__(self) -> None:
        self.master, self.slave = os.openpty()
        tty.setraw(self.slave)
        os.set_blocking(self.master, False)
        self.name = os.ttyname(self.slave)

    def write(self, data: bytes) -> None:
        try:
            os.write(self.master, data)
        except BlockingIOError:
            return  # full: an instrument does not wait either

    def close(self) -> None:
        for descriptor in (self.slave, self.master):
            if descriptor >= 0:
                os.close(descriptor)
        self.slave = self.master = -1


@contextmanager
def terminal() -> Iterator[Terminal]:
    made = Terminal()
    try:
        yield made
    finally:
        made.close()


def wait_for(what: Callable[[], T | None], seconds: float = 5.0) -> T:
    """The first true answer; fails after some seconds."""
    end_s = time.monotonic() + seconds
    while time.monotonic() < end_s:
        if answer := what():
            return answer
        time.sleep(0.005)
    raise AssertionError(f"nothing came within {seconds} s")


def held() -> tuple[int, int]:
    """How many descriptors are open and how many threads run.

    A font stays open from the first word drawn in its size on: that is the panel's, not a port's.
    """
    descriptors = [of.readlink() for of in Path("/proc/self/fd").iterdir() if of.is_symlink()]
    counted = [to for to in descriptors if to.suffix != ".ttf"]
    return len(counted), threading.active_count()
