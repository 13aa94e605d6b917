"""kill -9 in a session of taps: what the panel took is there, whenever it was killed."""

import json
import multiprocessing
import os
import random
import time
from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.app import restored
from benchcalc.files.loading import load_shop
from benchcalc.panel.state.model import Model
from benchcalc.runlog.store import Store
from benchcalc.shell.loop import Loop
from tests.crash.session import SIZE, NoWindow, ToldStore, state_of, tap_all

AFTER_S = (0.0, 0.25)
"""A child is killed some time after its first act; a session's acts take a few milliseconds."""


class Killed(NamedTuple):
    """How many were killed, how many of them between acts of theirs, and what was wrong."""

    kills: int
    at_work: int
    faults: list[str]


def tap_until_killed(folder: str, log: str, seed: int) -> None:
    """Go on from what was kept, tapping whatever key is shown, but for those that leave the job."""
    ToldStore.log = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    dice, shop = random.Random(seed), load_shop(None)
    store = ToldStore.open(Path(folder), f"boot-{seed}")
    loop = Loop(NoWindow(), store, restored(Model(shop, SIZE), store))
    while True:
        names = [t.name for t in loop.scene.targets]
        tap_all(loop, (dice.choice(names),))


def kill_many(place: Path, kills: int, seed: int = 7) -> Killed:
    """Kill one session after another, all on one store, and look at what is kept each time."""
    dice, faults, at_work = random.Random(seed), list[str](), 0
    context = multiprocessing.get_context("fork")
    folder, log = place / "store", place / "log"
    before: Any = None
    for number in range(kills):
        log.unlink(missing_ok=True)
        child = context.Process(target=tap_until_killed, args=(str(folder), str(log), number))
        child.start()
        _wait_for(log)
        time.sleep(dice.uniform(*AFTER_S))
        child.kill()
        child.join()
        told = [json.loads(line) for line in log.read_text().splitlines()]
        at_work += len(told) > 1
        faults += [f"kill {number}: {f}" for f in _faults(folder, told, before, child.exitcode)]
        with Store.open(folder, "after") as store:
            before = state_of(store)
    return Killed(kills, at_work, faults)


def _wait_for(log: Path) -> None:
    deadline = time.monotonic() + 20
    while time.monotonic() < deadline and not (log.exists() and log.stat().st_size):
        time.sleep(0.002)


def _faults(folder: Path, told: list[Any], before: Any, code: int | None) -> list[str]:
    """What is wrong with the store after a kill."""
    if code != -9:
        return [f"the session ended by itself, with {code}"]
    last = next((t["now"] for t in reversed(told) if t["what"] == "kept"), before)
    begun = bool(told) and told[-1]["what"] == "begun"
    with Store.open(folder, "after") as store:
        found = state_of(store)
        if store.set_aside is not None:
            return [f"set aside as {store.set_aside.name}"]
        # The act that was under way may have been kept: one record more, or other work.
        fits = found == last or (begun and (last is None or found[0] - last[0] in (0, 1)))
        return [] if fits else [f"found {found}, the last that was told is {last}"]
