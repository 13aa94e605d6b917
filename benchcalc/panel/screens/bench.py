"""What is on the bench: bender, tube, lot, how many; and work that was put aside."""

from dataclasses import replace

from benchcalc.panel.figures import DEFAULT_TAPE, size_text
from benchcalc.panel.grid import Canvas, canvas, cells, columns, rows, status_height, status_line
from benchcalc.panel.language import number_shown, say, speaking
from benchcalc.panel.model import Draft, Model, Row, SetupField, Shelved, Work, Writing
from benchcalc.panel.reading import work_in_hand
from benchcalc.panel.scene import Box, Scene
from benchcalc.panel.steps import half_bent

FIELDS: tuple[SetupField, ...] = (
    "bender", "material", "od", "wall", "lot", "pieces", "name", "tape",
)  # fmt: skip
PICKED = ("bender", "material", "tape")
BENT_WITH = ("bender", "material", "od", "wall")
"""What must not change under a half bent piece."""


def value_shown(draft: Draft, field: SetupField) -> str:
    """A bench value in words; nothing when it is still to be given."""
    units = draft.units
    od = draft.od_mm if draft.od_mm is not None else draft.bender and draft.bender.od_mm
    shown = {
        "bender": draft.bender.key if draft.bender else "",
        "material": draft.material.key if draft.material else "",
        "od": size_text(od, units) if od else "",
        "wall": size_text(draft.wall_mm, units) if draft.wall_mm is not None else "",
        "lot": draft.lot,
        "pieces": str(draft.pieces),
        "name": draft.name,
        "tape": number_shown(draft.tape or DEFAULT_TAPE[units]),
    }
    return shown[field]


def view(model: Model) -> Scene:
    """Eight values, each a key; below them the way on."""
    c = canvas(model)
    width, height = model.size
    status_h = status_height(model.size)
    status = Box(0, 0, width, status_h)
    name = "" if model.sticks and model.missing else "benchcalc"  # their keys lie there
    status_line(c, status, say("bench.title"), name, model.trouble)
    if model.sticks and not model.trouble:
        _, middle, _ = columns(status, 0.465, 0.215, 0.32)
        c.key("copy", middle, say("bench.copy"), "key_act", min(middle.h * 0.55, c.unit))
    body = Box(0, status_h, width, height - status_h).inset(4.0)
    grid, low = rows(body, 4.0, 1.6 if c.tall else 1.0)
    for field, box in zip(FIELDS, cells(grid, 2, 4), strict=True):
        _value_key(c, model.draft, field, box)
    _foot(c, model, low)
    return c.scene()


def _value_key(c: Canvas, draft: Draft, field: SetupField, box: Box) -> None:
    shown = value_shown(draft, field)
    needed = not shown and field in ("bender", "material", "wall")
    c.key(f"set {field}", box, "", "key_act", edge="focus" if needed else "rule")
    inner = box.inset(10.0)
    label, value = rows(inner, 0.42, 0.58)
    c.text(label, say(f"bench.{field}"), min(label.h * 0.9, c.unit), "quiet")
    empty = say("bench.choose") if needed else say("bench.none")
    c.text(value, shown or empty, min(value.h * 0.95, c.unit * 1.6), "ink" if shown else "quiet")


def _foot(c: Canvas, model: Model, box: Box) -> None:
    shelf = model.work.shelf
    if model.refusal:
        says, rest = rows(box, 0.36, 0.64)
        c.text(says, model.refusal, min(says.h * 0.9, c.unit), "ink", lines=2)
        box = rest
    if c.tall:
        upper, lower = rows(box, 1.0, 1.0)
        left, learnt = columns(upper, 1.8 if shelf else 1.0, 1.0)
        trial, more, right = columns(lower, 1.0, 1.0, 1.2)
    else:
        shares = (1.8 if shelf else 1.0, 1.0, 0.9, 0.9, 1.2)
        left, learnt, trial, more, right = columns(box, *shares)
    new, back = columns(left, 1.0, 1.0) if shelf else (left, left)
    if shelf:
        name = shelf[-1].draft.name or say("bench.unnamed")
        caption = say("bench.take-back", name=name)
        c.key("take back", back, caption, "key_act", min(back.h * 0.26, c.unit), lines=3)
    if model.draft != _emptied(model.draft):
        c.key("new", new, say("bench.new"), "key_act", min(new.h * 0.3, c.unit), lines=2)
    c.key("learnt", learnt, say("bench.learnt"), "key_act", min(learnt.h * 0.32, c.unit))
    c.key("trial", trial, say("bench.trial"), "key_act", min(trial.h * 0.32, c.unit), lines=2)
    c.key("settings", more, say("bench.settings"), "key_act", min(more.h * 0.3, c.unit))
    c.key("plan", right, say("bench.plan"), "key_go", min(right.h * 0.42, c.unit * 1.2))


def act(model: Model, target: str) -> Model:
    """Open a value, begin anew, take work back from the shelf, or go on to the run."""
    if target.startswith("set "):
        field = target.removeprefix("set ")
        if field in FIELDS:
            return _open_value(model, field)
    if target == "settings":
        return model.with_work(screen="settings")
    if target == "new":
        return shelve(model, Work())
    if target == "take back" and model.work.shelf:
        return _take_back(model)
    if target in ("plan", "next"):
        missing = work_in_hand(model).missing
        if model.draft.bender is None or model.draft.wall_mm is None or not model.draft.material:
            return replace(model, refusal=say("bench.first", missing=missing))
        return model.with_work(screen="make" if half_bent(model.work) else "plan")
    return model


def _open_value(model: Model, field: SetupField) -> Model:
    refusal = half_bent(model.work) if field in BENT_WITH else ""
    if refusal:
        return replace(model, refusal=refusal)
    units = model.draft.units
    with speaking("en"):  # what is typed keeps its point; only what is shown has a comma
        shown = value_shown(model.draft, field)
    typed = shown.removesuffix(f" {units}") if field in ("od", "wall") else shown
    writing = Writing(field, "" if field in PICKED else typed, units)
    return model.with_work(screen="pick" if field in PICKED else "write", writing=writing)


def begun(work: Work) -> bool:
    """Whether there is anything in this work that someone would miss."""
    row = work.draft.rows[0]
    return bool(
        work.making or len(work.draft.rows) > 1 or row != Row(unit=row.unit) or work.draft.name
    )


def _emptied(draft: Draft) -> Draft:
    """No job yet, on the same bender."""
    rows_ = (Row(unit=draft.units),)
    return replace(Draft(), bender=draft.bender, units=draft.units, rows=rows_)


def shelve(model: Model, fresh: Work) -> Model:
    """Put the work in hand aside, if there is any, and go on with other work.

    Of a run whose pieces are all stored only the run is put aside, not its last piece.
    """
    shelf = model.work.shelf
    if begun(model.work):
        making = None if model.work.screen == "kept" else model.work.making
        shelf = (*shelf, Shelved(model.draft, making))
    if fresh.draft == Draft():
        fresh = replace(fresh, draft=_emptied(model.draft))
    fresh = replace(fresh, shelf=shelf, trials=model.work.trials)
    return replace(model, work=fresh, refusal="")


def _take_back(model: Model) -> Model:
    *others, last = model.work.shelf
    taken = Work("make" if last.making else "plan", last.draft, making=last.making)
    put_aside = replace(model, work=replace(model.work, shelf=tuple(others)))
    return shelve(put_aside, taken)
