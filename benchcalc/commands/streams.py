"""Standard output and error as whoever started the program left them: closed, full, ASCII only."""

import codecs
import io
import os
import sys
from typing import Any

SPELT = {
    "°": " deg", "×": "x", "−": "-", "±": "+/-", "–": "-", "—": "-", "…": "...", "→": "->",
    "‘": "'", "’": "'", "“": '"', "”": '"', "\u00a0": " ", "\u202f": " ",
}  # fmt: skip
"""What stands for a sign that the terminal's character set lacks; other letters are escaped."""

_ERRORS = "benchcalc-spelt"


class OutputRefused(Exception):
    """Standard output cannot be written; the text says why.

    No OSError, for those are passed over in more than one place (argparse's help is one).
    """


class _Out(io.FileIO):
    """The bytes of a stream. A refusal is said once; then what is still to come goes nowhere."""

    def __init__(self, number: int, refusal: str, told: bool) -> None:
        super().__init__(number, "w", closefd=False)
        self._refusal, self._told, self._dead = refusal, told, False

    def write(self, data: object) -> int:
        """Write, or raise OutputRefused; BrokenPipeError where whoever reads has gone."""
        if self._dead:
            return memoryview(data).nbytes  # type: ignore[arg-type]
        try:
            if self._refusal:
                raise OSError(0, self._refusal)
            return super().write(data) or 0  # type: ignore[arg-type]
        except BrokenPipeError:
            raise
        except OSError as error:
            self._dead = True
            if self._told:
                raise OutputRefused((error.strerror or str(error)).lower()) from error
            return memoryview(data).nbytes  # type: ignore[arg-type]


def take_streams() -> None:
    """Make of the process's streams what can be written to whatever they are.

    A closed one is opened on nothing, so that no file of ours gets its number. A refusal by
    standard error has nowhere to be said.
    """
    codecs.register_error(_ERRORS, _spelt)
    if sys.stdin is None:
        sys.stdin = os.fdopen(os.open(os.devnull, os.O_RDONLY))
    sys.stdout = _stream(1, sys.stdout, True)
    sys.stderr = _stream(2, sys.stderr, False)


def _stream(number: int, now: Any, told: bool) -> io.TextIOWrapper:
    refusal, encoding, by_line = "", "utf-8", False
    if now is None:
        refusal = "it is closed"
        opened = os.open(os.devnull, os.O_WRONLY)
        if opened != number:
            os.dup2(opened, number)
    else:
        encoding, by_line = now.encoding, now.line_buffering or not told
    out = io.BufferedWriter(_Out(number, refusal, told))
    return io.TextIOWrapper(out, encoding=encoding, errors=_ERRORS, line_buffering=by_line)


def _spelt(error: UnicodeError) -> tuple[str, int]:
    """What stands for letters that cannot be written. The escapes are those of JSON."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    letters = error.object[error.start : error.end]
    return "".join(SPELT.get(letter) or _escaped(letter) for letter in letters), error.end


def _escaped(letter: str) -> str:
    units = letter.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[at : at + 4]}" for at in range(0, len(units), 4))
