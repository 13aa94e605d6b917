"""Work in hand and on the shelf, with every bender as its trial bends measured it."""

from dataclasses import replace

from benchcalc.jobfile.shop import Shop
from benchcalc.panel.state.making.steps import begin_again, half_bent
from benchcalc.panel.state.model import Draft, Shelved, Work


def as_measured(work: Work, shop: Shop) -> Work:
    """The work with every bender as its trial bends measured it.

    A half bent piece keeps the one it was begun with; one that was only cut or marked begins anew.
    """
    shelf = tuple(_measured_shelved(shelved, shop) for shelved in work.shelf)
    work = work if shelf == work.shelf else replace(work, shelf=shelf)
    draft = _measured_draft(work.draft, shop)
    if draft == work.draft or half_bent(work):
        return work
    return begin_again(replace(work, draft=draft))


def _measured_shelved(shelved: Shelved, shop: Shop) -> Shelved:
    alone = as_measured(Work("plan", shelved.draft, making=shelved.making), shop)
    return replace(shelved, draft=alone.draft, making=alone.making)


def _measured_draft(draft: Draft, shop: Shop) -> Draft:
    found = shop.bender(draft.bender.key) if draft.bender else None
    return replace(draft, bender=found) if found is not None and found.trials else draft
