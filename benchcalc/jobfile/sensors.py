"""Sensor profiles as files have them: how the sensor speaks, where it rides, how well it sees."""

import re
from pathlib import Path
from typing import Literal

from benchcalc.jobfile import values
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.files import asset_path
from benchcalc.jobfile.problems import BadValue
from benchcalc.jobfile.profiles import Spelling, load_profiles
from benchcalc.jobfile.strict_yaml import Scalar
from benchcalc.jobfile.values import Span
from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.modbus_rtu import ModbusRtu
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import Parity, Rides, Sees, SensorProfile, SerialLine, Settings

FILE = "sensors.yaml"
SPEAKS = {NmeaXdr: "nmea", AsciiLine: "ascii", ModbusRtu: "modbus"}
"""How a sensor speaks, as a file says it."""

BAUDS = ("1200", "2400", "4800", "9600", "19200", "38400", "57600", "115200")
ENDS = {"crlf": b"\r\n", "cr": b"\r", "lf": b"\n"}
SCALE = Span(-1000, 1000)
_TIME = re.compile(r"([0-9.]+) ?(s|ms)", re.ASCII)


def load_sensors(folder: Path | None) -> tuple[SensorProfile, ...]:
    """The built-in profiles, each replaced by the folder's own of the same key.

    Raises BadFile with every problem of the first file that has any.
    """
    own = folder / FILE if folder else None
    built: dict[str, SensorProfile] = {}
    for path in (asset_path(FILE), own):
        if path is not None and (path != own or path.exists()):
            built |= load_profiles(path, _read, ()).built
    return tuple(built.values())


def _read(fields: Fields, key: str, _: Spelling) -> SensorProfile | None:
    """A sensor profile from its mapping; None, with problems noted, when it is not one."""
    speaks = _read_speaks(fields)
    line = _read_line(fields)
    rides: Rides | None = fields.need("rides", values.choice("tube", "arm"))
    sees: Sees | None = fields.need("sees", values.choice("gravity", "encoder"))
    sign = fields.read("sign", values.choice("+1", "-1"), "+1")
    profile = SensorProfile(
        key,
        speaks or NmeaXdr(),
        line,
        port=fields.read("port", values.text(), ""),
        poll_s=fields.read("poll_every", seconds(Span(0.02, 10)), 0.1),
        stale_s=fields.read("stale_after", seconds(Span(0.1, 5)), 0.5),
        rides=rides or "tube",
        sees=sees or "gravity",
        sign=-1 if sign == "-1" else 1,
        zero_deg=fields.read("zero", values.angle(False, Span(-720, 720)), None),
        wrap_deg=fields.read("wrap", values.angle(False, Span(0, 720)), 360.0),
        resolution_deg=fields.need("resolution", values.angle(False, Span(0, 5, over=True))) or 0.1,
        noise_deg=fields.need("noise", values.angle(False, Span(0, 5))) or 0.0,
        lag_s=fields.read("lag", seconds(Span(0, 2)), 0.0),
        source="; ".join(fields.read_several("source", values.text(), 20)),
    )
    if not fields.has("source"):
        fields.miss("source")
    fields.close()
    return profile if speaks and rides and sees else None


def _read_speaks(fields: Fields) -> Settings | None:
    kind = fields.need("speaks", values.choice(*SPEAKS.values()))
    scale = fields.read("scale", values.number(SCALE), 1.0)
    if scale == 0:
        fields.refuse("scale", "0", "degrees per unit sent, not 0", "write 1, or 0.1 for tenths")
    if kind == "nmea":
        name = fields.read("transducer", values.text(), "")
        place = fields.read("place", values.whole(Span(1, 20)), 1)
        check = fields.read("checksum", values.choice("needed", "optional"), "needed")
        return NmeaXdr(name, place, scale, check == "needed")
    if kind == "ascii":
        return _read_ascii(fields, scale)
    return _read_modbus(fields, scale) if kind == "modbus" else None


def _read_ascii(fields: Fields, scale: float) -> AsciiLine:
    return AsciiLine(
        prefix=fields.read("prefix", line_bytes, b""),
        suffix=fields.read("suffix", line_bytes, b""),
        decimal=b"," if _choice(fields, "decimal", "point", "comma") == "comma" else b".",
        end=ENDS[_choice(fields, "line_end", "crlf", "cr", "lf")],
        width=fields.read("width", values.whole(Span(0, 200)), 0),
        poll=fields.read("poll", line_bytes, b""),
        scale=scale,
    )


def _choice(fields: Fields, key: str, first: str, *others: str) -> str:
    return fields.read(key, values.choice(first, *others), first)


def _read_modbus(fields: Fields, scale: float) -> ModbusRtu:
    function: Literal[3, 4] = 4 if _choice(fields, "function", "3", "4") == "4" else 3
    return ModbusRtu(
        unit=fields.read("unit", values.whole(Span(1, 247)), 1),
        function=function,
        register=fields.need("register", values.whole(Span(0, 65535))) or 0,
        kind=fields.read("kind", values.choice("int16", "uint16", "int32", "float32"), "int16"),
        words=fields.read("words", values.choice("high first", "low first"), "high first"),
        scale=scale,
    )


def _read_line(fields: Fields) -> SerialLine:
    baud = int(fields.read("baud", values.choice(*BAUDS), "9600"))
    parity: Parity = fields.read("parity", values.choice("none", "even", "odd"), "none")
    data_bits: Literal[7, 8] = 7 if _choice(fields, "data_bits", "8", "7") == "7" else 8
    stop_bits: Literal[1, 2] = 2 if _choice(fields, "stop_bits", "1", "2") == "2" else 1
    return SerialLine(baud, parity, data_bits, stop_bits)


def seconds(span: Span) -> values.Reader[float]:
    """A time with its unit, s or ms, in seconds."""

    def read(scalar: Scalar) -> float:
        found = _TIME.fullmatch(scalar.text.strip(" "))
        if not found:
            raise BadValue("a time with s or ms", "write it like 0.5 s")
        number = values.number(Span(0, 1_000_000))(Scalar(scalar.line, found[1], scalar.quoted))
        time_s = number / 1000 if found[2] == "ms" else number
        if not span.holds(time_s):
            raise BadValue(span.words("s"), "check the number")
        return time_s

    return read


def line_bytes(scalar: Scalar) -> bytes:
    r"""Characters as they go over the wire; a line end in them is written as \r or \n."""
    text = values.text()(scalar)
    if not text.isascii():
        raise BadValue("plain characters only", "write the bytes of the manual")
    return text.replace("\\r", "\r").replace("\\n", "\n").encode("ascii")
