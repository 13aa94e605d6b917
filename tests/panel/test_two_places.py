"""What cannot be had back takes two presses, and the second lies elsewhere than the first."""

import pytest

from benchcalc.panel.state.model import Model
from benchcalc.report.scene import Box
from benchcalc.report.settings import Hand, Settings
from tests.panel.driver import Hands
from tests.panel.journeys import (
    BENCH,
    BENT_90,
    JOB,
    LEG_AND_BEND,
    PORTS,
    RUN,
    SHAPES,
    SHOP,
    TRIAL,
    shape,
)

SIZES = ((480, 320), (800, 480), (1024, 600), (1280, 800), (480, 800), (720, 1280))
ASKED: dict[str, tuple[tuple[str, ...], str, str]] = {
    "scrap a marked piece": ((*BENCH, *RUN, "make", "next"), "scrap", "because "),
    "scrap a pulled piece": ((*BENCH, *RUN, "make", *["next"] * 4), "scrap", "because "),
    "begin a lot anew": ((*JOB, "bench", "learnt"), "reset", "yes "),
    "drop a trial": ((*TRIAL, *BENT_90, "next"), "drop", "yes "),
    "make a shape legs": (
        (*BENCH, *LEG_AND_BEND, *shape("u", *SHAPES["u"]), "open shape"), "loosen", "yes ",
    ),
    "replace the whole run": (
        (*BENCH, *LEG_AND_BEND, *shape("ports", *PORTS)), "take", "yes ",
    ),
}  # fmt: skip
"""How to come there, the first press, and what the second's name begins with."""


def box_of(hands: Hands, name: str) -> Box:
    target = hands.scene.target(name)
    assert target is not None, hands.text
    return target.box


def apart(one: Box, other: Box) -> bool:
    """Whether two keys have no place in common."""
    across = min(one.right, other.right) - max(one.x, other.x)
    return across <= 0.01 or min(one.bottom, other.bottom) - max(one.y, other.y) <= 0.01


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("act", ASKED)
def test_the_second_press_lies_elsewhere(act: str, size: tuple[int, int], hand: Hand) -> None:
    way, first, second = ASKED[act]
    hands = Hands(Model(SHOP, size, settings=Settings(hand=hand)))
    hands.tap(*way)
    assert hands.can(first)
    pressed = box_of(hands, first)
    records, work = len(hands.log), hands.work
    hands.tap(first)
    assert len(hands.log) == records and hands.work.draft == work.draft
    surely = [t for t in hands.scene.targets if t.name.startswith(second)]
    assert surely, hands.text
    for target in surely:
        assert apart(pressed, target.box), f"{target.name} lies where {first} was"
    assert hands.scene.target(first) is None or first == "take"


def test_asking_is_over_with_the_next_act() -> None:
    hands = Hands().tap(*TRIAL, *BENT_90, "next", "drop", "no")
    assert len(hands.work.trials.done) == 1 and hands.scene.target("yes drop") is None
    hands.tap("drop", "help", "cancel", "no")
    assert hands.scene.target("yes drop") is None and len(hands.work.trials.done) == 1
    assert not hands.tap("drop", "yes drop").work.trials.done


def test_a_run_taken_back_from_being_replaced_or_loosened() -> None:
    hands = Hands().tap(*BENCH, *LEG_AND_BEND, *shape("ports", *PORTS), "take", "no")
    assert len(hands.work.draft.rows) == 2 and hands.shown == "shape"
    assert len(hands.tap("take", "yes replace").work.draft.rows) == 1
    assert len(hands.tap("undo").work.draft.rows) == 2
