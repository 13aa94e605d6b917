"""Builds every port and hands it to the loop; no other file does."""

import sys
from dataclasses import replace
from pathlib import Path

from benchcalc.core.parts import Job
from benchcalc.panel.draft import draft_of
from benchcalc.panel.model import Model, Work, work_of
from benchcalc.panel.screens.bench import shelve
from benchcalc.panel.shop import Shop
from benchcalc.panel.wording import say
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.shell import clock
from benchcalc.shell.loop import Loop
from benchcalc.shell.screen import Screen

UNREAD_SLOT = "unread"
"""Where work of another version is kept when this one cannot read it."""


def run_panel(
    shop: Shop, job: Job | None, size: tuple[int, int] | None, state: Path, trouble: str = ""
) -> None:
    """Open the panel and stay until it is closed.

    ``size`` is a window's; None takes the whole screen. ``trouble`` is said from the start. Raises
    NoScreen or StoreError, each with a sentence for the operator.
    """
    screen = Screen.open(size, fullscreen=size is None, title="benchcalc")
    try:
        with Store.open(state, clock.boot_id()) as store:
            model = restored(Model(shop, screen.size, trouble=trouble), store)
            if job is not None:
                model = opened(model, job)
            Loop(screen, store, model).run()
    finally:
        screen.close()


def restored(model: Model, store: Store) -> Model:
    """The model with the work that was in hand when the panel last stopped."""
    if store.set_aside is not None:
        model = replace(model, trouble=say("trouble.set-aside", name=store.set_aside.name))
    plain = store.load_work(PANEL_SLOT)
    if plain is None:
        return model
    try:
        return replace(model, work=work_of(plain))
    except (ValueError, TypeError) as error:
        print(f"benchcalc: saved work not read: {error}", file=sys.stderr)
        store.save_work(UNREAD_SLOT, plain)
        return replace(model, trouble=say("trouble.unread"))


def opened(model: Model, job: Job) -> Model:
    """A job file opened on the panel; other work in hand is put on the shelf, the same goes on."""
    draft = draft_of(job)
    mine = model.work.draft
    if replace(mine, pieces=draft.pieces, tape=draft.tape) == draft:
        return model
    return shelve(model, Work("plan", draft))
