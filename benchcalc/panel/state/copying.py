"""How far copying the log to a stick has come, as the panel shows it."""

from dataclasses import dataclass
from typing import Literal

from benchcalc.report.told import Told


@dataclass(frozen=True, slots=True)
class Copying:
    """The copy screen: the log's end as read on opening, what goes where, and what came of it.

    ``last`` is the newest record, None until it is known; ``copied`` the last one of earlier
    copies. ``share`` is None while no copy runs. ``says`` is about the copy before, ``letting_go``
    whether this machine takes its stick from the files by itself.
    """

    place: str = ""
    last: int | None = None
    hash: str = ""
    copied: int = 0
    everything: bool = False
    share: float | None = None
    outcome: Literal["", "done", "failed", "stopped"] = ""
    says: Told | None = None
    note: str = ""
    letting_go: bool = False

    @property
    def after(self) -> int:
        """The record that the copy would begin after."""
        return 0 if self.everything else self.copied
