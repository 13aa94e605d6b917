"""Every moment of a recorded session as a crash: does the store start, is what was kept there?"""

import hashlib
import json
import random
import sqlite3
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.runlog import schema
from benchcalc.runlog.chain import FIRST, linked
from benchcalc.runlog.store import Store
from tests.crash.disk import Disk, Files, all_there, last_torn, only_synced, some_lost
from tests.crash.session import state_of
from tests.crash.trace import Act, recorded

TORN, WAYS = 5, 10
"""Ways at each moment: nothing lost, all unsynced lost, some torn, some lost or torn by lot."""

WHEN = "2031-05-04T09:30:00+00:00"
KINDS = ("taps", "older", "damaged")


class Moment(NamedTuple):
    """A crash: after which act, in which way, what the disk holds, and what may be kept there."""

    after: int
    way: int
    files: Files
    allowed: list[Any]


def prepared(kind: str, folder: Path) -> None:
    """What a session of this kind finds."""
    if kind == "taps":
        return
    folder.mkdir()
    if kind == "damaged":
        (folder / "records.db").write_bytes(b"\xa5" * 9000)
        (folder / "records.db-wal").write_bytes(b"\x11" * 5000)
        return
    db = sqlite3.connect(folder / "records.db", isolation_level=None)
    db.execute("PRAGMA journal_mode = wal")
    for statement in (schema.LEDGER, *schema.STEPS[0]):
        db.execute(statement)
    db.execute("INSERT INTO schema_steps VALUES (1, 'b')")
    for n in range(1, 61):
        row = ("b", WHEN, 0, "note", json.dumps({"n": n, "pad": "x" * 700}))
        db.execute("INSERT INTO records VALUES (NULL, ?, ?, ?, ?, ?)", row)
    db.close()


def record(kind: str, place: Path) -> tuple[Disk, list[Act]]:
    """The disk before a session, and all that the session asked of it."""
    folder = place / kind
    prepared(kind, folder)
    before = Disk.of(folder)
    done = recorded(kind, folder, place / f"{kind}.log", place / f"{kind}.strace")
    return before, done


def moments(disk: Disk, done: list[Act], seed: int) -> Iterator[Moment]:
    """Every act of the session with the power going right after it, in every way."""
    dice = random.Random(seed)
    outcomes = [t["now"] for act in done if (t := _told(act)) and t["what"] == "kept"]
    kept, begun = 0, False
    for number, act in enumerate(done):
        disk.apply(act)
        told = _told(act)
        if told is not None:
            begun = told["what"] == "begun"
            kept += not begun
            continue
        allowed = outcomes[max(kept - 1, 0) : kept + 1] if begun else outcomes[kept - 1 : kept]
        for way in range(WAYS):
            # Before the first act is acknowledged nothing is promised but a start.
            yield Moment(number, way, _files(disk, way, dice), allowed if kept else [])


def _told(act: Act) -> dict[str, Any] | None:
    return json.loads(act.data) if act.doing == "told" else None


def _files(disk: Disk, way: int, dice: random.Random) -> Files:
    if way == 0:
        return all_there(disk)
    if way == 1:
        return only_synced(disk)
    return last_torn(disk, dice) if way < TORN else some_lost(disk, dice)


def fault_of(moment: Moment, older: int = 0) -> str:
    """What is wrong after this crash, nothing when all is as it was promised.

    ``older`` records were there before the session began.
    """
    with tempfile.TemporaryDirectory(dir="/dev/shm") as name:
        for path, data in moment.files.items():
            (Path(name) / path).write_bytes(data)
        try:
            with Store.open(Path(name), "after") as store:
                return _wrong_in(store, moment, older)
        except Exception as error:
            return f"does not start: {type(error).__name__}: {error}"


def _wrong_in(store: Store, moment: Moment, older: int) -> str:
    found = state_of(store)
    if moment.allowed and found not in moment.allowed:
        return f"lost: {found}, not in {moment.allowed} (set aside: {store.set_aside})"
    if found[0] < older:
        return f"lost: {found[0]} of {older} records that were there before"
    previous = FIRST
    for record in store.stored():
        previous = linked(previous, record.text(store.device).encode())
        if previous != record.hash:
            return f"record {record.sequence} does not match its hash"
    store.append("note", {"after": True}, WHEN, False)
    return "" if store.head().sequence == found[0] + 1 else "a new record got a wrong number"


def fingerprint(files: Files) -> bytes:
    """The same for states that are the same."""
    found = hashlib.blake2b(digest_size=16)
    for name in sorted(files):
        found.update(f"{name}\0{len(files[name])}\0".encode())
        found.update(files[name])
    return found.digest()


class Result(NamedTuple):
    """How many states there were, how many were different ones, and what was wrong."""

    states: int
    different: int
    faults: list[str]
    ways: Counter[int]


def replay(kind: str, place: Path, seed: int = 1, share: float = 1.0) -> Result:
    """Crash a session at every moment (or a share of them, by lot) and look at each state."""
    return crashes(kind, *record(kind, place), seed, share)


def crashes(kind: str, disk: Disk, done: list[Act], seed: int, share: float) -> Result:
    """The same of a session that was recorded already."""
    dice, seen, faults = random.Random(seed), set[bytes](), list[str]()
    states, ways = 0, Counter[int]()
    for moment in moments(disk, done, seed):
        if dice.random() >= share:
            continue
        states += 1
        ways[moment.way] += 1
        print_of = fingerprint(moment.files) + repr(moment.allowed).encode()
        if print_of in seen:
            continue
        seen.add(print_of)
        fault = fault_of(moment, 60 if kind == "older" else 0)
        if fault:
            faults.append(f"{kind}, act {moment.after}, way {moment.way}: {fault}")
    return Result(states, len(seen), faults, ways)
