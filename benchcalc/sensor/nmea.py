"""NMEA 0183, sentence XDR: angular displacement (type A, unit D) of one transducer of several.

Sentence: ``$ttXDR,type,value,unit,name,...*hh`` CR LF; hh is the exclusive or of the characters
between ``$`` and ``*``. Source: NMEA 0183, from memory; pynmea2 agrees in the tests.
"""

from collections.abc import Iterator
from functools import reduce
from operator import xor

from benchcalc.core.frozen import frozen
from benchcalc.sensor.events import BadFrame, Framed, Reading, Unused, plain_number

MOST_BYTES = 256
"""The standard allows 82; sentences with many transducers are longer in the field."""

START, CR, LF = b"$"[0], b"\r"[0], b"\n"[0]


@frozen
class NmeaXdr:
    """Which transducer holds the angle: by ``name``, or by ``place`` among all, from 1.

    ``scale`` is degrees per unit sent; ``checksum`` False also takes sentences without one.
    """

    name: str = ""
    place: int = 1
    scale: float = 1.0
    checksum: bool = True


class NmeaFramer:
    """Cuts a stream into sentences; what lies between them is reported, never guessed at."""

    question = b""

    def __init__(self, settings: NmeaXdr) -> None:
        self._settings = settings
        self._buffer = bytearray()

    @property
    def begun(self) -> bool:
        """Whether a frame may be half there."""
        return bool(self._buffer)

    def feed(self, data: bytes, at_s: float) -> Iterator[Framed]:
        """The events that these bytes complete; how they were cut into pieces makes no matter."""
        buffer = self._buffer
        for byte in data:
            inside = bool(buffer) and buffer[0] == START
            if byte == START:
                yield from self.cut(at_s)
                buffer.append(byte)
            elif byte in (CR, LF):
                if inside:
                    sentence = bytes(buffer)
                    buffer.clear()
                    yield read_sentence(sentence, self._settings, at_s)
                elif buffer:
                    yield from self.cut(at_s)
            else:
                buffer.append(byte)
                if len(buffer) >= MOST_BYTES:
                    yield from self.cut(at_s)

    def cut(self, at_s: float) -> Iterator[Framed]:
        """Give up what was begun."""
        if not self._buffer:
            return
        raw = bytes(self._buffer)
        self._buffer.clear()
        if raw[0] != START:
            yield BadFrame("bytes outside a sentence", raw, at_s)
        elif len(raw) >= MOST_BYTES:
            yield BadFrame(f"no end of the sentence within {MOST_BYTES} bytes", raw, at_s)
        else:
            yield BadFrame("the sentence was cut off", raw, at_s)


def checksum(body: bytes) -> int:
    """The exclusive or of the characters between ``$`` and ``*``."""
    return reduce(xor, body, 0)


def read_sentence(raw: bytes, settings: NmeaXdr, at_s: float) -> Framed:
    """One sentence from ``$`` to before its line end: a reading, or what is wrong with it."""
    body, star, given = raw[1:].partition(b"*")
    if star:
        if len(given) != 2 or not all(c in b"0123456789ABCDEFabcdef" for c in given):
            return BadFrame("the checksum is not two hexadecimal digits", raw, at_s)
        if int(given, 16) != checksum(body):
            return BadFrame(f"checksum {checksum(body):02X}, sent {given.decode()}", raw, at_s)
    elif settings.checksum:
        return BadFrame("the sentence has no checksum", raw, at_s)
    head, *fields = body.split(b",")
    if len(head) != 5 or not head.isalnum() or head[2:] != b"XDR":
        return Unused("another sentence than XDR", raw, at_s)
    while fields and len(fields) % 4 and not fields[-1]:
        fields.pop()
    if len(fields) % 4 in (1, 2):
        return BadFrame("a transducer has parts missing", raw, at_s)
    if len(fields) % 4:
        fields.append(b"")  # the name may be left out at the end
    groups = [tuple(fields[i : i + 4]) for i in range(0, len(fields), 4)]
    return _chosen(groups, settings, raw, at_s)


def _chosen(groups: list[tuple[bytes, ...]], settings: NmeaXdr, raw: bytes, at_s: float) -> Framed:
    if settings.name:
        wanted = settings.name.encode("ascii", "replace")
        named = [group for group in groups if group[3] == wanted]
        if not named:
            return Unused(f"no transducer is named {settings.name}", raw, at_s)
        if len(named) > 1:
            return BadFrame(f"{len(named)} transducers are named {settings.name}", raw, at_s)
        group = named[0]
    elif settings.place <= len(groups):
        group = groups[settings.place - 1]
    else:
        return Unused(f"{len(groups)} transducers, none at place {settings.place}", raw, at_s)
    kind, value, unit, _ = group
    if kind != b"A":
        return Unused(f"type {_shown(kind)}, not an angle (A)", raw, at_s)
    if unit != b"D":
        return BadFrame(f"the angle's unit is {_shown(unit)}, not degrees (D)", raw, at_s)
    number = plain_number(value)
    if number is None:
        return BadFrame(f"{_shown(value)} is no number", raw, at_s)
    return Reading(number * settings.scale, at_s, raw)


def _shown(text: bytes) -> str:
    return ascii(text[:20].decode("latin-1")) if text else "left out"
