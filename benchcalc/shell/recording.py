"""What a port brought, in a file: one line of JSON a thing, with the time when it came.

Bytes stand as hexadecimal digits. The panel's own recordings also say which bend was followed from
where on, with its zero and what was to come of it, what the port and the handle told, and when the
operator said that the tube is free: so that what is made of it is what the panel made of it.
"""

import json
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import TracebackType
from typing import Any, NamedTuple, Self, get_args

from benchcalc.sensor.expectation import Expectation
from benchcalc.shell.port import Chunk, HandleSaid, Item, Kind, PortNews
from benchcalc.shell.watch import Wire

HEAD = {"benchcalc": "sensor bytes", "version": 1}
MOST_LINE = 64 * 1024
BEFORE_S = 3.0
"""So much is kept of the time before a bend is followed: where the bytes of a line begin."""

MOST_THINGS, MOST_BYTES = 20_000, 512 * 1024
"""A quarter of an hour at twenty readings a second; what comes later has no room. The pull and the
verdict come first, and stay."""


class Followed(NamedTuple):
    """From here on this bend was followed, by a sensor of this profile that stood at this zero."""

    profile: str
    zero_deg: float | None
    expectation: Expectation
    at_s: float


class SaidFree(NamedTuple):
    """The operator said that the tube is free."""

    at_s: float


class HandlePressed(NamedTuple):
    """A key or pedal said that the handle was let go."""

    at_s: float


class Full(NamedTuple):
    """There was no more room: what came later is missing."""

    at_s: float


Recorded = Item | Followed | SaidFree | HandlePressed | Full


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

    def keep(self, item: Recorded) -> None:
        """Write what came."""
        self._write(plain_of(item, self._began_s))

    def _write(self, plain: object) -> None:
        self._file.write(json.dumps(plain) + "\n")


def text_of(items: Iterable[Recorded]) -> str:
    """A recording as its file has it; whole seconds before it are taken off its times."""
    kept = list(items)
    began_s = float(int(kept[0].at_s)) if kept else 0.0
    lines = [HEAD, *(plain_of(item, began_s) for item in kept)]
    return "".join(json.dumps(line) + "\n" for line in lines)


def plain_of(item: Recorded, began_s: float) -> dict[str, Any]:
    """A thing as its line has it."""
    at_s = item.at_s - began_s
    if isinstance(item, Chunk):
        return {"at_s": at_s, "hex": item.data.hex()}
    if isinstance(item, HandleSaid):
        return {"at_s": at_s, "handle": "released" if item.released else "held"}
    if isinstance(item, PortNews):
        return {"at_s": at_s, "port": item.kind}
    if isinstance(item, Followed):
        expected = item.expectation._asdict()
        return {"at_s": at_s, "profile": item.profile, "zero_deg": item.zero_deg, **expected}
    words = {SaidFree: "said free", HandlePressed: "handle pressed", Full: "full"}
    return {"at_s": at_s, "event": words[type(item)]}


def recorded(path: Path) -> Iterator[Recorded]:
    """What a recording holds, in the order in which the panel heard it; bytes may be heard a little
    after they came. Raises OSError, or RecordingError for what is none."""
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
                item = _item(plain, float(plain["at_s"]))
                if not (last_s if isinstance(item, Chunk) else 0.0) <= item.at_s < 1e9:
                    raise ValueError
            except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
                what = f"{path}:{number}: no line of a recording: record it anew with --record"
                raise RecordingError(what) from None
            last_s = item.at_s if isinstance(item, Chunk) else last_s
            yield item


def _item(plain: dict[str, Any], at_s: float) -> Recorded:
    if "hex" in plain:
        return Chunk(bytes.fromhex(plain["hex"]), at_s)
    if "handle" in plain:
        return HandleSaid({"released": True, "held": False}[plain["handle"]], at_s)
    if "port" in plain:
        kind: Kind = plain["port"]
        if kind not in get_args(Kind):
            raise ValueError
        return PortNews(kind, "", "", at_s)
    if "profile" in plain:
        numbers = [_angle(plain[name]) for name in Expectation._fields]
        zero_deg = None if plain["zero_deg"] is None else _angle(plain["zero_deg"])
        return Followed(str(plain["profile"]), zero_deg, Expectation(*numbers), at_s)
    events: dict[str, Callable[[float], Recorded]] = {
        "said free": SaidFree, "handle pressed": HandlePressed, "full": Full,
    }  # fmt: skip
    return events[plain["event"]](at_s)


def _angle(value: object) -> float:
    """An angle of a recording, in degrees. Raises ValueError for one that is none."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e6:
        raise ValueError
    return float(value)


class Tapped:
    """A wire whose news are also kept."""

    def __init__(self, wire: Wire, keep: Callable[[Item], None]) -> None:
        self._wire, self._keep = wire, keep

    def take(self) -> list[Item]:
        """What came since the last call."""
        taken = self._wire.take()
        for item in taken:
            self._keep(item)
        return taken

    def send(self, data: bytes) -> None:
        """Send soon."""
        self._wire.send(data)


class LastBend:
    """Keeps what comes; the bend before is forgotten when the next one begins."""

    def __init__(self) -> None:
        self._before: deque[Recorded] = deque(maxlen=MOST_THINGS // 10)
        self._kept: list[Recorded] = []
        self._bytes = 0
        self._open = self._full = False

    @property
    def there(self) -> bool:
        """Whether there is a bend to send."""
        return bool(self._kept)

    def begin(self, followed: Followed, anew: bool) -> None:
        """A bend is followed from here on; not ``anew`` when it is the next pull of the same."""
        if anew or not self._open:
            self._kept, self._bytes, self._open, self._full = list(self._before), 0, True, False
        self.keep(followed)

    def end(self) -> None:
        """The bend is left: what comes from now on is no part of it."""
        self._open = False

    def keep(self, item: Recorded) -> None:
        """Take what came."""
        self._before.append(item)
        while self._before[0].at_s < item.at_s - BEFORE_S:
            self._before.popleft()
        if not self._open or self._full:
            return
        self._bytes += len(item.data) if isinstance(item, Chunk) else 0
        self._full = len(self._kept) >= MOST_THINGS or self._bytes > MOST_BYTES
        self._kept.append(Full(item.at_s) if self._full else item)

    def text(self) -> str:
        """The recording as its file has it."""
        return text_of(self._kept)
