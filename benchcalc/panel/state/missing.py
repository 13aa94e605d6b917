"""What the machine under the panel lacks, and the state of the log on it."""

from dataclasses import dataclass
from typing import Literal

StickKind = Literal["stick-other", "stick-locked", "stick-blank", "stick-mixed", "stick-damaged"]
MissingKind = Literal["inputs", "denied", "voltage", "disk", "clock", "log"] | StickKind


@dataclass(frozen=True, slots=True)
class Missing:
    """Something the machine lacks; ``amount`` is how much there is, in words, where that matters.

    No input device at all, or none that may be read; the supply's voltage fell; little room on the
    disk; a clock that nobody has set since the machine started; something of the log. Or a USB
    stick that is in and not
    taken: of another kind, which ``amount`` names, encrypted, blank, ambiguous, or damaged.
    """

    kind: MissingKind
    amount: str = ""


@dataclass(frozen=True, slots=True)
class LogLook:
    """What looking through the log has found; ``share`` is how far one that was asked for is.

    ``whole`` records are whole, None before the first look; ``damaged`` are the numbers of those
    that are not, ``lists`` when something beside the records is damaged.
    """

    share: float | None = None
    whole: int | None = None
    damaged: str = ""
    lists: bool = False

    @property
    def wrong(self) -> bool:
        """Whether there is something to be told."""
        return bool(self.damaged) or self.lists
