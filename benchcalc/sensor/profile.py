"""What is to be known of a sensor: how it speaks, what it rides on, how well it sees."""

from typing import Literal, get_args

from benchcalc.core.frozen import frozen
from benchcalc.sensor.ascii_line import AsciiFramer, AsciiLine
from benchcalc.sensor.modbus_rtu import ModbusFramer, ModbusRtu
from benchcalc.sensor.nmea import NmeaFramer, NmeaXdr

Settings = NmeaXdr | AsciiLine | ModbusRtu
Framer = NmeaFramer | AsciiFramer | ModbusFramer
Rides = Literal["tube", "arm"]
Sees = Literal["gravity", "encoder"]
Measures = Literal["bend", "turn", "both"]
Parity = Literal["none", "even", "odd"]
Wire = Literal["cts", "dsr", "dcd", "ri"]
HandleKey = Literal["f2", "f3", "f4", "f5", "f6", "f7", "f8", "f9", "f10", "f11", "f12"]
Handle = Wire | HandleKey | Literal["none"]
WIRES: tuple[Wire, ...] = get_args(Wire)
HANDLE_KEYS: tuple[HandleKey, ...] = get_args(HandleKey)

FASTEST_DEG_S = 250.0
"""No hand turns a bender's arm faster, and few drop it so; from common practice."""


@frozen
class SerialLine:
    """How the wire is set."""

    baud: int = 9600
    parity: Parity = "none"
    data_bits: Literal[7, 8] = 8
    stop_bits: Literal[1, 2] = 1


@frozen
class SensorProfile:
    """One sensor on one bench.

    ``rides``: on the tube's free leg, or on the bender's arm, which leaves the tube when it backs
    off. ``sees``: gravity (only bends in a vertical plane) or an encoder (any). ``sign`` turns the
    sensor's sense into bending positive. ``zero_deg`` is the raw reading of a straight tube where
    the mounting fixes it; None when the operator shows it at the bench. ``wrap_deg`` is where the
    reading starts again (0: never). ``noise_deg`` is the standard deviation of single readings of
    a thing at rest, ``lag_s`` the time constant with which the reading follows. ``poll_s`` is the
    time between questions, ``stale_s`` the age from which a reading counts as none.
    ``fastest_deg_s`` is how quickly the angle can change at most, ``least_deg`` and ``most_deg``
    are what the sensor can read; one that says the very same for ``frozen_s`` is not believed (0:
    never doubted for that). ``measures`` says what it is for: bends, turns when it is clipped
    square across the tube, or both by turns. Of a turn ``sign`` is +1 where the reading grows as
    the tube turns clockwise, seen from the held end. ``handle`` is where a switch in the bender's
    handle, a pedal or a button tells that it was let go: an input line of the port, or a key of a
    keyboard; ``handle_on`` says what that line tells while it is on.
    """

    key: str
    speaks: Settings
    line: SerialLine = SerialLine()
    port: str = ""
    poll_s: float = 0.1
    stale_s: float = 0.5
    rides: Rides = "tube"
    sees: Sees = "gravity"
    sign: Literal[1, -1] = 1
    zero_deg: float | None = None
    wrap_deg: float = 360.0
    resolution_deg: float = 0.1
    noise_deg: float = 0.05
    lag_s: float = 0.0
    fastest_deg_s: float = FASTEST_DEG_S
    least_deg: float = -720.0
    most_deg: float = 720.0
    frozen_s: float = 0.0
    measures: Measures = "bend"
    handle: Handle = "none"
    handle_on: Literal["released", "held"] = "released"
    source: str = ""


def framer_of(settings: Settings) -> Framer:
    """What cuts this protocol's bytes into frames."""
    if isinstance(settings, NmeaXdr):
        return NmeaFramer(settings)
    if isinstance(settings, AsciiLine):
        return AsciiFramer(settings)
    return ModbusFramer(settings)
