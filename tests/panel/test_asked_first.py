"""Keys that could be pressed before their act was done, or where another key was: they ask."""

from dataclasses import replace

import pytest

from benchcalc.panel.state.model import Model, SensorSeen
from benchcalc.panel.update import view
from benchcalc.report.scene import Box
from benchcalc.report.told import verbatim
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP, TO_FIRST_CHECK, ready_to_make, typed

SIZES = pytest.mark.parametrize(
    "size", [(480, 320), (800, 480), (480, 800), (1280, 800)], ids="{0[0]}x{0[1]}".format
)
WAITING = SensorSeen(0.2, False, True, "waiting")


def met(one: Box, other: Box) -> bool:
    across = min(one.right, other.right) - max(one.x, other.x)
    down = min(one.bottom, other.bottom) - max(one.y, other.y)
    return across > 1.0 and down > 1.0


@SIZES
@pytest.mark.parametrize("hand", ["left", "right"])
def test_what_takes_a_doubted_angle_lies_where_no_key_was(size: tuple[int, int], hand: str) -> None:
    hands = ready_to_make().tap(*TO_FIRST_CHECK).type("9")
    settings = replace(hands.model.settings, hand=hand)  # type: ignore[arg-type]
    hands.model = replace(hands.model, size=size, settings=settings)
    before = hands.scene.targets
    hands.tap("next")
    take = hands.scene.target("take anyway")
    assert take is not None
    assert [target.name for target in before if met(target.box, take.box)] == []
    assert hands.tap("take anyway").model.refusal is not None, (
        "9 of 90 cannot be, but it is pressed"
    )


def pulling(seen: SensorSeen) -> Hands:
    hands = ready_to_make().tap(*TO_FIRST_CHECK[:4])
    assert hands.shown == "pull"
    hands.model = replace(hands.model, sensor=seen)
    return hands


def test_a_pull_that_the_sensor_saw_nothing_of_is_asked_about() -> None:
    hands = pulling(WAITING).tap("next")
    assert hands.shown == "pull" and "The sensor saw no pull." in hands.text
    go_on = hands.scene.target("not yet")
    assert go_on is not None and hands.tap("not yet").shown == "pull"
    assert "saw no pull" not in hands.text
    assert hands.tap("next", "pulled").shown == "reached"


@pytest.mark.parametrize(
    "seen",
    [
        replace(WAITING, stale=True),
        replace(WAITING, state="holding", loaded_deg=92.0),
        replace(WAITING, trouble=verbatim("The sensor is silent.")),
        replace(WAITING, zeroed=False),
        replace(WAITING, gravity=True),
    ],
)
def test_a_sensor_that_cannot_know_asks_nothing(seen: SensorSeen) -> None:
    assert pulling(seen).tap("next").shown == "reached"


def test_a_key_of_a_step_that_was_left_does_nothing_late() -> None:
    hands = ready_to_make().tap(*TO_FIRST_CHECK[:3])
    late = hands.scene.target("next")
    hands.tap("next")
    shown = hands.scene
    assert late is not None and shown.target("next") is not None
    assert not late.is_as(shown.target("next")), "seated and pulled are two acts"


def test_digits_are_the_same_keys_from_field_to_field() -> None:
    hands = Hands(Model(SHOP)).bench("bench-10mm", "1").tap("plan", *typed("12"))
    before = hands.scene
    hands.tap("next", *typed("9"))
    for name in ("key 1", "key 5", "next"):
        now, was = view(hands.model).target(name), before.target(name)
        assert now is not None and now.is_as(was), f"{name} may be typed at once"


def marked() -> Hands:
    """A piece that is cut and marked once, seen from its run."""
    return ready_to_make().tap(*TO_FIRST_CHECK[:2], "plan")


def test_the_run_of_a_cut_piece_is_not_changed_without_asking() -> None:
    hands = marked()
    before = hands.work
    hands.tap("earlier", "field leg", "key 5")
    assert "starts anew" in hands.text and hands.work.draft == before.draft
    assert hands.work.making == before.making
    hands.tap("keep run")
    assert hands.work.making == before.making and "starts anew" not in hands.text
    hands.tap("key 5", "anew")
    making = hands.work.making
    assert making is not None and (making.step, making.place) == ("cut", 0)
    assert hands.tap("key 5").work.draft != before.draft and "starts anew" not in hands.text


def test_another_wall_on_the_bench_asks_as_well() -> None:
    hands = marked().tap("bench", "set wall", *typed("1.5", "next"))
    assert "starts anew" in hands.text and hands.work.draft.wall_mm == 1.0
    assert hands.tap("anew").work.making is not None
