"""What this machine lacks, looked for now and then: touch, supply, room, USB sticks, the clock."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from benchcalc.panel.state.messages import MachineLooked, Message
from benchcalc.panel.state.missing import Missing
from benchcalc.shell import clock
from benchcalc.shell.sticks import REFUSED, refused

LOOK_S = 5.0
"""Between two looks. A look takes a fraction of a millisecond."""

LEAST_FREE_BYTES = 100 * 1024 * 1024
"""Room for thousands of pieces and a copy of all of them: in time to do something about it."""

HWMON_NAME, HWMON_ALARM = "rpi_volt", "in0_lcrit_alarm"
"""Source: Documentation/hwmon/raspberrypi-hwmon.rst of the Linux kernel; 1 once it was too low."""

KEY_ENTER, KEY_KPENTER, BTN_LEFT, BTN_TOUCH = 0x1C, 0x60, 0x110, 0x14A
"""Source: include/uapi/linux/input-event-codes.h of the Linux kernel."""

BUS_CEC = "001e"
"""A screen's own remote control, which a Raspberry Pi has whether or not there is one.

Source: include/uapi/linux/input.h of the Linux kernel."""

LONG_BITS = 64
"""Of a word in a list of what a device can do, on the 64-bit systems a bench is made of."""


class MachinePlaces(NamedTuple):
    """Where the kernel shows what there is."""

    inputs: Path = Path("/dev/input")
    hwmon: Path = Path("/sys/class/hwmon")
    inputs_can: Path = Path("/sys/class/input")
    refused: Path = REFUSED


class Device:
    """The machine below the panel.

    ``bare`` says that the panel itself reads touch and keys, with no desktop between, and that the
    machine is a bench's own: only then are its inputs and its clock any of our business.
    """

    def __init__(self, records: Path, bare: bool, places: MachinePlaces | None = None) -> None:
        self._records, self._bare = records, bare
        self._places = places or MachinePlaces()
        self._shown: tuple[Missing, ...] = ()
        self._looked_s: float | None = None

    def look(self, at_s: float) -> list[Message]:
        """What the panel is to know, when it is time to look and something has changed."""
        if self._looked_s is not None and at_s - self._looked_s < LOOK_S:
            return []
        self._looked_s = at_s
        missing = tuple(self.missing())
        if missing == self._shown:
            return []
        self._shown = missing
        return [MachineLooked(missing)]

    def missing(self) -> Iterator[Missing]:
        """What is missing at this moment, worst first."""
        if self._bare:
            yield from _missing_inputs(self._places)
        if under_voltage(self._places.hwmon):
            yield Missing("voltage")
        free = free_bytes(self._records)
        if free is not None and free < LEAST_FREE_BYTES:
            yield Missing("disk", f"{free / 1e6:.0f} MB")
        yield from (missing for _, missing in refused(self._places.refused))
        if self._bare and not clock.clock_trusted():
            yield Missing("clock")


def _missing_inputs(places: MachinePlaces) -> Iterator[Missing]:
    """SDL draws without any input it may read, and hears nothing, without an error (SDL#4812)."""
    devices = inputs(places)
    if not devices:
        yield Missing("inputs")
    elif not any(os.access(device, os.R_OK) for device in devices):
        yield Missing("denied")


def inputs(places: MachinePlaces) -> list[Path]:
    """The kernel's input devices that can press a key of the panel.

    A power button, a plug that feels whether it is in, or a screen's remote control is none, and
    nearly every machine has one of them.
    """
    found = sorted(places.inputs.glob("event*"))
    return [device for device in found if _can_press(places.inputs_can / device.name / "device")]


def _can_press(device: Path) -> bool:
    """Whether a finger, a pointer or an Enter key can come from it; one that does not tell may."""
    try:
        words = (device / "capabilities/key").read_text().split()
        bus = (device / "id/bustype").read_text().strip()
    except OSError:
        return True
    bits = 0
    for word in words:
        bits = bits << LONG_BITS | int(word, 16)
    wanted = (KEY_ENTER, KEY_KPENTER, BTN_LEFT, BTN_TOUCH)
    return bus != BUS_CEC and any(bits >> key & 1 for key in wanted)


def under_voltage(hwmon: Path) -> bool:
    """Whether a Raspberry Pi's firmware has seen its supply too low since it started."""
    return "1" in _alarms(hwmon)


def tells_voltage(hwmon: Path) -> bool:
    """Whether this machine watches its supply at all."""
    return bool(list(_alarms(hwmon)))


def _alarms(hwmon: Path) -> Iterator[str]:
    for chip in sorted(hwmon.glob("hwmon*")):
        try:
            if (chip / "name").read_text().strip() == HWMON_NAME:
                yield (chip / HWMON_ALARM).read_text().strip()
        except OSError:
            continue  # a chip without a name, or one that went while it was looked at


def free_bytes(folder: Path) -> int | None:
    """What may still be written in a folder; None when its disk does not tell."""
    try:
        disk = os.statvfs(folder)
    except OSError:
        return None
    return disk.f_bavail * disk.f_frsize
