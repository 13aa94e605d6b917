"""A root of its own for ``systemd/install``, with stand-ins for what only a whole machine has.

The script runs as it is, below ``chroot`` and in a mount namespace: it writes to /opt, /etc, /run
and /usr/local as on a bench. Stand-ins for Debian's package tools, systemd, Python's venv and pip
make an install a matter of a tenth of a second, and write down how they were called.
"""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.house.sources import ROOT

OS = 'ID=debian\nVERSION_ID="13"\n'
PASSWD = "root:x:0:0::/root:/bin/bash\nbenchcalc:x:0:0::/var/lib/benchcalc:/bin/false\n"
"""One user under two names: in a user's own namespace there is no second one."""

NOTED = '#!/bin/bash\necho "$(basename "$0") $* [$PWD]" >>/tmp/calls\n'
STAND_INS = {
    "dpkg-query": "echo installed",
    "dpkg": "[[ $1 != --print-architecture ]] || echo amd64",
    "apt-get": "exit 100",
    "systemd-tmpfiles": "",
    "systemd-sysusers": "",
    "udevadm": "",
    "sync": "",
    "systemctl": """[[ $1 != show ]] || { cat /tmp/main-pid 2>/dev/null || echo 0; }
[[ $1 != restart ]] || rm -f /opt/benchcalc/probation""",
    "runuser": 'shift 3; exec "$@"',
    "python3": 'mkdir -p "${@: -1}/bin"; cp /stand-ins/venv-python "${@: -1}/bin/python"',
    "venv-python": r"""place=$(dirname "$0")
case "$*" in
*"pip install"*) printf '#!/bin/sh\necho %s\n' "$(cat "${@: -1}")" >"$place/benchcalc"
    chmod +x "$place/benchcalc" ;;
*try_release.py*) [[ ! -e /tmp/trial-fails ]] || exit 1 ;;
esac""",
}

KILL = """count() {
    [[ ${counting:-} || $BASH_COMMAND == 'try_on_a_copy '* ]] || return 0
    counting=yes
    ((--KILL_AT > 0)) || kill -KILL $$
}
if [[ ${1:-} == --checked ]]; then
    set -T
    trap count DEBUG
fi
"""
"""Read by bash before the script: it is killed before a command, counted from the trial on."""

ENTER = r"""set -e
mount --make-rprivate /
cd "$1"
for name in usr bin sbin lib lib64; do
    if [[ -L /$name ]]; then [[ -L $name ]] || cp -P "/$name" .
    elif [[ -d /$name ]]; then mkdir -p "$name"; mount --rbind "/$name" "$name"; fi
done
mount --bind local usr/local
mkdir -p dev proc; mount --rbind /proc proc; mount -t tmpfs tmpfs dev; ln -s /proc/self/fd dev/fd
for name in null zero random urandom; do touch dev/$name; mount --bind /dev/$name dev/$name; done
mkdir -p src; mount --bind "$2" src
shift 2
exec chroot . /usr/bin/env -i PATH=/stand-ins:/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 \
    HOME=/root "$@"
"""

WRITTEN = ("opt", "etc", "local")

APART = ["unshare", "--mount"] if os.geteuid() == 0 else ["unshare", "--mount", "--map-root-user"]


class BenchRoot:
    """The root in a folder; what a run leaves is there for the next one."""

    def __init__(self, place: Path) -> None:
        if subprocess.run([*APART, "true"], capture_output=True).returncode:
            pytest.skip("no namespace of its own is to be had here")
        self.place = place
        for name in ("etc", "opt", "run/systemd/system", "var/lib", "tmp", "root", "local"):
            (place / name).mkdir(parents=True)
        (place / "etc/os-release").write_text(OS)
        (place / "etc/passwd").write_text(PASSWD)
        (place / "etc/group").write_text("root:x:0:\nbenchcalc:x:0:\n")
        (place / "stand-ins").mkdir()
        for name, text in STAND_INS.items():
            (place / "stand-ins" / name).write_text(NOTED + text + "\n")
            (place / "stand-ins" / name).chmod(0o755)
        (place / "stand-ins/kill").write_text(KILL)

    def run(self, command: str, **variables: str) -> subprocess.CompletedProcess[str]:
        """A command inside as root, by bash."""
        given = [f"{name}={value}" for name, value in variables.items()]
        return subprocess.run(
            [*APART, "bash", "-c", ENTER, "enter", str(self.place), str(ROOT), *given,
             "bash", "-c", command],
            capture_output=True, text=True, stdin=subprocess.DEVNULL,
        )  # fmt: skip

    def release(self, name: str) -> Path:
        """A sealed release whose program says its name, and so does its unit."""
        folder = self.place / "root" / name
        folder.mkdir()
        (folder / "benchcalc-1-py3-none-any.whl").write_text(name)
        self.run(f"bash /src/systemd/install --seal /root/{name}")
        unit = folder / "systemd/benchcalc.service"
        unit.write_text(unit.read_text().replace("Description=benchcalc", f"Description={name}"))
        self.reseal(name)
        return folder

    def reseal(self, name: str) -> None:
        """The sums once more, after files were changed on purpose."""
        words = "find . -type f ! -name 'SHA256SUMS*' -exec sha256sum {} + >/tmp/sums"
        self.run(f"cd /root/{name} && {words} && mv /tmp/sums SHA256SUMS")

    def install(self, name: str, kill_at: int | None = None) -> subprocess.CompletedProcess[str]:
        """``--from`` a release, killed before this command of those from the trial on."""
        (self.place / "tmp/calls").unlink(missing_ok=True)
        more = {} if kill_at is None else {"BASH_ENV": "/stand-ins/kill", "KILL_AT": str(kill_at)}
        return self.run(f"cd /tmp && exec bash /src/systemd/install --from /root/{name}", **more)

    @property
    def calls(self) -> list[str]:
        """How the stand-ins were called since the last install began, with the folder."""
        return (self.place / "tmp/calls").read_text().splitlines()

    def stands(self) -> tuple[str, str]:
        """Which program and which unit the system finds."""
        current = "/opt/benchcalc/current"
        unit = "/usr/local/lib/systemd/system/benchcalc.service"
        said = self.run(
            f"{current}/bin/benchcalc; sed -n 's/^Description=\\([a-z]*\\).*/\\1/p' {unit}"
        )
        program, described = said.stdout.splitlines()
        return program, described

    def keep(self) -> None:
        """Remember how it is now."""
        for name in WRITTEN:
            shutil.copytree(self.place / name, self.place / "kept" / name, symlinks=True)

    def put_back(self) -> None:
        """As it was when it was kept."""
        for name in WRITTEN:
            shutil.rmtree(self.place / name)
            shutil.copytree(self.place / "kept" / name, self.place / name, symlinks=True)
