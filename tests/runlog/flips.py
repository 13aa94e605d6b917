"""Single bits flipped in a store that the program made, and what the program then makes of it.

``python -m tests.runlog.flips --records 500 --structure 200 --log 100``: each flip in a copy of its
own. The commands that read are run on it and must leave it as it is; then the panel is started,
adds a record, and the log is exported once more. Every record but the one that was hit must come
out both times, and what does not come out must be said.
"""

import argparse
import contextlib
import io
import json
import os
import random
import shutil
import sys
import tempfile
import traceback
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.app import restored
from benchcalc.cli import main
from benchcalc.core.springback.lessons import WORD, word_on
from benchcalc.files.loading import asset_path, load_shop
from benchcalc.panel.state.messages import AppendRecord, ReadLessons
from benchcalc.panel.state.model import Model, work_plain
from benchcalc.panel.update import view
from benchcalc.runlog.carve import _HEAD, Carved, _local, _sizes
from benchcalc.runlog.chain import Stored
from benchcalc.runlog.database import PAGE
from benchcalc.runlog.marks import read_notices
from benchcalc.runlog.records import REMARK, remark
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.shell.memory import read_lessons
from tests.crash.session import SIZE, make_piece, new_loop, tap_all

READING = (
    ("runs",),
    ("verify",),
    ("springback",),
    ("sheet", "--bench", str(asset_path("demo.yaml"))),
)
TRIAL_WORDS = ("trial", "bench-10mm", "--keep", "--bend", "300,160,160,90", "--u", "64.2")


class Made(NamedTuple):
    """A store as the program left it when it was killed, and what it held."""

    folder: Path
    records: tuple[Stored, ...]
    work: Any


def made(place: Path, pieces: int = 5) -> Made:
    """Pieces tapped on the panel, trials, remarks, a bend struck; a piece begun, and a kill."""
    alive, killed = place / "alive", place / "killed"
    with environment(alive):
        with Store.open(alive, "boot-1") as store:
            loop = new_loop(store)
            for number in range(pieces):
                tap_all(loop, ("make" if number == 0 else "one more",))
                while loop.model.work.screen == "make":
                    make_piece(loop, first_off_deg=number % 3)
            key = next(iter(loop.model.taught.lots))
            from benchcalc.core.springback.lessons import key_plain

            lessons = read_lessons(store, ReadLessons(key_plain(key)))
            loop._carry_out(AppendRecord(WORD, word_on(lessons[0], 0.0)))
        run("runs", "--remark", "1", "weeps at the ferrule, refitted " * 30)
        run(*TRIAL_WORDS)
        run("runs", "--remark", "2", "holds")
    store = Store.open(alive, "boot-2")
    loop = new_loop(store)
    tap_all(loop, ("make",))
    make_piece(loop, until="check")
    shutil.copytree(alive, killed)
    records = tuple(store.stored())
    store.close()
    return Made(killed, records, work_plain(loop.model.work))


@contextlib.contextmanager
def environment(state: Path) -> Iterator[None]:
    """The commands' own environment, this state in it."""
    kept = dict(os.environ)
    os.environ.update(BENCHCALC_STATE=str(state), BENCHCALC_CONFIG=str(state / "none"))
    try:
        yield
    finally:
        os.environ.clear()
        os.environ.update(kept)


class Ran(NamedTuple):
    """How a command ended, and all it said."""

    code: int
    says: str


def run(*words: str) -> Ran:
    """A command as the program runs it, in this process."""
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        try:
            code = main(list(words))
        except SystemExit as ended:
            code = int(ended.code or 0)
        except BaseException:
            traceback.print_exc(file=said)
            code = 70
    return Ran(code, said.getvalue())


def payloads(made_: Made) -> Iterator[tuple[int, int, int]]:
    """Where the bytes of each record lie in the database: its number, from, to."""
    path = made_.folder / "records.db"
    data, carved = path.read_bytes(), Carved(path)
    for number, places in carved._found.items():
        for place in places:
            if place.log:
                continue
            start = (place.page - 1) * PAGE + place.at
            found = _HEAD.match(data, start)
            assert found is not None
            size = found.end() - start + sum(_sizes(found) or ())
            local = _local(size, PAGE)
            yield number, start, start + local
            left, end = size - local, start + local
            while left > 0:
                page = int.from_bytes(data[end : end + 4], "big")
                start = (page - 1) * PAGE
                yield number, start, start + 4 + min(left, PAGE - 4)
                left, end = left - (PAGE - 4), start


def flip(path: Path, at: int, bit: int) -> None:
    data = bytearray(path.read_bytes())
    data[at] ^= 1 << bit
    path.write_bytes(data)


def fingerprints(folder: Path) -> dict[str, tuple[str, int]]:
    """Every file, byte for byte, and when it was last written."""
    return {
        p.name: (sha256(p.read_bytes()).hexdigest(), p.stat().st_mtime_ns)
        for p in folder.iterdir()
        if p.name != "records.copied.json"  # the mark of a copy, outside the log
    }


def exported(stick: Path) -> dict[int, dict[str, Any]]:
    """The records of the only copy on a stick."""
    (copy,) = stick.iterdir()
    lines = (copy / "records.jsonl").read_text(encoding="utf-8").splitlines()
    found = {}
    for line in lines:
        plain = json.loads(line)
        found[plain["sequence"]] = plain
    return found


def faults(made_: Made, folder: Path, hit: set[int]) -> list[str]:
    """What is wrong after a flip in ``folder``; ``hit`` are the records it may have damaged."""
    wrong: list[str] = []
    with environment(folder):
        before = fingerprints(folder)
        ran = {words[0]: run(*words) for words in READING}
        ran["export"] = _exported(folder, folder.parent / "stick", made_, hit, wrong)
        wrong += [f"{v} ended with {r.code}: {r.says[-600:]}" for v, r in ran.items() if _bad(r)]
        if fingerprints(folder) != before:
            wrong.append(f"a command that reads changed {_differing(before, folder)}")
        wrong += _panel(made_, folder)
        _exported(folder, folder.parent / "stick-2", made_, hit, wrong)
    return wrong


def _bad(ran: Ran) -> bool:
    return ran.code not in (0, 1, 3) or "Traceback" in ran.says


def _differing(before: dict[str, tuple[str, int]], folder: Path) -> list[str]:
    after = fingerprints(folder)
    return [name for name in before.keys() | after.keys() if before.get(name) != after.get(name)]


def _exported(folder: Path, stick: Path, made_: Made, hit: set[int], wrong: list[str]) -> Ran:
    stick.mkdir()
    ran = run("export", "--all", str(stick))
    if not list(stick.iterdir()):
        wrong.append(f"nothing exported to {stick.name}: {ran}")
        return ran
    found = exported(stick)
    lacking = []
    for record in made_.records:
        plain = found.get(record.sequence)
        if plain is None:
            lacking.append(record.sequence)
        elif json.dumps(plain["body"], sort_keys=True) != json.dumps(
            json.loads(record.body), sort_keys=True
        ):
            wrong.append(f"record {record.sequence} came out altered to {stick.name}")
    if set(lacking) - hit:
        wrong.append(f"whole records not exported to {stick.name}: {lacking}, hit {sorted(hit)}")
    if lacking and stick.name == "stick" and ran.code != 3:
        wrong.append(f"{lacking} not exported and not said: {ran}")
    (copy,) = stick.iterdir()
    if (checked := run("verify", str(copy))).code != 0:
        wrong.append(f"the copy on {stick.name} is not whole: {checked.says[-300:]}")
    shutil.rmtree(stick)
    return ran


def _panel(made_: Made, folder: Path) -> list[str]:
    """The panel's start, its first picture, a record added, and what became of the work."""
    try:
        with Store.open(folder, "after") as store:
            model = restored(Model(load_shop(None), SIZE), store)
            view(model)
            work = store.load_work(PANEL_SLOT)
            said = bool(model.trouble) or bool(read_notices(folder))
            store.append(REMARK, remark(1, "after"), "", False)
    except BaseException:
        return [f"the panel does not start: {traceback.format_exc()[-900:]}"]
    if json.dumps(work, sort_keys=True) != json.dumps(made_.work, sort_keys=True) and not said:
        return ["the work in hand is not what was saved, and nothing is said"]
    return []


class Flip(NamedTuple):
    """One flip: in the database or its log, where, and which record it may hit."""

    name: str
    at: int
    bit: int
    hit: frozenset[int]


def flips(made_: Made, records: int, structure: int, log: int, seed: int) -> Iterator[Flip]:
    """So many of each, by lot; those in records go round all kinds."""
    dice = random.Random(seed)
    ranges = list(payloads(made_))
    kinds: dict[str, list[tuple[int, int, int]]] = {}
    for number, start, end in ranges:
        kind = next(r.kind for r in made_.records if r.sequence == number)
        kinds.setdefault(kind, []).append((number, start, end))
    size = (made_.folder / "records.db").stat().st_size
    for n in range(records):
        number, start, end = dice.choice(kinds[sorted(kinds)[n % len(kinds)]])
        yield Flip("records.db", dice.randrange(start, end), dice.randrange(8), frozenset({number}))
    for n in range(structure):
        at = 0
        while not at or any(start <= at < end for _, start, end in ranges):
            # Every second one where pages, tables and the file itself begin.
            page = 4096 * dice.randrange(size // 4096)
            at = page + dice.randrange(120) if n % 2 else dice.randrange(size)
        near = frozenset(r for r, start, end in ranges if start - 12 <= at < end)
        yield Flip("records.db", at, dice.randrange(8), near)
    wal = (made_.folder / "records.db-wal").stat().st_size
    for _ in range(log):
        yield Flip("records.db-wal", dice.randrange(wal), dice.randrange(8), frozenset())


def attack(made_: Made, all_of_them: list[Flip]) -> list[str]:
    """Each flip in a copy of its own, in memory."""
    found = []
    for one in all_of_them:
        with tempfile.TemporaryDirectory(dir="/dev/shm") as place:
            folder = Path(place) / "state"
            shutil.copytree(made_.folder, folder)
            flip(folder / one.name, one.at, one.bit)
            found += [f"{one}: {fault}" for fault in faults(made_, folder, set(one.hit))]
    return found


def main_() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.runlog.flips", description=__doc__)
    parser.add_argument("--records", type=int, default=500)
    parser.add_argument("--structure", type=int, default=200)
    parser.add_argument("--log", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(dir="/dev/shm") as place:
        made_ = made(Path(place))
        all_of_them = list(flips(made_, given.records, given.structure, given.log, given.seed))
        found = attack(made_, all_of_them)
    print(f"{len(all_of_them)} flips, {len(found)} faults")
    print("\n".join(found[:40]))
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main_())
