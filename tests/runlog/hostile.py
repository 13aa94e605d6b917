"""Copies that somebody edited, hashes redone too, and folders that are meant to do harm.

``python -m tests.runlog.hostile --edits 3000 --folders 200``: ``verify`` finds each edit, but for
files that only their own hashes tell of; a good copy beside hostile folders is always collected,
and neither command ends in a traceback.
"""

import argparse
import json
import os
import random
import shutil
import sys
import tempfile
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

from benchcalc.runlog.chain import FIRST, Stored, export_line, linked, parse_line
from benchcalc.runlog.copies.export import Enclosed
from benchcalc.runlog.copies.known import Known, is_known
from benchcalc.runlog.copies.manifest import HEAD, MANIFEST
from benchcalc.runlog.copies.verify import verify
from benchcalc.runlog.signing import SIGNATURE, BenchKey, Signer, key_of_bench, make_key
from tests.runlog.bench_log import bench_log
from tests.runlog.copying import copied
from tests.runlog.flips import run
from tests.runlog.test_verify import CHANGES

UNPROVED = {"benders.yaml", "springback.json"}
"""What a chain does not reach: only a signature could tell of it."""


def whole(place: Path, signer: Signer | None = None) -> Path:
    """A copy that nobody touched."""
    with bench_log(place / "state", pieces=6) as store:
        enclosed = Enclosed({"benders.yaml": b"x: 1\n"}, {"lots": 1}, signer=signer)
        return copied(store, place, enclosed).folder


def key(place: Path) -> BenchKey:
    """A key made in this folder."""
    place.mkdir(exist_ok=True)
    make_key(place)
    made = key_of_bench(place)
    assert made is not None
    return made


def signed_anew(folder: Path, signer: Signer | None) -> None:
    """A forger's signature in the place of the bench's; or none, and no word of one."""
    head = json.loads((folder / HEAD).read_bytes())
    head.pop("signed_by", None)
    if signer is not None:
        head["signed_by"] = signer.fingerprint
    (folder / HEAD).write_text(json.dumps(head))
    (folder / SIGNATURE).unlink(missing_ok=True)
    sums_redone(folder)
    if signer is not None:
        (folder / SIGNATURE).write_bytes(signer.sign((folder / MANIFEST).read_bytes()))


def sums_redone(folder: Path) -> None:
    """HEAD.json and MANIFEST as if the files had always been like this."""
    head = json.loads((folder / HEAD).read_bytes())
    for name in head["files"]:
        data = (folder / name).read_bytes()
        head["files"][name] = {"bytes": len(data), "sha256": sha256(data).hexdigest()}
    (folder / HEAD).write_text(json.dumps(head, ensure_ascii=False, indent=1) + "\n")
    names = [*sorted(head["files"]), HEAD]
    lines = [f"{sha256((folder / n).read_bytes()).hexdigest()}  {n}\n" for n in names]
    (folder / MANIFEST).write_text("".join(lines))


def edits(
    copy: Path, count: int, seed: int, known: Known | None = None, forger: Signer | None = None
) -> tuple[int, list[str]]:
    """Random edits of every file; how many were only seen by their own hashes, and the faults.

    Where the bench is ``known`` none may pass for its copy, whatever was done over again; the
    forger tries without a signature, too, and with one of his own.
    """
    dice, wrong, unproved, done = random.Random(seed), list[str](), 0, 0
    names = sorted(p.name for p in copy.iterdir())
    while done < count:
        with tempfile.TemporaryDirectory(dir="/dev/shm") as place:
            folder = shutil.copytree(copy, Path(place) / "edited")
            name, change = dice.choice(names), dice.choice(CHANGES)
            before = (folder / name).read_bytes()
            after = change(before, dice)
            if after == before:
                continue
            (folder / name).write_bytes(after)
            again = name not in (HEAD, MANIFEST, SIGNATURE) and dice.random() < 0.6
            way = dice.choice(("hashes", "unsigned", "his own")) if forger else "hashes"
            if again and way == "hashes":
                sums_redone(folder)
            elif again:
                signed_anew(folder, forger if way == "his own" else None)
            done += 1
            try:
                seen = verify(folder)
            except Exception as error:
                wrong.append(f"{name}, {change.__name__}, {again}: {error!r}")
                continue
            good = seen.verdict == "whole" and (known is None or is_known(seen, known))
            unproved += seen.verdict == "whole" and again and name in UNPROVED
            if good and not (known is None and again and name in UNPROVED):
                wrong.append(f"{name}, {change.__name__}, redone: {again}, {way}: whole")
    return unproved, wrong


Hostile = Callable[[Path, random.Random], None]


def forged(body: str, device: str = "0123456789abcdef", kind: str = "piece") -> Callable[..., None]:
    """A copy whose chain and hashes are right, made by hand around a body of any kind."""

    def make(folder: Path, dice: random.Random) -> None:
        folder.mkdir()
        record = Stored(1, "b", "2031-05-04T09:30:00+00:00", 1, kind, body, "")
        text = record.text(device).encode("utf-8", "surrogatepass")
        own = linked(FIRST, text)
        (folder / "records.jsonl").write_bytes(export_line(text, own))
        for name in ("runs.csv", "bends.csv", "points.csv", "remarks.csv", "report.html"):
            (folder / name).write_bytes(b"")
        span = {"device": device, "after": 0, "after_hash": FIRST, "last": 1, "last_hash": own}
        head: dict[str, Any] = {
            "benchcalc": 1, "kind": "export", "title": "x", "tables": dice.choice([0, 1, 2, 99]),
            "software": "0", "wall_time": "x" * 9000 + "\n\x1b[2J", "clock_trusted": True,
            "chains": [span], "notes": ["\x1b]0;\x07" + "n" * 99999],
            "files": {n: {} for n in ("records.jsonl", "runs.csv", "bends.csv", "points.csv",
                                      "remarks.csv", "report.html")},
        }  # fmt: skip
        (folder / HEAD).write_text(json.dumps(head))
        sums_redone(folder)

    return make


def with_name(name: str) -> Callable[..., None]:
    """A copy that names a file outside its folder, or one that no copy has."""

    def make(folder: Path, dice: random.Random) -> None:
        forged("{}")(folder, dice)
        head = json.loads((folder / HEAD).read_bytes())
        data = b"root:x:0:0\n"
        head["files"][name] = {"bytes": len(data), "sha256": sha256(data).hexdigest()}
        (folder / HEAD).write_text(json.dumps(head))

    return make


def linked_out(folder: Path, dice: random.Random) -> None:
    forged("{}")(folder, dice)
    target = dice.choice(["/etc/passwd", "/dev/zero", str(folder), "nowhere"])
    name = dice.choice(["records.jsonl", "runs.csv", HEAD, MANIFEST, "more"])
    (folder / name).unlink(missing_ok=True)
    (folder / name).symlink_to(target)


def with_pipe(folder: Path, dice: random.Random) -> None:
    forged("{}")(folder, dice)
    name = dice.choice(["records.jsonl", "runs.csv", HEAD, MANIFEST, "more"])
    (folder / name).unlink(missing_ok=True)
    os.mkfifo(folder / name)


def odd_names(folder: Path, dice: random.Random) -> None:
    forged("{}")(folder, dice)
    for raw in (b"\xff\xfe", b"a\nb", b"\x1b[2J", "\u202egnp".encode(), b"x" * 255):
        (folder / os.fsdecode(raw)).write_bytes(b"x")


def deep(folder: Path, dice: random.Random) -> None:
    forged("{}")(folder, dice)
    inside = folder
    for _ in range(900):
        inside = inside / "d"
    inside.mkdir(parents=True)


def garbled(folder: Path, dice: random.Random) -> None:
    folder.mkdir()
    for name in (HEAD, MANIFEST, "records.jsonl"):
        (folder / name).write_bytes(dice.randbytes(dice.choice([0, 1, 50, 5000])))


def nested(folder: Path, dice: random.Random) -> None:
    folder.mkdir()
    (folder / HEAD).write_text("[" * 100_000)
    (folder / MANIFEST).write_text("x")


def half(folder: Path, dice: random.Random) -> None:
    folder.mkdir()
    (folder / "records.jsonl").write_bytes(b"{")


def cloned(folder: Path, dice: random.Random) -> None:
    """The good copy beside it, a record of it changed, chain and hashes worked out again."""
    (good,) = (p for p in folder.parent.iterdir() if (p / "benders.yaml").exists() and
               "-" in p.name[10:])  # fmt: skip
    shutil.copytree(good, folder)
    lines = [parse_line(x) for x in (folder / "records.jsonl").open("rb")]
    at, previous, out = dice.randrange(len(lines)), FIRST, b""
    for number, line in enumerate(lines):
        record = line.record
        if number == at:
            record = record._replace(wall_time="2031-06-06T06:06:06+00:00")
        text = record.text(line.device).encode()
        previous = linked(previous, text)
        out += export_line(text, previous)
    (folder / "records.jsonl").write_bytes(out)
    head = json.loads((folder / HEAD).read_bytes())
    head["chains"][0]["last_hash"] = previous
    head["tables"] = 0
    (folder / HEAD).write_text(json.dumps(head))
    (folder / "benders.yaml").unlink()
    del head["files"]["benders.yaml"]
    (folder / HEAD).write_text(json.dumps(head))
    sums_redone(folder)


PIECE = {
    "form": 2, "name": "x", "drawing": "", "operator": "", "piece": 1, "pieces": 1, "od_mm": 10.0,
    "wall_mm": 1.0, "material": "316", "material_values": {}, "lot": "L", "bender": "b",
    "bender_values": {}, "theory": None, "tolerance_deg": 0.5, "cut_length_mm": 1.0, "bends": [],
    "findings": [], "corrections": [], "outcome": "made", "why": "", "software": "0",
}  # fmt: skip


def piece_with(**changes: Any) -> str:
    return json.dumps({**PIECE, **changes})


BEND = {
    "number": 1, "order": 1, "target_deg": 90.0, "overbend_deg": 1.0, "bend_to_deg": 91.0,
    "overbend_from": "estimate", "first_pull_deg": 90.0, "line": "90", "mark_mm": 1.0,
    "turn_deg": 0.0, "held": "reference", "radius_mm": 1.0, "verdict": "good", "counted": 1.0,
    "calipers_mm": None, "released_deg": 90.0,
    "pulls": [{"pulled_to_deg": 92.0, "released_deg": 90.0, "by": "hand", "raw_deg": None,
               "zero_deg": None}],
}  # fmt: skip

BODIES = [
    '{"form":2,"od_mm":1e999}', '{"a":NaN}', '{"a":-Infinity}', '{"a":"\\ud800"}',
    '{"a":' * 3000 + "1" + "}" * 3000, '{"a":' * 900 + "1" + "}" * 900, "[]", "null", "1", "{",
    '{"a":' + "9" * 5000 + "}", "{}",
    piece_with(name=5), piece_with(why={"a": 1}, outcome="scrapped"), piece_with(bends=[7]),
    piece_with(bends=[{**BEND, "released_deg": 1e308}]), piece_with(od_mm="x"),
    piece_with(bends=[{**BEND, "pulls": [{"pulled_to_deg": 1e300, "released_deg": -1e300,
                                          "by": "hand"}]}]),
    piece_with(name="=cmd|' /C calc'!A0", lot="\u200b=1+1", operator="\x1b[2J"),
    piece_with(name="x" * 200_000), piece_with(findings=[{"level": 1, "rule": 2,
                                                          "overridden_by": [1]}]),
    piece_with(theory={"a_deg": "x"}, bends=[BEND]), piece_with(theory=5, bends=[BEND]),
    piece_with(theory={"a_deg": 1e308, "b": 1e308, "var_a": -1.0, "var_b": 0.0}, bends=[BEND]),
    piece_with(cut_length_mm=10**19), piece_with(form=9), piece_with(piece=[1]),
]  # fmt: skip

HOSTILE: list[Hostile] = [
    *(forged(body) for body in BODIES),
    *(forged(body, kind=kind) for body in BODIES[:12] for kind in ("remark", "trial", "first-piece",
                                                                  "springback-word", "zzz")),
    forged("{}", device="../../../../etc"), forged("{}", device="a\\n"), forged("{}", device=""),
    forged('{"about":1,"text":"x","operator":[]}', kind="remark"),
    forged('{"form":2,"lost":[[1,99999999999]]}', kind="lost"),
    with_name("../outside"), with_name("/etc/passwd"), with_name("a/../../b"), with_name(""),
    with_name("a" * 5000), with_name("\x00"), with_name("records/../../x"),
    linked_out, with_pipe, odd_names, deep, garbled, nested, half, cloned,
]  # fmt: skip


def beside(copy: Path, count: int, seed: int) -> list[str]:
    """The good copy among so many hostile folders, collected and verified by the commands."""
    dice = random.Random(seed)
    with tempfile.TemporaryDirectory(dir="/dev/shm") as place:
        stick, into = Path(place) / "stick", Path(place) / "office"
        stick.mkdir()
        into.mkdir()
        good = shutil.copytree(copy, stick / copy.name)
        for number in range(count):
            HOSTILE[number % len(HOSTILE)](stick / f"benchcalc-{number:03}", dice)
        (stick / "good-again").symlink_to(good)
        wrong = []
        for words in (("verify", str(stick)), ("collect", str(stick), "--into", str(into))):
            ran = run(*words)
            if "Traceback" in ran.says or ran.code not in (1, 3):
                wrong.append(f"{words[0]} ended with {ran.code}: {ran.says[-1500:]}")
            odd = [line for line in ran.says.splitlines() if not line.isprintable()]
            if odd or any(len(line) > 600 for line in ran.says.splitlines()):
                wrong.append(f"{words[0]} printed {odd[:2] or 'a line without end'}")
        found = list(into.glob("benchcalc-collected*/**/records.jsonl"))
        lines = {line for path in found for line in path.read_bytes().splitlines()}
        if missing := set((copy / "records.jsonl").read_bytes().splitlines()) - lines:
            wrong.append(f"{len(missing)} records of the good copy were not collected")
        for collection in into.iterdir():
            if (again := run("verify", str(collection))).code != 0:
                wrong.append(f"the collection: {again.says[-600:]}")
        os.system(f"rm -rf {stick}")  # deeper than rmtree goes
    return wrong


def main_() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.runlog.hostile", description=__doc__)
    parser.add_argument("--edits", type=int, default=3000)
    parser.add_argument("--folders", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(dir="/dev/shm") as place:
        copy = whole(Path(place))
        unproved, wrong = edits(copy, given.edits, given.seed)
        print(f"{given.edits} edits, {len(wrong)} not found, {unproved} of them out of reach")
        bench, forger = key(Path(place) / "bench"), key(Path(place) / "forger")
        signed = whole(Path(place) / "signed", bench)
        known = {bench.fingerprint: "bench 1"}
        unproved, passed = edits(signed, given.edits, given.seed, known, forger)
        print(
            f"{given.edits} edits of a signed copy of a known bench, {len(passed)} taken for its "
            f"own; {unproved} whole by all hashes, and by nobody that is known"
        )
        wrong += passed
        more = beside(copy, given.folders, given.seed)
    print(f"{given.folders} hostile folders, {len(more)} faults")
    print("\n".join((wrong + more)[:40]))
    return 1 if wrong or more else 0


if __name__ == "__main__":
    sys.exit(main_())
