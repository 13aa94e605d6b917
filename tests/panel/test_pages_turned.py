"""The pages of a long list: nothing jumps while the list grows, shrinks or is laid out anew."""

import pytest

from benchcalc.panel.state.action import Action
from benchcalc.panel.state.messages import SticksSeen
from benchcalc.panel.state.model import Model
from benchcalc.panel.update import view
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP
from tests.screens.states import STATES, state

SIZES = [(800, 480), (480, 800), (320, 240), (240, 320)]


def press(hands: Hands, name: str) -> Hands:
    """A key of the page that is shown; no other page is looked for."""
    assert hands.scene.target(name) is not None, f"no {name!r} on:\n{hands.text}"
    hands.down(name)
    hands.up(name)
    return hands


def turned_to(hands: Hands, name: str) -> Hands:
    """By the key for more to the page that has this key."""
    for _ in range(9):
        if hands.scene.target(name) is None:
            press(hands, "more")
    return hands


@pytest.mark.parametrize("size", SIZES)
def test_the_bench_stays_on_the_page_of_the_value_that_was_given(size: tuple[int, int]) -> None:
    """Its list grows by what else can be done, however often it was turned round before."""
    for rounds in (1, 2, 3):
        hands = Hands(Model(SHOP, size))
        for _ in range(rounds):
            turned_to(press(turned_to(hands, "more"), "more"), "set bender")
        press(hands, "set bender").tap("choose bench-10mm")
        assert hands.scene.target("set bender")
        press(turned_to(hands, "set material"), "set material").tap("choose 316")
        assert hands.scene.target("set material")
        hands.hear(SticksSeen(("/media/A",)))
        assert hands.scene.target("set material")


@pytest.mark.parametrize("size", SIZES)
def test_the_settings_stay_on_the_setting_that_was_changed(size: tuple[int, int]) -> None:
    hands = Hands(Model(SHOP, size))
    press(turned_to(hands, "settings"), "settings")
    turned_to(hands, "set rotation")
    for _ in range(4):
        press(hands, "set rotation")
    assert hands.scene.size == size


def test_a_list_that_is_shorter_now_shows_its_last_page() -> None:
    """A stick comes: the key for copying leaves the list for the row below it."""
    hands = turned_to(Hands(Model(SHOP, (320, 240))), "settings")
    hands.hear(SticksSeen(("/media/A",)))
    assert hands.scene.target("settings") or hands.scene.target("check")


def test_the_pages_of_help_leave_those_of_what_it_covers() -> None:
    hands = Hands(Model(SHOP))
    before = press(hands, "more").text
    press(press(hands, "help"), "later")
    assert press(hands, "cancel").text == before


@pytest.mark.parametrize("name", STATES)
def test_every_key_carries_what_it_does(name: str) -> None:
    targets = view(state(name, (800, 480))).targets
    assert [target.name for target in targets if not isinstance(target.action, Action)] == []
