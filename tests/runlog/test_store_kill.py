"""The store under kill -9: what was acknowledged is there, what was not is whole or absent.

A killed process shows that no act is half kept; it shows nothing about a power cut, where the
disk's own cache counts.
"""

import multiprocessing
import random
import time
from multiprocessing.connection import Connection
from pathlib import Path

from benchcalc.runlog.store import Store

WHEN = "2031-05-04T09:30:00+00:00"
KILLS = 60


def work_until_killed(folder: str, acknowledged: Connection) -> None:
    opened = Store.open(Path(folder), "boot")
    while True:
        n = opened.count() + 1
        sequence = opened.append("piece", {"n": n, "pad": "x" * 3000}, WHEN, False, work=[n, 0])
        acknowledged.send((sequence, 0))
        for saved in (1, 2):
            opened.save_work("panel", [n, saved])
            acknowledged.send((n, saved))


def kill_one(folder: Path, after_s: float, at_work: bool) -> tuple[int, int] | None:
    """Let a child work, kill it, and return the last act it was told is kept.

    ``at_work`` waits for its first act; else it may be killed while it opens.
    """
    context = multiprocessing.get_context("fork")
    reader, writer = context.Pipe(duplex=False)
    child = context.Process(target=work_until_killed, args=(str(folder), writer))
    child.start()
    writer.close()
    if at_work:
        reader.poll(20)
    deadline = time.monotonic() + after_s
    last = None
    try:
        while (left := deadline - time.monotonic()) > 0:
            if reader.poll(left):
                last = reader.recv()
        child.kill()
        while True:
            last = reader.recv()
    except EOFError:
        pass
    child.join()
    reader.close()
    assert child.exitcode == -9, "the child ended by itself"
    return last


def following(act: tuple[int, int]) -> tuple[int, int]:
    n, saved = act
    return (n, saved + 1) if saved < 2 else (n + 1, 0)


def test_what_was_acknowledged_outlives_a_kill_at_any_moment(tmp_path: Path) -> None:
    dice = random.Random(20310504)
    known, working_kills = (0, 2), 0
    for _ in range(KILLS):
        after_s = dice.choice([0.01, 0.04, 0.12]) * dice.random() + 0.004
        last = kill_one(tmp_path, after_s, at_work=dice.random() < 0.7)
        working_kills += last is not None
        known = last or known
        with Store.open(tmp_path, "boot") as opened:
            assert opened.set_aside is None
            kept = opened.load_work()
            now = (0, 2) if kept is None else (kept[0], kept[1])
            # The act in flight may have been kept; a child's first act is the next piece.
            assert now in (known, following(known) if last else (known[0] + 1, 0))
            sequences = [(e.sequence, e.body["n"]) for e in opened.records()]
            assert sequences == [(n, n) for n in range(1, now[0] + 1)]
        known = now
    assert working_kills > KILLS // 3, "too few children were killed at work to show anything"
