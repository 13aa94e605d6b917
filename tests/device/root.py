"""A Debian root file system with the bench installed in it by ``systemd/install``, and its disk."""

import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.house.sources import ROOT, own_files

MIRROR = "http://deb.debian.org/debian"
BEFORE = (
    "systemd-sysv", "systemd-timesyncd", "udev", "dbus", "kmod", "e2fsprogs", "ca-certificates",
    "initramfs-tools", "python3", "python3-venv",
)  # fmt: skip
"""What a lite image has; the rest is for ``systemd/install`` to fetch."""

DISK_SIZE = "3G"
PLAIN = {"PATH": "/usr/sbin:/usr/bin:/sbin:/bin", "LC_ALL": "C.UTF-8", "HOME": "/root"}

SHELL_UNIT = """[Unit]
Description=A root shell on the virtual console, for the rehearsal
DefaultDependencies=no
[Service]
ExecStart=/bin/bash -c 'stty -echo; exec /bin/bash --norc --noprofile'
Environment=PS1= TERM=dumb
StandardInput=tty
StandardOutput=tty
StandardError=tty
TTYPath=/dev/hvc0
Restart=always
[Install]
WantedBy=dev-hvc0.device
"""
"""The rehearsal's own, not the bench's."""

SLOW = ("apt-daily.timer", "apt-daily-upgrade.timer", "dpkg-db-backup.timer", "e2scrub_all.timer",
        "e2scrub_reap.service", "fstrim.timer")  # fmt: skip
"""Housekeeping that would only make an emulated machine start more slowly."""

Say = Callable[[str], None]


def build(place: Path, arch: str, suite: str, say: Say) -> None:
    """Make ``root``, ``disk.img``, ``kernel`` and ``initrd`` in a folder."""
    root = place / "root"
    unpack(root, _base(place, arch, suite, say), suite)
    _fit_for_rehearsal(root)
    install(place, say)


def unpack(root: Path, base: Path, suite: str) -> None:
    """A root as it is before anything of ours is in it."""
    subprocess.run(["rm", "-rf", "--one-file-system", str(root)], check=True)
    root.mkdir()
    subprocess.run(["tar", "-xf", str(base), "-C", str(root)], check=True)
    (root / "etc/apt/sources.list").write_text(f"deb {MIRROR} {suite} main\n")
    shutil.copy("/etc/resolv.conf", root / "etc/resolv.conf")


def install(place: Path, say: Say) -> None:
    """Run ``systemd/install`` of this tree in the root, first or again, and make the disk of it."""
    root = place / "root"
    copy_tree(root / "src")
    make_release(root / "release")
    say(run_inside(root, "/src/systemd/install", "--from", "/release"))
    for scrap in ("src", "release", "var/cache/apt/archives"):
        shutil.rmtree(root / scrap, ignore_errors=True)
    make_disk(place, say)


def _base(place: Path, arch: str, suite: str, say: Say) -> Path:
    """The system before anything of ours is in it; kept, since it takes minutes for arm64."""
    base = place.parent / f"{suite}-{arch}.tar"
    if not base.exists():
        say(f"mmdebstrap {suite} {arch}")
        making = base.with_suffix(".making.tar")
        include = ",".join((f"linux-image-{arch}", *BEFORE))
        command = ["mmdebstrap", "--quiet", "--variant=minbase", f"--architectures={arch}"]
        command += [f"--include={include}", suite, str(making), MIRROR]
        subprocess.run(command, check=True)
        making.rename(base)
    return base


def copy_tree(to: Path) -> None:
    """This project's own files, as they would come by git."""
    for name in own_files():
        (to / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(ROOT / name, to / name)


def make_release(to: Path) -> None:
    """A release without Debian's packages: the project's wheel and those that it needs, sealed.

    Pure ones, whatever the machine. Made here, since a machine that is being built may not reach
    the package index.
    """
    to.mkdir()
    pip = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-input", "--wheel-dir", str(to)]
    pinned = ["--require-hashes", "-r", str(ROOT / "systemd/requirements.txt")]
    subprocess.run([*pip, *pinned], check=True)
    subprocess.run([*pip, "--no-deps", str(ROOT)], check=True)
    subprocess.run([str(ROOT / "systemd/install"), "--seal", str(to)], check=True)


@contextmanager
def _kernel_folders(root: Path) -> Iterator[None]:
    mounted: list[Path] = []
    try:
        for kind, name in (("--bind", "dev"), ("--types=proc", "proc")):
            source = "/dev" if name == "dev" else "proc"
            subprocess.run(["mount", kind, source, str(root / name)], check=True)
            mounted.append(root / name)
        yield
    finally:
        for path in reversed(mounted):
            subprocess.run(["umount", str(path)], check=True)


def run_inside(root: Path, *command: str, network: bool = True) -> str:
    """Run a program of the root as root and give what it said; raises when it fails."""
    apart = [] if network else ["unshare", "--net"]
    with _kernel_folders(root):
        said = subprocess.run(
            [*apart, "chroot", str(root), *command], env=PLAIN, text=True, stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        )  # fmt: skip
    if said.returncode:
        raise RuntimeError(f"{' '.join(command)}: {said.returncode}\n{said.stdout}")
    return said.stdout.strip()


def _fit_for_rehearsal(root: Path) -> None:
    """What an emulated machine needs to be worked from outside; nothing of it touches the bench."""
    (root / "etc/systemd/system/rehearsal-shell.service").write_text(SHELL_UNIT)
    run_inside(root, "systemctl", "enable", "rehearsal-shell.service")
    run_inside(root, "systemctl", "mask", "--quiet", *SLOW, "serial-getty@hvc0.service")
    modules = root / "etc/initramfs-tools/modules"
    modules.write_text("virtio_pci\nvirtio_blk\next4\n")
    (root / "etc/initramfs-tools/conf.d/rehearsal").write_text("MODULES=list\n")
    run_inside(root, "update-initramfs", "-u")
    (root / "etc/fstab").write_text("/dev/vda / ext4 defaults,noatime 0 1\n")
    (root / "etc/hostname").write_text("bench\n")
    (root / "etc/machine-id").write_text("")


def make_disk(place: Path, say: Say) -> None:
    """The root as an ext4 disk, its kernel and its first file system beside it."""
    root = place / "root"
    disk = place / "disk.img"
    disk.unlink(missing_ok=True)
    subprocess.run(["truncate", "--size", DISK_SIZE, str(disk)], check=True)
    subprocess.run(["mkfs.ext4", "-q", "-F", "-d", str(root), str(disk)], check=True)
    for name, found in (("kernel", "vmlinuz-*"), ("initrd", "initrd.img-*")):
        (newest,) = sorted((root / "boot").glob(found))[-1:]
        shutil.copyfile(newest, place / name)
    say(f"disk: {disk.stat().st_blocks * 512 / 1e6:.0f} MB used")
