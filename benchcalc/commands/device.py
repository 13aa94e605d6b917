"""``benchcalc device``: what of a bench this machine has, a line each; for whoever sets it up."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from benchcalc.commands.parser import parser_of
from benchcalc.panel.state.missing import MissingKind
from benchcalc.shell import clock
from benchcalc.shell.device import (
    LEAST_FREE_BYTES,
    MachinePlaces,
    free_bytes,
    inputs,
    tells_voltage,
    under_voltage,
)
from benchcalc.shell.sticks import REFUSED, refused, sticks_of_this_machine

TOUCH, SENSOR = "benchcalc-touch", "benchcalc-sensor"
"""Names that the udev rules of ``systemd/`` give."""

REFUSED_FOR: dict[MissingKind, str] = {
    "stick-other": "holds {}: only FAT and exFAT are taken",
    "stick-locked": "is encrypted: only FAT and exFAT are taken",
    "stick-blank": "holds nothing that can be read: format it with FAT or exFAT",
    "stick-mixed": "may be several things at once: format it anew with FAT or exFAT",
    "stick-damaged": "is damaged and could not be mounted: repair it, or format it anew",
}

WHOLE, LACKING = 0, 1


class MachineItem(NamedTuple):
    """One thing, what there is of it, and whether something has to be done."""

    what: str
    says: str
    wanting: bool = False


class Roots(NamedTuple):
    """Where devices lie, what the kernel knows of them, and an installed bench's own folders."""

    dev: Path = Path("/dev")
    sys: Path = Path("/sys")
    bench: Path = Path("/var/lib/benchcalc")
    refused: Path = REFUSED


def run(words: list[str], records: Path) -> int:
    """Print a line for each; 1 when something has to be done."""
    parser = parser_of("device", "Say what of a bench this machine has, and what it lacks.")
    parser.parse_args(words)
    found = list(lines(Roots(), records))
    for line in found:
        print(f"{'!' if line.wanting else ' '} {line.what:8}{line.says}")
    return LACKING if any(line.wanting for line in found) else WHOLE


def lines(roots: Roots, records: Path) -> Iterator[MachineItem]:
    """What there is, in the order in which it is missed."""
    yield from _screens(roots)
    yield _touch(roots)
    yield _sensor(roots)
    seen = sticks_of_this_machine().look(0.0)
    yield MachineItem("sticks", ", ".join(seen.places) if seen else "none in")
    for name, why in refused(roots.refused):
        yield MachineItem("sticks", f"{name} {REFUSED_FOR[why.kind].format(why.amount)}", True)
    hwmon = roots.sys / "class/hwmon"
    low = under_voltage(hwmon)
    fine = "steady" if tells_voltage(hwmon) else "this machine does not tell"
    yield MachineItem(
        "supply", "fell too low since the start: take a stronger one" if low else fine, low
    )
    # Whoever sets a bench up asks as himself; it is the bench's own folder that matters.
    bench = roots.bench.exists() and free_bytes(records) is None
    yield _disk(roots.bench if bench else records)
    if clock.clock_trusted():
        yield MachineItem("clock", "set from outside since the start")
    else:
        yield MachineItem("clock", "not set since the start: the time of records is not trusted")


def _screens(roots: Roots) -> Iterator[MachineItem]:
    found = [
        _screen(status.parent)
        for status in sorted(roots.sys.glob("class/drm/card*-*/status"))
        if status.read_text().strip() == "connected"
    ]
    yield from found
    if not found and list(roots.dev.glob("fb[0-9]*")):
        says = "only a frame buffer, no DRM driver: this screen cannot be used, another driver may"
        yield MachineItem("screen", says, True)
    elif not found:
        yield MachineItem(
            "screen", "none connected: check its cable, then start the machine anew", True
        )


def _screen(connector: Path) -> MachineItem:
    modes = (connector / "modes").read_text().split()
    return MachineItem("screen", f"{connector.name}, {modes[0] if modes else 'no size told'}")


def _touch(roots: Roots) -> MachineItem:
    devices = inputs(MachinePlaces(roots.dev / "input", inputs_can=roots.sys / "class/input"))
    readable = [device for device in devices if os.access(device, os.R_OK)]
    if not readable:
        why = "none may be read by this user" if devices else "nothing is plugged in"
        return MachineItem("touch", f"{why}: no key can be pressed", True)
    touch = roots.dev / TOUCH
    if not touch.exists():
        return MachineItem("touch", f"no touch screen; mice, keyboards and such: {len(readable)}")
    name = roots.sys / "class/input" / touch.resolve().name / "device/name"
    return MachineItem("touch", name.read_text().strip() if name.exists() else touch.resolve().name)


def _sensor(roots: Roots) -> MachineItem:
    found = sorted(roots.dev.glob(f"{SENSOR}*"))
    if not found:
        return MachineItem("sensor", "no USB serial adapter is plugged in")
    if not os.access(found[0], os.R_OK | os.W_OK):
        return MachineItem("sensor", f"{found[0]} may not be used by this user", True)
    return MachineItem("sensor", ", ".join(f"{path} is {path.resolve().name}" for path in found))


def _disk(records: Path) -> MachineItem:
    free = free_bytes(records)
    if free is None:
        free = free_bytes(records.parent)
    if free is None:
        return MachineItem("disk", f"{records} is not there yet")
    little = free < LEAST_FREE_BYTES
    return MachineItem("disk", f"{free / 1e6:.0f} MB free for {records}", little)
