"""Why a command was not carried out, and what is written where the command line says."""

import sys
from pathlib import Path

STANDARD = "-"
"""Standard input or output, where a file may be named."""


class BadUse(Exception):
    """Words on the command line that cannot be taken; the message says what to write."""


class Lacks(Exception):
    """The machine lacks something; the message says what, in one sentence."""


def write_out(name: str, data: str | bytes) -> None:
    """Write a file, or to standard output for ``-``. Raises Lacks where it cannot be written."""
    whole = data.encode("utf-8") if isinstance(data, str) else data
    if name == STANDARD:
        sys.stdout.flush()
        sys.stdout.buffer.write(whole)
        return
    try:
        Path(name).write_bytes(whole)
    except OSError as error:
        raise Lacks(f"{name} cannot be written: {error.strerror}: name another") from None
