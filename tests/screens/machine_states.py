"""What the machine under the panel lacks, on the screen that says what to do about it."""

from collections.abc import Callable
from dataclasses import replace
from typing import get_args

from benchcalc.panel.state.messages import MachineLooked
from benchcalc.panel.state.missing import LogLook, Missing, StickKind
from benchcalc.panel.state.model import Model, SensorSeen
from benchcalc.panel.state.over import MachineShown
from benchcalc.panel.update import update
from benchcalc.report.told import told, verbatim
from tests.panel.journeys import SHOP

Size = tuple[int, int]

LACKS = (Missing("voltage"), Missing("disk", "80 MB"), Missing("clock"))
UNPLUGGED = "/dev/benchcalc-sensor was unplugged: plug the sensor in again."
STICKS = tuple(Missing(kind, "hfsplus") for kind in get_args(StickKind))


def machine(*missing: Missing, page: int = 0, trouble: str = "") -> Callable[[Size], Model]:
    """A page of what is missing, and a sensor's trouble."""

    def made(size: Size) -> Model:
        model, _ = update(Model(SHOP, size), MachineLooked(missing))
        sensor = SensorSeen(trouble=verbatim(trouble)) if trouble else None
        return replace(model, over=MachineShown(page), sensor=sensor)

    return made


def noticed(model: Model) -> Model:
    """A log that was set aside, and damage in the one that follows."""
    aside = told("notice.set-aside", name="records.damaged-1.db", carried="212", lost="17, 30")
    return replace(model, notices=(aside,), log=LogLook(None, 211, "5"))


MACHINES: dict[str, Callable[[Size], Model]] = {
    "machine": machine(Missing("denied"), *LACKS),
    "machine with a sensor": machine(Missing("inputs"), trouble=UNPLUGGED),
    "machine more": machine(Missing("denied"), *LACKS, page=1),
    "machine sticks": machine(*STICKS),
    "machine sticks more": machine(*STICKS, page=1),
    "machine complete": machine(),
    "machine log": lambda size: noticed(machine()(size)),
    "machine looking": lambda size: replace(machine()(size), log=LogLook(share=0.4)),
}
