"""A bench in a container: Debian's own systemd as the first process, without an emulated machine.

Seconds instead of minutes, for what needs no screen and no USB: installs, upgrades, the service.
The panel runs on SDL's dummy driver there, so it draws where nobody sees it. Takes root.
"""

import subprocess
import time
from pathlib import Path

from tests.device.root import run_inside, unpack

PACKAGES = (
    "python3-pygame", "python3-serial", "python3-yaml", "libegl1", "libgbm1", "libgles2",
    "libgl1-mesa-dri",
)  # fmt: skip

BEGIN = r"""
cd {place}
mount --make-rprivate /
mount -t overlay overlay -o lowerdir={root},upperdir=up,workdir=work m
mount -t proc proc m/proc
mount -t sysfs sysfs m/sys
mount -t cgroup2 cgroup2 m/sys/fs/cgroup
mount -t tmpfs tmpfs m/run
mount -t tmpfs tmpfs m/tmp
mount -t tmpfs -o mode=755 tmpfs m/dev
mkdir m/dev/pts m/dev/shm m/dev/input
for node in null:1:3 zero:1:5 full:1:7 random:1:8 urandom:1:9 tty:5:0; do
    IFS=: read -r name major minor <<<$node
    mknod -m 666 m/dev/$name c $major $minor
done
mount -t devpts -o newinstance,ptmxmode=666,mode=620,gid=5 devpts m/dev/pts
ln -s pts/ptmx m/dev/ptmx
ln -s /proc/self/fd m/dev/fd
exec env -i container=lxc TERM=dumb PATH=/usr/sbin:/usr/bin chroot m /lib/systemd/systemd
"""

ENVIRONMENT = (
    "env", "-i", "PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin", "LC_ALL=C.UTF-8",
    "HOME=/root", "TERM=dumb",
)  # fmt: skip

UNSEEN = """[Service]
Environment=SDL_VIDEODRIVER=dummy SDL_AUDIODRIVER=dummy
StandardInput=null
TTYReset=no
TTYVHangup=no
"""
"""As ``systemctl edit`` would set it: no console is there to draw on."""

WITHIN_S = 300.0


def prepared_root(root: Path, base: Path, suite: str) -> None:
    """Debian with the packages of a bench, and nothing of ours."""
    if root.exists():
        return
    making = root.with_name(f"{root.name}.making")
    unpack(making, base, suite)
    packages = " ".join(PACKAGES)
    fetch = f"apt-get update -qq && apt-get install -yqq --no-install-recommends {packages}"
    run_inside(making, "env", "DEBIAN_FRONTEND=noninteractive", "sh", "-c", fetch)
    drop_in = making / "etc/systemd/system/benchcalc.service.d/unseen.conf"
    drop_in.parent.mkdir(parents=True)
    drop_in.write_text(UNSEEN)
    making.rename(root)


class Contained:
    """What is written over ``root`` lies in ``place``; cut off and started again, it goes on."""

    def __init__(self, root: Path, place: Path) -> None:
        self._root, self.place = root, place
        for name in ("up", "work", "m"):
            (place / name).mkdir(parents=True, exist_ok=True)
        self._init: subprocess.Popen[bytes] | None = None
        self._first = ""

    def start(self) -> None:
        """Until systemd says that it is up."""
        words = BEGIN.format(place=self.place, root=self._root)
        apart = ["unshare", "-m", "-p", "-f", "-u", "-i", "-C", "--kill-child"]
        self._init = subprocess.Popen(
            [*apart, "bash", "-ec", words], stdin=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        children = Path(f"/proc/{self._init.pid}/task/{self._init.pid}/children")
        until = time.monotonic() + WITHIN_S
        while not (first := children.read_text().split()):
            assert time.monotonic() < until, "no first process"
            time.sleep(0.05)
        self._first = first[0]
        self.until("systemctl is-system-running --wait; true", "running", "degraded")

    def cut(self) -> None:
        """Every process ends where it stands; what was written stays."""
        assert self._init is not None
        self._init.kill()
        self._init.wait()

    def begun(self, command: str) -> subprocess.Popen[str]:
        """A command inside as root, not waited for."""
        enter = ["nsenter", "-t", self._first, "-m", "-u", "-i", "-p", "-C", "-r", "-w"]
        return subprocess.Popen(
            [*enter, *ENVIRONMENT, "bash", "-c", command], text=True, stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, errors="replace",
        )  # fmt: skip

    def run(self, command: str) -> tuple[int, str]:
        """A command inside as root: its exit code, and what it said."""
        process = self.begun(command)
        said = process.communicate()[0]
        return process.returncode, said.strip()

    def said(self, command: str) -> str:
        """What it said, whatever its exit code."""
        return self.run(command)[1]

    def until(self, command: str, *wanted: str) -> str:
        """Until a command says one of these; gives what it said."""
        until = time.monotonic() + WITHIN_S
        while (said := self.said(command)) not in wanted:
            assert time.monotonic() < until, f"{command}: {said!r}, not one of {wanted}"
            time.sleep(0.1)
        return said

    def put(self, source: Path, to: str) -> None:
        """Copy a folder or file to a path inside, which is there while it does not run, too."""
        target = self.place / "up" / to.lstrip("/")
        target.parent.mkdir(parents=True, exist_ok=True)
        subprocess.run(["cp", "-r", "-T", str(source), str(target)], check=True)
