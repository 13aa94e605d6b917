"""The steps a bend takes to its final angle: what may follow what, and nothing else.

``TABLE`` is the whole of it; ``settle`` looks at the readings and says what is seen.
"""

from typing import Literal

State = Literal[
    "waiting", "pulling", "holding", "released", "asking", "adrift", "touching",
    "good", "under", "over", "doubted", "slipped",
]  # fmt: skip
Seen = Literal[
    "rose", "moved", "held", "unclear", "fell short", "fell in", "fell out",
    "lay good", "lay under", "lay over", "went silent", "jumped",
    "tapped good", "tapped under", "tapped over", "tapped early",
    "fell on", "left good", "left under", "left over",
]  # fmt: skip
Verdict = Literal["good", "under", "over"]

_STILL_NOT: dict[Seen, State] = {"moved": "pulling", "fell short": "holding", "held": "holding"}
_ROSE: dict[Seen, State] = {"rose": "pulling", "jumped": "slipped"}
_LAY: dict[Seen, State] = {"lay good": "good", "lay under": "under", "lay over": "over"}
_LEFT: dict[Seen, State] = {"left good": "good", "left under": "under", "left over": "over"}
_TAPPED: dict[Seen, State] = {
    "tapped good": "good", "tapped under": "under", "tapped over": "over",
}  # fmt: skip
_FELL: dict[Seen, State] = {"fell in": "released", "fell out": "adrift", "unclear": "asking"}
_LOADED: dict[Seen, State] = _ROSE | _STILL_NOT | _FELL | _LAY | _TAPPED
_FOLLOWED: dict[Seen, State] = (
    _ROSE | _LAY | _LEFT | _TAPPED | {"fell on": "doubted", "unclear": "asking"}
)
"""A verdict is not the end: what falls on is judged anew, what goes far away leaves it standing."""


def _stay(state: State, *seen: Seen) -> dict[Seen, State]:
    return dict.fromkeys(seen, state)


def _followed(state: State) -> dict[Seen, State]:
    return _FOLLOWED | _stay(state, "moved", "went silent", "tapped early")


TABLE: dict[State, dict[Seen, State]] = {
    "waiting": _ROSE | _stay("waiting", "moved", "went silent", "tapped early"),
    "pulling": _LOADED | _stay("pulling", "went silent", "tapped early"),
    "holding": _LOADED | _stay("pulling", "went silent") | _stay("holding", "tapped early"),
    "released": _LOADED | _stay("released", "went silent", "tapped early"),
    "asking": _LOADED | _stay("asking", "moved", "fell in", "went silent", "tapped early"),
    "adrift": _ROSE
    | _TAPPED
    | _stay("adrift", "moved", "fell short", "fell in", "fell out", "went silent", "tapped early")
    | _stay("touching", "lay good", "lay under", "lay over", "unclear", "held"),
    "touching": _ROSE
    | _TAPPED
    | _stay("adrift", "fell out", "went silent")
    | _stay("touching", "moved", "fell short", "fell in", "tapped early")
    | _stay("touching", "lay good", "lay under", "lay over", "unclear", "held"),
    "good": _followed("good"),
    "under": _followed("under"),
    "over": _followed("over"),
    "doubted": _followed("doubted"),
    "slipped": _stay("slipped", "moved", "jumped", "went silent", "tapped early"),
}
"""What follows what. A pair that is not here cannot happen: meeting it is a fault of ours."""

FINAL: tuple[State, ...] = ("good", "under", "over")
FOLLOWED: tuple[State, ...] = (*FINAL, "doubted")
"""There was a verdict, and the reading is followed."""

TOLD: tuple[State, ...] = (*FOLLOWED, "asking", "adrift", "touching")
"""The operator was told something, which stands until the reading surely rises."""

OFF_PEAK: tuple[State, ...] = ("adrift", "touching")


class NoSuchStep(Exception):
    """Something was seen that cannot be in this state: a fault of ours."""

    def __init__(self, state: State, seen: Seen) -> None:
        super().__init__(f"{seen!r} cannot happen while {state!r}: report this")
