"""Two ways to start the program: from the very beginning, and quickly, again and again."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from select import select
from typing import IO, Protocol

PATIENCE_S = 20.0


class Process(Protocol):
    """What is needed of a running program."""

    def poll(self) -> int | None:
        """Its exit code, None while it runs."""

    def wait(self, timeout: float) -> int:
        """Its exit code, once it has ended."""

    def send_signal(self, sig: int) -> None:
        """Send it a signal."""


Start = Callable[[dict[str, str], list[str], IO[bytes]], Process]


def newly(environment: dict[str, str], words: list[str], errors: IO[bytes]) -> Process:
    """The program from the very beginning."""
    command = [sys.executable, "-m", "benchcalc", *words]
    return subprocess.Popen(command, env=environment, stderr=errors)


class Forge:
    """Starts one program after another, see ``tests.shell.forked``."""

    def __init__(self) -> None:
        self._server = subprocess.Popen(
            [sys.executable, "-m", "tests.shell.forked"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        )  # fmt: skip

    def start(self, environment: dict[str, str], words: list[str], errors: IO[bytes]) -> Process:
        assert self._server.stdin is not None
        wanted = {"environment": environment, "words": words, "errors": errors.name}
        self._server.stdin.write(json.dumps(wanted).encode() + b"\n")
        self._server.stdin.flush()
        number = self.said(PATIENCE_S)
        assert number is not None, "the forge does not answer"
        return Forked(self, number)

    def said(self, timeout_s: float) -> int | None:
        """The next number it says, None when it says nothing in that time."""
        told = self._server.stdout
        assert told is not None
        return int(told.readline()) if select([told], [], [], timeout_s)[0] else None

    def close(self) -> None:
        self._server.communicate(timeout=PATIENCE_S)


class Forked:
    """A program that a forge has started."""

    def __init__(self, forge: Forge, number: int) -> None:
        self._forge, self._number = forge, number
        self._code: int | None = None

    def poll(self) -> int | None:
        if self._code is None:
            self._code = self._forge.said(0.0)
        return self._code

    def wait(self, timeout: float) -> int:
        if self._code is None:
            self._code = self._forge.said(timeout)
        assert self._code is not None, "the program goes on"
        return self._code

    def send_signal(self, sig: int) -> None:
        os.kill(self._number, sig)
