"""A USB stick that appears, is copied to, let go and pulled; and one that is pulled under way."""

import json
import subprocess
from pathlib import Path

from benchcalc.panel.state.messages import SticksSeen
from benchcalc.panel.update import update
from benchcalc.runlog.copies.verify import verify
from tests.device.steps import Rehearsal

LABEL, SIZE_KB = "RACK", 65536
PLACE = f"/run/benchcalc/sticks/{LABEL}"
WAIT_S = 180.0


def make_stick(path: Path) -> None:
    """A stick as it is sold: FAT, all in one."""
    path.unlink(missing_ok=True)
    command = ["mkfs.vfat", "-C", "-n", LABEL, str(path), str(SIZE_KB)]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)


def plug_in(r: Rehearsal, image: Path) -> None:
    """Put a stick in."""
    file = {"driver": "file", "filename": str(image)}
    r.machine.qmp("blockdev-add", **{"driver": "raw", "node-name": "stick", "file": file})
    r.machine.plug("usbstick", "usb-storage", drive="stick")


def pull(r: Rehearsal) -> None:
    """Take it out, used or not."""
    r.machine.unplug("usbstick")
    for _ in range(50):
        try:
            r.machine.qmp("blockdev-del", **{"node-name": "stick"})
            return
        except RuntimeError:
            r.machine.pause(0.1)  # it is not gone yet
    raise AssertionError("the stick cannot be taken out")


def _until(r: Rehearsal, command: str, wanted: str) -> float:
    """Until a command inside says this; gives how long it took."""
    since = r.machine.now_s()
    while (said := r.machine.shell(command).strip()) != wanted:
        assert r.machine.now_s() < since + WAIT_S, f"{command}: {said!r}, not {wanted!r}"
        r.machine.pause(0.2)
    return r.machine.now_s() - since


def _open_copy_screen(r: Rehearsal) -> None:
    """From the bench screen, with a stick in, to where the copy is begun."""
    r.hands.model, _ = update(r.hands.model, SticksSeen((PLACE,)))
    r.person.wait_for(r.hands)
    r.person.save("stick-in")
    r.person.turn_to("copy")
    r.person.press("copy")
    r.hands.tap("copy")
    r.machine.pause(3)
    r.person.save("copy-screen")


def stick(r: Rehearsal) -> None:
    """All records copied by two presses; verified here, from the stick's own image."""
    if r.hands.work.screen != "bench":
        r.person.tap("bench")
    image = r.machine.place / "stick.img"
    make_stick(image)
    plug_in(r, image)
    took = _until(r, f"findmnt -no FSTYPE {PLACE}", "vfat")
    options = r.machine.shell(f"findmnt -no OPTIONS {PLACE} | cat").strip()
    r.say(f"the stick is at {PLACE} after {took:.1f} s: {options}")
    assert all(word in options.split(",") for word in ("nosuid", "nodev", "noexec", "flush"))
    _open_copy_screen(r)
    r.person.press("start")
    took = _until(r, f"test -e {PLACE} && echo there || echo gone", "gone")
    r.machine.pause(3)
    r.person.save("copied")
    r.say(f"copied and let go after {took:.1f} s")
    pull(r)
    _verify(r, image)
    r.hands.copied = len(r.hands.log)
    _back(r)


def _back(r: Rehearsal) -> None:
    """To the bench screen, as if nothing had been."""
    r.person.press("bench")
    r.hands.tap("bench")
    r.hands.model, _ = update(r.hands.model, SticksSeen(()))
    r.person.wait_for(r.hands)


def _read_out(image: Path, to: Path) -> Path:
    """The files of a stick's image, without mounting it."""
    subprocess.run(["rm", "-rf", str(to)], check=True)
    to.mkdir()
    subprocess.run(["mcopy", "-s", "-n", "-i", str(image), "::/", str(to)], check=True)
    return to


def _verify(r: Rehearsal, image: Path) -> None:
    copies = _read_out(image, r.machine.place / "stick")
    (folder,) = copies.iterdir()
    verdict = verify(folder)
    lines = (folder / "records.jsonl").read_text().splitlines()
    pieces = [json.loads(line)["body"] for line in lines]
    mine = json.loads(json.dumps([kept.body for kept in r.hands.log]))
    r.say(f"{folder.name}: {verdict.verdict}, {len(pieces)} records; {len(mine)} were made")
    assert verdict.verdict == "whole"
    assert [body for body in pieces if body in mine] == mine, "the stick lacks a record"


def pulled_stick(r: Rehearsal) -> None:
    """Pulled while it is copied to: the panel goes on, and no half copy passes for a whole one."""
    image = r.machine.place / "stick2.img"
    make_stick(image)
    plug_in(r, image)
    _until(r, f"findmnt -no FSTYPE {PLACE}", "vfat")
    _open_copy_screen(r)
    r.person.press("what")
    r.hands.tap("what")
    r.machine.pause(1)
    r.person.press("start")
    r.machine.pause(r.dice.uniform(0.0, 0.6))
    pull(r)
    _until(r, f"test -e {PLACE} && echo there || echo gone", "gone")
    r.machine.pause(4)
    r.person.save("pulled")
    found = [f.name for f in _read_out(image, r.machine.place / "stick2").iterdir()]
    verdicts = [verify(r.machine.place / "stick2" / name).verdict for name in found]
    r.say(f"pulled under way: on the stick {list(zip(found, verdicts, strict=True))}")
    _back(r)
