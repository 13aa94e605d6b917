"""The log looked through in the background: a few records each time the loop comes round."""

from collections.abc import Generator

from benchcalc.panel.state.missing import LogLook
from benchcalc.runlog.look import Looked, looking
from benchcalc.runlog.reading import numbers_text
from benchcalc.runlog.store import Store, StoreError

EVERY_S = 24 * 3600.0
IDLE_S = 60.0
"""Nobody has been at the panel for so long when the daily look begins."""


class Looker:
    """Once a day when nobody is at the panel, and whenever someone asks."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._steps: Generator[float, None, Looked] | None = None
        self._asked = False
        self._ended_s: float | None = None
        self._shown = 0.0

    @property
    def hurries(self) -> bool:
        """Whether somebody waits for it."""
        return self._steps is not None and self._asked

    def ask(self) -> None:
        """Begin now, or go on for somebody who waits."""
        self._asked = True
        if self._steps is None:
            self._steps = looking(self._store)

    def step(self, at_s: float, idle_s: float) -> LogLook | None:
        """A few records more; what is to be shown of it."""
        if self._steps is None:
            due = self._ended_s is None or at_s - self._ended_s >= EVERY_S
            if due and idle_s >= IDLE_S:
                self._steps = looking(self._store)
            return None
        try:
            share = next(self._steps)
        except StopIteration as finished:
            return self._ended(at_s, look_of(finished.value))
        except StoreError:  # the disk refuses; whatever is kept next will say so
            return self._ended(at_s, LogLook()) if self._asked else self._ended(at_s, None)
        if not self._asked or round(share, 2) == self._shown:
            return None
        self._shown = round(share, 2)
        return LogLook(share=self._shown)

    def _ended(self, at_s: float, look: LogLook | None) -> LogLook | None:
        self._steps, self._asked, self._ended_s, self._shown = None, False, at_s, 0.0
        return look


def look_of(looked: Looked) -> LogLook:
    """What was found, as the panel shows it."""
    beside = looked.astray or bool(looked.spoilt)
    return LogLook(None, looked.whole, numbers_text(list(looked.damage)), beside)
