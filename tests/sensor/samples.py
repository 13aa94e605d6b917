"""Byte samples of each protocol and ways of feeding them."""

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.events import Framed, Reading
from benchcalc.sensor.modbus_rtu import ModbusRtu, with_crc
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import Framer, Settings, framer_of


@dataclass(frozen=True)
class Sample:
    """Frames one after the other, and the angles in them."""

    name: str
    settings: Settings
    frames: tuple[bytes, ...]
    angles_deg: tuple[float, ...]
    noise: tuple[bytes, ...]


# Sentences of our own in the form of NMEA 0183 XDR; pynmea2 reads them and checks their sums too.
PITCH_YAW = b"$IIXDR,A,1.062,D,PITCH,A,141.308,D,YAW*4D\r\n"
THREE = b"$IIXDR,A,58,D,PITCH,A,-23,D,ROLL,G,411,,FIELD*05\r\n"
MIXED = b"$IIXDR,A,-31.25,M,N,A,047.625,D,E,C,21.5,C,AIR*24\r\n"
NO_ANGLE = b"$IIXDR,C,019.5,C,,*41\r\n"
# The sentence that texts about NMEA 0183 give as their example, from memory.
GGA = b"$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n"

_LOOSE = (
    b"\x00\xff\x80",
    b"garbage",
    b"$",
    b"$GPX",
    b"\r\n",
    b"*4D",
    b"\x01\x03",
    b"X",
    b"\x7e" * 40,
)
_LINES = tuple(noise + b"\r\n" for noise in _LOOSE)

SAMPLES = (
    Sample("pitch", NmeaXdr(name="PITCH"), (PITCH_YAW, THREE), (1.062, 58.0), _LOOSE),
    Sample("second place", NmeaXdr(place=2), (PITCH_YAW, THREE), (141.308, -23.0), _LOOSE),
    Sample("by its name", NmeaXdr(name="E"), (MIXED, MIXED), (47.625, 47.625), _LOOSE),
    # Lines of our own; the second one is sent when asked.
    Sample("X=", AsciiLine(b"X="), (b"X=+7.25\r\n", b"X=-12.5\r\n"), (7.25, -12.5), _LOOSE),
    Sample(
        "comma", AsciiLine(decimal=b",", poll=b"?\r"), (b"312,48\r\n", b"+0,01\r\n"),
        (312.48, 0.01), _LINES,
    ),
    Sample(
        "one register", ModbusRtu(scale=0.1),
        (with_crc(b"\x01\x03\x02\x01\xc2"), with_crc(b"\x01\x03\x02\xff\x9c")), (45.0, -10.0),
        _LOOSE,
    ),
    Sample(
        "two registers, low word first", ModbusRtu(17, 4, 107, "float32", "low first"),
        (with_crc(b"\x11\x04\x04\x80\x00\x42\x34"),) * 2, (45.125, 45.125), _LOOSE,
    ),
)  # fmt: skip


def pieces(data: bytes, way: str, random: Random) -> Iterator[bytes]:
    """The data cut up: whole, byte by byte, or anyhow."""
    if way == "whole":
        yield data
    elif way == "byte by byte":
        yield from (data[i : i + 1] for i in range(len(data)))
    else:
        while data:
            size = random.randint(1, 9)
            yield data[:size]
            data = data[size:]


def feed(framer: Framer, parts: Iterator[bytes], at_s: float = 1.0) -> list[Framed]:
    """All events of these pieces, all arriving at one time."""
    return [event for part in parts for event in framer.feed(part, at_s)]


def read_all(settings: Settings, data: bytes, way: str = "whole", seed: int = 0) -> list[Framed]:
    """All events of some bytes, read by a new framer."""
    return feed(framer_of(settings), pieces(data, way, Random(seed)))


def angles(events: list[Framed]) -> tuple[float, ...]:
    """The angles among the events."""
    return tuple(event.value_deg for event in events if isinstance(event, Reading))
