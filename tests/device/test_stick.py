"""The stick helper: what it takes, what it refuses and says why, and requests to let go."""

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from tests.device.bench_root import BenchRoot

MEBIBYTE = 1024 * 1024
HELPER = "sh /src/systemd/benchcalc-stick"


@pytest.fixture
def bench(tmp_path: Path) -> BenchRoot:
    """A bench with a disk ``sdz`` by the kernel's word, and nothing on it yet."""
    bench = BenchRoot(tmp_path / "root")
    (bench.place / "sys/class/block/sdz").mkdir(parents=True)
    (bench.place / "sys/class/block/sdz/size").write_text("32768\n")
    for name in ("sticks", "release"):
        (bench.place / "run/benchcalc" / name).mkdir(parents=True)
    return bench


def image(bench: BenchRoot) -> Path:
    path = bench.place / "tmp/image"
    with path.open("wb") as file:
        file.truncate(16 * MEBIBYTE)
    return path


def made(path: Path, *command: str) -> None:
    if not shutil.which(command[0]):
        pytest.skip(f"{command[0]} is not installed")
    subprocess.run([*command, str(path)], check=True, capture_output=True)


def encrypted(path: Path) -> None:
    """Magic and version of LUKS1. Source: LUKS On-Disk Format Specification 1.2.3, 2011, fig. 1."""
    path.write_bytes(b"LUKS\xba\xbe\0\1" + path.read_bytes()[8:])


def ambiguous(path: Path) -> None:
    """A FAT with the superblock of an ext4 in it, as formatting one over the other may leave."""
    made(path, "mkfs.ext4", "-q")
    superblock = path.read_bytes()[1024:2048]
    fat = path.with_name("fat")
    with fat.open("wb") as file:
        file.truncate(16 * MEBIBYTE)
    made(fat, "mkfs.vfat")
    data = fat.read_bytes()
    path.write_bytes(data[:1024] + superblock + data[2048:])


def filled(path: Path) -> None:
    path.write_bytes(Random(5).randbytes(16 * MEBIBYTE))


def mounted(bench: BenchRoot, code: int = 0) -> subprocess.CompletedProcess[str]:
    """What the helper makes of it, with a ``mount`` that only tells."""
    stand_in = bench.place / "stand-ins/mount"
    stand_in.write_text(f"#!/bin/bash\necho mount $*\nexit {code}\n")
    stand_in.chmod(0o755)
    return bench.run(f"cp /tmp/image /dev/sdz; {HELPER} mount sdz")


@pytest.mark.parametrize("kind", ["vfat", "exfat"])
def test_fat_and_exfat_are_taken(bench: BenchRoot, kind: str) -> None:
    made(image(bench), f"mkfs.{kind}", "-n" if kind == "vfat" else "-L", "RACK")
    said = mounted(bench)
    assert said.returncode == 0, said.stderr
    for word in (f"-t {kind}", "nosuid,nodev,noexec", "/run/benchcalc/sticks/RACK"):
        assert word in said.stdout, said.stdout


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda path: made(path, "mkfs.ext4", "-q"), "other ext4"),
        (encrypted, "locked"),
        (lambda path: None, "blank"),
        (filled, "blank"),
        (ambiguous, "mixed"),
    ],
)
def test_anything_else_is_refused_by_name_until_it_is_pulled(
    bench: BenchRoot, make: Callable[[Path], None], why: str
) -> None:
    make(image(bench))
    said = mounted(bench)
    assert said.returncode == 0 and "mount -t" not in said.stdout
    assert "only FAT and exFAT are taken" in said.stderr
    refused = bench.place / "run/benchcalc/refused"
    assert (refused / "sdz").read_text().strip() == why
    assert bench.run(f"{HELPER} unmount sdz").returncode == 0
    assert list(refused.iterdir()) == []


def test_one_that_cannot_be_mounted_is_damaged(bench: BenchRoot) -> None:
    made(image(bench), "mkfs.vfat")
    said = mounted(bench, code=32)
    assert said.returncode == 0 and "damaged" in said.stderr
    assert (bench.place / "run/benchcalc/refused/sdz").read_text() == "damaged\n"
    assert list((bench.place / "run/benchcalc/sticks").iterdir()) == []


def test_flipped_bits_end_in_a_mount_or_a_word(bench: BenchRoot) -> None:
    """In the boot sector and the table of files, where the kind is told by; never in silence."""
    whole = image(bench)
    made(whole, "mkfs.vfat", "-n", "RACK")
    data, dice = whole.read_bytes(), Random(11)
    ends = set()
    for _ in range(12):
        spoilt = bytearray(data)
        for place in dice.sample(range(600), 40):
            spoilt[place] ^= 1 << dice.randrange(8)
        whole.write_bytes(spoilt)
        said = mounted(bench)
        refused = bench.place / "run/benchcalc/refused/sdz"
        assert said.returncode == 0, said.stderr
        assert ("mount -t" in said.stdout) != refused.exists(), said
        ends.add("taken" if said.stdout else refused.read_text().split()[0])
        assert bench.run(f"{HELPER} unmount sdz; rmdir /run/benchcalc/sticks/*").stdout == ""
    assert len(ends) > 1, ends


def test_a_part_beside_one_that_is_taken_is_no_trouble(bench: BenchRoot) -> None:
    blocks = bench.place / "sys/class/block"
    for name in ("sdz1", "sdz2"):
        (blocks / "sdz" / name).mkdir()
        (blocks / "sdz" / name / "partition").touch()
        (blocks / "sdz" / name / "size").write_text("32768\n")
        (blocks / name).symlink_to(f"sdz/{name}")
    made(image(bench), "mkfs.vfat")
    for taken, count in ((True, 0), (False, 1)):
        said = bench.run(
            f"truncate -s 1M /dev/sdz2; {'cp /tmp/image /dev/sdz1' if taken else 'touch /dev/sdz1'}"
            f"; {HELPER} mount sdz2"
        )
        assert said.returncode == 0 and "only FAT" in said.stderr
        refused = bench.place / "run/benchcalc/refused"
        assert len(list(refused.glob("*"))) == count
    assert bench.run(f"cp /tmp/image /dev/sdz; {HELPER} mount sdz").stderr == "", "it has parts"


def test_a_reader_without_a_card_is_no_stick(bench: BenchRoot) -> None:
    (bench.place / "sys/class/block/sdz/size").write_text("0\n")
    image(bench)
    assert (mounted(bench).stderr, (bench.place / "run/benchcalc/refused").exists()) == ("", False)


@pytest.mark.parametrize("label", ["../../x", "$(id)", "a b", "-rf", "..", "\x1b[2J"])
def test_odd_labels_make_plain_names(bench: BenchRoot, label: str) -> None:
    (bench.place / "stand-ins/blkid").write_text(
        '#!/bin/bash\ncase "$*" in *LABEL*) cat /tmp/label ;; *) echo vfat ;; esac\n'
    )
    (bench.place / "stand-ins/blkid").chmod(0o755)
    (bench.place / "tmp/label").write_text(label)
    image(bench)
    assert mounted(bench).returncode == 0
    (place,) = (bench.place / "run/benchcalc/sticks").iterdir()
    assert all(c.isascii() and (c.isalnum() or c in "_-") for c in place.name), place.name


def test_a_request_that_cannot_be_removed_is_answered_once_and_said(bench: BenchRoot) -> None:
    """And those behind it are answered too: nothing is left to start the unit for."""
    (bench.place / "stand-ins/rm").write_text("#!/bin/bash\nexit 1\n")
    (bench.place / "stand-ins/rm").chmod(0o755)
    requests, stick = bench.place / "run/benchcalc/release", "/run/benchcalc/sticks/Z"
    (requests / "A/deep").mkdir(parents=True)
    (requests / "Z").touch()
    (requests / "dangling").symlink_to("/nowhere")
    said = bench.run(
        f"mkdir {stick}; mount -t tmpfs none {stick}; {HELPER} release; findmnt {stick}"
    )
    assert "cannot be removed" in said.stderr and f"{stick} is let go" in said.stderr
    assert said.stdout == "" and list(requests.iterdir()) == []
