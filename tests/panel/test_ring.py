"""The ring: a knob, or the arrow keys, and Enter."""

import pytest

from benchcalc.panel.input import ring
from benchcalc.panel.update import view
from benchcalc.report.scene import Box, Fill, Scene, Target
from tests.panel.driver import Hands
from tests.panel.faces import name_at
from tests.panel.journeys import BENCH, RUN, ready_to_make, typed
from tests.screens.states import STATES, state


def ringed(hands: Hands) -> str:
    """The key that a thick dark frame is drawn about."""
    thick = [s for s in hands.scene.shapes if isinstance(s, Fill) and s.box.w == ring.THICK]
    (edge, *_) = [s.box for s in thick if s.role == "ink"]
    return name_at(hands.scene, edge.x + ring.THICK, edge.y + ring.THICK)


def test_without_a_knob_there_is_no_ring() -> None:
    hands = Hands()
    assert hands.model.ring is None and view(hands.model) == hands.scene
    assert not [s for s in hands.scene.shapes if isinstance(s, Fill) and s.box.w == ring.THICK]


def test_it_appears_where_the_next_act_is() -> None:
    assert ringed(Hands().key("right")) == "set bender"
    assert ringed(Hands().tap(*BENCH[:2]).key("left")) == "set material"
    assert ringed(Hands().tap(*BENCH[:-1]).key("down")) == "plan"
    assert ringed(Hands().tap(*BENCH).key("up")) == "key 5", "an empty field: digits"
    assert ringed(Hands().tap(*BENCH, "key 1").key("up")) == "next"
    assert ringed(ready_to_make().key("right")) == "next"


def test_it_goes_round_in_the_order_of_reading() -> None:
    hands = Hands().tap(*BENCH, "key 1").key("right")
    names = ring.in_order(hands.scene)
    assert sorted(names) == sorted(t.name for t in hands.scene.targets)
    seen = [ringed(hands.key("right")) for _ in names]
    at = names.index("next")
    assert seen == [*names[at + 1 :], *names[: at + 1]]
    assert ringed(hands.key("left")) == names[at - 1]


def test_rows_are_read_from_left_to_right() -> None:
    boxes = {"d": Box(50, 50, 40, 40), "a": Box(0, 0, 40, 45), "b": Box(50, 10, 40, 40),
             "c": Box(0, 60, 40, 40)}  # fmt: skip
    targets = tuple(Target(name, box) for name, box in boxes.items())
    assert ring.in_order(Scene((100, 100), (), targets)) == ["a", "b", "c", "d"]


def test_enter_presses_what_it_is_on_and_it_stays_while_digits_are_typed() -> None:
    hands = Hands().tap(*BENCH).key("right", "enter", "enter")
    assert hands.work.draft.rows[0].leg == "55" and ringed(hands) == "key 5"
    while ringed(hands) != "next":
        hands.key("right")
    assert hands.key("enter").work.cursor.field == "bend"
    assert ringed(hands) == "key 5", "an empty field again"


def test_a_touch_or_a_character_takes_it_away() -> None:
    hands = Hands().tap(*BENCH).key("right")
    assert hands.key("7").model.ring is None and hands.work.draft.rows[0].leg == "7"
    hands.key("right")
    assert hands.tap("key 8").model.ring is None


def test_it_never_stands_on_a_decision_before_it_was_walked_there() -> None:
    over = ready_to_make().tap(*["next"] * 6, *typed("93", "next"))
    assert over.shown == "over"
    assert ringed(over.key("right")) == "step back"
    scrap = ready_to_make().key("enter").tap("scrap").key("right")
    assert ringed(scrap) == "step back"


@pytest.mark.parametrize("name", STATES)
def test_it_can_be_seen_on_every_screen(name: str) -> None:
    hands = Hands(state(name, (800, 480)))
    if hands.scene.targets:
        assert ringed(hands.key("right")) in ring.in_order(hands.scene)
        assert not ringed(hands).startswith(("because ", "answer ", "yes "))


def test_the_arrows_type_and_press_nothing() -> None:
    hands = Hands().tap(*BENCH, *RUN)
    work = hands.work
    hands.key(*["right", "left", "down", "up"] * 9)
    assert hands.work == work
