"""``python -m tests.shell.modbus_peer PORT``: an instrument made by other people's library."""

import sys

from pymodbus.server import StartSerialServer
from pymodbus.simulator import DataType, SimData, SimDevice

TENTHS = 450
FLOAT_DEG = 45.125


def main() -> None:
    """Serve 45.0 in tenths in register 0 and 45.125 as a float in registers 10 and 11."""
    data = [
        SimData(0, values=TENTHS, datatype=DataType.INT16),
        SimData(10, values=FLOAT_DEG, datatype=DataType.FLOAT32),
    ]
    StartSerialServer(SimDevice(1, simdata=data), port=sys.argv[1], baudrate=19200)


if __name__ == "__main__":
    main()
