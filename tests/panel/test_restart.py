"""The power goes after every single tap: what was saved is all that is left, and it is enough."""

from dataclasses import replace
from typing import Any

import pytest

from benchcalc.panel.update import view
from benchcalc.report.scene import scene_text
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, JOB, RUN, demo_draft, ready_to_make, typed, with_draft

MAKING = JOB[len(BENCH) + len(RUN) + 1 :]
LONG_JOB = (
    *BENCH[:4], "set pieces", *typed("2", "next"), *BENCH[4:],
    *RUN, "insert", "undo", "key 2", "undo", "earlier", "field turn", *typed("45"), "key -",
    "findings", "plan", "later",
    "make", "next", "step back", "next", "next", "next", "next", "next",
    *typed("88", "next"), "step back", "next", "next", *typed("90", "next"), "scrap", "step back",
    "scrap", "because mark", *MAKING, *MAKING,
    "one more", "plan", "bench", "new", "jobs", "take 1", "plan", "bench",
)  # fmt: skip


@pytest.mark.parametrize("job", [JOB, LONG_JOB], ids=["one piece", "two pieces"])
def test_the_same_screen_with_the_same_text_after_every_tap(job: tuple[str, ...]) -> None:
    hands = Hands()
    for number, tap in enumerate(job):
        hands.tap(tap)
        again = hands.restart()
        assert again.work == hands.work, f"after tap {number}, {tap}"
        hands.model = replace(hands.model, refusal=None, face="keys", bench_at=0)
        assert again.text == scene_text(view(hands.model)), f"after tap {number}, {tap}"


def test_the_job_goes_to_its_end_through_a_restart_after_every_tap() -> None:
    hands = Hands()
    for tap in JOB:
        hands = hands.tap(tap).restart()
    whole = Hands().tap(*JOB)
    assert hands.records == whole.records
    assert hands.shown == "kept"


def test_a_finger_that_is_down_when_the_power_goes_presses_nothing() -> None:
    hands = ready_to_make()
    before = hands.work
    hands.down("next")
    assert hands.model.pressed == "next"
    again = hands.restart()
    assert again.work == before and again.model.pressed is None
    again.up("next")
    assert again.work == before


def test_an_opened_job_is_kept_from_the_first_act_on() -> None:
    hands = with_draft(demo_draft()).tap("make")
    assert hands.restart().work == hands.work


def test_half_a_number_stays_half_a_number() -> None:
    hands = Hands().tap(*BENCH, *typed("12."))
    assert hands.restart().work.draft.rows[0].leg == "12."
    wrong: Any = Hands().tap(*BENCH, *typed("120", "next"), *typed("200")).restart()
    assert "bend is 200°" in wrong.text
