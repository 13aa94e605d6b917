"""An emulated machine, worked from outside: what it shows, what is tapped and plugged, its power.

Its disk is an overlay that is thrown away; what stays is worked out from the log of its writes, so
that a power cut loses what was not flushed (see ``write_log``).
"""

import json
import os
import re
import socket
import subprocess
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tests.device.write_log import Cut, cut

Pixels = NDArray[np.uint8]
SIZE = (800, 480)
SCREEN, TABLET = "screen", "tablet"
SHELL_S = 60.0
DUMPS = 50
END, PROMPT = "rehearsal-said", "bash-5.2# "


class Kind(NamedTuple):
    """How a machine of an architecture is emulated."""

    program: str
    options: tuple[str, ...]
    console: str


# No keyboard but what is plugged in, as on a Raspberry Pi. Without AVX: with it, QEMU 7.2's
# emulation let the screen's software renderer crash (SIGSEGV).
KINDS = {
    "amd64": Kind(
        "qemu-system-x86_64",
        (
            "-machine", "q35,i8042=off", "-vga", "none",
            "-cpu", "max,avx=off,avx2=off,f16c=off,fma=off",
        ),
        "ttyS0",
    ),
    "arm64": Kind(
        "qemu-system-aarch64",
        ("-machine", "virt", "-cpu", "cortex-a72"),
        "ttyAMA0",
    ),
}  # fmt: skip

TABLET_MOST = 0x7FFF
"""The largest number a tablet of QEMU's tells, at the right edge and at the foot."""

TABLETS = {"bookworm": SIZE, "trixie": (TABLET_MOST, TABLET_MOST)}
"""What a suite's SDL takes for the right edge and the foot.

Debian 12's takes a tablet's numbers for pixels as they are, Debian 13's scales them to the screen.
"""

SHARED = ("-accel", "tcg,thread=multi", "-smp", "2")
COUNTED = ("-accel", "tcg,thread=single", "-smp", "1", "-icount", "shift=0,sleep=on")


def picture(data: bytes) -> Pixels | None:
    """A binary PPM's pixels, None when it is not whole.

    Source: https://netpbm.sourceforge.net/doc/ppm.html
    """
    head = re.match(rb"P6\s+(\d+)\s+(\d+)\s+255\s", data)
    if head is None:
        return None
    width, height = int(head[1]), int(head[2])
    raw = data[head.end() :]
    if len(raw) != height * width * 3:
        return None
    return np.frombuffer(raw, np.uint8).reshape(height, width, 3)


class Machine:
    """One machine in a folder that holds ``disk.img``, ``kernel`` and ``initrd``."""

    def __init__(self, place: Path, arch: str, suite: str, say: Callable[[str], None]) -> None:
        self.place, self.kind, self.say = place, KINDS[arch], say
        self._tablet = TABLETS[suite]
        self.started_s = 0.0
        self._process: subprocess.Popen[bytes] | None = None
        self._names = 0
        self._at: tuple[int, ...] = (0, 0)
        self._screen = SCREEN

    def start(self, counted: bool = False, screens: Sequence[str] = (SCREEN,)) -> None:
        """Switch it on, with these screens connected, by name; the last of them is looked at.

        Its clock follows that of the host, and with it how busy the host is; but ``counted`` gives
        it one processor that takes a nanosecond for an instruction, whatever the host does.
        """
        for name in ("over.qcow2", "writes.log", "qmp", "shell"):
            (self.place / name).unlink(missing_ok=True)
        self._run(
            "qemu-img", "create", "-q", "-f", "qcow2", "-F", "raw", "-b", "disk.img", "over.qcow2"
        )
        (self.place / "writes.log").touch()
        self.started_s = self.now_s()
        self._screen = screens[-1] if screens else SCREEN
        errors = (self.place / "qemu.log").open("ab")
        accelerator = COUNTED if counted else SHARED
        command = [self.kind.program, *self.kind.options, *accelerator, *self._devices(screens)]
        self._process = subprocess.Popen(
            command, cwd=self.place, stdin=subprocess.DEVNULL, stdout=errors, stderr=errors
        )
        errors.close()
        self._qmp, self._shell = self._connect("qmp"), self._connect("shell")
        self._at = (0, 0)
        self._answers = self._qmp.makefile("r", encoding="utf-8")
        self._answers.readline()
        self.qmp("qmp_capabilities")

    def pause(self, span_s: float) -> None:
        """Let it run for a while."""
        time.sleep(span_s)

    def now_s(self) -> float:
        """The time that a wait for it goes by, which is the host's."""
        return time.monotonic()

    def _devices(self, screens: Sequence[str]) -> list[str]:
        disk = {
            "driver": "blklogwrites",
            "node-name": "disk",
            "log-sector-size": 512,
            "log": {"driver": "file", "filename": "writes.log"},
            "file": {"driver": "qcow2", "file": {"driver": "file", "filename": "over.qcow2"}},
        }
        append = f"root=/dev/vda rw console={self.kind.console} systemd.show_status=0 quiet"
        size = "xres={},yres={}".format(*SIZE)
        cards = [f"virtio-gpu-pci,id={name},{size}" for name in screens]
        return [
            "-nodefaults", "-display", "none", "-m", "1024", "-no-reboot",
            *(word for card in cards for word in ("-device", card)),
            "-device", "qemu-xhci,id=usb,p2=8,p3=8", "-device", f"usb-tablet,id={TABLET},bus=usb.0",
            "-audiodev", "wav,id=heard,path=heard.wav",
            "-device", "usb-audio,bus=usb.0,audiodev=heard",
            "-kernel", "kernel", "-initrd", "initrd", "-append", append,
            "-blockdev", json.dumps(disk), "-device", "virtio-blk-pci,drive=disk",
            "-serial", "file:serial.log",
            "-chardev", "socket,id=shell,path=shell,server=on,wait=off",
            "-device", "virtio-serial-pci", "-device", "virtconsole,chardev=shell",
            "-qmp", "unix:qmp,server=on,wait=off",
        ]  # fmt: skip

    def _connect(self, name: str) -> socket.socket:
        ear = socket.socket(socket.AF_UNIX)
        until = time.monotonic() + 10
        here = Path.cwd()
        os.chdir(self.place)  # a socket's path may not be long
        try:
            while True:
                try:
                    ear.connect(name)
                    return ear
                except OSError:
                    if time.monotonic() > until or self._ended():
                        raise
                    time.sleep(0.05)
        finally:
            os.chdir(here)

    def _ended(self) -> bool:
        return self._process is None or self._process.poll() is not None

    def _run(self, *words: str) -> None:
        subprocess.run(words, cwd=self.place, check=True)

    def pull_plug(self) -> None:
        """The power goes: the process ends where it stands."""
        assert self._process is not None
        self._process.kill()
        self._process.wait()
        self._qmp.close()
        self._shell.close()

    def end(self) -> None:
        """Whatever state it is in: nothing of it runs on."""
        if self._process is not None and self._process.poll() is None:
            self._process.kill()
            self._process.wait()

    def settle_disk(self, dice: Random) -> Cut:
        """After the power went: bring the disk to what the cut left of it."""
        return cut(self.place / "writes.log", self.place / "disk.img", dice)

    def shut_down(self) -> None:
        """Switched off as it should be, and all that it wrote kept."""
        with suppress(OSError):
            self._shell.sendall(b"systemctl poweroff\n")
        assert self._process is not None
        self._process.wait(120)
        self._qmp.close()
        self._shell.close()
        self.settle_disk(Random(0))

    def qmp(self, command: str, **arguments: Any) -> Any:
        """One order to the emulator; raises RuntimeError when it refuses."""
        order = {"execute": command, "arguments": arguments}
        self._qmp.sendall(json.dumps(order).encode() + b"\n")
        while True:
            answer = json.loads(self._answers.readline())
            if "error" in answer:
                raise RuntimeError(f"{command}: {answer['error']['desc']}")
            if "return" in answer:
                return answer["return"]

    def plug(self, name: str, driver: str, **more: Any) -> None:
        """Plug something into the USB hub, under a name to pull it by."""
        self.qmp("device_add", driver=driver, id=name, bus="usb.0", **more)
        if name == TABLET:
            self._at = (0, 0)

    def unplug(self, name: str) -> None:
        """Pull it."""
        self.qmp("device_del", id=name)

    def pixels(self) -> Pixels:
        """What the screen shows now.

        A dump that is not whole, as while the screen is set up anew, is taken again.
        """
        dump = self.place / "dump.ppm"
        for _ in range(DUMPS):
            self.qmp("screendump", filename=str(dump), device=self._screen)
            found = picture(dump.read_bytes())
            if found is not None:
                return found
            self.pause(0.1)
        raise RuntimeError(f"{DUMPS} screen dumps one after another were cut short")

    def touch(self, x: float, y: float, down: bool) -> None:
        """The tablet's pointer goes to a pixel, then its button down or up.

        SDL takes a number that stayed the same, which the kernel does not repeat, for 0. So none
        stays.
        """
        if down:
            spans = zip((x, y), self._tablet, SIZE, strict=True)
            there = tuple(int(pixel * most / side) for pixel, most, side in spans)
            self._at = tuple(n + (n == last) for n, last in zip(there, self._at, strict=True))
        axes = zip("xy", self._at, strict=True)
        at = [{"type": "abs", "data": {"axis": axis, "value": value}} for axis, value in axes]
        self.qmp("input-send-event", events=at)
        button = {"type": "btn", "data": {"down": down, "button": "left"}}
        self.qmp("input-send-event", events=[button])

    def shell(self, command: str, within_s: float = SHELL_S) -> str:
        """Run a command as root inside and give what it printed."""
        self._names += 1
        mark = f"{END}-{self._names}"
        self._shell.settimeout(within_s)
        self._shell.sendall(f"{command}\nprintf '\\n%s\\n' {mark[:5]}''{mark[5:]}\n".encode())
        said = b""
        while f"\n{mark}".encode() not in said.replace(b"\r", b""):
            said += self._shell.recv(65536)
        text = said.decode(errors="replace").replace("\r", "").replace(PROMPT, "")
        return text.partition(f"\n{mark}")[0].strip("\n")
