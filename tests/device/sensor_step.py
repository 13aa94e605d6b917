"""A piece whose bends the angle sensor confirms; its adapter is pulled and plugged meanwhile.

The sensor is a simulated bench on a pseudo-terminal of this machine, which the emulated one sees as
a USB serial adapter. The live angle is never twice the same, so what is on the screen is compared
only where none is shown; elsewhere the panel's own saved work says how far it has come.
"""

import json

from benchcalc.panel.state.in_hand import piece_in_hand
from benchcalc.panel.state.making.sensing import expectation
from benchcalc.panel.state.model import Work, work_of
from benchcalc.shell.simulated_bench import Flaws, Springiness
from benchcalc.shell.simulator import Simulator, simulated_profile
from tests.device.steps import PLANNED, Rehearsal, new_run
from tests.device.symptom_step import says
from tests.panel.journeys import SHORT_JOB

TRUE = Springiness(0.35, 0.021)
"""Invented: what the simulated tube springs back."""

PROFILE = """bench-sensor:
  speaks: ascii
  prefix: "A="
  port: /dev/benchcalc-sensor
  rides: tube
  sees: encoder
  zero: 0 deg
  resolution: 0.01 deg
  noise: 0.05 deg
  lag: 0.05 s
  source: "invented, the rehearsal's own"
"""

WORK = """cp /var/lib/benchcalc/records.db* /tmp/ && python3 -c "
import sqlite3
db = sqlite3.connect('/tmp/records.db')
print('WORK', db.execute('SELECT body FROM work WHERE slot = \\'panel\\'').fetchone()[0])
"; rm -f /tmp/records.db*"""
"""Looks at a copy: the panel's file is for the panel alone."""

TO_THE_PIECE = SHORT_JOB[PLANNED : SHORT_JOB.index("make") + 1]

PULL_S, MOST_ROUNDS = 60.0, 60


def sensor(r: Rehearsal) -> None:
    """A piece made by taps and confirmed by the sensor, with its plug pulled under way."""
    new_run(r)
    r.person.tap(*TO_THE_PIECE)
    r.machine.shell(f"cat > /etc/benchcalc/sensors.yaml <<'X'\n{PROFILE}X")
    r.machine.shell("systemctl restart benchcalc")
    r.machine.pause(20)
    r.person.save("sensor-not-there")
    with Simulator(simulated_profile(), TRUE, Flaws(), rate_hz=10.0) as simulator:
        _plug(r, simulator)
        found = r.machine.shell("sleep 2; ls -l /dev/benchcalc-sensor*")
        r.say(found)
        assert "ttyUSB" in found
        _make(r, simulator)
        _from_a_shell(r)
    _unplug(r)
    r.machine.qmp("chardev-remove", id="wire")


def _plug(r: Rehearsal, simulator: Simulator) -> None:
    wire = {"type": "serial", "data": {"device": simulator.port}}
    r.machine.qmp("chardev-add", id="wire", backend=wire)
    _plug_in(r)


def _plug_in(r: Rehearsal) -> None:
    r.machine.plug("adapter", "usb-serial", chardev="wire")


def _unplug(r: Rehearsal) -> None:
    r.machine.unplug("adapter")
    r.machine.pause(1)


def work_inside(r: Rehearsal) -> Work:
    """What the panel has kept, from a copy of its file."""
    said = r.machine.shell(WORK)
    return work_of(json.loads(said.partition("WORK ")[2].partition("\n")[0]))


def _make(r: Rehearsal, simulator: Simulator) -> None:
    pulls, unplugged = 0, False
    for _ in range(MOST_ROUNDS):
        work = work_inside(r)
        r.hands.model = r.hands.model.with_work(**{n: getattr(work, n) for n in work.__slots__})
        making, step = work.making, r.hands.shown
        if work.screen == "kept":
            r.person.save("sensor-stored")
            r.say(f"stored after {pulls} pulls, each confirmed by the sensor")
            assert pulls >= 2
            return
        if making is not None and step in ("pull", "check"):
            if not unplugged:
                _lose_and_find(r)
                unplugged = True
            pulls += 1
            _pull(r, simulator, work)
        else:
            simulator.new_bend() if step == "seat" else None
            r.person.press(way_on(r))
            r.machine.pause(1.5)
    raise AssertionError("the piece was not stored")


def _from_a_shell(r: Rehearsal) -> None:
    """What the README says of a silent sensor, and of two adapters."""
    r.machine.shell("systemctl stop benchcalc")
    listen = "benchcalc sensor /dev/benchcalc-sensor --seconds 3 --profile"
    r.say(says(r, f"{listen} bench-sensor 2>&1 | tail -n 3", "readings"))
    r.say(r.machine.shell(f"{listen} nmea-pitch 2>&1 | tail -n 3"))
    r.machine.qmp("chardev-add", id="other", backend={"type": "null", "data": {}})
    r.machine.plug("second", "usb-serial", chardev="other", **{"always-plugged": True})
    says(r, "ls /dev/benchcalc-sensor-* | wc -l", "2")
    r.say(r.machine.shell("benchcalc device | grep sensor"))
    r.machine.unplug("second")


def way_on(r: Rehearsal) -> str:
    """The key that goes on, whatever the screen."""
    screen = r.hands.work.screen
    if screen in ("plan", "bench"):
        return "make" if screen == "plan" else "plan"
    names = [t.name for t in r.hands.scene.targets]
    return next(n for n in ("next", "keep", "answer leave") if n in names)


def _lose_and_find(r: Rehearsal) -> None:
    _unplug(r)
    r.machine.pause(4)
    r.person.save("sensor-unplugged")
    _plug_in(r)
    r.machine.pause(8)
    r.person.save("sensor-plugged-again")


def _pull(r: Rehearsal, simulator: Simulator, work: Work) -> None:
    """Pull to what the screen says, let go, and wait until the panel has judged it."""
    sheet, making = piece_in_hand(r.hands.model), work.making
    assert sheet is not None and making is not None
    to_deg = expectation(making, sheet).pull_to_deg
    simulator.pull_to(to_deg)
    r.machine.pause(1.5)
    r.person.save("sensor-pulling")
    until = r.machine.now_s() + PULL_S
    while (after := work_inside(r)).making == making:
        assert r.machine.now_s() < until, f"a pull to {to_deg} was not judged"
    assert after.making is not None
    r.person.save("sensor-judged")
    last = after.making.made[-1].pulls[-1]
    r.say(f"pulled to {to_deg:.1f}: {last.by} saw {last.pulled_to_deg} and {last.released_deg}")
    assert last.by == "sensor"
