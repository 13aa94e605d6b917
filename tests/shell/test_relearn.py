"""Springback learnt again from collected records: the same as the benches learnt by themselves."""

import json
import random
from pathlib import Path

from benchcalc.core.springback.learning import together
from benchcalc.core.springback.lessons import taught_of
from benchcalc.runlog.records import PIECE
from benchcalc.runlog.store import Store
from benchcalc.shell.relearn import Relearning
from benchcalc.shell.taught import refit
from tests.runlog.bench_log import WHEN, piece
from tests.runlog.copying import collected, copied


def bench(folder: Path, pieces: int, seed: int) -> Store:
    dice = random.Random(seed)
    opened = Store.open(folder, "b")
    for _ in range(pieces):
        opened.append(PIECE, piece(dice, 3), WHEN, False)
    return opened


def test_one_bench_is_learnt_as_it_learnt_itself(memory: Path) -> None:
    with bench(memory / "one", 12, 1) as store:
        folder = copied(store, memory).folder
        learnt = refit(store)
    told = collected([folder, folder], memory / "all", Relearning())
    again = taught_of(json.loads((told.folder / "springback.json").read_text()))
    assert again == learnt
    assert sum(again.lots.values()) == 36


def test_two_benches_add_up_and_overlaps_change_nothing(memory: Path) -> None:
    copies, each = [], []
    for name, seed in (("one", 1), ("two", 2)):
        with bench(memory / name, 8, seed) as store:
            copies.append(copied(store, memory).folder)
            each.append(refit(store))
            copies.append(copied(store, memory, after=4).folder)
    told = collected(copies, memory / "all", Relearning())
    again = taught_of(json.loads((told.folder / "springback.json").read_text()))
    assert again in (together(each), together(reversed(each)))


def test_a_record_of_another_program_is_counted_and_teaches_nothing() -> None:
    relearning = Relearning()
    relearning.take("a", 1, "trial", {"form": 9}, "2026-01-01")
    state = relearning.state()
    assert (state["lots"], state["groups"], state["unread"]) == ([], [], 1)
