"""What a port brought, in a file: one line of JSON a chunk, with the time when it arrived."""

import json
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

from benchcalc.shell.port import Chunk

HEAD = {"benchcalc": "sensor bytes", "version": 1}
MOST_LINE = 64 * 1024


class RecordingError(ValueError):
    """A file that is no recording; the message says which line and what to do."""


class Recorder:
    """Writes a recording; times count from its beginning. Raises OSError like any file."""

    def __init__(self, path: Path, began_s: float) -> None:
        self._began_s = began_s
        self._file = path.open("w", encoding="ascii")
        self._write(HEAD)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, _: type[BaseException] | None, __: BaseException | None, ___: TracebackType | None
    ) -> None:
        self._file.close()

    def keep(self, chunk: Chunk) -> None:
        """Write a chunk."""
        at_s = round(chunk.at_s - self._began_s, 6)
        self._write({"at_s": at_s, "hex": chunk.data.hex()})

    def _write(self, plain: object) -> None:
        self._file.write(json.dumps(plain) + "\n")


def chunks(path: Path) -> Iterator[Chunk]:
    """The chunks of a recording. Raises OSError, or RecordingError for what is none."""
    if path.is_fifo():
        raise RecordingError(f"{path}: a pipe, no file: name a recording")
    with path.open("rb") as file:
        last_s = 0.0
        for number, line in enumerate(iter(lambda: file.readline(MOST_LINE), b""), 1):
            try:
                plain = json.loads(line)
                if number == 1:
                    if plain != HEAD:
                        raise ValueError
                    continue
                chunk = Chunk(bytes.fromhex(plain["hex"]), float(plain["at_s"]))
                if not last_s <= chunk.at_s < 1e9:
                    raise ValueError
            except (ValueError, KeyError, TypeError):
                what = f"{path}:{number}: no line of a recording: record it anew with --record"
                raise RecordingError(what) from None
            last_s = chunk.at_s
            yield chunk
