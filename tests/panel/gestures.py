"""What hands, water, worn switches and knobs send: raw events with their true times, and what of it
was meant.

Times are seconds from the start of the gesture. Figures lie on the human side of those that
``panel.touches`` states (holds of 60 ms and more) and on the electric side (chatter under 30 ms).
"""

from collections.abc import Callable
from random import Random
from typing import NamedTuple

from benchcalc.panel.input.touches import KNOB, MOUSE, Down, KeyDown, KeyUp, Touch, Up
from benchcalc.report.scene import Scene, Target


class Timed(NamedTuple):
    """An event at its true time."""

    at_s: float
    event: Touch


class Gesture(NamedTuple):
    """Events in any order, and the acts that were meant: targets tapped and keys typed."""

    events: list[Timed]
    meant: tuple[tuple[str, str], ...] = ()


class Place(NamedTuple):
    """A pixel."""

    x: int
    y: int


def hold_s(dice: Random) -> float:
    """How long a finger or a key is held."""
    return dice.uniform(0.06, 0.4)


def on(target: Target, dice: Random) -> Place:
    """Somewhere about the middle of a key."""
    (x, y), box = target.box.centre, target.box
    return Place(int(x + dice.uniform(-0.2, 0.2) * box.w), int(y + dice.uniform(-0.2, 0.2) * box.h))


def anywhere(scene: Scene, dice: Random) -> Place:
    return Place(dice.randrange(scene.size[0]), dice.randrange(scene.size[1]))


def contact(place: Place, finger: int, from_s: float, for_s: float) -> list[Timed]:
    return [Timed(from_s, Down(*place, finger)), Timed(from_s + for_s, Up(*place, finger))]


def blip(place: Place, finger: int, from_s: float, dice: Random) -> list[Timed]:
    """A contact of a few milliseconds."""
    return contact(place, finger, from_s, dice.uniform(0.0005, 0.008))


def tap(scene: Scene, target: Target, dice: Random) -> Gesture:
    """A finger or the mouse, clean."""
    finger = dice.choice((MOUSE, dice.randrange(1, 9)))
    return Gesture(contact(on(target, dice), finger, 0.0, hold_s(dice)), (("tap", target.name),))


def bounced(scene: Scene, target: Target, dice: Random) -> Gesture:
    """A tap whose lift chatters."""
    place, held = on(target, dice), hold_s(dice)
    finger = dice.choice((MOUSE, dice.randrange(1, 9)))
    events, at_s = contact(place, finger, 0.0, held), held
    for _ in range(dice.randint(1, 3)):
        at_s += dice.uniform(0.002, 0.02)
        events += contact(place, finger, at_s, more := dice.uniform(0.001, 0.01))
        at_s += more
    return Gesture(events, (("tap", target.name),))


def chattered(scene: Scene, target: Target, dice: Random) -> Gesture:
    """A tap that chatters while the finger comes down."""
    place, finger = on(target, dice), dice.randrange(1, 9)
    events, at_s = [], 0.0
    for _ in range(dice.randint(1, 2)):
        events += contact(place, finger, at_s, more := dice.uniform(0.001, 0.006))
        at_s += more + dice.uniform(0.001, 0.008)
    return Gesture(events + contact(place, finger, at_s, hold_s(dice)), (("tap", target.name),))


def with_second_finger(scene: Scene, target: Target, dice: Random) -> Gesture:
    """Another finger, or the ball of the hand, comes while one presses."""
    held = hold_s(dice)
    events = contact(on(target, dice), 1, 0.0, held)
    other = contact(anywhere(scene, dice), 2, dice.uniform(0.01, held), hold_s(dice))
    return Gesture(events + other, (("tap", target.name),))


def with_ghosts(scene: Scene, target: Target, dice: Random) -> Gesture:
    """Contacts of no length somewhere on the screen, while a finger presses."""
    held = dice.uniform(0.1, 0.4)
    events = contact(on(target, dice), 1, 0.0, held)
    for finger in range(2, 2 + dice.randint(1, 3)):
        events += blip(anywhere(scene, dice), finger, dice.uniform(0.085, held), dice)
    return Gesture(events, (("tap", target.name),))


def ghost(scene: Scene, target: Target, dice: Random) -> Gesture:
    """Nobody is there."""
    return Gesture(blip(on(target, dice), dice.randrange(1, 9), 0.0, dice))


def burst(scene: Scene, target: Target, dice: Random) -> Gesture:
    """Water runs over the glass: several contacts at once, long ones and short ones."""
    events: list[Timed] = []
    width, height = scene.size
    apart = [Place(int(width * share), int(height * share)) for share in (0.1, 0.5, 0.9)]
    more = [anywhere(scene, dice) for _ in range(dice.randint(0, 5))]
    for finger, place in enumerate((*apart, *more), 1):
        for_s = dice.choice((dice.uniform(0.001, 0.008), dice.uniform(0.04, 0.3)))
        events += contact(place, finger, dice.uniform(0.0, 0.02), for_s)
    return Gesture(events)


def with_burst(scene: Scene, target: Target, dice: Random) -> Gesture:
    """A finger presses, and water runs over the glass beside it."""
    held = dice.uniform(0.25, 0.4)
    events = contact(on(target, dice), 99, 0.0, held)
    drops = [Timed(t.at_s + 0.12, t.event) for t in burst(scene, target, dice).events]
    return Gesture(events + drops, (("tap", target.name),))


def stuck(scene: Scene, target: Target, dice: Random) -> Gesture:
    """A drop, or a tool that leans on the glass; a finger presses beside it all the same."""
    events = contact(on(target, dice), 1, 0.0, dice.uniform(7.0, 20.0))
    if dice.random() < 0.5:
        return Gesture(events)
    other = contact(on(target, dice), 2, 5.4, hold_s(dice))
    return Gesture(events + other, (("tap", target.name),))


def lost_lift(scene: Scene, target: Target, dice: Random) -> Gesture:
    """The screen is unplugged under a finger; plugged in again, it counts from the same number."""
    first = Timed(0.0, Down(*on(target, dice), 1))
    events = contact(on(target, dice), dice.choice((1, 7)), dice.uniform(5.2, 9.0), hold_s(dice))
    return Gesture([first, *events], (("tap", target.name),))


def jumped(scene: Scene, target: Target, dice: Random) -> Gesture:
    """A contact that ends far from where it began."""
    start = on(target, dice)
    far = [
        Place(x, y)
        for x in range(0, scene.size[0], 40)
        for y in range(0, scene.size[1], 40)
        if abs(x - start.x) + abs(y - start.y) > 0.4 * min(scene.size)
    ]
    end = dice.choice(far)
    return Gesture([Timed(0.0, Down(*start, 1)), Timed(hold_s(dice), Up(*end, 1))])


TAPS: tuple[Callable[[Scene, Target, Random], Gesture], ...] = (
    tap, tap, bounced, chattered, with_second_finger, with_ghosts, ghost, burst, with_burst, jumped,
)  # fmt: skip
SLOW: tuple[Callable[[Scene, Target, Random], Gesture], ...] = (stuck, lost_lift)


def code_of(name: str) -> int:
    """A key's number, each its own."""
    return 1 + sum(ord(c) << (7 * at) for at, c in enumerate(name))


def key(name: str, dice: Random) -> Gesture:
    """A key, clean, chattering or held until it repeats; arrows may be a knob's, which is clean."""
    held, code = hold_s(dice), code_of(name)
    down = KeyDown(name, code)
    events = [Timed(0.0, down), Timed(held, KeyUp(code))]
    kind = dice.choice(("clean", "repeat", "lost", "press", "release")[: 3 if name in KNOB else 5])
    if kind == "press":
        at_s = dice.uniform(0.001, 0.01)
        events += [Timed(at_s, KeyUp(code)), Timed(at_s + dice.uniform(0.001, 0.01), down)]
    elif kind == "release":
        at_s = held + dice.uniform(0.001, 0.015)
        events += [Timed(at_s, down), Timed(at_s + dice.uniform(0.001, 0.01), KeyUp(code))]
    elif kind == "repeat":
        count, wait_s = dice.randint(1, 40), dice.uniform(0.25, 0.66)
        events = [Timed(0.0, down)]
        events += [Timed(wait_s + n * 0.033, down) for n in range(count)]
        events.append(Timed(wait_s + count * 0.033, KeyUp(code)))
    elif kind == "lost":
        again = dice.uniform(1.7, 3.0)
        events = [Timed(0.0, down), Timed(again, down), Timed(again + held, KeyUp(code))]
        return Gesture(events, (("key", name), ("key", name)))
    return Gesture(events, (("key", name),))


def knob(dice: Random) -> Gesture:
    """Some detents at once, as fast as fingers turn it."""
    name = dice.choice(("left", "right", "up", "down"))
    events, at_s, count = [], 0.0, dice.randint(1, 9)
    for _ in range(count):
        events += [
            Timed(at_s, KeyDown(name, code_of(name))),
            Timed(at_s + dice.uniform(0.0, 0.008), KeyUp(code_of(name))),
        ]
        at_s += dice.uniform(0.015, 0.06)
    return Gesture(events, (("key", name),) * count)
