"""A real session at the panel: taps through the loop, kept in a store that tells what it kept.

``python -m tests.crash.session KIND FOLDER LOG`` runs one; each act is told to the log before it is
begun and again once it is acknowledged, which is when the screen would show it.
"""

import hashlib
import json
import os
import sys
from pathlib import Path
from typing import Any

from benchcalc.app import opened
from benchcalc.files.loading import asset_path, load_job, load_shop
from benchcalc.panel.state.draft import read_draft
from benchcalc.panel.state.fields import number_typed
from benchcalc.panel.state.making.steps import bend_in_hand, made
from benchcalc.panel.state.model import Model
from benchcalc.report.scene import Scene, Target
from benchcalc.report.settings import Settings
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.shell.display.screen import RawEvent
from benchcalc.shell.loop import Loop
from tests.panel.faces import toward
from tests.shell.hand import tap

SIZE = (800, 480)
MOST_TAPS = 300
"""A piece takes fewer; more are a session that goes round in circles."""


class NoWindow:
    """A panel that nobody sees."""

    def events(self) -> list[RawEvent]:
        return []

    def paint(self, scene: Scene) -> None:
        pass

    def apply_settings(self, settings: Settings) -> None:
        pass


class ToldStore(Store):
    """The store, every act of it told before and after."""

    log = -1

    def append(self, *args: Any, **named: Any) -> int:
        self._tell("begun")
        sequence = super().append(*args, **named)
        self._tell("kept")
        return sequence

    def save_work(self, slot: str, body: Any) -> None:
        self._tell("begun")
        super().save_work(slot, body)
        self._tell("kept")

    def _tell(self, what: str) -> None:
        told = {"what": what} if what == "begun" else {"what": what, "now": state_of(self)}
        os.write(self.log, f"{json.dumps(told)}\n".encode())


def state_of(store: Store) -> list[Any]:
    """What the store holds: the chain's head, which stands for all records, and the work."""
    work = json.dumps(store.load_work(PANEL_SLOT), sort_keys=True).encode()
    return [*store.head(), hashlib.sha256(work).hexdigest()]


def tap_all(loop: Loop, names: tuple[str, ...]) -> None:
    """Tap keys by name; one that is not shown is a fault of the session."""
    for name in names:
        target = found(loop, name)
        if target is None:
            raise ValueError(f"no key {name!r} on the screen {loop.model.work.screen}")
        tap(loop, *target.box.centre)


def found(loop: Loop, name: str) -> Target | None:
    """A key on this page or face of the screen, or on one that the keys for that turn to."""
    for _ in range(8):
        way = toward(loop.scene, name)
        if way is None:
            break
        tap_all(loop, (way,))
    return loop.scene.target(name)


def new_loop(store: Store) -> Loop:
    """The panel with the demo's job opened, as from a file."""
    shop = load_shop(None)
    model = opened(Model(shop, SIZE), load_job(asset_path("demo.yaml"), shop))
    return Loop(NoWindow(), store, model)


def make_piece(loop: Loop, first_off_deg: float = 0.0, until: str = "") -> None:
    """Tap through a piece; the first reading of each bend is off by so much, the next is right.

    Stops before the tap that would end the step ``until``, else when the piece is stored.
    """
    for _ in range(MOST_TAPS):
        making = loop.model.work.making
        stored = making is not None and making.stored
        if loop.model.work.screen != "make" or making is None or making.step == until:
            return
        if making.step == "check":
            sheet = read_draft(loop.model.draft).sheet
            assert sheet is not None
            bend = bend_in_hand(making, sheet)
            off_deg = 0.0 if any(p.released_deg for p in made(making, bend.number).pulls) else 1.0
            reading = number_typed(bend.angle_deg - off_deg * first_off_deg)
            tap_all(loop, tuple(f"key {c}" for c in reading))
        tap_all(loop, ("next",))
        after = loop.model.work.making
        if after is not None and after.stored != stored:
            return
    raise ValueError(f"after {MOST_TAPS} taps the piece is not made")


def session(kind: str, folder: Path, log: int) -> None:
    """``taps`` from an empty folder on; ``older`` and ``damaged`` find a store there already."""
    ToldStore.log = log
    with ToldStore.open(folder, "boot-1") as store:
        os.write(log, f"{json.dumps({'what': 'kept', 'now': state_of(store)})}\n".encode())
        loop = new_loop(store)
        for number in range(20 if kind == "taps" else 3):
            tap_all(loop, ("make" if number == 0 else "one more",))
            while loop.model.work.screen == "make":
                make_piece(loop, first_off_deg=number % 3)
    with ToldStore.open(folder, "boot-2") as store:
        loop = new_loop(store)
        tap_all(loop, ("make",))
        make_piece(loop)


if __name__ == "__main__":
    handle = os.open(sys.argv[3], os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
    session(sys.argv[1], Path(sys.argv[2]), handle)
