"""Every edit of a copy is found, and a copy that nobody touched is never accused."""

import random
import shutil
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from benchcalc.runlog.copies.export import Enclosed
from benchcalc.runlog.copies.manifest import HEAD, MANIFEST
from benchcalc.runlog.copies.verify import verify
from tests.runlog.bench_log import bench_log
from tests.runlog.copying import collected, copied

EDITS = 1000


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("whole")
    with bench_log(place / "state", pieces=6) as store:
        enclosed = Enclosed({"benders.yaml": b"x: 1\n"}, {"lots": 1})
        return copied(store, place, enclosed).folder


def flip(data: bytes, dice: random.Random) -> bytes:
    at = dice.randrange(len(data))
    return data[:at] + bytes([data[at] ^ 1 << dice.randrange(8)]) + data[at + 1 :]


def cut(data: bytes, dice: random.Random) -> bytes:
    return data[: dice.randrange(len(data))]


def insert(data: bytes, dice: random.Random) -> bytes:
    at = dice.randrange(len(data) + 1)
    return data[:at] + dice.choice([b"0", b"\n", b" ", b"\0", b"9.9"]) + data[at:]


def drop_line(data: bytes, dice: random.Random) -> bytes:
    lines = data.splitlines(keepends=True)
    del lines[dice.randrange(len(lines))]
    return b"".join(lines)


def swap_lines(data: bytes, dice: random.Random) -> bytes:
    lines = data.splitlines(keepends=True)
    one, two = dice.randrange(len(lines)), dice.randrange(len(lines))
    lines[one], lines[two] = lines[two], lines[one]
    return b"".join(lines)


def repeat_line(data: bytes, dice: random.Random) -> bytes:
    lines = data.splitlines(keepends=True)
    return b"".join([*lines, dice.choice(lines)])


def other_number(data: bytes, dice: random.Random) -> bytes:
    digits = [at for at, byte in enumerate(data) if 48 <= byte <= 57]
    if not digits:
        return data[:-1]
    at = dice.choice(digits)
    return data[:at] + bytes([48 + (data[at] - 47) % 10]) + data[at + 1 :]


Change = Callable[[bytes, random.Random], bytes]
CHANGES: list[Change] = [
    flip, cut, insert, drop_line, swap_lines, repeat_line, other_number,
]  # fmt: skip


def summed_again(folder: Path) -> None:
    """What a careless hand does after an edit: run sha256sum over all of it again."""
    names = [line.split("  ")[1] for line in (folder / MANIFEST).read_text().splitlines()]
    text = "".join(f"{sha256((folder / n).read_bytes()).hexdigest()}  {n}\n" for n in names)
    (folder / MANIFEST).write_text(text)


def test_a_thousand_random_edits_are_all_found(whole: Path, memory: Path) -> None:
    dice, names = random.Random(11), sorted(p.name for p in whole.iterdir())
    done = 0
    while done < EDITS:
        folder = memory / "edited"
        shutil.copytree(whole, folder)
        name, change = dice.choice(names), dice.choice(CHANGES)
        before = (folder / name).read_bytes()
        after = change(before, dice)
        if after != before:
            (folder / name).write_bytes(after)
            again = name not in (MANIFEST, HEAD) and dice.random() < 0.5
            if again:
                summed_again(folder)
            checked = verify(folder)
            assert checked.verdict != "whole", f"{name}, {change.__name__}, summed again: {again}"
            assert checked.faults
            done += 1
        shutil.rmtree(folder)


def test_files_taken_away_or_exchanged_are_found(whole: Path, memory: Path) -> None:
    names = sorted(p.name for p in whole.iterdir())
    for name in names:
        folder = shutil.copytree(whole, memory / f"without {name}")
        (folder / name).unlink()
        checked = verify(folder)
        assert checked.verdict == "incomplete"
        assert name in [fault.file for fault in checked.faults]
    for one in names:
        for two in names:
            if one < two:
                folder = shutil.copytree(whole, memory / "swapped")
                (folder / one).rename(folder / "x")
                (folder / two).rename(folder / one)
                (folder / "x").rename(folder / two)
                assert verify(folder).verdict != "whole"
                shutil.rmtree(folder)


@pytest.mark.parametrize(
    ("name", "change", "verdict", "where", "says"),
    [
        ("runs.csv", lambda d: d.replace(b"made", b"mode", 1), "altered", "runs.csv", "content"),
        ("runs.csv", lambda d: d + b"x", "altered", "runs.csv", "1 bytes longer"),
        ("runs.csv", lambda d: d[:100], "cut off", "runs.csv", "100 bytes of"),
        ("records.jsonl", lambda d: d[:-200], "cut off", "records.jsonl", "bytes of"),
        (MANIFEST, lambda d: d[:-5], "cut off", MANIFEST, "does not end with HEAD.json"),
        (MANIFEST, lambda d: d[: d.rindex(b"\n", 0, -1) + 1], "cut off", MANIFEST, "HEAD.json"),
        (MANIFEST, lambda d: b"x" + d, "altered", MANIFEST, "line 1"),
        (HEAD, lambda d: d[:-30], "altered", HEAD, "cannot be read"),
    ],
)
def test_what_and_where(
    whole: Path,
    memory: Path,
    name: str,
    change: Callable[[bytes], bytes],
    verdict: str,
    where: str,
    says: str,
) -> None:
    folder = shutil.copytree(whole, memory / "edited")
    (folder / name).write_bytes(change((folder / name).read_bytes()))
    checked = verify(folder)
    assert checked.verdict == verdict
    assert any(f.file.startswith(where) and says in f.says for f in checked.faults)


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (lambda lines: lines[:3] + lines[4:], "record 4 of"),
        (lambda lines: [*lines[:2], lines[3], lines[2], *lines[4:]], "record 3 of"),
        (lambda lines: lines[:-1], "record 8 and all after it are missing"),
        (lambda lines: [*lines, lines[-1]], "record 8 is one too many"),
        (lambda lines: [lines[0].replace(b"R. Ost", b"R. Est"), *lines[1:]], "record 1 does not"),
        (lambda lines: [*lines[:5], b"{}\n", *lines[6:]], "record 6 of"),
    ],
)
def test_the_chain_shows_the_record_even_when_the_sums_were_made_again(
    whole: Path, memory: Path, edit: Callable[[list[bytes]], list[bytes]], says: str
) -> None:
    folder = shutil.copytree(whole, memory / "edited")
    path = folder / "records.jsonl"
    before = sha256(path.read_bytes()).hexdigest()
    size = path.stat().st_size
    path.write_bytes(b"".join(edit(path.read_bytes().splitlines(keepends=True))))
    after = sha256(path.read_bytes()).hexdigest()
    head = (folder / HEAD).read_text().replace(before, after)
    (folder / HEAD).write_text(head.replace(f'"bytes": {size}', f'"bytes": {path.stat().st_size}'))
    summed_again(folder)
    checked = verify(folder)
    assert [says in fault.says for fault in checked.faults] == [True]
    assert checked.verdict in ("altered", "cut off")


def test_copies_that_nobody_touched_are_whole(memory: Path) -> None:
    for number in range(12):
        with bench_log(memory / f"state-{number}", pieces=number, seed=number) as store:
            for after in (0, number // 2):
                assert verify(copied(store, memory, after=after).folder).verdict == "whole"
    folders = [p for p in memory.iterdir() if p.name.startswith("benchcalc-")]
    assert verify(collected(folders, memory / "all").folder).verdict == "whole"


def test_a_stranger_in_the_folder_is_named_and_accuses_nobody(whole: Path, memory: Path) -> None:
    folder = shutil.copytree(whole, memory / "copy")
    (folder / "Thumbs.db").write_bytes(b"x")
    checked = verify(folder)
    assert (checked.verdict, checked.added) == ("whole", ("Thumbs.db",))
