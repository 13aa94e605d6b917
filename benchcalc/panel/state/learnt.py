"""The bends of a lot as they are looked at on the panel."""

from dataclasses import dataclass

from benchcalc.core.springback.lessons import Lesson


@dataclass(frozen=True, slots=True)
class Learnt:
    """Which taught lot is shown, its bends as read, the bend in hand, and whether to reset it."""

    lot: int = 0
    lessons: tuple[Lesson, ...] = ()
    bend: int = -1
    asking: bool = False
