"""Sensor profiles as files have them: how the sensor speaks, where it rides, how well it sees."""

from typing import Any

from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.profiles import Spelling
from benchcalc.jobfile.table import Field, Manner, complete, read_fields
from benchcalc.jobfile.values import Span
from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.modbus_rtu import ModbusRtu
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import (
    HANDLE_KEYS,
    WIRES,
    SensorProfile,
    SerialLine,
    Settings,
)

FILE = "sensors.yaml"
SPEAKS = {NmeaXdr: "nmea", AsciiLine: "ascii", ModbusRtu: "modbus"}
"""How a sensor speaks, as a file says it."""

OWN_UNITS = Manner(None)
SPEAKS_FIELD = Field("speaks", "choice", "how it speaks", needed=True, words=tuple(SPEAKS.values()))
SCALE = Field("scale", "number", "degrees per unit sent", Span(-1000, 1000), 1.0)
NMEA = (
    Field("transducer", "text", "the transducer's name in the sentence", default="", attr="name"),
    Field("place", "whole", "its place among all, without a name", Span(1, 20), 1),
    Field("checksum", "choice", "whether a sentence needs one", default="needed",
          words=("needed", "optional")),
)  # fmt: skip
ASCII = (
    Field("prefix", "bytes", "what stands before the number", default=b""),
    Field("suffix", "bytes", "what stands after it", default=b""),
    Field("decimal", "choice", "the sign before the decimals", default="point",
          words=("point", "comma")),
    Field("line_end", "choice", "how a line ends", default="crlf", words=("crlf", "cr", "lf"),
          attr="end"),
    Field("width", "whole", "characters of a line, 0 for any number", Span(0, 200), 0),
    Field("poll", "bytes", "what asks for a line", default=b""),
)  # fmt: skip
MODBUS = (
    Field("unit", "whole", "its address", Span(1, 247), 1),
    Field("function", "choice", "3 holding, 4 input registers", default="3", words=("3", "4")),
    Field("register", "whole", "where the angle stands, from 0", Span(0, 65535), needed=True),
    Field("kind", "choice", "how the number is kept", default="int16",
          words=("int16", "uint16", "int32", "float32")),
    Field("words", "choice", "which register comes first", default="high first",
          words=("high first", "low first")),
)  # fmt: skip
SPOKEN = {"nmea": NMEA, "ascii": ASCII, "modbus": MODBUS}
LINE = (
    Field("baud", "choice", "bits in a second", default="9600",
          words=("1200", "2400", "4800", "9600", "19200", "38400", "57600", "115200")),
    Field("parity", "choice", "its parity bit", default="none", words=("none", "even", "odd")),
    Field("data_bits", "choice", "bits of a character", default="8", words=("8", "7")),
    Field("stop_bits", "choice", "bits after it", default="1", words=("1", "2")),
)  # fmt: skip
SENSOR = (
    Field("rides", "choice", "what it is fixed to", needed=True, words=("tube", "arm")),
    Field("sees", "choice", "what it feels", needed=True, words=("gravity", "encoder")),
    Field("measures", "choice", "what it is for: a turn when clipped square across the tube",
          default="bend", words=("bend", "turn", "both")),
    Field("sign", "choice", "its sense", default="+1", words=("+1", "-1")),
    Field("port", "text", "the serial port it is on", default=""),
    Field("poll_every", "seconds", "between two questions", Span(0.02, 10), 0.1, attr="poll_s"),
    Field("stale_after", "seconds", "when a reading counts as none", Span(0.1, 5), 0.5,
          attr="stale_s"),
    Field("zero", "angle", "what it reads on a straight tube", Span(-720, 720)),
    Field("wrap", "angle", "where the reading starts again, 0 for never", Span(0, 720), 360.0),
    Field("resolution", "angle", "its finest step", Span(0, 5, over=True), needed=True),
    Field("noise", "angle", "standard deviation at rest", Span(0, 5), needed=True),
    Field("lag", "seconds", "the time constant of its filter", Span(0, 2), 0.0),
    Field("fastest", "angle", "how far it goes in a second at most", Span(1, 10_000), 250.0,
          attr="fastest_deg_s"),
    Field("least", "angle", "the least it can read", Span(-720, 720), -720.0),
    Field("most", "angle", "the most it can read", Span(-720, 720), 720.0),
    Field("frozen_after", "seconds", "when the very same reading is no reading, 0 for never",
          Span(0, 600), 0.0, attr="frozen_s"),
    Field("handle", "choice", "where it tells that the handle was let go", default="none",
          words=("none", *WIRES, *HANDLE_KEYS)),
    Field("handle_on", "choice", "what that line tells while it is on", default="released",
          words=("released", "held")),
    Field("source", "text", "where the figures come from", needed=True, most=20),
)  # fmt: skip

_MEANS: dict[str, dict[str, Any]] = {
    "checksum": {"needed": True, "optional": False},
    "decimal": {"point": b".", "comma": b","},
    "end": {"crlf": b"\r\n", "cr": b"\r", "lf": b"\n"},
    "sign": {"+1": 1, "-1": -1},
}
"""What the words of a file stand for."""

_NUMBERS = ("function", "baud", "data_bits", "stop_bits")


def read_sensor(fields: Fields, key: str, _: Spelling) -> SensorProfile | None:
    """A sensor profile from its mapping; None, with problems noted, when it is not one."""
    speaks = _read_speaks(fields)
    line = SerialLine(**_meant(read_fields(fields, LINE, OWN_UNITS)))
    found = _meant(read_fields(fields, SENSOR, OWN_UNITS))
    fields.close()
    if speaks is None or not complete(found, SENSOR):
        return None
    return SensorProfile(key, speaks, line, source="; ".join(found.pop("source")), **found)


def _read_speaks(fields: Fields) -> Settings | None:
    kind = read_fields(fields, (SPEAKS_FIELD,), OWN_UNITS)["speaks"]
    scale = read_fields(fields, (SCALE,), OWN_UNITS)["scale"]
    if scale == 0:
        fields.refuse("scale", "0", "degrees per unit sent, not 0", "write 1, or 0.1 for tenths")
    if kind is None:
        return None
    found = _meant(read_fields(fields, SPOKEN[kind], OWN_UNITS))
    make: Any = next(make for make, name in SPEAKS.items() if name == kind)
    settings: Settings | None = None
    if complete(found, SPOKEN[kind]):
        settings = make(scale=scale, **found)
    return settings


def _meant(found: dict[str, Any]) -> dict[str, Any]:
    """What was read, with words of a file turned into what they stand for."""
    for name, means in _MEANS.items():
        if name in found:
            found[name] = means[found[name]]
    return found | {name: int(found[name]) for name in _NUMBERS if name in found}
