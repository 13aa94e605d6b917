"""From what fingers, mouse and keys really send to what was meant: each press once, or not at all.

Nothing here knows a clock: every event comes with the two looks at the queue between which it
happened, for the system tells no better time. What is left out is left out because nobody can have
meant it: a bounce, a ghost, a burst of noise, a contact that never ends, a key that repeats.
"""

from math import hypot
from typing import NamedTuple

from benchcalc.panel.state.messages import KeyTyped, Message, Pressed, Released, Woke
from benchcalc.report.scene import Scene

MOUSE = -1
"""The mouse in the place of a finger's number."""

GAP_S = 0.05
"""A press nearer than this behind a lift at the same place is the same press, bouncing.

Switches and touch screens chatter for some 1 to 20 ms, a finger that taps as fast as it can stays
up for 60 ms or more (both from memory).
"""

PERIOD_S = 0.12
"""Two lifts at one place nearer than this are one: nobody taps more than 8 times a second.

It stands beside ``GAP_S`` because keeping the work on a slow card can take that long, and all that
happened meanwhile is seen at once. Source: fast finger tapping is 5 to 7 Hz, from memory.
"""

GHOST_S = 0.03
"""A contact that surely was shorter is none: two reports of a slow digitiser, 60 Hz, take 33 ms.

Fingers stay for 50 ms and more (from memory). A mouse has no ghosts.
"""

SEEN_S, BRIEF_S = 0.01, 0.06
"""Nor is one that was seen for less than ``SEEN_S`` and lasted less than ``BRIEF_S`` at the most.

A panel at rest looks every 50 ms: of a finger that comes down then, the lift is seen later.
"""

BURST = 3
"""Contacts at so many places within ``BURST_S`` are water, noise or a whole hand."""

BURST_S = 0.03
"""As it is seen: a panel at rest looks every 50 ms, and sees all that came meanwhile at once."""

CALM_S = 0.1
"""What comes down within this behind a burst belongs to it."""

STUCK_S = 5.0
"""A contact held longer is a drop, a tool or a lift that was lost: it presses nothing more."""

NEAR, FAR = 0.1, 0.25
"""Of the screen's shorter side: within ``NEAR`` is the same place; a lift past ``FAR`` a jump."""

KEY_GAP_S, KEY_PERIOD_S = 0.03, 0.1
"""As ``GAP_S`` and ``PERIOD_S``, from release to press and from press to press of one key."""

KEY_LOST_S = 1.5
"""A held key repeats at least this often; a press later than that means its release was lost."""

FRESH_S = 0.5
"""So long a key is dead that came to lie under a finger, or that the panel showed by itself.

Nobody reads a new key and means it sooner; a second press that was meant for the old one comes
within some 0.2 to 0.4 s (from memory).
"""

KNOB = ("left", "right", "up", "down")
"""A knob sends these as fast as it is turned; they only move the ring."""


class Down(NamedTuple):
    """A finger, or the left mouse button, went down here; pixels of the picture."""

    x: int
    y: int
    finger: int = MOUSE


class Up(NamedTuple):
    """It came up here."""

    x: int
    y: int
    finger: int = MOUSE


class KeyDown(NamedTuple):
    """A key by its name or character, as ``KeyTyped`` has them.

    ``code`` tells it from the others; 0 when that is not known, and then every one counts.
    """

    name: str
    code: int = 0


class KeyUp(NamedTuple):
    """A key came up again."""

    code: int


Touch = Down | Up | KeyDown | KeyUp


class Look(NamedTuple):
    """An event that is seen at ``at_s`` happened after the look before it, at ``after_s``."""

    after_s: float
    at_s: float


class Contact(NamedTuple):
    """A finger that is down: where, and when it came."""

    x: int
    y: int
    came: Look


class Lift(NamedTuple):
    """Where and when a finger came up."""

    x: int
    y: int
    went: Look


class Touches:
    """All that is down now, and what was let go last.

    The first contact leads: it alone presses. Others that come meanwhile press nothing, unless the
    leading one proves to be a ghost.
    """

    def __init__(self, at_s: float = 0.0) -> None:
        self._down: dict[int, Contact] = {}
        self._lead: int | None = None
        self._lifted: Lift | None = None
        self._counted: Lift | None = None
        self._left: Scene | None = None
        self._were: tuple[tuple[Scene, float], ...] = ()
        self._came: tuple[Contact, ...] = ()
        self._burst_until_s = float("-inf")
        self._held: dict[int, float] = {}
        self._typed: dict[int, Look] = {}
        self._let_go: dict[int, Look] = {}
        self._acted_s = at_s

    def idle_s(self, at_s: float) -> float:
        """How long nothing was touched or typed, and nothing needed a person."""
        return at_s - self._acted_s

    def roused(self, at_s: float) -> None:
        """Something else happened that a person is to see."""
        self._acted_s = at_s

    def shown(self, before: Scene, at_s: float) -> None:
        """The screen became another one that no press has asked for; ``before`` is what it was."""
        late = (was for was in self._were if at_s - was[1] < FRESH_S)
        self._were = (*late, (before, at_s))

    def hear(self, event: Touch, look: Look, scene: Scene, dark: bool = False) -> list[Message]:
        """What one event means on the screen that is shown.

        While it is ``dark`` a touch or key lights it and means nothing else, up to its lift.
        """
        self._acted_s = look.at_s
        if isinstance(event, Down):
            return [*self.tick(look.at_s), *self._pressed(event, look, scene, dark)]
        if isinstance(event, Up):
            return [*self.tick(look.at_s), *self._lift(event, look, scene)]
        if isinstance(event, KeyUp):
            self._held.pop(event.code, None)
            self._let_go[event.code] = look
            return []
        return self._key(event, look, dark)

    def tick(self, at_s: float) -> list[Message]:
        """Time goes on: a contact that is held for too long presses nothing any more."""
        contact = self._down.get(self._lead) if self._lead is not None else None
        if contact is None or at_s - contact.came.at_s < STUCK_S:
            return []
        return self._let_lead_go(at_s)

    def _let_lead_go(self, at_s: float) -> list[Message]:
        if self._lead is None:
            return []
        self._lead = None
        return [Released(None, at_s)]

    def _pressed(self, event: Down, look: Look, scene: Scene, dark: bool) -> list[Message]:
        lost = self._let_lead_go(look.at_s) if event.finger == self._lead else []
        self._down.pop(event.finger, None)
        if dark:
            self._lifted = Lift(event.x, event.y, look)  # should it bounce, that means nothing too
            return [*lost, Woke(look.at_s)]
        if look.at_s < self._burst_until_s:
            self._burst_until_s = look.at_s + CALM_S
            return lost
        bounced = self._lifted is not None and near(self._lifted, event, scene)
        if bounced and self._lifted and look.at_s - self._lifted.went.after_s < GAP_S:
            return lost  # its lift is not known as one of ours then, and means nothing
        self._down[event.finger] = Contact(event.x, event.y, look)
        if self._bursts(self._down[event.finger], scene):
            self._burst_until_s = look.at_s + CALM_S
            return [*lost, *self._burst(look)]
        if self._lead is not None:
            return lost
        return [*lost, *self._leads(event.finger, look, scene)]

    def _leads(self, finger: int, look: Look, scene: Scene) -> list[Message]:
        contact = self._down[finger]
        self._lead = finger
        if self._fresh(contact, look, scene):
            return []
        return [Pressed(scene.target_at(contact.x, contact.y), look.at_s)]

    def _bursts(self, new: Contact, scene: Scene) -> bool:
        late = (c for c in self._came if new.came.at_s - c.came.at_s < BURST_S)
        self._came = (*(c for c in late if not near(c, new, scene)), new)
        return len(self._came) >= BURST

    def _burst(self, look: Look) -> list[Message]:
        """Forget what came down with it; a finger that was there before stays."""
        lead = self._down.get(self._lead) if self._lead is not None else None
        early = lead is not None and look.at_s - lead.came.at_s >= BURST_S
        self._down = {self._lead: lead} if early and lead and self._lead is not None else {}
        return [] if early else self._let_lead_go(look.at_s)

    def _lift(self, event: Up, look: Look, scene: Scene) -> list[Message]:
        contact = self._down.pop(event.finger, None)
        if contact is None:
            if self._lifted is not None and near(self._lifted, event, scene):
                self._lifted = Lift(event.x, event.y, look)
            return []
        if event.finger != self._lead:
            return []
        self._lead = None
        if event.finger != MOUSE and is_ghost(contact.came, look):
            return [Released(None, look.at_s), *self._promoted(contact, look, scene)]
        self._lifted = Lift(event.x, event.y, look)
        if apart(contact, event) > FAR * min(scene.size) or self._again(event, look, scene):
            return [Released(None, look.at_s)]
        self._counted, self._left = self._lifted, scene
        self._were = ()  # what follows was asked for, whatever the panel showed before
        return [Released(scene.target_at(event.x, event.y), look.at_s)]

    def _promoted(self, ghost: Contact, look: Look, scene: Scene) -> list[Message]:
        """The finger that came down beside a ghost takes its place."""
        after = [f for f, c in self._down.items() if c.came.at_s >= ghost.came.at_s]
        return self._leads(after[0], look, scene) if after else []

    def _fresh(self, contact: Contact, look: Look, scene: Scene) -> bool:
        """Whether the key under a finger is another one than was there when it could be read."""
        lift, since = self._counted, list(self._were)
        if lift is not None and self._left is not None and near(lift, contact, scene):
            since.append((self._left, lift.went.after_s))
        place = contact.x, contact.y
        here = scene.target_at(*place)
        late = (was for was, at_s in since if 0.0 <= look.at_s - at_s < FRESH_S)
        return here is not None and not all(here.is_as(was.target_at(*place)) for was in late)

    def _again(self, event: Up, look: Look, scene: Scene) -> bool:
        """Whether this is the lift that was counted already, seen twice."""
        last = self._counted
        if last is None or not near(last, event, scene):
            return False
        return look.at_s - last.went.after_s < PERIOD_S

    def _key(self, key: KeyDown, look: Look, dark: bool) -> list[Message]:
        if key.code and (self._repeats(key.code, look) or self._chatters(key, look)):
            return []
        self._typed[key.code] = look
        return [Woke(look.at_s) if dark else KeyTyped(key.name, look.at_s)]

    def _repeats(self, code: int, look: Look) -> bool:
        last_s = self._held.get(code)
        self._held[code] = look.at_s
        return last_s is not None and look.at_s - last_s < KEY_LOST_S

    def _chatters(self, key: KeyDown, look: Look) -> bool:
        if key.name in KNOB:
            return False
        typed, let_go = self._typed.get(key.code), self._let_go.get(key.code)
        if typed is not None and look.at_s - typed.after_s < KEY_PERIOD_S:
            return True
        return let_go is not None and look.at_s - let_go.after_s < KEY_GAP_S


def is_ghost(came: Look, went: Look) -> bool:
    """Whether a contact was too short for a finger."""
    most_s, seen_s = went.at_s - came.after_s, went.at_s - came.at_s
    return most_s < GHOST_S or (seen_s < SEEN_S and most_s < BRIEF_S)


def apart(one: Contact | Lift | Down | Up, other: Contact | Lift | Down | Up) -> float:
    """The pixels between two places."""
    return hypot(one.x - other.x, one.y - other.y)


def near(one: Contact | Lift, other: Contact | Down | Up, scene: Scene) -> bool:
    """Whether a finger would call it the same place."""
    return apart(one, other) <= NEAR * min(scene.size)
