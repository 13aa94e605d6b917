"""The README's table of symptoms, each brought about: what the panel shows and what a shell says.

What no emulated machine can be made to do, a Raspberry Pi's word about its supply, is laid out as
that machine's kernel lays it out.
"""

import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from benchcalc.panel.state.missing import Missing
from tests.device import time_server
from tests.device.machine import TABLET
from tests.device.person import LACKS, lacking, restarted
from tests.device.steps import Rehearsal, new_run
from tests.device.stick_step import plug_in, pull

WAIT_S = 60.0

SUPPLY = """mkdir -p /run/supply/hwmon0; echo rpi_volt > /run/supply/hwmon0/name
echo 1 > /run/supply/hwmon0/in0_lcrit_alarm; mount --bind /run/supply /sys/class/hwmon"""

FILL = "runuser -u benchcalc -- fallocate --length %s /var/lib/benchcalc/filler"
FREE = "df --output=avail --block-size=1M /var/lib/benchcalc | tail -n 1"

NETWORK = """mkdir -p /run/systemd/network /run/systemd/timesyncd.conf.d
printf '[Match]\\nDriver=rndis_host cdc_ether cdc_subset\\n[Network]\\nDHCP=yes\\n' \
> /run/systemd/network/10-rehearsal.network
printf '[Time]\\nNTP=10.0.2.2\\n' > /run/systemd/timesyncd.conf.d/rehearsal.conf
systemctl start systemd-networkd; systemctl restart systemd-timesyncd"""
"""10.0.2.2 is this machine, as QEMU's user network shows it to the one inside."""

SYNCHRONISED = "/run/systemd/timesync/synchronized"


def symptoms(r: Rehearsal) -> None:
    """Every row of the table."""
    new_run(r)
    for symptom in SYMPTOMS:
        symptom(r)


def says(r: Rehearsal, command: str, *words: str, within_s: float = WAIT_S) -> str:
    """Until a command inside says all of these words; gives what it said."""
    until = r.machine.now_s() + within_s
    while not all(word in (said := r.person.asked(command)) for word in words):
        assert r.machine.now_s() < until, f"{command}: {said!r} lacks one of {words}"
        r.machine.pause(0.5)
    return said


@contextmanager
def panel_says(r: Rehearsal, name: str, *missing: Missing) -> Iterator[None]:
    """The panel says that this is missing, and no longer after the block."""
    r.person.wait_for(lacking(r.hands, missing))
    r.person.save(name)
    yield
    r.person.wait_for(lacking(r.hands))
    r.say(f"{name}: said by the panel, and gone with its cause")


def no_touch(r: Rehearsal) -> None:
    """The only thing to press keys with is pulled."""
    r.machine.unplug(TABLET)
    with panel_says(r, "no-touch", Missing("inputs"), *LACKS):
        r.say(says(r, "benchcalc device", "! touch", "nothing is plugged in"))
        r.machine.plug(TABLET, "usb-tablet")
    says(r, "benchcalc device", "touch   no touch screen; mice, keyboards and such: 1")


def low_voltage(r: Rehearsal) -> None:
    """The supply fell too low."""
    r.machine.shell(SUPPLY)
    with panel_says(r, "low-voltage", Missing("voltage"), *LACKS):
        says(r, "benchcalc device", "! supply", "take a stronger one")
        r.machine.shell("umount /sys/class/hwmon")


def full_disk(r: Rehearsal) -> None:
    """Little room, then none: what is typed stays, and is kept as soon as there is room."""
    free_mb = int(r.machine.shell(FREE))
    r.machine.shell(FILL % f"{free_mb - 80}M")
    says(r, "benchcalc device", "! disk")
    r.machine.pause(8)
    r.person.save("disk-nearly-full")
    r.machine.shell(f"{FILL % f'{free_mb}M'}; {FILL.replace('filler', 'rest') % '79M'}")
    r.machine.shell(
        "runuser -u benchcalc -- dd if=/dev/zero of=/var/lib/benchcalc/last 2>/dev/null"
    )
    r.say(f"free for the panel: {r.machine.shell(FREE).strip()} MB")
    for name in ("key 7", "key 3", "key 5"):
        r.person.press(name)
        r.hands.tap(name)
        r.machine.pause(3)
    r.person.save("disk-full")
    r.machine.shell("rm /var/lib/benchcalc/filler /var/lib/benchcalc/rest /var/lib/benchcalc/last")
    r.person.wait_for(r.hands)
    r.person.tap(*["back"] * 3)
    r.say("disk full: three digits typed meanwhile are there, and room is found again by itself")


def clock_not_set(r: Rehearsal) -> None:
    """A network is connected for a minute."""
    with time_server.answering():
        r.machine.qmp("netdev_add", type="user", id="net")
        r.machine.plug("network", "usb-net", netdev="net")
        r.machine.shell(NETWORK)
        says(r, f"ls {SYNCHRONISED} 2>/dev/null", SYNCHRONISED, within_s=3 * WAIT_S)
        r.person.wait_for(lacking(r.hands, ()))
        r.person.save("clock-set")
        says(r, "benchcalc device", "clock   set from outside")
    r.machine.unplug("network")
    r.machine.pause(2)
    r.machine.qmp("netdev_del", id="net")
    r.machine.shell(f"rm {SYNCHRONISED}; rm /run/systemd/network/10-rehearsal.network")
    r.person.wait_for(lacking(r.hands))
    r.say("clock not set: gone a network and a time server later")


def other_stick(r: Rehearsal) -> None:
    """A stick of a kind that is not taken."""
    image = r.machine.place / "other.img"
    image.unlink(missing_ok=True)
    subprocess.run(["mkfs.ext4", "-q", str(image), "16M"], check=True, stdout=subprocess.DEVNULL)
    plug_in(r, image)
    r.say(says(r, "journalctl --no-pager -u 'benchcalc-stick@*' | tail -n 5", "only FAT and exFAT"))
    with panel_says(r, "stick-not-taken", Missing("stick-other", "ext4"), *LACKS):
        says(r, "benchcalc device", "holds ext4")
        pull(r)


def no_panel(r: Rehearsal) -> None:
    """Stopped by hand: a login, or nothing, instead of the panel; started, it is where it was."""
    r.machine.shell("systemctl stop benchcalc")
    says(r, "systemctl status benchcalc --no-pager", "inactive")
    r.machine.pause(2)
    r.person.save("stopped-by-hand")
    r.machine.shell("systemctl start benchcalc --no-block")
    r.person.come_up(restarted(r.hands))
    r.say("stopped by hand: systemctl status says so; started again it is where it was")


def black_screen(r: Rehearsal) -> None:
    """No screen was on when the machine started."""
    r.machine.shut_down()
    r.machine.start(screens=())
    r.say(says(r, "benchcalc device", "! screen", "none connected", within_s=10 * WAIT_S))
    said = says(r, "journalctl --no-pager -u benchcalc | grep -v systemd | tail -n 3", "screen")
    r.say(said)
    r.machine.shut_down()
    r.machine.start()
    r.person.come_up(restarted(r.hands))


SYMPTOMS: tuple[Callable[[Rehearsal], None], ...] = (
    no_touch,
    low_voltage,
    full_disk,
    clock_not_set,
    other_stick,
    no_panel,
    black_screen,
)
