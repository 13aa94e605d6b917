"""Every tap of the rehearsal finds its key on a screen of the emulated machine's size.

The steps are those of ``python -m tests.device``; only the machine is none (``dry_machine``).
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchcalc.panel.state.messages import SticksSeen
from tests.device import figures, sensor_step, steps, stick_step, touch_step
from tests.device.dry_machine import dry_rehearsal
from tests.panel.journeys import typed


@pytest.fixture
def rehearsal(tmp_path: Path) -> Iterator[steps.Rehearsal]:
    r = dry_rehearsal(tmp_path / "state")
    yield r
    r.machine.pull_plug()


def test_the_steps_in_their_order(rehearsal: steps.Rehearsal) -> None:
    steps.job(rehearsal)
    assert len(rehearsal.hands.records) == 1
    rehearsal.person.tap("bench", *touch_step.TYPED)
    assert rehearsal.hands.work.draft.lot == "A7"
    figures.bend_writes(rehearsal)
    assert len(rehearsal.hands.records) == 2
    steps.hang(rehearsal)
    steps.power_cuts(rehearsal)
    assert len(rehearsal.hands.records) > 2


def test_the_keys_of_the_copy_screen(rehearsal: steps.Rehearsal) -> None:
    """The step itself wants a stick; each key it presses is there when it comes to it."""
    steps.job(rehearsal)
    rehearsal.person.tap("bench")
    for copied, keys in ((0, ("start",)), (1, ("what", "start"))):
        rehearsal.hands.copied = copied
        rehearsal.hands.hear(SticksSeen((stick_step.PLACE,))).tap("copy")
        for name in keys:
            target = rehearsal.hands.scene.target(name)
            assert target is not None, rehearsal.hands.text
            rehearsal.hands.tap(name) if name == "what" else None
        rehearsal.hands.tap("bench")


def test_the_sensor_step_finds_its_way_from_screen_to_screen(rehearsal: steps.Rehearsal) -> None:
    """With readings typed in the sensor's stead."""
    steps.new_run(rehearsal)
    rehearsal.person.tap(*sensor_step.TO_THE_PIECE)
    readings = iter(("90", "47"))
    while rehearsal.hands.work.screen != "kept":
        if rehearsal.hands.shown == "check":
            rehearsal.person.tap(*typed(next(readings), "next"))
        else:
            rehearsal.person.tap(sensor_step.way_on(rehearsal))
    assert len(rehearsal.hands.records) == 1
