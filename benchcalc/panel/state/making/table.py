"""The steps of making a piece: what may follow what, and nothing else.

``TABLE`` is the whole of it; ``steps`` looks at the piece and says what happened.
Beside the table lie the steps that come back to where they were asked for (``ASIDE``).
"""

from typing import Literal

Step = Literal[
    "slide", "cut", "mark", "re-mark", "turn", "seat", "pull", "reached", "check", "good", "over",
    "correct", "scrap", "store", "largest", "smallest", "port", "aim", "level",
]  # fmt: skip
"""A step of making a piece; their names are kept with the work."""

Event = Literal[
    "parts to slide on", "no parts", "slid on", "one more mark", "told where it missed",
    "miss told", "answered",
    "mark moved", "tube to turn", "tube lies right", "turned", "level at hand", "turn read",
    "turn off", "seated", "pulled", "reached",
    "doubted", "lies good", "short", "past travel", "over", "rest to correct", "all bent",
    "back to the cut", "back to the parts", "back to a mark", "back to the new mark",
    "back to the turn", "back to the seat", "back to the pull", "back to what was reached",
    "back to the reading",
    "back to the correction", "back to the miss",
]  # fmt: skip
"""What happened at a step; each names a fact about the piece, not a key."""

_ON: dict[Event, Step] = {
    "mark moved": "re-mark",
    "tube to turn": "turn",
    "tube lies right": "seat",
}
"""On to a bend: its new mark first where that has moved, then its turn, then its seat."""

_DONE: dict[Event, Step] = _ON | {"rest to correct": "correct", "all bent": "store"}
"""A bend is done: on to the next, to the correction of the rest, or to the stored piece."""

_READ: dict[Event, Step] = _DONE | {"short": "pull", "over": "over", "past travel": "over"}
"""A reading was judged."""

_FOLLOWED: dict[Event, Step] = _READ | {"lies good": "good"}
"""The same by the sensor: it follows a bend until the step is left."""

_BEFORE: dict[Event, Step] = {
    "back to a mark": "mark",
    "back to the reading": "check",
    "back to the correction": "correct",
}
"""Before a bend stands the reading or the correction of the one before, or the last mark."""

TABLE: dict[Step, dict[Event, Step]] = {
    "cut": {"parts to slide on": "slide", "no parts": "mark", "told where it missed": "port"},
    "port": {"miss told": "aim", "back to the cut": "cut"},
    "aim": {"answered": "cut", "back to the miss": "port"},
    "slide": {"slid on": "mark", "back to the cut": "cut"},
    "mark": {
        "one more mark": "mark",
        **_ON,
        "back to a mark": "mark",
        "back to the parts": "slide",
        "back to the cut": "cut",
    },
    "re-mark": {"tube to turn": "turn", "tube lies right": "seat", **_BEFORE},
    "turn": {
        "turned": "seat",
        "level at hand": "level",
        "turn read": "seat",
        "turn off": "turn",
        "back to the new mark": "re-mark",
        **_BEFORE,
    },
    "level": {
        "turn read": "seat",
        "turn off": "level",
        "back to the turn": "turn",
        "back to the seat": "seat",
    },
    "seat": {
        "seated": "pull",
        "level at hand": "level",
        "back to the turn": "turn",
        "back to the new mark": "re-mark",
        **_BEFORE,
    },
    "pull": {
        "pulled": "reached",
        **_FOLLOWED,
        "back to the seat": "seat",
        "back to the reading": "check",
    },
    "reached": {"reached": "check", **_FOLLOWED, "back to the pull": "pull"},
    "check": {"doubted": "check", **_FOLLOWED, "back to what was reached": "reached"},
    "good": {**_FOLLOWED, "back to the reading": "check"},
    "over": {**_FOLLOWED, "back to the reading": "check"},
    "correct": {**_ON, "back to the reading": "check"},
    "store": {"back to the reading": "check"},
}
"""What follows what. A pair that is not here cannot happen: meeting it is a fault of ours."""

ASIDE: dict[Step, tuple[Step, ...]] = {
    "scrap": (
        "mark", "re-mark", "turn", "level", "seat", "pull", "reached", "check", "good", "over",
        "correct", "store",
        "port", "aim", "largest", "smallest",
    ),
    "largest": ("re-mark", "turn", "seat", "store"),
    "smallest": ("largest",),
}  # fmt: skip
"""Steps that are asked for at others and come back to them."""


def after(step: Step, event: Event) -> Step:
    """The step that follows. Raises ValueError for what cannot happen there."""
    try:
        return TABLE[step][event]
    except KeyError:
        raise ValueError(f"{event} cannot happen at the step {step}") from None


def mermaid() -> str:
    """The table as a Mermaid state diagram."""
    lines = ["stateDiagram-v2", "    [*] --> cut"]
    for step, row in TABLE.items():
        ways: dict[Step, list[Event]] = {}
        for event, then in row.items():
            ways.setdefault(then, []).append(event)
        lines += [f"    {_name(step)} --> {_name(to)}: {', '.join(e)}" for to, e in ways.items()]
    for step, asked_at in ASIDE.items():
        lines += [f"    {_name(at)} --> {_name(step)}: asked" for at in asked_at]
    return "\n".join([*lines, "    store --> [*]"]) + "\n"


def _name(step: Step) -> str:
    return step.replace("-", "_")
