"""What counts as a press, at the figures that are stated and just beside them."""

import pytest

from benchcalc.panel.input.touches import (
    BRIEF_S,
    BURST_S,
    CALM_S,
    FRESH_S,
    GAP_S,
    GHOST_S,
    KEY_GAP_S,
    KEY_LOST_S,
    KEY_PERIOD_S,
    MOUSE,
    PERIOD_S,
    STUCK_S,
    Down,
    KeyDown,
    KeyUp,
    Look,
    Touch,
    Touches,
    Up,
)
from benchcalc.panel.state.messages import KeyTyped, Message, Pressed, Released, Woke
from benchcalc.report.scene import Box, Scene, Target
from tests.panel.faces import name_of

SCENE = Scene(
    (800, 480), (), (Target("a", Box(0, 0, 400, 480)), Target("b", Box(400, 0, 400, 480)))
)
HAIR_S = 0.001
EXACT_S = 0.0001
"""Looks that follow one another as closely as this tell the time of an event."""


class Glass:
    """A touch screen whose events are seen at once, unless a look is said to be long."""

    def __init__(self, dark: bool = False) -> None:
        self.touches, self.dark = Touches(), dark
        self.pressed: str | None = None
        self.acts: list[str] = []
        self.heard: list[Message] = []

    def at(self, at_s: float, *events: Touch, look_s: float = EXACT_S) -> "Glass":
        for event in events:
            look = Look(at_s - look_s, at_s)
            for message in self.touches.hear(event, look, SCENE, self.dark):
                self._take(message)
        return self

    def tick(self, at_s: float) -> None:
        for message in self.touches.tick(at_s):
            self._take(message)

    def _take(self, message: Message) -> None:
        self.heard.append(message)
        if isinstance(message, Pressed):
            self.pressed = name_of(message.target) or None
        elif isinstance(message, Released):
            if message.target and message.target.name == self.pressed:
                self.acts.append(message.target.name)
            self.pressed = None
        elif isinstance(message, KeyTyped):
            self.acts.append(message.key)


A, B = (100, 100), (600, 300)


def test_a_tap_is_one_press() -> None:
    assert Glass().at(1.0, Down(*A, 1)).at(1.1, Up(*A, 1)).acts == ["a"]
    assert Glass().at(1.0, Down(*A)).at(1.0, Up(*A)).acts == ["a"], "a mouse has no ghosts"


@pytest.mark.parametrize("finger", [MOUSE, 1])
def test_a_lift_that_bounces_is_one_press(finger: int) -> None:
    glass = Glass().at(1.0, Down(*A, finger)).at(1.1, Up(*A, finger))
    glass.at(1.1 + GAP_S - HAIR_S, Down(*A, finger)).at(1.6, Up(*A, finger))
    assert glass.acts == ["a"]


def test_a_second_press_by_a_quick_finger_counts() -> None:
    glass = Glass().at(1.0, Down(*A, 1)).at(1.1, Up(*A, 1))
    glass.at(1.1 + GAP_S + HAIR_S, Down(*A, 1)).at(1.1 + PERIOD_S + HAIR_S, Up(*A, 1))
    assert glass.acts == ["a", "a"]


def test_two_lifts_seen_late_are_one_when_nobody_is_that_quick() -> None:
    glass = Glass().at(1.0, Down(*A, 1)).at(1.1, Up(*A, 1))
    late_s = 1.1 + PERIOD_S - 2 * HAIR_S
    glass.at(late_s, Down(*A, 1), Up(*A, 1), look_s=PERIOD_S - 3 * HAIR_S)
    assert glass.acts == ["a"]


def test_another_place_may_be_pressed_at_once() -> None:
    glass = Glass().at(1.0, Down(*A, 1)).at(1.1, Up(*A, 1))
    assert glass.at(1.11, Down(*B, 1)).at(1.2, Up(*B, 1)).acts == ["a", "b"]


def test_a_contact_too_short_for_a_finger_is_none() -> None:
    short = GHOST_S - EXACT_S - HAIR_S
    assert Glass().at(1.0, Down(*A, 1)).at(1.0 + short, Up(*A, 1)).acts == []
    assert Glass().at(1.0, Down(*A, 1)).at(1.0 + GHOST_S, Up(*A, 1)).acts == ["a"]


def test_a_contact_between_two_slow_looks_is_none_and_one_that_could_be_a_finger_counts() -> None:
    brief = BRIEF_S - HAIR_S
    assert Glass().at(1.0, Down(*A, 1), Up(*A, 1), look_s=brief).acts == []
    assert Glass().at(1.0, Down(*A, 1), Up(*A, 1), look_s=BRIEF_S + HAIR_S).acts == ["a"]


def test_a_contact_that_chatters_as_it_comes_down_is_one_press() -> None:
    glass = Glass().at(1.0, Down(*A, 1)).at(1.003, Up(*A, 1))
    assert glass.at(1.008, Down(*A, 1)).at(1.1, Up(*A, 1)).acts == ["a"]


def test_a_finger_beside_a_ghost_takes_its_place() -> None:
    glass = Glass().at(1.0, Down(*B, 1)).at(1.002, Down(*A, 2)).at(1.004, Up(*B, 1))
    assert glass.at(1.1, Up(*A, 2)).acts == ["a"]


def test_a_second_finger_presses_nothing() -> None:
    glass = Glass().at(1.0, Down(*A, 1)).at(1.05, Down(*B, 2))
    assert glass.at(1.2, Up(*A, 1)).at(1.3, Up(*B, 2)).acts == ["a"]


def burst(at_s: float, apart_s: float) -> Glass:
    glass = Glass()
    for number, x in enumerate((50, 300, 700)):
        glass.at(at_s + number * apart_s, Down(x, 200, number + 1))
    for number, x in enumerate((50, 300, 700)):
        glass.at(at_s + 0.2, Up(x, 200, number + 1))
    return glass


def test_many_contacts_at_once_press_nothing_nor_what_comes_close_behind() -> None:
    glass = burst(1.0, BURST_S / 2 - HAIR_S)
    assert glass.acts == []
    assert burst(1.0, BURST_S).acts == ["a"], "slower, the first of them is a finger"
    assert glass.at(1.5, Down(*A, 1)).at(1.6, Up(*A, 1)).acts == ["a"]
    near = burst(1.0, 0.0)
    assert near.at(CALM_S, Down(*A, 9)).at(1.4, Up(*A, 9)).acts == []


def test_a_finger_that_was_there_before_a_burst_counts() -> None:
    glass = Glass().at(1.0, Down(*A, 9))
    glass.at(1.1, Down(50, 50, 1), Down(400, 200, 2), Down(700, 400, 3))
    assert glass.at(1.2, Up(50, 50, 1), Up(*A, 9)).acts == ["a"]


def test_a_stuck_contact_presses_nothing_and_blocks_for_a_while_only() -> None:
    glass = Glass().at(1.0, Down(*A, 1)).at(2.0, Down(*B, 2)).at(2.1, Up(*B, 2))
    assert glass.acts == [] and glass.pressed == "a"
    glass.tick(1.0 + STUCK_S - HAIR_S)
    assert glass.pressed == "a"
    glass.tick(1.0 + STUCK_S)
    assert glass.pressed is None
    glass.at(7.0, Down(*B, 2)).at(7.1, Up(*B, 2)).at(9.0, Up(*A, 1))
    assert glass.acts == ["b"]


def test_a_lift_that_was_lost_with_its_device() -> None:
    glass = Glass().at(1.0, Down(*A, 1)).at(3.0, Down(*B, 1))
    assert glass.at(3.1, Up(*B, 1)).acts == ["b"], "the same number anew"


def test_a_contact_that_jumps_presses_nothing() -> None:
    assert Glass().at(1.0, Down(*A, 1)).at(1.1, Up(350, 470, 1)).acts == [], "on the same key"
    assert Glass().at(1.0, Down(*A, 1)).at(1.1, Up(*B, 1)).acts == []


def test_what_lights_a_dark_screen_presses_nothing_bounces_and_all() -> None:
    glass = Glass(dark=True).at(1.0, Down(*A, 1))
    assert glass.heard == [Woke(1.0)]
    glass.dark = False
    glass.at(1.1, Up(*A, 1)).at(1.11, Down(*A, 1)).at(1.115, Up(*A, 1))
    assert glass.acts == []
    assert glass.at(1.5, Down(*A, 1)).at(1.6, Up(*A, 1)).acts == ["a"]
    keyed = Glass(dark=True).at(1.0, KeyDown("5", 93))
    assert keyed.heard == [Woke(1.0)]


def test_a_key_that_repeats_counts_once() -> None:
    glass = Glass().at(1.0, KeyDown("5", 93))
    for n in range(50):
        glass.at(1.5 + n * 0.04, KeyDown("5", 93))
    assert glass.at(4.0, KeyUp(93)).acts == ["5"]
    assert glass.at(4.2, KeyDown("5", 93)).acts == ["5", "5"]


def test_a_key_that_chatters_counts_once_and_a_quick_hand_twice() -> None:
    glass = Glass().at(1.0, KeyDown("5", 93)).at(1.005, KeyUp(93)).at(1.01, KeyDown("5", 93))
    glass.at(1.2, KeyUp(93)).at(1.2 + KEY_GAP_S - HAIR_S, KeyDown("5", 93)).at(1.24, KeyUp(93))
    assert glass.acts == ["5"]
    glass.at(2.0, KeyDown("5", 93)).at(2.05, KeyUp(93)).at(
        2.0 + KEY_PERIOD_S + HAIR_S, KeyDown("5", 93)
    )
    assert glass.acts == ["5"] * 3


def test_a_key_whose_release_was_lost_counts_again() -> None:
    glass = Glass().at(1.0, KeyDown("5", 93)).at(1.0 + KEY_LOST_S - HAIR_S, KeyDown("5", 93))
    assert glass.acts == ["5"]
    assert glass.at(5.0, KeyDown("5", 93)).acts == ["5", "5"]


def test_different_keys_may_come_at_once_and_a_knob_as_fast_as_it_turns() -> None:
    assert Glass().at(1.0, KeyDown("4", 92), KeyDown("5", 93), KeyUp(92), KeyUp(93)).acts == [
        "4",
        "5",
    ]
    glass = Glass()
    for n in range(20):
        glass.at(1.0 + n * 0.01, KeyDown("right", 79), KeyUp(79))
    assert len(glass.acts) == 20


def test_a_key_of_no_known_number_always_counts() -> None:
    assert Glass().at(1.0, KeyDown("é", 0), KeyDown("é", 0)).acts == ["é", "é"]


def test_how_long_nobody_was_there() -> None:
    glass = Glass().at(10.0, Down(*A, 1))
    assert glass.touches.idle_s(25.0) == 15.0
    glass.touches.roused(20.0)
    assert glass.touches.idle_s(25.0) == 5.0


GO = Target("next", Box(0, 0, 400, 480), "seated")
THEN = Target("next", Box(0, 0, 400, 480), "pulled")
BESIDE = Target("b", Box(400, 0, 400, 480))


def pressed(touches: Touches, at_s: float, x: int, *targets: Target) -> list[str]:
    """What a tap of 100 ms at a place presses on a screen of these keys."""
    scene, went_down = Scene((800, 480), (), targets), list[str]()
    for message in touches.hear(Down(x, 100, 1), Look(at_s - EXACT_S, at_s), scene):
        went_down += [name_of(message.target)] if isinstance(message, Pressed) else []
    up_s = at_s + 0.1
    for message in touches.hear(Up(x, 100, 1), Look(up_s - EXACT_S, up_s), scene):
        assert not went_down or (isinstance(message, Released) and message.target)
    return went_down


def test_a_key_that_appears_under_a_finger_is_dead_for_half_a_second() -> None:
    touches = Touches()
    assert pressed(touches, 1.0, 100, GO, BESIDE) == ["next"]
    assert pressed(touches, 1.1 + FRESH_S / 2, 100, THEN, BESIDE) == [], "another act, same place"
    assert pressed(touches, 1.1 + FRESH_S + HAIR_S, 100, THEN, BESIDE) == ["next"]


def test_a_finger_that_stays_on_a_dead_key_presses_it_neither_late() -> None:
    touches, scene = Touches(), Scene((800, 480), (), (THEN,))
    assert pressed(touches, 1.0, 100, GO) == ["next"]
    assert touches.hear(Down(100, 100, 1), Look(1.3, 1.3), scene) == []
    heard = touches.hear(Up(100, 100, 1), Look(2.5, 2.5), scene)
    assert all(isinstance(message, Released) for message in heard), "it was never pressed"


def test_the_same_key_and_one_elsewhere_are_not_dead() -> None:
    touches = Touches()
    assert pressed(touches, 1.0, 100, GO, BESIDE) == ["next"]
    assert pressed(touches, 1.25, 100, GO, BESIDE) == ["next"]
    assert pressed(touches, 1.5, 700, THEN, BESIDE) == ["b"]


def test_a_key_that_the_panel_showed_by_itself_is_dead_wherever_it_is() -> None:
    touches, before = Touches(), Scene((800, 480), (), (GO, BESIDE))
    for at_s in (1.0, 1.2, 1.4):  # the live angle is drawn anew now and then
        touches.shown(before, at_s)
    assert pressed(touches, 1.45, 100, THEN, BESIDE) == []
    assert pressed(touches, 1.6, 700, THEN, BESIDE) == ["b"]
    assert pressed(touches, 1.4 + FRESH_S + HAIR_S, 100, THEN, BESIDE) == ["next"]
