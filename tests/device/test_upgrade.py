"""Installs and upgrades: what is taken, what is refused, and what stands when one is killed."""

from pathlib import Path

import pytest

from tests.device.bench_root import BenchRoot

TRUSTED = "etc/benchcalc/release.fingerprint"


@pytest.fixture
def bench(tmp_path: Path) -> BenchRoot:
    """A bench with the program ``old``, and a release ``new`` beside it."""
    bench = BenchRoot(tmp_path / "root")
    bench.release("old")
    bench.release("new")
    said = bench.install("old")
    assert said.returncode == 0, said.stderr
    assert bench.stands() == ("old", "old")
    return bench


def test_an_upgrade_puts_program_and_units_in_place(bench: BenchRoot) -> None:
    said = bench.install("new")
    assert said.returncode == 0, said.stderr
    assert bench.stands() == ("new", "new")
    assert [call for call in bench.calls if call.startswith("systemctl restart")]
    assert not [call for call in bench.calls if call.startswith("systemctl stop")]
    assert not (bench.place / "opt/benchcalc/incoming").exists()


def test_a_trial_that_fails_leaves_the_old_one_alone(bench: BenchRoot) -> None:
    (bench.place / "tmp/trial-fails").touch()
    said = bench.install("new")
    assert said.returncode == 1 and "failed its trial" in said.stderr
    assert bench.stands() == ("old", "old")
    assert not [call for call in bench.calls if call.startswith(("systemctl re", "systemctl st"))]


def test_known_damage_is_told_to_the_trial(bench: BenchRoot) -> None:
    for said, last in (("", "/opt/benchcalc/trial"), ("--damaged ", "damaged")):
        words = f"bash /src/systemd/install {said}--from /root/new"
        assert bench.run(words).returncode == 0
        (*_, tried) = [call for call in bench.calls if "try_release.py" in call]
        assert tried.removesuffix(" [/]").split()[-1] == last
    assert bench.run("bash /src/systemd/install --damaged --instal").returncode == 2


def test_killed_before_any_command_one_of_both_stands_whole(bench: BenchRoot) -> None:
    """Never half of each, never stopped; and the same command again goes through."""
    bench.keep()
    seen, number = [], 1
    while bench.install("new", kill_at=number).returncode != 0:
        program, unit = bench.stands()
        assert program == unit, f"killed before command {number}: {program} with {unit}'s units"
        assert not [call for call in bench.calls if call.startswith("systemctl stop")]
        seen.append(program)
        if number % AGAIN == 1:
            assert bench.install("new").returncode == 0, number
            assert bench.stands() == ("new", "new")
        bench.put_back()
        number += STRIDE
    assert seen == sorted(seen, reverse=True) and set(seen) == {"old", "new"}


STRIDE, AGAIN = 4, 21
"""All 129 commands were gone through by hand once; every fourth is enough each time."""


@pytest.mark.parametrize(
    "program",
    [
        "sha256sum",
        "diff",
        "tar",
        "cp",
        "find",
        "install",
        "systemd-sysusers",
        "chmod",
        "mv",
        "sync",
    ],
)
def test_no_failure_is_passed_over(bench: BenchRoot, program: str) -> None:
    """No room, no right, no such program: whatever fails before the rename ends the install."""
    if program == "tar":
        bench.run("tar -cf /root/new.tar -C /root/new .")
    (bench.place / "stand-ins" / program).write_text("#!/bin/bash\nexit 1\n")
    (bench.place / "stand-ins" / program).chmod(0o755)
    said = bench.install("new.tar" if program == "tar" else "new")
    assert said.returncode != 0
    (bench.place / "stand-ins" / program).unlink()
    assert bench.stands() == ("old", "old")


def test_no_python_of_roots_reads_the_folder_it_was_called_in(bench: BenchRoot) -> None:
    bench.install("new")
    pythons = [call for call in bench.calls if call.startswith(("python3 ", "python "))]
    assert [call.split()[0] for call in pythons].count("python") == 4
    for call in pythons:
        assert call.split()[1] == "-I" and call.endswith("[/]"), call


@pytest.mark.parametrize(
    ("harm", "word"),
    [
        ("echo x >> benchcalc-1-py3-none-any.whl", "altered"),
        ("echo '# x' >> systemd/install", "altered"),
        ("echo x > pint-9.whl", "different files"),
        ("rm systemd/benchcalc-guard", "different files"),
        ("ln -s /etc/passwd link", "no file"),
        ("rm SHA256SUMS", "no SHA256SUMS"),
        ("echo 'what is this' >> SHA256SUMS", "altered"),
    ],
)
def test_a_release_that_was_changed_is_refused(bench: BenchRoot, harm: str, word: str) -> None:
    bench.run(f"cd /root/new && {harm}")
    said = bench.install("new")
    assert said.returncode == 1 and word in said.stderr, said.stderr
    assert bench.stands() == ("old", "old")


def test_a_release_is_one_file_too(bench: BenchRoot) -> None:
    bench.run("tar -cf /root/new.tar -C /root/new .")
    said = bench.install("new.tar")
    assert said.returncode == 0, said.stderr
    assert bench.stands() == ("new", "new")
    (bench.place / "root/new.tar").write_text("no archive")
    said = bench.install("new.tar")
    assert said.returncode == 1 and "no release" in said.stderr


def test_a_bench_that_trusts_a_key_takes_what_that_key_signed(bench: BenchRoot) -> None:
    keys = "for n in ours theirs; do openssl genpkey -algorithm ed25519 -out /root/$n; done"
    assert bench.run(keys).returncode == 0
    signed = bench.run("bash /src/systemd/install --seal /root/new /root/ours").stdout
    (bench.place / "etc/benchcalc").mkdir(exist_ok=True)
    (bench.place / TRUSTED).write_text(signed.splitlines()[-1])
    said = bench.install("new")
    assert said.returncode == 0 and "signed by the key" in said.stdout, said.stderr
    for harm, word in (
        ("rm SHA256SUMS.sig", "not signed"),
        ("bash /src/systemd/install --seal . /root/theirs", "another key"),
        ("bash /src/systemd/install --seal . /root/ours; echo >> SHA256SUMS", "signature"),
        ("bash /src/systemd/install --seal . /root/ours; echo x >> systemd/install", "altered"),
    ):
        assert bench.run(f"cd /root/new && {{ {harm}; }}").returncode == 0
        refused = bench.install("new")
        assert refused.returncode == 1 and word in refused.stderr, (harm, refused.stderr)
    refused = bench.run("bash /src/systemd/install")
    assert refused.returncode == 1 and "signed releases" in refused.stderr


def test_two_at_once_are_refused(bench: BenchRoot) -> None:
    lock = "exec 8>/run/benchcalc-install.lock; flock 8; exec 8<&8"
    for asked in ("--from /root/new", "--uninstall"):
        said = bench.run(f"{lock}; bash /src/systemd/install {asked}")
        assert said.returncode == 1 and "under way" in said.stderr, said.stderr
    assert bench.stands() == ("old", "old")


def test_uninstall_stops_at_what_is_mounted_below(bench: BenchRoot) -> None:
    mounted = "mkdir -p {0} && mount -t tmpfs none {0} && echo mine > {0}/x"
    for place in ("/opt/benchcalc/mine", "/run/benchcalc/mine"):
        said = bench.run(
            f"{mounted.format(place)}; bash /src/systemd/install --uninstall; cat {place}/x"
        )
        assert "mine" in said.stdout and "nothing was removed" in said.stderr
        assert bench.stands() == ("old", "old")


def test_uninstall_lets_go_of_sticks_and_gives_the_login_back(bench: BenchRoot) -> None:
    """What was on a stick is still on it: its folder is looked into before it is mounted there."""
    stick = "/run/benchcalc/sticks/A"
    said = bench.run(
        f"mkdir -p {stick} /tmp/stick && echo mine > /tmp/stick/x"
        f" && mount --bind /tmp/stick {stick}; bash /src/systemd/install --uninstall"
    )
    assert said.returncode == 0, said.stderr
    assert (bench.place / "tmp/stick/x").read_text() == "mine\n"
    assert any("start --no-block getty@tty1.service" in call for call in bench.calls)
    left = [
        p for p in bench.place.rglob("*benchcalc*") if not p.is_relative_to(bench.place / "root")
    ]
    ours = {bench.place / "etc/benchcalc", bench.place / "run/benchcalc-install.lock"}
    assert {p for p in left if not p.is_relative_to(bench.place / "src")} <= ours


def test_a_file_of_the_lay_out_before_this_one_gives_way(bench: BenchRoot) -> None:
    """Benches were made whose units were no links, and whose helper lay in a folder of its own."""
    unit = bench.place / "etc/systemd/system/benchcalc.service"
    unit.write_text("[Unit]\nDescription=older\n")
    (bench.place / "opt/benchcalc/lib").mkdir()
    assert bench.install("new").returncode == 0
    assert not unit.exists() and not (bench.place / "opt/benchcalc/lib").exists()
    unit.write_text("[Unit]\nDescription=what systemctl edit --full wrote\n")
    assert bench.install("old").returncode == 0
    assert unit.exists(), "what whoever runs the bench wrote stays"
