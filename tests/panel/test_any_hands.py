"""Seeded streams of touches, keys, sensor news and failures, as the machine hears them.

Each press that was meant counts once, nothing else counts, nothing is pressed in the dark, and what
must hold of the panel holds after every event. BENCHCALC_ANY_HANDS asks for more events than the
suite's own.
"""

import os
from collections import Counter
from dataclasses import replace

import pytest

from benchcalc.panel.input import (
    dark,
    touches,
)
from benchcalc.panel.input.touches import FRESH_S, KeyDown, KeyUp, Look, Touches
from benchcalc.panel.state.making.sensing import Settled
from benchcalc.panel.state.messages import (
    BendSettled,
    Command,
    Darkened,
    KeyTyped,
    MachineLooked,
    Message,
    Pressed,
    Released,
    SaveWork,
    SensorSaw,
    SomethingBroke,
    SticksSeen,
    StoreRecovered,
)
from benchcalc.panel.state.missing import Missing
from benchcalc.panel.state.model import SensorSeen, work_plain
from benchcalc.panel.update import view
from benchcalc.report.scene import Box, Target
from benchcalc.report.settings import Settings
from benchcalc.report.told import verbatim
from tests.panel.faces import name_of
from tests.panel.gestures import (
    SLOW,
    TAPS,
    Gesture,
    Place,
    Timed,
    bounced,
    code_of,
    contact,
    key,
    knob,
)
from tests.panel.test_random_taps import CHARACTERS, NAMED_KEYS, Chance

EVENTS = int(os.environ.get("BENCHCALC_ANY_HANDS", "24000"))
STREAMS = 8
CALM_S, AWAKE_S, QUICK_S = 0.05, 3.0, 0.002
"""As the shell's loop looks for events."""

EVERYTHING = 10_000
"""Events after which a stream has met all that there is."""

SILENT = verbatim("The sensor is silent.")
WAKERS = ("touch", "key", "bend", "trouble")
STATES = ("waiting", "pulling", "holding", "asking", "touching", "adrift")


class Hands(Chance):
    """A panel with everything that may come to it; ``acts`` are those it took for meant."""

    def __init__(self, seed: int) -> None:
        super().__init__(seed)
        self.model = replace(self.model, settings=Settings(dark_after_min=10))
        self.touches = Touches()
        self.now_s = self.looked_s = 100.0
        self.awake_s = 0.0
        self.touched: tuple[Target, ...] = ()
        self.events = 0
        self.acts: list[tuple[str, str]] = []
        self.met: Counter[str] = Counter()

    def send(self, message: Message) -> tuple[Command, ...]:
        before = self.model
        hit = (
            isinstance(message, Released)
            and message.target is not None
            and message.target.name == before.pressed
        )
        commands = super().send(message)
        if before.dark and isinstance(message, Pressed | Released | KeyTyped):
            assert self.model == before and not commands, "something was pressed in the dark"
        elif isinstance(message, Released) and hit:
            self.acts.append(("tap", name_of(message.target)))
        elif isinstance(message, KeyTyped):
            self.acts.append(("key", message.key))
        if self.model.work is not before.work or self.model.dark is not before.dark:
            self.touches.roused(self.now_s)
        return commands

    def mind(self) -> None:
        """What the shell does at every look."""
        for message in self.touches.tick(self.now_s):
            self.send(message)
        if dark.is_due(self.model, self.touches.idle_s(self.now_s)):
            self.send(Darkened(self.now_s))

    def live(self, events: list[Timed], for_s: float = 0.0) -> None:
        """Let events happen at their times, seen at the looks; an act may hold up the next one."""
        began_s = self.now_s + self.dice.uniform(0.0, CALM_S)
        ends_s = began_s + max([for_s, *(event.at_s for event in events)])
        waiting = sorted(events)
        while waiting or self.now_s < ends_s:
            awake = self.now_s < self.awake_s
            step_s = QUICK_S if awake else CALM_S
            due_s = began_s + waiting[0].at_s if waiting else ends_s
            if awake and due_s - self.now_s > 1.0:
                step_s = 0.9  # nothing comes: the looks between see nothing
            look = Look(self.looked_s, self.now_s + step_s)
            self.now_s = self.looked_s = look.at_s
            while waiting and began_s + waiting[0].at_s <= look.at_s:
                self.hear(waiting.pop(0), look)
            self.mind()

    def hear(self, timed: Timed, look: Look) -> None:
        self.events += 1
        self.awake_s = look.at_s + AWAKE_S
        acts = len(self.acts)
        for message in self.touches.hear(timed.event, look, self.scene, self.model.dark):
            self.send(message)
        if len(self.acts) > acts:
            self.now_s += self.dice.uniform(0.0, 0.04)  # it was kept on a slow card

    def make(self, gesture: Gesture, kind: str) -> None:
        """A gesture, and what must have come of it."""
        self.acts, screen = [], self.scene
        self.live(gesture.events)
        assert tuple(self.acts) == gesture.meant, (kind, gesture, screen.targets)
        assert self.model.pressed is None, (kind, gesture)
        self.met[kind] += 1
        self.live([], self.dice.choice((0.13, 0.2, 0.5, 4.0)))

    def turn(self) -> None:
        chance = self.dice.random()
        if chance < 0.06:
            self.news()
        elif chance < 0.085:
            self.away()
        elif chance < 0.3:
            name = self.dice.choice((*NAMED_KEYS, "shift tab", "undo", *CHARACTERS))
            self.make(key(name, self.dice), "key")
        elif chance < 0.36:
            self.make(knob(self.dice), "knob")
        elif chance < 0.38:
            self.settled_under_a_finger()
        elif self.scene.targets:
            if self.scene.targets != self.touched:
                self.live([], FRESH_S + 0.05)  # a new screen is read first
            kinds = SLOW if chance > 0.99 else TAPS
            self.touched = self.scene.targets
            gesture = self.dice.choice(kinds)
            self.make(gesture(self.scene, self.likely(), self.dice), gesture.__name__)
        if not self.behind:
            kept = replace(self.model.work, making=self.known_making())
            assert work_plain(self.kept) == work_plain(kept)

    def news(self) -> None:
        """Sensor, disk, sticks and machine say something."""
        self.acts, dice = [], self.dice
        seen = SensorSeen(
            dice.choice((None, 12.3, 89.9)), dice.random() < 0.3, dice.random() < 0.8,
            dice.choice(STATES), trouble=dice.choice((None, None, SILENT)),
        )  # fmt: skip
        kind = dice.randrange(6)
        if kind == 0:
            self.failing = not self.failing
            if self.behind and not self.failing:
                self._carry_out(SaveWork(work_plain(self.model.work)))
        elif kind == 1:
            self.send(BendSettled(self.settled()))
        elif kind == 2:
            self.send(SticksSeen(dice.choice(((), ("/media/A",), ("/media/A", "/media/B")))))
        elif kind == 3:
            self.send(MachineLooked(dice.choice(((), (Missing("clock"), Missing("voltage"))))))
        elif kind == 4:
            self.send(SomethingBroke())
        else:
            self.send(SensorSaw(seen))
        assert not self.acts

    def settled(self) -> Settled:
        angle = self.dice.choice((89.7, 90.2, 44.0, 45.2, 60.0, 120.0))
        return Settled(angle, angle + 2.0, 1.0, 0.0)

    def settled_under_a_finger(self) -> None:
        """The step changes while a finger is down: its lift means none of the new step's keys."""
        target = self.likely() if self.scene.targets else None
        if target is None or self.model.dark:
            return
        self.live([], FRESH_S + 0.05)  # else it may be taken for a bounce of the touch before
        if target not in self.scene.targets:
            return
        self.acts = []
        x, y = target.box.centre
        down, up = contact(Place(int(x), int(y)), 5, 0.0, 0.2)
        self.live([down])
        before = self.model
        self.send(BendSettled(self.settled()))
        same = replace(self.model, refusal=before.refusal, trouble=before.trouble) == before
        self.live([up._replace(at_s=0.1)])
        assert bool(self.acts) is same
        self.live([], 0.2)

    def away(self) -> None:
        """Nobody comes for longer than the settings say; then somebody, or something, does."""
        self.model = replace(self.model, settings=replace(self.model.settings, dark_after_min=10))
        if self.dice.random() < 0.8:
            self.send(StoreRecovered())
        self.now_s += 11 * 60.0
        self.looked_s = self.now_s
        may, work = dark.is_due(self.model, 11 * 60.0), self.model.work
        self.mind()
        assert self.model.dark is may
        if not may:
            return
        assert not self.scene.targets
        target = Target("next", Box(0.0, 0.0, 1.0, 1.0))
        for message in (Pressed(target), Released(target), KeyTyped("enter"), KeyTyped("5")):
            self.send(message)
        self.acts = []
        how = self.dice.choice(WAKERS)
        if how == "touch":
            lit = view(replace(self.model, dark=False))
            self.live(bounced(lit, self.dice.choice(lit.targets), self.dice).events)
        elif how == "key":
            name = self.dice.choice(("enter", "5", "right"))
            self.live([Timed(0.0, KeyDown(name, code_of(name))), Timed(0.1, KeyUp(code_of(name)))])
        else:
            bend = BendSettled(self.settled())
            self.send(bend if how == "bend" else SomethingBroke())
        assert not self.acts and not self.model.dark, how
        if how in ("touch", "key"):
            assert self.model.work is work
        self.met[f"woken by {how}"] += 1
        self.live([], 2.0)


@pytest.mark.parametrize("seed", range(STREAMS))
def test_any_hands_on_the_panel(seed: int) -> None:
    hands = Hands(seed)
    while hands.events < EVENTS // STREAMS:
        hands.turn()
    print(f"stream {seed}: {hands.events} events", dict(sorted(hands.met.items())))
    if hands.events >= EVERYTHING:
        assert {kind.__name__ for kind in (*TAPS, *SLOW)} < set(hands.met)
        assert {"knob", "key", *(f"woken by {how}" for how in WAKERS)} < set(hands.met)


@pytest.mark.parametrize("kind", ["bounced", "ghost", "burst"])
def test_the_streams_would_notice_a_press_too_many(
    kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the guard against it, each of these is seen to count."""
    for name in ("GAP_S", "PERIOD_S", "GHOST_S", "SEEN_S", "BURST_S"):
        monkeypatch.setattr(touches, name, 0.0)
    gesture = next(one for one in TAPS if one.__name__ == kind)
    hands = Hands(1)
    with pytest.raises(AssertionError, match=kind):
        for _ in range(200):
            hands.make(gesture(hands.scene, hands.likely(), hands.dice), kind)
