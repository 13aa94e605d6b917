"""``python -m tests.device``: the bench on an emulated machine, from package to power cut.

Takes root, mmdebstrap, QEMU, and most of an hour. Outside the suite.
"""

import argparse
import time
from collections.abc import Callable
from pathlib import Path

from tests.device import (
    figures,
    page_step,
    sensor_step,
    steps,
    stick_step,
    symptom_step,
    touch_step,
)
from tests.device.machine import Machine
from tests.device.painter import InstalledPainter
from tests.device.person import Person
from tests.device.root import build, install, make_disk

STEPS: dict[str, Callable[[steps.Rehearsal], None]] = {
    "first-frame": steps.first_frame,
    "job": steps.job,
    "stick": stick_step.stick,
    "pulled": stick_step.pulled_stick,
    "touch": touch_step.touch,
    "bend-writes": figures.bend_writes,
    "hang": steps.hang,
    "figures": figures.figures,
    "cuts": steps.power_cuts,
    "symptoms": symptom_step.symptoms,
    "page": page_step.page,
    "sensor": sensor_step.sensor,
}


def main() -> None:
    """Build what is not there yet, then the steps asked for, in order."""
    parser = argparse.ArgumentParser(prog="python -m tests.device", description=__doc__)
    parser.add_argument("step", nargs="*", help=f"{', '.join(STEPS)}; all when none is named")
    parser.add_argument("--arch", choices=("amd64", "arm64"), default="amd64")
    parser.add_argument("--suite", choices=("bookworm", "trixie"), default="bookworm")
    parser.add_argument("--place", type=Path, default=Path("/var/tmp/benchcalc-rehearsal"))
    parser.add_argument("--keep", action="store_true", help="take the root that was built before")
    parser.add_argument("--upgrade", action="store_true", help="install again into the root before")
    parser.add_argument("--cuts", type=int, default=20)
    given = parser.parse_args()
    place = given.place / f"{given.suite}-{given.arch}"
    place.mkdir(parents=True, exist_ok=True)
    log = (place / "rehearsal.log").open("a", buffering=1)

    def say(words: str) -> None:
        line = f"{time.strftime('%H:%M:%S')} {words}"
        print(line, flush=True)
        log.write(f"{line}\n")

    say(f"rehearsal of {given.suite} {given.arch}: {' '.join(given.step) or 'everything'}")
    if given.upgrade:
        install(place, say)
    elif given.keep:
        make_disk(place, say)
    else:
        build(place, given.arch, given.suite, say)
    machine, painter = (
        Machine(place, given.arch, given.suite, say),
        InstalledPainter(place / "root"),
    )
    person = Person(machine, painter, place / "shots")
    rehearsal = steps.Rehearsal(machine, person, say, cuts=given.cuts)
    try:
        for name in given.step or STEPS:
            say(f"--- {name}")
            STEPS[name](rehearsal)
        machine.shut_down()
        say("done")
    finally:
        painter.close()
        machine.end()


main()
