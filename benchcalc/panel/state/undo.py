"""Taking edits of a job back, one by one, as far as they go.

Of each edit only what it changed is kept, as a short text, so that the work which is saved with
every tap stays small.
"""

import json
from dataclasses import fields, replace
from typing import Any

from benchcalc.core.serialize import deserialize, serialize
from benchcalc.panel.state.making.steps import begin, begin_again
from benchcalc.panel.state.measured import as_measured
from benchcalc.panel.state.model import Cursor, Draft, Making, Model, Row, ScreenName, Work
from benchcalc.report.told import Names, told

EDITED_ON: tuple[ScreenName, ...] = ("plan", "shape", "pick", "write", "clash")
"""Screens whose acts edit the job; elsewhere another one is opened, or none is changed."""

ON_THE_BENCH = {
    "bender": "bender", "material": "material", "od_mm": "od", "wall_mm": "wall", "lot": "lot",
    "pieces": "pieces", "name": "name", "tape": "tape",
}  # fmt: skip
"""Parts of a draft that the bench screen shows, by their names there."""

NOT_BENT_WITH = {"name": "", "lot": "", "pieces": 1, "tape": ""}
"""What may change and leave every mark and angle as it is."""


def recorded(before: Model, after: Model) -> Model:
    """The model after an act, which can be taken back if it edited the job."""
    edited = before.work.screen in EDITED_ON and after.draft != before.draft
    if not edited or after.work.undo != before.work.undo:  # one was taken back
        return after
    lost = _begun_again(before.work.making, after.work.making)
    edit = edit_of(before.draft, after.draft, before.work.cursor, lost)
    if lost is not None and not after.refusal:
        after = replace(after, refusal=told("plan.cut-again", piece=lost.piece))
    return after.with_work(undo=(*after.work.undo, edit))


def _begun_again(before: Making | None, after: Making | None) -> Making | None:
    """The piece as far as it had come, when an edit sends it back to its cut."""
    return before if before is not None and after is not None and after != before else None


def edit_of(old: Draft, new: Draft, cursor: Cursor, lost: Making | None = None) -> str:
    """What to put back to come from the new draft to the old one, and where its cursor stood.

    ``lost`` is the piece that the edit sent back to its cut.
    """
    first, same = 0, min(len(old.rows), len(new.rows))
    while first < same and old.rows[first] == new.rows[first]:
        first += 1
    behind = 0
    while behind < same - first and old.rows[-1 - behind] == new.rows[-1 - behind]:
        behind += 1
    rows = old.rows[first : len(old.rows) - behind]
    others = [f.name for f in fields(Draft) if f.name != "rows"]
    edit = {
        "at": first,
        "taken": len(new.rows) - behind - first,
        "rows": [_brief(serialize(row), serialize(Row())) for row in rows],
        "cursor": _brief(serialize(cursor), serialize(Cursor())),
        "other": {
            name: serialize(getattr(old, name))
            for name in others
            if getattr(old, name) != getattr(new, name)
        },
        "making": lost and _brief(serialize(lost), serialize(Making())),
    }
    return json.dumps({name: value for name, value in edit.items() if value}, separators=(",", ":"))


def _brief(plain: dict[str, Any], usual: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in plain.items() if value != usual[name]}


def put_back(draft: Draft, edit: dict[str, Any]) -> tuple[Draft, Cursor]:
    """The draft before an edit, and its cursor."""
    at, taken = edit.get("at", 0), edit.get("taken", 0)
    rows = tuple(deserialize(Row, brief) for brief in edit.get("rows", []))
    bare = serialize(replace(draft, rows=()))
    old = deserialize(Draft, bare | edit["other"]) if "other" in edit else draft
    old = replace(old, rows=(*draft.rows[:at], *rows, *draft.rows[at + taken :]))
    return old, deserialize(Cursor, edit.get("cursor", {}))


def _as_far(back: Work, edit: dict[str, Any], now: Making | None) -> Work:
    """The piece as far as it had come before the edit, unless another was begun since."""
    plain = {name: value for name, value in edit.get("making", {}).items() if name != "says"}
    making = deserialize(Making, plain) if plain else None
    if making is None or now is None or now != begin(making.piece, making.stored):
        return back
    return replace(back, making=making)


def undone(model: Model) -> Model:
    """The job as it was before the last edit; what the run does not show is said."""
    work = model.work
    if not work.undo:
        return replace(model, refusal=told("plan.nothing-to-undo"))
    edit = json.loads(work.undo[-1])
    draft, cursor = put_back(work.draft, edit)
    if work.making is not None and draft.pieces < work.making.piece:
        return replace(model, refusal=told("bench.pieces-made", piece=work.making.piece))
    back = replace(work, draft=draft, cursor=cursor, undo=work.undo[:-1])
    if replace(draft, **NOT_BENT_WITH) != replace(work.draft, **NOT_BENT_WITH):  # type: ignore[arg-type]
        back = _as_far(begin_again(back), edit, work.making)
    names = (f"bench.{ON_THE_BENCH[n]}" for n in edit.get("other", ()) if n in ON_THE_BENCH)
    what = Names(tuple(names))
    says = told("plan.undone", what=what) if what.phrases else None
    return replace(model, work=as_measured(back, model.shop), refusal=says)
