"""What is on the bench: bender, tube, lot, how many; and work that was put aside."""

from dataclasses import replace

from benchcalc.panel.screens import check, copying, learnt, made_before, trial, write
from benchcalc.panel.screens.aside import jobs, shelf
from benchcalc.panel.state.action import press
from benchcalc.panel.state.acts import to_screen
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making.steps import half_bent
from benchcalc.panel.state.model import (
    Draft,
    Model,
    SetupField,
)
from benchcalc.panel.widgets.form_page import Key, key_row, part_of, put_key, titled
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    notice,
)
from benchcalc.report.boxes import (
    cells,
    foot,
    rows,
)
from benchcalc.report.figures import DEFAULT_TAPE, brief, tube_text
from benchcalc.report.scene import Box, Role, Scene
from benchcalc.report.told import in_words, told
from benchcalc.words.language import number_shown, say

FIELDS: tuple[SetupField, ...] = (
    "bender", "material", "od", "wall", "lot", "pieces", "name", "tape",
)  # fmt: skip
NEEDED: tuple[SetupField, ...] = ("bender", "material", "wall")
"""What nothing can be worked out without."""

LEAVE = ("escape", "enter", "back")

BENT_WITH = ("bender", "material", "od", "wall")
"""What must not change under a half bent piece."""


def value_shown(draft: Draft, field: SetupField) -> str:
    """A bench value in words; nothing when it is still to be given."""
    units = draft.units
    od = write.od_of(draft)
    shown = {
        "bender": draft.bender.key if draft.bender else "",
        "material": draft.material.key if draft.material else "",
        "od": tube_text(od, units) if od else "",
        "wall": tube_text(draft.wall_mm, units) if draft.wall_mm is not None else "",
        "lot": draft.lot,
        "pieces": str(draft.pieces),
        "name": draft.name,
        "tape": number_shown(draft.tape or DEFAULT_TAPE[units]),
    }
    return shown[field]


def view(model: Model) -> Scene:
    """The values of the bench, each a key, then what else can be done; the way on below."""
    c = canvas(model)
    body, low = foot(c.below, c.key_h)
    if not titled(c, model, say("bench.title")):
        notice(c, body.inset(2 * GAP), say("word.check"), in_words(model.refusal), "alarm")
        key_row(c, low, [Key("type", say("back"), "key_go", press(_turned, 0), LEAVE)])
        return c.scene()
    across, down = _grid(model)
    part = part_of(_items(model), across * down, model.bench_at)
    needed = next((field for field in NEEDED if not value_shown(model.draft, field)), None)
    for item, box in zip(part.items, cells(body, across, down), strict=False):
        if isinstance(item, Key):
            put_key(c, box, item, lines=3)
        else:
            _value_key(c, model.draft, item, box, first=item == needed)
    role: Role = "key_go" if model.draft.chosen else "key_act"
    keys = [Key("plan", say("bench.plan"), role, press(_to_plan), ("enter",))]
    if model.sticks:
        keys.insert(0, _copy())
    if model.work.shelf:
        caption = say("bench.jobs", count=len(model.work.shelf))
        keys.insert(0, Key("jobs", caption, does=press(jobs.opened)))
    if part.pages > 1:
        shown = say("pick.more", page=part.page + 1, pages=part.pages)
        keys.insert(0, Key("more", shown, does=press(_turned, part.next)))
    key_row(c, low, keys)
    return c.scene()


def _grid(model: Model) -> tuple[int, int]:
    """Keys across and down: values need some width for their words."""
    c = canvas(model)
    across = 2 if c.tall else 3
    return across, max(1, int(foot(c.below, c.key_h)[0].h / c.key_h + 0.01))


def _items(model: Model) -> list[SetupField | Key]:
    """Everything that has a key here, the values first."""
    keys = [
        Key("learnt", say("bench.learnt"), does=press(learnt.opened)),
        Key("trial", say("bench.trial"), does=press(trial.opened)),
        Key("before", say("bench.before"), does=press(made_before.opened)),
        Key("check", say("bench.check"), does=press(check.opened)),
        *([] if model.sticks else [_copy()]),
        Key("settings", say("bench.settings"), does=press(_settings)),
    ]
    if shelf.has_job(model.work):
        keys.append(Key("new", say("bench.new"), does=press(_begin_anew), decides=True))
    return [*FIELDS, *keys]


def _copy() -> Key:
    return Key("copy", say("bench.copy"), does=press(copying.opened))


def _turned(model: Model, at: int) -> Model:
    return replace(model, bench_at=at)


def _value_key(c: Canvas, draft: Draft, field: SetupField, box: Box, first: bool) -> None:
    shown = value_shown(draft, field)
    needed = not shown and field in NEEDED
    edge: Role = "focus" if needed else "rule"
    does = press(_open_value, field)
    c.key(f"set {field}", box, "", "key_act", edge=edge, does=does, choice=True, first=first)
    inner = box.inset(5.0)
    if not c.small:
        inner = inner._replace(x=inner.x + GAP, w=inner.w - GAP)
    label, value = rows(inner, c.unit * 1.1, inner.h - c.unit * 1.1)
    c.text(label, say(f"bench.{field}"), c.unit, "quiet")
    empty = say("bench.choose") if needed else say("bench.none")
    lines = 2 if value.h >= 2 * c.unit else 1
    size = c.unit * (1.2 if shown and len(shown) < 12 else 1.0)
    c.text(value, brief(shown, 26) or empty, size, "ink" if shown else "quiet", lines=lines)


def _settings(model: Model) -> Model:
    return to_screen(replace(model, settings_at=0), "settings")


def _begin_anew(model: Model) -> Model:
    return shelf.put_aside(model)


def _to_plan(model: Model) -> Model:
    """On to the run, or to the piece that is half bent."""
    if not model.draft.chosen:
        missing = work_in_hand(model).missing or ""
        return replace(model, refusal=told("bench.first", missing=missing))
    return _turned(model, 0).with_work(screen="make" if half_bent(model.work) else "plan")


def _open_value(model: Model, field: SetupField) -> Model:
    model = replace(model, bench_at=FIELDS.index(field))
    if field in BENT_WITH and (refusal := half_bent(model.work)):
        return replace(model, refusal=refusal)
    return write.opened(model, field)
