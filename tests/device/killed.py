"""``python -m tests.device.killed``: installs and upgrades attacked, on Debian in a container.

Takes root and a base that ``python -m tests.device`` has made (``SUITE-amd64.tar``). Upgrades that
are killed or cut off wherever they stand; damaged records; releases whose panel does not come up.
"""

import argparse
import shutil
import subprocess
import time
from pathlib import Path
from random import Random

from tests.device.contained import Contained, prepared_root
from tests.device.dry_machine import dry_rehearsal
from tests.device.root import make_release
from tests.device.steps import job

INSTALL = "bash /root/release-{0}/systemd/install --from /root/release-{0} 2>&1"
TRAP = """mkdir /root/trap; cd /root/trap; for name in venv pip sqlite3 json benchcalc; do
echo "open('/root/sprung', 'a').write('$name ')" > $name.py; done"""
"""A folder that somebody else may write to: no Python of root's may read what lies there."""

STATE = "/var/lib/benchcalc"
PANEL = "systemctl show benchcalc --property ActiveState --value"
PIECES = f"""cp -r {STATE} /tmp/seen; chown -R benchcalc: /tmp/seen
export PYTHONNOUSERSITE=1 BENCHCALC_STATE=/tmp/seen
runuser -u benchcalc -- benchcalc runs --json | wc -l; rm -rf /tmp/seen"""
UNIT = """systemctl daemon-reload; systemctl show benchcalc --property Description --value
grep ^Description= /opt/benchcalc/current/systemd/benchcalc.service | cut -d= -f2-"""
LONGEST_S = 9.0
"""What an install takes here, and a little more."""
SWITCH_S = 5.0
"""From the mark before its rename until the new panel is up, where the disk is busy."""


def releases(place: Path) -> None:
    """Two that are good and tell themselves apart by their units, and two that are not."""
    place.mkdir()
    make_release(place / "release-1")
    for name in ("2", "never-up", "not-built"):
        shutil.copytree(place / "release-1", place / f"release-{name}")
    unit = "systemd/benchcalc.service"
    for name, old, new in (
        ("2", "Description=benchcalc", "Description=second benchcalc"),
        ("never-up", "ExecStart=/opt/benchcalc/current/bin/benchcalc", "ExecStart=/bin/false"),
    ):
        path = place / f"release-{name}" / unit
        path.write_text(path.read_text().replace(old, new))
        sums(path.parents[1])
    (place / "release-not-built" / unit).unlink()
    sums(place / "release-not-built")


def sums(release: Path) -> None:
    """The sums of a release that was changed, by the words of the manual of sha256sum."""
    words = "find . -type f ! -name 'SHA256SUMS*' -exec sha256sum {} + > SHA256SUMS.new"
    subprocess.run(f"{words}; mv SHA256SUMS.new SHA256SUMS", cwd=release, shell=True, check=True)


def stands(bench: Contained, pieces: str) -> str:
    """After whatever happened: a panel that is up and can be started again; which program it is."""
    bench.until(PANEL, "active")
    code, said = bench.run("systemctl restart benchcalc")
    assert code == 0, said
    assert bench.said(PIECES) == pieces, "the records are not those that were there"
    told, meant = bench.said(UNIT).splitlines()
    assert told == meant, f"units {told!r} beside the program of {meant!r}"
    return "new" if told.startswith("second") else "old"


def killed(bench: Contained, dice: Random, rounds: int) -> None:
    """The install alone, or with all its programs, is killed; or the power goes."""
    counts: dict[str, int] = {}
    now = "1"
    for number in range(rounds):
        other = "2" if now == "1" else "1"
        install = bench.begun(
            f"echo $$ > /run/install.pid; cd /root/trap; exec setsid {INSTALL.format(other)}"
        )
        if dice.random() < 0.5:
            mark = bench.place / "up/opt/benchcalc/probation"  # as the container's disk has it
            while install.poll() is None and not mark.exists():
                time.sleep(0.01)
            time.sleep(dice.uniform(0.0, SWITCH_S))
        else:
            time.sleep(dice.uniform(0.2, LONGEST_S))
        how = dice.choice(("script", "group", "power")) if install.poll() is None else "too late"
        if how == "power":
            bench.cut()
            bench.start()
        elif how != "too late":
            # setsid gives the script a group of its own, by its number.
            whom = "$(cat /run/install.pid)"
            bench.run(f"kill -KILL {'-- -' if how == 'group' else ''}{whom}")
            bench.run("flock /run/benchcalc-install.lock true")  # what it started has ended too
        said = install.communicate()[0]
        assert "benchcalc: " in said, f"it never ran: {said}"
        before, found = now, stands(bench, "1")
        now = "2" if found == "new" else "1"
        key = f"{how}, {'switched' if now != before else 'as it was'}"
        counts[key] = counts.get(key, 0) + 1
        print(f"{number + 1}: {key}", flush=True)
    print(counts)
    code, said = bench.run(INSTALL.format("1"))
    assert code == 0, said
    assert stands(bench, "1") == "old"


def refused(bench: Contained, release: str, *words: str) -> None:
    """An upgrade that fails says why, and the panel that ran goes on as if nothing had been."""
    before = bench.said("systemctl show benchcalc --property MainPID --value")
    code, said = bench.run(INSTALL.format(release))
    assert code == 1 and all(word in said for word in words), (code, said)
    assert bench.said("systemctl show benchcalc --property MainPID --value") == before
    print(f"{release}: {said.splitlines()[-2:]}")


def damaged(bench: Contained) -> None:
    """Records that cannot be read, whole or in part, let no upgrade pass."""
    bench.run(f"systemctl stop benchcalc; cp -a {STATE}/records.db /root/kept.db")
    for how in (
        "head -c 20000 /dev/urandom > records.db",
        "truncate -s $(($(stat -c %s records.db) / 2)) records.db",
        "truncate -s $(($(stat -c %s records.db) - 700)) records.db",
        "LC_ALL=C sed -i s/H4-7/H4-8/g records.db",
    ):
        bench.run(f"cd {STATE}; cp -a /root/kept.db records.db; rm -f records.db-*; {how}")
        code, said = bench.run(INSTALL.format("2"))
        print(f"{how}: {said.splitlines()[-2:]}")
        assert code == 1 and "trial" in said, (code, said)
        assert bench.said(f"ls {STATE} | grep damaged") == ""
    bench.run(f"cd {STATE}; cp -a /root/kept.db records.db; rm -f records.db-*")
    bench.run("systemctl start benchcalc")
    assert stands(bench, "1") == "old"


def never_up(bench: Contained) -> None:
    """A panel that passes the trial and does not come up gives way; units go back with it."""
    code, said = bench.run(INSTALL.format("never-up"))
    print(said)
    assert code == 1 and "the old one is back" in said
    assert stands(bench, "1") == "old"


def two_at_once(bench: Contained) -> None:
    """The second is told to wait."""
    first = bench.begun(INSTALL.format("2"))
    time.sleep(1)
    code, said = bench.run(INSTALL.format("1"))
    assert code == 1 and "under way" in said, (code, said)
    assert first.wait() == 0
    assert stands(bench, "1") == "new"
    print("two at once: the second is refused")


def odd_requests(bench: Contained) -> None:
    """What the panel's user may put into the folder of requests starts no unit without end."""
    bench.run("mkdir /run/benchcalc/sticks/B; mount -t tmpfs tmpfs /run/benchcalc/sticks/B")
    said = bench.said(
        "runuser -u benchcalc -- sh -c 'cd /run/benchcalc/release; mkdir A; touch A/x A/y;"
        " chmod 1700 A; ln -s /etc/passwd C; mkfifo D; touch B; chmod 1777 . && echo sticky'"
    )
    assert "not permitted" in said and "sticky" not in said.splitlines(), said
    time.sleep(5)
    starts = int(bench.said("journalctl -u benchcalc-release -o cat | grep -c ^Starting"))
    assert 1 <= starts <= 4, f"{starts} starts"
    assert bench.said("ls /run/benchcalc/release /run/benchcalc/sticks | grep '^[A-Z]'") == ""
    assert (
        bench.said("ls -d /run/benchcalc/answered* 2>/dev/null; head -c 5 /etc/passwd") == "root:"
    )
    print(f"odd requests: answered in {starts} starts")


def folder_is_a_file(bench: Contained) -> None:
    """The panel is up all the same, for it says so on its screen; the folder back, it goes on."""
    bench.run(f"systemctl stop benchcalc; mv {STATE} /root/kept; touch {STATE}")
    code, said = bench.run("systemctl restart benchcalc")
    assert code == 0, said
    time.sleep(5)
    assert bench.said("systemctl show benchcalc --property NRestarts --value") == "0"
    bench.run(f"rm {STATE}")
    assert bench.run("systemctl restart benchcalc")[0] == 0
    assert bench.said(f"stat -c %U-%a {STATE}") == "benchcalc-750", "it was not made anew"
    bench.run(f"systemctl stop benchcalc; rm -r {STATE}; mv /root/kept {STATE}")
    bench.run(f"chown -R root: {STATE}; systemctl restart benchcalc")
    assert stands(bench, "1") == "old"
    print("a file in the place of the folder, none, and one of another owner's: up each time")


def user_code(bench: Contained) -> None:
    """The panel runs nothing from the folder where it may write itself."""
    for version in ("3.11", "3.13"):
        site = f"{STATE}/.local/lib/python{version}/site-packages"
        bench.run(f"mkdir -p {site}; echo \"open('{STATE}/ran', 'w')\" > {site}/usercustomize.py")
    bench.run(f"chown -R benchcalc: {STATE}/.local")
    stands(bench, "1")
    assert bench.run(f"test -e {STATE}/ran")[0] == 1
    bench.run(f"rm -r {STATE}/.local")
    print("usercustomize in its folder: not run")


def taken_away(bench: Contained) -> None:
    """Uninstalled: nothing of the program is left, what is mounted below is not touched."""
    mount = "mkdir -p {0}; mount -t tmpfs tmpfs {0}; echo x > {0}/x"
    bench.run(mount.format("/opt/benchcalc/mine"))
    code, said = bench.run("benchcalc-install --uninstall 2>&1")
    assert code == 1 and "/opt/benchcalc/mine" in said and "nothing was removed" in said, said
    stands(bench, "1")
    bench.run("umount /opt/benchcalc/mine; " + mount.format("/run/benchcalc/sticks/A"))
    bench.run("systemctl enable --now getty@tty1; systemctl restart benchcalc")
    code, said = bench.run("cd /run/benchcalc/sticks/A && benchcalc-install --uninstall 2>&1")
    assert code == 1 and "in use" in said and "nothing was removed" in said, said
    stands(bench, "1")
    code, said = bench.run("cd / && benchcalc-install --uninstall 2>&1")
    assert code == 0, said
    left = "find / -xdev -name '*benchcalc*' ! -path '/root/*' ! -path '/proc/*' | sort"
    print(bench.said(left))


def main() -> None:
    """All of it, on a new bench."""
    parser = argparse.ArgumentParser(prog="python -m tests.device.killed", description=__doc__)
    parser.add_argument("--suite", choices=("bookworm", "trixie"), default="trixie")
    parser.add_argument("--place", type=Path, default=Path("/var/tmp/benchcalc-rehearsal"))
    parser.add_argument("--rounds", type=int, default=20)
    parser.add_argument("--dice", type=int, default=5)
    given = parser.parse_args()
    root, place = given.place / f"{given.suite}-packages", given.place / f"{given.suite}-contained"
    prepared_root(root, given.place / f"{given.suite}-amd64.tar", given.suite)
    subprocess.run(["rm", "-rf", "--one-file-system", str(place)], check=True)
    bench = Contained(root, place)
    releases(place / "releases")
    for release in (place / "releases").iterdir():
        bench.put(release, f"/root/{release.name}")
    r = dry_rehearsal(place / "state")
    job(r)
    r.machine.pull_plug()
    bench.put(place / "state/records.db", "/root/records.db")
    bench.start()
    try:
        bench.run(TRAP)
        code, said = bench.run(INSTALL.format("1"))
        assert code == 0, said
        bench.run(f"systemctl stop benchcalc; rm -f {STATE}/records*")
        bench.run(f"cp /root/records.db {STATE}; chown benchcalc: {STATE}/records.db")
        bench.run("systemctl start benchcalc")
        print(f"installed; {stands(bench, '1')}")
        refused(bench, "not-built", "benchcalc.service")
        damaged(bench)
        never_up(bench)
        odd_requests(bench)
        folder_is_a_file(bench)
        user_code(bench)
        killed(bench, Random(given.dice), given.rounds)
        two_at_once(bench)
        taken_away(bench)
        assert (
            bench.said("ls /root/sprung")
            == "ls: cannot access '/root/sprung': No such file or directory"
        )
    finally:
        bench.cut()


if __name__ == "__main__":
    main()
