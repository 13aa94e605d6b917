"""Modbus RTU: asking one instrument for one or two registers, and reading its answer.

Frame: unit, function, byte count, data, CRC-16 (polynomial A001 reflected, start FFFF, low byte
first). Source: Modbus over serial line V1.02, from memory; pymodbus agrees in the tests.
"""

import math
import struct
from collections.abc import Iterator
from typing import Literal, NamedTuple

from benchcalc.core.frozen import frozen
from benchcalc.sensor.events import MOST_DEG, BadFrame, Framed, Reading, Unused

NumberKind = Literal["int16", "uint16", "int32", "float32"]
WordOrder = Literal["high first", "low first"]

MOST_NOISE = 256
"""Bytes between frames are reported at the latest when so many have come."""

FORMATS: dict[NumberKind, str] = {"int16": ">h", "uint16": ">H", "int32": ">i", "float32": ">f"}
REFUSALS = {
    1: "it does not know this function",
    2: "it has no such register",
    3: "it cannot give so many registers",
    4: "it has a fault of its own",
    6: "it is busy",
}


@frozen
class ModbusRtu:
    """Where the angle stands: ``register`` is the address as sent, from 0.

    ``function`` 3 reads holding registers, 4 input registers; ``scale`` is degrees per unit.
    """

    unit: int = 1
    function: Literal[3, 4] = 3
    register: int = 0
    kind: NumberKind = "int16"
    words: WordOrder = "high first"
    scale: float = 1.0

    @property
    def count(self) -> int:
        """How many registers hold the number."""
        return struct.calcsize(FORMATS[self.kind]) // 2


def _crc_table() -> tuple[int, ...]:
    table = []
    for byte in range(256):
        for _ in range(8):
            byte = (byte >> 1) ^ (0xA001 if byte & 1 else 0)
        table.append(byte)
    return tuple(table)


_CRC = _crc_table()


def crc16(data: bytes) -> int:
    """The check number of a frame; it is sent low byte first."""
    crc = 0xFFFF
    for byte in data:
        crc = (crc >> 8) ^ _CRC[(crc ^ byte) & 0xFF]
    return crc


def with_crc(frame: bytes) -> bytes:
    """A frame and its check number."""
    return frame + crc16(frame).to_bytes(2, "little")


def read_request(unit: int, function: int, register: int, count: int) -> bytes:
    """The question for ``count`` registers from ``register`` on."""
    return with_crc(struct.pack(">BBHH", unit, function, register, count))


class _Candidate(NamedTuple):
    """A frame that may begin here: what its first bytes must be and how long it is."""

    head: bytes
    length: int


class ModbusFramer:
    """Finds the answers in a stream by their head, length and check number."""

    def __init__(self, settings: ModbusRtu) -> None:
        self._settings = settings
        self.question = read_request(
            settings.unit, settings.function, settings.register, settings.count
        )
        unit, function, size = settings.unit, settings.function, 2 * settings.count
        self._answer = _Candidate(bytes((unit, function, size)), 5 + size)
        self._refusal = _Candidate(bytes((unit, function | 0x80)), 5)
        self._echo = _Candidate(self.question, len(self.question))
        self._buffer = bytearray()
        self._noise = bytearray()
        self._why = ""

    @property
    def begun(self) -> bool:
        """Whether a frame may be half there."""
        return bool(self._buffer)

    def feed(self, data: bytes, at_s: float) -> Iterator[Framed]:
        """The events that these bytes complete; how they were cut into pieces makes no matter."""
        buffer = self._buffer
        for byte in data:
            buffer.append(byte)
            while buffer:
                found, wait = self._look(at_s)
                if found is not None:
                    yield from self._flush(at_s)
                    yield found
                elif wait:
                    break
                else:
                    self._noise.append(buffer.pop(0))
                    if len(self._noise) >= MOST_NOISE:
                        yield from self._flush(at_s)

    def cut(self, at_s: float) -> Iterator[Framed]:
        """Give up what was begun: a question is about to be asked, or the line was lost."""
        if self._buffer:
            self._why = self._why or "the answer was cut off"
        self._noise += self._buffer
        self._buffer.clear()
        yield from self._flush(at_s)

    def _flush(self, at_s: float) -> Iterator[Framed]:
        if self._noise:
            yield BadFrame(self._why or "bytes outside an answer", bytes(self._noise), at_s)
            self._noise.clear()
        self._why = ""

    def _look(self, at_s: float) -> tuple[Framed | None, bool]:
        """What begins at the first byte: a whole frame, or whether to wait for more of it."""
        buffer, wait = self._buffer, False
        for candidate in (self._answer, self._refusal, self._echo):
            if not candidate.head.startswith(buffer[: len(candidate.head)]):
                continue
            if len(buffer) < candidate.length:
                wait = True
                continue
            raw = bytes(buffer[: candidate.length])
            if crc16(raw) == 0:  # the check over a frame with its own check number is nothing
                del buffer[: candidate.length]
                return self._read(candidate, raw, at_s), False
            sent, right = raw[-2:].hex().upper(), with_crc(raw[:-2])[-2:].hex().upper()
            self._why = self._why or f"CRC {right}, sent {sent}"
        return None, wait

    def _read(self, candidate: _Candidate, raw: bytes, at_s: float) -> Framed:
        if candidate is self._echo:
            return Unused("our own question, echoed", raw, at_s)
        if candidate is self._refusal:
            why = REFUSALS.get(raw[2], "it gives no known reason")
            return BadFrame(f"the instrument refuses (code {raw[2]}): {why}", raw, at_s)
        data = raw[3:-2]
        if len(data) == 4 and self._settings.words == "low first":
            data = data[2:] + data[:2]
        (number,) = struct.unpack(FORMATS[self._settings.kind], data)
        value_deg = number * self._settings.scale
        if not math.isfinite(value_deg) or abs(value_deg) > MOST_DEG:
            return BadFrame("the registers hold no angle: check kind and word order", raw, at_s)
        return Reading(value_deg, at_s, raw)
