"""The dark screen: when it comes, what ends it, and that nothing is pressed in it."""

from dataclasses import replace

import pytest

from benchcalc.panel.input import dark
from benchcalc.panel.state.making.sensing import Settled
from benchcalc.panel.state.messages import (
    BendSettled,
    Darkened,
    KeyTyped,
    MachineLooked,
    Message,
    Pressed,
    Released,
    SensorSaw,
    StoreFailed,
    Woke,
)
from benchcalc.panel.state.missing import Missing
from benchcalc.panel.state.model import Model, SensorSeen
from benchcalc.panel.update import view
from benchcalc.report.scene import Box, Target
from benchcalc.report.settings import Settings
from benchcalc.report.told import verbatim
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP, ready_to_make

TEN = Settings(dark_after_min=10)


def darkened(hands: Hands) -> Hands:
    hands.model = replace(hands.model, settings=TEN)
    return hands.hear(Darkened())


def test_it_comes_after_the_time_that_is_set_and_never_unless_it_is() -> None:
    model = Model(SHOP)
    assert not dark.is_due(model, 1e9)
    assert not dark.is_due(replace(model, settings=TEN), 599.9)
    assert dark.is_due(replace(model, settings=TEN), 600.0)


def test_it_is_black_and_has_nothing_to_press() -> None:
    hands = darkened(Hands())
    assert hands.scene.ground == "dark" and not hands.scene.shapes and not hands.scene.targets
    before, target = hands.model, Target("plan", Box(0.0, 0.0, 1.0, 1.0))
    hands.hear(Pressed(target), Released(target), KeyTyped("enter"), KeyTyped("right"))
    assert hands.model == before
    assert hands.hear(Woke()).scene == view(replace(before, dark=False))


@pytest.mark.parametrize("steps", [4, 5, 6])
def test_it_never_comes_while_a_bend_is_pulled_or_measured(steps: int) -> None:
    hands = darkened(ready_to_make().tap(*["next"] * steps))
    assert hands.shown in ("pull", "reached", "check") and not hands.model.dark


def test_it_never_comes_while_something_is_wrong() -> None:
    assert not darkened(Hands().hear(StoreFailed(verbatim("The disk is full.")))).model.dark


WAKING: tuple[Message, ...] = (
    Woke(),
    BendSettled(Settled(90.0, 92.0, 0.0, 0.0)),
    StoreFailed(verbatim("The disk is full.")),
    SensorSaw(SensorSeen(trouble=verbatim("The sensor is silent."))),
    MachineLooked((Missing("voltage"),)),
)


@pytest.mark.parametrize("message", WAKING, ids=lambda message: type(message).__name__)
def test_what_needs_a_person_lights_it(message: Message) -> None:
    assert not darkened(Hands()).hear(message).model.dark


def test_what_needs_nobody_leaves_it_dark() -> None:
    hands = darkened(Hands()).hear(SensorSaw(SensorSeen(12.0)), MachineLooked(()))
    assert hands.model.dark


def test_a_step_that_changes_under_a_finger_is_not_pressed() -> None:
    hands = ready_to_make().tap(*["next"] * 4)
    hands.model = replace(hands.model, sensor=SensorSeen(0.0, False, True))
    hands.down("next")
    hands.hear(BendSettled(Settled(90.1, 92.0, 0.0, 0.0)))
    step = hands.shown
    hands.up("next")
    assert hands.shown == step
