"""A touch screen that is plugged in: fingers, not a pointer, do the tapping.

QEMU 7.2 has none to plug, so the kernel inside is asked for one (uinput): the panel, SDL and udev
see a multi-touch screen as any other.
"""

from tests.device.machine import SIZE
from tests.device.steps import Rehearsal

# Source: include/uapi/linux/uinput.h and input-event-codes.h of the Linux kernel.
SCREEN = """
import fcntl, os, struct, time
UI, ABS, WIDTH, HEIGHT = 0x5500, 3, %d, %d
fd = os.open("/dev/uinput", os.O_WRONLY)
def bit(request, value): fcntl.ioctl(fd, 0x40040000 | UI | request, value)
bit(100, 1); bit(100, ABS); bit(101, 0x14A)  # EV_KEY, EV_ABS; BTN_TOUCH
bit(110, 1)  # INPUT_PROP_DIRECT
top = {0: WIDTH - 1, 1: HEIGHT - 1, 0x2F: 9, 0x35: WIDTH - 1, 0x36: HEIGHT - 1, 0x39: 65535}
for code, most in top.items():
    bit(103, code)
    info = struct.pack("HHiiiiii", code, 0, 0, 0, most, 0, 0, 0)
    fcntl.ioctl(fd, 0x401C5504, info)  # UI_ABS_SETUP
setup = struct.pack("HHHH80sI", 3, 0x1209, 1, 1, b"rehearsal touch screen", 0)
fcntl.ioctl(fd, 0x405C5503, setup)  # UI_DEV_SETUP
fcntl.ioctl(fd, 0x5501)  # UI_DEV_CREATE
def send(*events):
    for kind, code, value in (*events, (0, 0, 0)):
        os.write(fd, struct.pack("llHHi", 0, 0, kind, code, value))
finger = 0
for line in open("/run/fingers"):
    if line.strip() == "end": break
    x, y = map(int, line.split())
    finger += 1
    send((3, 0x2F, 0), (3, 0x39, finger), (3, 0x35, x), (3, 0x36, y), (1, 0x14A, 1))
    time.sleep(0.15)
    send((3, 0x39, -1), (1, 0x14A, 0))
"""


TYPED = ("set lot", "key A", "key 7", "next")

WAIT_S = 60.0

HELD = """p=$(systemctl show benchcalc --property MainPID --value)
t=$(readlink -f /dev/benchcalc-touch) && ls -l /proc/$p/fd | grep -q "$t$" && echo held"""

LOOK = "ls -l /dev/benchcalc-touch; udevadm info /dev/benchcalc-touch | grep ID_INPUT"


def touch(r: Rehearsal) -> None:
    """The tablet goes, the panel says so; a touch screen comes, and a finger types on it."""
    script = SCREEN % SIZE
    r.machine.shell(f"modprobe uinput; mkfifo /run/fingers; cat > /run/screen.py <<'X'\n{script}X")
    r.machine.shell("python3 /run/screen.py > /run/screen.said 2>&1 &\nexec 9> /run/fingers")
    _until_held(r)
    found = r.machine.shell(f"cat /run/screen.said; {LOOK}")
    r.say(found)
    assert "ID_INPUT_TOUCHSCREEN=1" in found
    for name in TYPED:
        r.person.turn_to(name)
        target = r.hands.scene.target(name)
        assert target is not None, f"no {name!r} on:\n{r.hands.text}"
        x, y = (int(v) for v in target.box.centre)
        r.machine.shell(f"echo {x} {y} >&9")
        r.hands.tap(name)
        r.person.wait_for(r.hands)
    r.person.save("touched")
    r.say("four taps by finger, each taken once")
    r.machine.shell("echo end >&9; exec 9>&-")


def _until_held(r: Rehearsal) -> None:
    """Until the panel holds the new device; a slow machine's udev takes its time to name it."""
    until = r.machine.now_s() + WAIT_S
    while r.machine.shell(HELD) != "held":
        assert r.machine.now_s() < until, "the panel did not open the touch screen"
        r.machine.pause(0.5)
    r.machine.pause(1.0)
