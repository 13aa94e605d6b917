"""Every edit of a job can be taken back, one by one, to the first draft."""

import json
import os
import random

import pytest

from benchcalc.files.loading import asset_path, load_job
from benchcalc.panel.state.draft import draft_of
from benchcalc.panel.state.messages import KeyTyped, Pressed, Released
from benchcalc.panel.state.model import (
    KEPT_CHARACTERS,
    Draft,
    Model,
    Work,
    newest,
    work_of,
    work_plain,
)
from benchcalc.panel.update import update, view
from benchcalc.report.told import in_words
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, PORTS, RUN, SHAPES, SHOP, demo_draft, shape, typed

EDITS = int(os.environ.get("BENCHCALC_UNDO_ACTS", "400"))
ELSEWHERE = ("new", "jobs", "learnt", "trial", "settings", "make", "copy", "undo", "help")
"""Keys that begin another job, or lead where none is edited."""


def acted(model: Model, dice: random.Random) -> Model:
    """One act of any kind that edits a job or moves about in it."""
    if model.work.screen == "make":  # a half bent piece keeps its run
        return model.with_work(screen="plan", making=None)
    targets = [t for t in view(model).targets if t.name not in ELSEWHERE]
    if dice.random() < 0.3:
        model, _ = update(model, KeyTyped(dice.choice("0123456789.-/")))
        return model
    target = dice.choice(targets)
    model, _ = update(model, Pressed(target))
    model, _ = update(model, Released(target))
    return model


@pytest.mark.parametrize("seed", range(6))
def test_as_many_undos_as_edits_give_the_first_draft_back(seed: int) -> None:
    dice = random.Random(seed)
    first = (Draft(), demo_draft(), with_points())[seed % 3]
    model, drafts = Model(SHOP, work=Work("plan", first)), [first]
    for _ in range(EDITS):
        model = acted(model, dice)
        if model.draft != drafts[-1]:
            drafts.append(model.draft)
        assert len(model.work.undo) == len(drafts) - 1
        if dice.random() < 0.1 and model.work.screen == "plan" and len(drafts) > 1:
            drafts.pop()
            model = undone(model)
            assert model.draft == drafts[-1]
    model = model.with_work(screen="plan")
    while len(drafts) > 1:
        drafts.pop()
        model = undone(model)
        assert model.draft == drafts[-1]
    assert model.draft == first and not model.work.undo
    assert "nothing to" in in_words(undone(model).refusal).lower()


def undone(model: Model) -> Model:
    return update(model, KeyTyped("undo"))[0]


def with_points() -> Draft:
    hands = Hands().tap(*BENCH, *shape("ports", *PORTS), "take")
    return hands.work.draft


def test_a_bench_value_is_taken_back_and_said() -> None:
    hands = Hands().tap(*BENCH, *RUN, "bench", "set wall", "back", *typed("1.5", "next"), "plan")
    assert hands.work.draft.wall_mm == 1.5
    assert "wall" in hands.tap("undo").text and hands.work.draft.wall_mm == 1.0
    hands.tap("bench", "set name", *typed("A", "next"), "plan", "make", "next", "plan", "undo")
    assert hands.work.draft.name == "" and hands.work.making is not None
    assert hands.work.making.step == "mark", "a name changes no mark"


def test_pieces_already_made_stay() -> None:
    hands = Hands().tap(*BENCH[:-1], "set pieces", "back", *typed("2", "next"), "plan", *RUN)
    while hands.work.draft.pieces == 2 and hands.work.undo:
        made = hands.work.making
        assert made is None
        hands.tap("undo")
    assert hands.work.draft.pieces == 1


def test_undo_outlives_a_restart() -> None:
    hands = Hands().tap(*BENCH, *RUN, *shape("u", *SHAPES["u"])).restart()
    rows = [hands.work.draft.rows]
    while hands.work.undo:
        rows.append(hands.tap("undo").work.draft.rows)
    assert len(rows[-1]) == 1 and rows[-1][0].leg == ""


def test_what_is_kept_has_a_bound_and_the_newest_edits() -> None:
    edits = tuple(json.dumps({"at": n, "rows": [{"leg": "1" * 60}]}) for n in range(1000))
    kept = newest(edits)
    assert kept == edits[-len(kept) :] and len(kept) > 100
    assert KEPT_CHARACTERS - len(edits[0]) < sum(map(len, kept)) <= KEPT_CHARACTERS
    work = work_of(json.loads(json.dumps(work_plain(Work(undo=edits)))))
    assert work.undo == kept and newest(kept) == kept


def test_work_of_before_edits_were_kept_is_read() -> None:
    plain = work_plain(Work("plan", draft_of(load_job(asset_path("demo.yaml"), SHOP))))
    del plain["work"]["undo"]
    assert work_of(plain).undo == ()
