"""Trial bends: measure offcuts, see the die's true radius and lines, keep them.

Trials are about one bender and one outside diameter; with others on the bench they wait.
"""

from dataclasses import replace
from typing import Any

from benchcalc.core.job import Bender
from benchcalc.core.springback.calibration import (
    TrialError,
)
from benchcalc.core.springback.lessons import TRIAL
from benchcalc.panel.screens.trial_says import trials_say
from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.acts import to_screen
from benchcalc.panel.state.fields import read_length
from benchcalc.panel.state.in_hand import trial_lessons
from benchcalc.panel.state.making.steps import half_bent
from benchcalc.panel.state.measured import as_measured
from benchcalc.panel.state.messages import AppendRecord
from benchcalc.panel.state.model import Model, work_plain
from benchcalc.panel.state.trials import (
    BEND_FIELDS,
    OPTIONAL,
    U_FIELDS,
    Measurements,
    TrialField,
    Trials,
    measured_of,
    trial_field,
    trial_record,
    with_measured_bender,
)
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.panel.widgets.form_page import (
    Key,
    Places,
    face_key,
    face_of,
    form,
    form_status,
    key_row,
    said,
)
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    fits,
    notice,
    paragraph,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.panel.widgets.typed_field import typed_field, with_arrows
from benchcalc.report.boxes import (
    cells,
    foot,
    rows,
)
from benchcalc.report.scene import Box, Scene
from benchcalc.report.told import Size, told, verbatim
from benchcalc.words.language import say


def opened(model: Model) -> Model:
    """The trial screen for the bender on the bench."""
    if model.draft.bender is None:
        return replace(model, refusal=told("bench.first", missing=told("trial.no-bender")))
    refusal = half_bent(model.work)
    if refusal:
        return replace(model, refusal=refusal)
    bender, od_mm = model.draft.bender, _od(model, model.draft.bender)
    trials = model.work.trials
    if not trials.done and trials.typing.untouched:
        blank = Measurements(unit=model.draft.units)
        trials = replace(trials, typing=blank, bender=bender.key, od_mm=od_mm)
    if (trials.bender, trials.od_mm) != (bender.key, od_mm):
        od = Size(trials.od_mm, trials.typing.unit)
        says = told("trial.others", bender=trials.bender, od=od)
        return replace(model, refusal=says)
    return replace(model.with_work(screen="trial", trials=trials), refusal=None, face="keys")


def _od(model: Model, bender: Bender) -> float:
    return bender.od_mm if model.draft.od_mm is None else model.draft.od_mm


def kept(model: Model, record: dict[str, Any]) -> Model:
    """The model when a bender's trial bends are in the store: its profile is the measured one."""
    shop = with_measured_bender(model.shop, record)
    if model.work.screen == "trial":
        model = model.with_work(trials=Trials(), screen="bench")
    return replace(model, shop=shop, work=as_measured(model.work, shop))


def view(model: Model) -> Scene:
    """The measurement in hand with what they all say, beside the keypad; or all that is said."""
    c = canvas(model)
    trials, places = model.work.trials, form(c)
    if model.asking == "drop" or (face_of(c, model) != "keys" and not _roomy(c, places)):
        return _read_view(c, model)
    free = form_status(c, model, _title(model))
    if _roomy(c, places):
        _all_fields(c, model, places)
    elif c.small and free:
        at, last = trials.fields.index(trials.field), len(trials.fields) - 1
        middle = with_arrows(c, places.field, at > 0, at < last, press(_step, -1), press(_step, 1))
        _field(c, trials, trials.field, middle)
    elif not c.small:
        _field(c, trials, trials.field, places.field)
        _says(c, model, places.says)
        key_row(c, places.keys, _beside(trials))
    keypad(c, places.pad, FORM, _entry(model), (_look(),))
    return c.scene()


def _title(model: Model) -> str:
    bender, count = model.draft.bender, len(model.work.trials.done)
    return say("trial.title", bender=bender.key if bender else "", count=count)


def _roomy(c: Canvas, places: Places) -> bool:
    """Whether all fields, all keys and what they say have room beside the keypad."""
    height = places.keys.bottom - places.field.y
    return places.field.w >= 5 * c.key_w and height >= 4 * c.key_h + 5 * c.unit


def _all_fields(c: Canvas, model: Model, places: Places) -> None:
    trials = model.work.trials
    grid = places.field._replace(h=3 * c.key_h)
    across, down = (1, 1) if trials.field == "width" else (2, 3)
    shown = grid._replace(h=down * c.key_h)
    for field, box in zip(trials.fields, cells(shown, across, down), strict=True):
        c.key(f"field {field}", box, "", "sheet", does=press(_at, field))
        _field(c, trials, field, box)
    says = Box(grid.x, grid.bottom, grid.w, places.keys.y - grid.bottom)
    _says(c, model, says.inset(GAP))
    key_row(c, places.keys, [_back(), *_more(trials)[:2], _add_key(), *_more(trials)[2:]])


def _read_view(c: Canvas, model: Model) -> Scene:
    """The second page: what the trials say, and all that is done with them."""
    key_rows = _read_keys(c, model)
    apart = 4 * GAP if model.asking else 0.0  # the second press clear of where the first was
    says, low = foot(c.below, c.key_h * len(key_rows) + apart)
    crowded = c.small and len(key_rows) > 1
    radius, lines = trials_say(model) if crowded else ("", [])
    title = _title(model)
    status_line(c, c.status, radius or title, title if radius else "", model.trouble)
    if radius:
        room = says.inset(GAP)
        c.text(room, _fitting(c, room, lines), c.unit, lines=2)
    else:
        _says(c, model, says.inset(2 * GAP))
    for box, keys in zip(rows(low, *[1.0] * len(key_rows)), key_rows, strict=True):
        key_row(c, box, keys)
    return c.scene()


def _read_keys(c: Canvas, model: Model) -> list[list[Key]]:
    """Two rows on a narrow screen; beside a refusal a small one has room for the ways out only."""
    trials = model.work.trials
    if model.asking == "drop":
        yes = Key("yes drop", say("trial.drop.yes"), does=press(_drop, True), decides=True)
        no = Key("no", say("trial.drop.no"), "key_go", press(_no_drop), ("escape",))
        return [[yes], [no]]  # the first above the row in which the first press was
    again = face_key("keys", say("plan.type"), "key_act" if trials.done else "key_go")
    ways = [_back(), again]
    if c.small and model.refusal:
        return [ways]
    first, *others = _more(trials)
    if c.small:
        others = [*others[:1], _next_act(trials)]
    if others and (c.small or c.tall):
        return [[*ways, first], others] if trials.done else [[*ways, first, *others]]
    return [[*ways, first, *others]]


def _back() -> Key:
    return Key("bench", say("back"), does=press(to_screen, "bench"), keys=("escape",))


def _look() -> Key:
    return face_key("answer", say("more"))


def _more(trials: Trials) -> list[Key]:
    """What is done with the trials, and with their kind."""
    other = say("trial.as-bend" if trials.field == "width" else "trial.as-u")
    kind = Key("kind", other, does=press(_other_kind))
    if not trials.done:
        return [kind]
    drop = Key("drop", say("trial.drop"), does=press(_drop), keys=("delete",), decides=True)
    return [kind, drop, _keep_key()]


def _keep_key() -> Key:
    return Key("keep", say("trial.keep"), "key_go", press(_keep), decides=True, choice=True)


def _add_key() -> Key:
    return Key("add", say("trial.add"), does=press(_add))


def _beside(trials: Trials) -> list[Key]:
    """The row beside the keypad; an arrow while there is a field before, else the way out."""
    arrow = Key("earlier", "", does=press(_step, -1), keys=("shift tab",))
    first = _back() if trials.field == trials.fields[0] else arrow
    return [first, _look(), _next_act(trials)]


def _next_act(trials: Trials) -> Key:
    typed = any(trials.typing.text(field) for field in trials.fields)
    return _add_key() if typed or not trials.done else _keep_key()


def _field(c: Canvas, trials: Trials, field: TrialField, box: Box) -> None:
    """A field's name and value; the one in hand is edged."""
    entry = _entry_of(trials, field)
    empty = say("trial.optional") if field in OPTIONAL else say("plan.leg.empty")
    name, shown, given = say(entry.field.phrase), entry.shown or empty, bool(entry.text)
    if field == trials.field:
        typed_field(c, box, name, shown, given)
        return
    head, value = rows(box.inset(10.0), 0.4, 0.6)
    c.text(head, name, c.unit, "quiet")
    c.text(value, shown, c.unit * (1.4 if given else 1.0), "ink" if given else "quiet")


def _says(c: Canvas, model: Model, box: Box) -> None:
    trials = model.work.trials
    if model.refusal or model.draft.bender is None or not trials.done:
        kind = "u" if trials.fields == U_FIELDS else "bend"
        said(c, model, box, say(f"trial.how.{kind}"), say(f"trial.how.{kind}.short"))
        return
    radius, told = trials_say(model)
    if not radius:
        notice(c, box, say("word.check"), " ".join(told), "alarm")
    elif box.h >= 4.8 * c.unit:
        first, second = foot(box, box.h - 2.4 * c.unit)
        c.text(first, radius, c.unit * 1.2, "ink", "left", 2)
        paragraph(c, second, _fitting(c, second, told))
    else:
        paragraph(c, box, _fitting(c, box, [f"{radius}.", *told]))


def _fitting(c: Canvas, box: Box, told: list[str]) -> str:
    """As many sentences as have room, from the weightiest on; one at least."""
    count = len(told)
    while count > 1 and not fits(c, box, " ".join(told[:count])):
        count -= 1
    return " ".join(told[:count])


def _drop(model: Model, sure: bool = False) -> Model:
    """The last trial away, at the second press."""
    trials = model.work.trials
    if not sure:
        return replace(model, asking="drop", refusal=told("trial.drop.ask"), face="answer")
    return model.with_work(trials=replace(trials, done=trials.done[:-1]))


def _no_drop(model: Model) -> Model:
    return model


def _keep(model: Model) -> Acted:
    """What the trials say, into the bender's profile, once it is a record."""
    trials, bender = model.work.trials, _bender(model)
    try:
        record = trial_record(bender, trials.done, trials.od_mm)
    except TrialError as error:  # the profile was changed since they were added
        return replace(model, refusal=verbatim(str(error))), ()
    record["lessons"] = trial_lessons(model, trials.done)
    return model, (AppendRecord(TRIAL, record, work_plain(kept(model, record).work)),)


def _bender(model: Model) -> Bender:
    bender = model.draft.bender
    assert bender is not None, "no trial without a bender"
    return bender


def _at(model: Model, field: TrialField) -> Model:
    trials = replace(model.work.trials, field=field, fresh=True)
    return replace(model.with_work(trials=trials), face="keys")


def _step(model: Model, by: int) -> Model:
    """To the field before or after, where there is one."""
    trials = model.work.trials
    at = trials.fields.index(trials.field) + by
    return _at(model, trials.fields[min(max(at, 0), len(trials.fields) - 1)])


def _other_kind(model: Model) -> Model:
    return _at(model, BEND_FIELDS[0] if model.work.trials.field in U_FIELDS else U_FIELDS[0])


def _next(model: Model) -> Model:
    """On to the next field, from the last one with the others."""
    trials = model.work.trials
    return _add(model) if trials.field == trials.fields[-1] else _step(model, 1)


def _add(model: Model) -> Model:
    """The typed trial with the others, if it can be read and leaves a sense in them all."""
    trials, bender = model.work.trials, _bender(model)
    typing, fields = trials.typing, trials.fields
    if fields == U_FIELDS:
        read_length(trial_field("width", typing.unit), typing.width)
    done = (*trials.done, typing.only(fields))
    try:
        measured_of(done, bender, trials.od_mm)
    except TrialError as error:
        return replace(model, refusal=verbatim(str(error)))
    others = BEND_FIELDS if fields == U_FIELDS else U_FIELDS
    added = replace(trials, typing=typing.only(others), field=fields[0], fresh=True, done=done)
    return replace(model.with_work(trials=added), face="keys")


def _entry(model: Model) -> Entry:
    return _entry_of(model.work.trials, model.work.trials.field)


def _entry_of(trials: Trials, field: TrialField) -> Entry:
    unit = trials.typing.unit
    return Entry(trial_field(field, unit), trials.typing.text(field), unit, trials.fresh)


def _kept(model: Model, entry: Entry) -> Model:
    """The field as it was changed; another unit is one for every length."""
    trials = model.work.trials
    typing = trials.typing
    typing = typing if entry.unit == typing.unit else typing.in_other_unit()
    typing = typing.with_text(trials.field, entry.text)
    return model.with_work(trials=replace(trials, typing=typing, fresh=entry.fresh))


FORM = Form(_entry, _kept, _next)
"""What is measured of an offcut, one after another."""
