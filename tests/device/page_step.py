"""The README's page on a bench of its own, command by command, on a machine that runs.

The folder comes on a stick, with what is not Debian's in a release's folder, since the machine
inside reaches no package index.
"""

import subprocess
from dataclasses import replace

import numpy as np

from benchcalc.panel.state.messages import SticksSeen
from benchcalc.panel.state.model import Model
from benchcalc.report.told import told
from tests.device.machine import SIZE
from tests.device.person import lacking, restarted, twin
from tests.device.root import copy_tree, make_release
from tests.device.steps import Rehearsal, begin_anew, edit, first_bend, new_run, to_first_pull
from tests.device.stick_step import PLACE, SIZE_KB, make_stick, plug_in, pull
from tests.device.symptom_step import says
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP

LONG_S = 900.0
HOME = "/root/benchcalc"
INSTALL = f"{HOME}/systemd/install"
FROM = f"{INSTALL} --from {HOME}/.release 2>&1"

PROFILE = f"""{{ sed -n '/^nmea-pitch:/,/^$/p' {HOME}/assets/sensors.yaml
echo '  port: /dev/benchcalc-sensor'; }} | sed '/^$/d' > /etc/benchcalc/sensors.yaml"""

LEFT = """find /opt /usr/local /run/benchcalc /etc/systemd /etc/udev /etc/tmpfiles.d \
/etc/sysusers.d -name '*benchcalc*' ! -name benchcalc.service.d 2>/dev/null"""
"""All but what ``systemctl edit`` wrote, which is a setting of the shop's."""

KEPT = "sha256sum /var/lib/benchcalc/records.db; ls /etc/benchcalc"
WAV_HEAD = 44
"""Bytes before the samples. Source: RIFF WAVE, Microsoft and IBM 1991, chapter 3."""


def page(r: Rehearsal) -> None:
    """Brought by stick, installed over what runs, set, taken away, installed again."""
    new_run(r)
    r.person.tap("key 4")
    _bring(r)
    _install(r, "over what runs")
    _profile(r)
    _settings(r)
    _take_away(r)


def _bring(r: Rehearsal) -> None:
    """The folder by a stick, as the README has it."""
    tree, image = r.machine.place / "tree", r.machine.place / "tree.img"
    subprocess.run(["rm", "-rf", str(tree)], check=True)
    copy_tree(tree / "benchcalc")
    make_release(tree / "benchcalc/.release")
    make_stick(image)
    copying = ["mcopy", "-s", "-i", str(image), str(tree / "benchcalc"), "::/"]
    subprocess.run(copying, check=True)
    plug_in(r, image)
    says(r, f"ls {PLACE} 2>/dev/null", "benchcalc")
    r.machine.shell(f"rm -rf {HOME}; cp -r {PLACE}/benchcalc {HOME}", LONG_S)
    pull(r)
    r.say(f"brought by a stick of {SIZE_KB // 1024} MB: {r.machine.shell(f'du -sh {HOME}')}")


def _install(r: Rehearsal, how: str) -> None:
    """One command; the panel is back on its step, and the command says what it found."""
    since = r.machine.now_s()
    said = r.machine.shell(FROM, LONG_S)
    r.say(f"installed {how} in {r.machine.now_s() - since:.0f} s:\n{said}")
    assert "version: benchcalc" in said and "screen" in said and "touch" in said
    r.person.come_up(restarted(r.hands))


def _profile(r: Rehearsal) -> None:
    """A sensor's profile copied, given its port, taken by commands; by the panel in ``sensor``."""
    assert "nmea-pitch" in r.machine.shell("benchcalc sensor --profiles")
    r.machine.shell(f"{PROFILE}; systemctl restart benchcalc")
    said = says(r, "benchcalc sensor --profiles", "/dev/benchcalc-sensor")
    r.say(next(line for line in said.splitlines() if "/dev/benchcalc-sensor" in line))
    r.machine.pause(15)
    r.person.save("profile-without-its-sensor")
    r.machine.shell("rm /etc/benchcalc/sensors.yaml")
    begin_anew(r)


def heard(r: Rehearsal) -> int:
    """Samples that are not silent, of all that the sound card was given so far."""
    told = (r.machine.place / "heard.wav").read_bytes()[WAV_HEAD:]
    return int(np.count_nonzero(np.frombuffer(told[: len(told) // 2 * 2], np.int16)))


def _settings(r: Rehearsal) -> None:
    """Tones, heard and switched off; other folders; the second graphics card."""
    before = heard(r)
    taps = to_first_pull(r)
    first_bend(r, taps)
    r.machine.pause(3)
    sounded = heard(r) - before
    r.say(f"tones: {sounded} samples sounded while a bend was measured twice")
    assert sounded
    edit(r, "Environment=BENCHCALC_SOUND=off")
    begin_anew(r)
    before = heard(r)
    first_bend(r, to_first_pull(r))
    r.machine.pause(3)
    assert heard(r) == before, "a tone was heard"
    _other_folders(r)
    _second_screen(r)


def _other_folders(r: Rehearsal) -> None:
    """Records, profiles and sticks in folders of one's own."""
    folders = "/srv/state /srv/profiles /srv/sticks/RACK"
    r.machine.shell(f"mkdir -p {folders}; chown benchcalc: {folders}")
    r.machine.shell("printf 'bench: 1\\n' > /srv/profiles/benders.yaml")
    edit(
        r,
        "Environment=BENCHCALC_STATE=/srv/state BENCHCALC_CONFIG=/srv/profiles",
        "Environment=BENCHCALC_STICKS=/srv/sticks",
        "ReadWritePaths=/srv/state /srv/sticks",
    )
    r.machine.shell("systemctl restart benchcalc")
    says(r, "ls /srv/state 2>/dev/null", "records.db", within_s=120)
    journal = "journalctl --no-pager --output=cat --unit=benchcalc | grep '^/srv' | tail -n 1"
    problem = says(r, journal, "/srv/profiles/benders.yaml").strip()
    there = lacking(Hands(Model(SHOP, SIZE, told=r.hands.model.told)))
    there.model = replace(there.model, trouble=(told("trouble.profiles", problem=problem),))
    r.person.wait_for(there.hear(SticksSeen(("/srv/sticks/RACK",))), within_s=120)
    r.person.save("other-folders")
    r.say(f"records, profiles and sticks in other folders: {problem}")
    edit(r)
    begin_anew(r)


def _second_screen(r: Rehearsal) -> None:
    """Two graphics cards, and the panel told to take the second; no size is told for sure."""
    edit(r, "Environment=SDL_KMSDRM_DEVICE_INDEX=1")
    r.machine.shut_down()
    r.machine.start(screens=("screen", "second"))
    alone = restarted(r.hands)
    there = twin(alone)
    there.model = replace(alone.model, told=None)
    r.person.come_up(there)
    r.person.save("second-screen")
    r.say("on the second of two graphics cards")
    edit(r)
    r.machine.shut_down()
    r.machine.start()
    r.person.come_up(alone)


def _take_away(r: Rehearsal) -> None:
    """Uninstalled, what was recorded and set is left; installed again, it goes on with it."""
    r.machine.shell("systemctl stop benchcalc; touch /etc/benchcalc/ours.yaml")
    before = r.machine.shell(KEPT)
    r.say(r.machine.shell(f"{INSTALL} --uninstall 2>&1"))
    assert r.machine.shell(LEFT) == "", "something of the program is still there"
    assert r.machine.shell(KEPT) == before, "records or settings were changed"
    r.machine.shell("rm /etc/benchcalc/ours.yaml")
    _install(r, "again, after --uninstall")
