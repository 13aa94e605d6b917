"""Errors as JSON, for a command that was asked for JSON: a line of standard error an object."""

import io
import json
import re
import sys
from collections.abc import Callable
from contextlib import closing, redirect_stderr
from typing import TextIO

AT = re.compile(r"(?P<file>[^\n]+?):(?P<line>\d+): ")
"""How a problem in a file begins, as ``jobfile.problems`` writes it."""


class JsonErrors(io.TextIOBase):
    """A standard error whose every line becomes ``{"benchcalc": 1, "error": …}``, flushed at once.

    What stands in a file carries ``file`` and ``line`` too. How a command is used, which argparse
    prints before what was wrong, is left out.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream, self._begun, self._usage = stream, "", False

    def writable(self) -> bool:
        """As of any stream that is written to."""
        return True

    def write(self, text: str) -> int:
        """Take text; each line that ends in it is said."""
        *lines, self._begun = (self._begun + text).split("\n")
        for line in lines:
            self._usage = line.startswith("usage: ") or (self._usage and line.startswith(" "))
            if line.strip() and not self._usage:
                self._say(line)
        return len(text)

    def flush(self) -> None:
        """Flush the stream below."""
        self._stream.flush()

    def close(self) -> None:
        """Say what was begun and not ended; the stream below stays open."""
        if self._begun:
            self.write("\n")
        super().close()

    def _say(self, line: str) -> None:
        at = AT.match(line)
        told = {"file": at["file"], "line": int(at["line"])} if at else {}
        self._stream.write(json.dumps({"benchcalc": 1, **told, "error": line}) + "\n")
        self._stream.flush()


def with_json_errors(command: Callable[[], int]) -> int:
    """A command with its errors as JSON; its exit code."""
    with closing(JsonErrors(sys.stderr)) as errors, redirect_stderr(errors):
        return command()
