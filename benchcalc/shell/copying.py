"""Copying the log to a stick while the panel goes on: one step each time the loop comes round.

What makes a copy is imported when the first one is asked for: the panel starts without it.
"""

import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from benchcalc.panel.state.messages import (
    CancelCopy,
    CopyDone,
    CopyFailed,
    CopyProgress,
    LogSeen,
    LookAtLog,
    Message,
    StartCopy,
)
from benchcalc.report.told import told, verbatim
from benchcalc.runlog.store import Store, StoreError

if TYPE_CHECKING:
    from collections.abc import Generator

    from benchcalc.runlog.copies.export import Exported, Progress
    from benchcalc.runlog.copies.media import Media

CopyCommand = LookAtLog | StartCopy | CancelCopy


class Copier:
    """At most one copy at a time. ``media`` is what it writes with, the machine's own if None.

    ``let_go`` asks for a stick to be unmounted and tells whether anybody does.
    """

    def __init__(
        self,
        store: Store,
        media: "Media | None" = None,
        let_go: Callable[[Path], bool] = lambda place: False,
    ) -> None:
        self._store = store
        self._media = media
        self._let_go = let_go
        self._steps: Generator[Progress, None, Exported] | None = None

    @property
    def busy(self) -> bool:
        """Whether a copy runs."""
        return self._steps is not None

    def carry_out(self, command: CopyCommand) -> tuple[Message, ...]:
        """Do what the panel asks. Raises StoreError when the log cannot be looked at."""
        if isinstance(command, LookAtLog):
            head = self._store.head()
            return (LogSeen(head.sequence, head.hash, self._store.copied_to()),)
        self.stop()
        try:
            if isinstance(command, StartCopy):
                self._start(command)
        except (StoreError, OSError) as error:  # a profile file that may not be read, say
            return (CopyFailed(verbatim(str(error))),)
        return ()

    def _start(self, command: StartCopy) -> None:
        from benchcalc.runlog.copies.export import export
        from benchcalc.runlog.copies.media import Disk
        from benchcalc.shell.enclosed import with_learnt

        after = 0 if command.everything else self._store.copied_to()
        place, media = Path(command.place), self._media or Disk()
        self._steps = export(self._store, place, media, with_learnt(self._store), after)

    def stop(self) -> None:
        """Stop the copy that runs, if any, and remove what it wrote."""
        steps, self._steps = self._steps, None
        if steps is not None:
            steps.close()

    def step(self) -> Message | None:
        """One step of the copy that runs; nothing when none does."""
        from benchcalc.runlog.copies import media

        if self._steps is None:
            return None
        try:
            return CopyProgress(next(self._steps).share)
        except StopIteration as finished:
            message: Message = self._done(finished.value)
        except (media.CopyFailed, StoreError) as error:
            message = CopyFailed(verbatim(str(error)))
        except Exception:  # the panel goes on, and the screen must not wait for this copy
            traceback.print_exc(file=sys.stderr)
            message = CopyFailed(told("trouble.broke"))
        self._steps = None
        return message

    def _done(self, exported: "Exported") -> CopyDone:
        notes = exported.notes
        try:
            self._store.mark_copied(exported.head)
        except OSError as error:  # the copy is whole; only the next one will be larger
            notes = (error.strerror or str(error), *notes)
        letting_go = self._let_go(exported.folder.parent)
        return CopyDone(exported.records, exported.folder.name, notes, letting_go)
