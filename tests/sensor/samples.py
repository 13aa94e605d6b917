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


# Sentences published by makers and on forums, as collected in the project's check values.
PITCH_YAW = b"$GPXDR,A,0.071,D,PITCH,A,228.132,D,YAW*5E\r\n"
COMPASS = b"$HCXDR,A,171,D,PITCH,A,-37,D,ROLL,G,367,,MAGX,G,2420,,MAGY,G,-8984,,MAGZ*41\r\n"
MIXED = b"$YXXDR,A,-64.437,M,N,A,054.454,D,E,C,17.09,C,T-N1052*46\r\n"
NO_ANGLE = b"$WIXDR,C,022.0,C,,*52\r\n"

_LOOSE = (
    b"\x00\xff\x80",
    b"garbage",
    b"$",
    b"$GPX",
    b"\r\n",
    b"*5E",
    b"\x01\x03",
    b"X",
    b"\x7e" * 40,
)
_LINES = tuple(noise + b"\r\n" for noise in _LOOSE)

SAMPLES = (
    Sample("pitch", NmeaXdr(name="PITCH"), (PITCH_YAW, COMPASS), (0.071, 171.0), _LOOSE),
    Sample("second place", NmeaXdr(place=2), (PITCH_YAW, COMPASS), (228.132, -37.0), _LOOSE),
    Sample("by its name", NmeaXdr(name="E"), (MIXED, MIXED), (54.454, 54.454), _LOOSE),
    # Lines seen in the field; the second one is sent when asked.
    Sample("X=", AsciiLine(b"X="), (b"X=+00.430\r\n", b"X=-12.5\r\n"), (0.43, -12.5), _LOOSE),
    Sample(
        "comma", AsciiLine(decimal=b",", poll=b"?\r"), (b"359,99\r\n", b"+0,01\r\n"),
        (359.99, 0.01), _LINES,
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
