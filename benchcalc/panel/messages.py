"""What has happened (messages, past tense) and what is to be done about it (commands)."""

from dataclasses import dataclass, field
from typing import Any

Plain = Any
"""JSON values: dict, list, str, int, float, bool, None."""


@dataclass(frozen=True, slots=True)
class Pressed:
    """A finger or the mouse button went down on a target (None: on nothing)."""

    target: str | None
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Released:
    """It came up again; a tap counts when it comes up on the target where it went down."""

    target: str | None
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class KeyTyped:
    """A key of a keyboard or numeric keypad.

    ``key`` is one character, or a name: enter, back, delete, tab, left, right, up, down, escape.
    """

    key: str
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class RunStored:
    """The store has the finished piece, under this sequence number."""

    sequence: int


@dataclass(frozen=True, slots=True)
class StoreFailed:
    """The store refused; ``says`` is a sentence for the operator."""

    says: str


@dataclass(frozen=True, slots=True)
class StoreRecovered:
    """The store took a write again after it had failed."""


@dataclass(frozen=True, slots=True)
class SomethingBroke:
    """A fault of our own was caught; the work is as it was before the last act."""

    says: str


Message = Pressed | Released | KeyTyped | RunStored | StoreFailed | StoreRecovered | SomethingBroke


@dataclass(frozen=True, slots=True)
class SaveWork:
    """Keep the work in progress, whole, before the screen shows it."""

    work: Plain = field(hash=False)


@dataclass(frozen=True, slots=True)
class AppendRun:
    """Append a finished (or scrapped) piece and keep the work that follows, both or neither."""

    record: Plain = field(hash=False)
    work: Plain = field(hash=False)


Command = SaveWork | AppendRun
