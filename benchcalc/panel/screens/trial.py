"""Trial bends: measure offcuts, see the die's true radius and lines, keep them.

Trials are about one bender and one outside diameter; with others on the bench they wait.
"""

from dataclasses import replace
from typing import Any

from benchcalc.core.job import Bender, Units
from benchcalc.core.springback.calibration import TrialError
from benchcalc.panel.state.fields import Refused, erased, has_unit, keys_for, read_length, type_key
from benchcalc.panel.state.in_hand import trial_lessons
from benchcalc.panel.state.lessons import TRIAL
from benchcalc.panel.state.making import half_bent
from benchcalc.panel.state.measured import as_measured
from benchcalc.panel.state.messages import AppendRecord, Command
from benchcalc.panel.state.model import Model, work_plain
from benchcalc.panel.state.trials import (
    BEND_FIELDS,
    LENGTHS,
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
from benchcalc.panel.widgets.form_page import (
    TURNS,
    Form,
    Key,
    face_of,
    form,
    form_status,
    key_row,
    said,
    turned,
)
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    fits,
    notice,
    paragraph,
    status_line,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.typed_field import typed_field, with_arrows
from benchcalc.report.boxes import (
    cells,
    foot,
    rows,
)
from benchcalc.report.figures import decimal, in_units, length_text, size_text
from benchcalc.report.scene import Box, Scene
from benchcalc.report.told import told
from benchcalc.words.language import number_shown, say

Acted = tuple[Model, tuple[Command, ...]]


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
        od = size_text(trials.od_mm, trials.typing.unit)
        says = say("trial.others", bender=trials.bender, od=od)
        return replace(model, refusal=says)
    return replace(model.with_work(screen="trial", trials=trials), refusal="", face="keys")


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
        _field(c, trials, trials.field, with_arrows(c, places.field, at > 0, at < last))
    elif not c.small:
        _field(c, trials, trials.field, places.field)
        _says(c, model, places.says)
        key_row(c, places.keys, _beside(trials))
    _pad(c, trials, places.pad)
    return c.scene()


def _title(model: Model) -> str:
    bender, count = model.draft.bender, len(model.work.trials.done)
    return say("trial.title", bender=bender.key if bender else "", count=count)


def _roomy(c: Canvas, places: Form) -> bool:
    """Whether all fields, all keys and what they say have room beside the keypad."""
    height = places.keys.bottom - places.field.y
    return places.field.w >= 5 * c.key_w and height >= 4 * c.key_h + 5 * c.unit


def _all_fields(c: Canvas, model: Model, places: Form) -> None:
    trials = model.work.trials
    grid = places.field._replace(h=3 * c.key_h)
    across, down = (1, 1) if trials.field == "width" else (2, 3)
    shown = grid._replace(h=down * c.key_h)
    for field, box in zip(trials.fields, cells(shown, across, down), strict=True):
        c.key(f"field {field}", box, "", "sheet")
        _field(c, trials, field, box)
    says = Box(grid.x, grid.bottom, grid.w, places.keys.y - grid.bottom)
    _says(c, model, says.inset(GAP))
    key_row(c, places.keys, [_back(), *_more(trials)[:2], _go("add"), *_more(trials)[2:]])


def _read_view(c: Canvas, model: Model) -> Scene:
    """The second page: what the trials say, and all that is done with them."""
    key_rows = _read_keys(c, model)
    apart = 4 * GAP if model.asking else 0.0  # the second press clear of where the first was
    says, low = foot(c.below, c.key_h * len(key_rows) + apart)
    crowded = c.small and len(key_rows) > 1
    radius, lines = _told(model) if crowded else ("", "")
    title = _title(model)
    status_line(c, c.status, radius or title, title if radius else "", model.trouble)
    if radius:
        c.text(says.inset(GAP), lines, c.unit, lines=2)
    else:
        _says(c, model, says.inset(2 * GAP))
    for box, keys in zip(rows(low, *[1.0] * len(key_rows)), key_rows, strict=True):
        key_row(c, box, keys)
    return c.scene()


def _read_keys(c: Canvas, model: Model) -> list[list[Key]]:
    """Two rows on a narrow screen; beside a refusal a small one has room for the ways out only."""
    trials = model.work.trials
    if model.asking == "drop":
        yes = Key("yes drop", say("trial.drop.yes"))  # above the row in which the first press was
        return [[yes], [Key("no", say("trial.drop.no"), "key_go")]]
    again = Key("type", say("plan.type"), "key_act" if trials.done else "key_go")
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
    return Key("bench", say("back"))


def _more(trials: Trials) -> list[Key]:
    """What is done with the trials, and with their kind."""
    other = say("trial.as-bend" if trials.field == "width" else "trial.as-u")
    if not trials.done:
        return [Key("kind", other)]
    return [Key("kind", other), Key("drop", say("trial.drop")), _go("keep")]


def _go(name: str) -> Key:
    """Add what is typed, or keep them all."""
    return Key(name, say(f"trial.{name}"), "key_go" if name == "keep" else "key_act")


def _beside(trials: Trials) -> list[Key]:
    """The row beside the keypad; an arrow while there is a field before, else the way out."""
    first = _back() if trials.field == trials.fields[0] else Key("earlier", "")
    return [first, Key("look", say("more")), _next_act(trials)]


def _next_act(trials: Trials) -> Key:
    typed = any(trials.typing.text(field) for field in trials.fields)
    return _go("add" if typed or not trials.done else "keep")


def _pad(c: Canvas, trials: Trials, box: Box) -> None:
    field_now = trial_field(trials.field, trials.typing.unit)
    hidden = {key for key in "./-" if key not in keys_for(field_now)}
    captions = {"back": say("key.back"), "next": say("key.next")}
    if field_now.kind == "length":
        captions["unit"] = say("key.unit", unit=_other(trials.typing.unit))
    else:
        hidden.add("unit")
    if not trials.typing.text(trials.field):
        hidden.add("back")
    keypad(c, box, captions, frozenset(hidden), (("look", say("more")),))


def _other(unit: Units) -> Units:
    return "in" if unit == "mm" else "mm"


def _field(c: Canvas, trials: Trials, field: TrialField, box: Box) -> None:
    """A field's name and value; the one in hand is edged."""
    spec = trial_field(field, trials.typing.unit)
    text = trials.typing.text(field)
    unit = "°" if spec.kind != "length" else "" if has_unit(text) else f" {spec.unit}"
    empty = say("trial.optional") if field in OPTIONAL else say("plan.leg.empty")
    shown = number_shown(text) + unit if text else empty
    if field == trials.field:
        typed_field(c, box, spec.name, shown, bool(text))
        return
    name, value = rows(box.inset(10.0), 0.4, 0.6)
    c.text(name, spec.name, c.unit, "quiet")
    c.text(value, shown, c.unit * (1.4 if text else 1.0), "ink" if text else "quiet")


def _says(c: Canvas, model: Model, box: Box) -> None:
    trials = model.work.trials
    if model.refusal or model.draft.bender is None or not trials.done:
        kind = "u" if trials.fields == U_FIELDS else "bend"
        said(c, model, box, say(f"trial.how.{kind}"), say(f"trial.how.{kind}.short"))
        return
    radius, told = _told(model)
    if not radius:
        notice(c, box, say("word.check"), told, "alarm")
    elif box.h >= 4.8 * c.unit:
        first, second = foot(box, box.h - 2.4 * c.unit)
        c.text(first, radius, c.unit * 1.2, "ink", "left", 2)
        paragraph(c, second, told)
    else:
        both = f"{radius}. {told}"
        paragraph(c, box, both if fits(c, box, both) else radius)


def _told(model: Model) -> tuple[str, str]:
    """The radius and the lines as the trials have them; without a radius, why there is none."""
    trials, bender = model.work.trials, model.draft.bender
    if bender is None or not trials.done:
        return "", ""
    try:
        measured = measured_of(trials.done, bender, trials.od_mm)
    except (Refused, TrialError) as error:  # the profile was changed since they were added
        return "", str(error)
    units, radius = trials.typing.unit, measured.radius
    spread = "" if radius.spread is None else f" ± {_spread(radius.spread, units)}"
    says = say("trial.radius", radius=length_text(radius.mean, units), spread=spread)
    told = [
        say("trial.line", name=name, offset=length_text(line.mean, units))
        for name, line in measured.lines
    ]
    return says, ", ".join(told) if told else say("trial.no-lines")


def _spread(spread_mm: float, units: Units) -> str:
    return decimal(in_units(spread_mm, units), 2 if units == "mm" else 3)


def act(model: Model, target: str) -> Acted:
    """Type, change the kind, add a trial, drop the last, keep what they say."""
    trials, bender = model.work.trials, model.draft.bender
    if target in ("bench", "cancel") or bender is None:
        return replace(model.with_work(screen="bench"), face="keys"), ()
    if target in TURNS:
        return turned(model, target), ()
    if target == "drop" and trials.done:
        return replace(model, asking="drop", refusal=say("trial.drop.ask"), face="answer"), ()
    try:
        if target == "keep" and trials.done:
            record = trial_record(bender, trials.done, trials.od_mm)
            record["lessons"] = trial_lessons(model, trials.done)
            follows = work_plain(kept(model, record).work)
            return model, (AppendRecord(TRIAL, record, follows),)
        if target == "yes drop" and model.asking != "drop":
            return model, ()
        after = replace(model, asking="").with_work(trials=_moved(bender, trials, target))
        return (after if target in ("yes drop", "no") else replace(after, face="keys")), ()
    except (Refused, TrialError) as error:
        return replace(model, refusal=str(error)), ()


def _moved(bender: Bender, trials: Trials, target: str) -> Trials:
    typing = trials.typing
    if target.startswith("field "):
        return replace(trials, field=_named(target[6:]), fresh=True)
    if target.startswith("key "):
        spec = trial_field(trials.field, typing.unit)
        text = type_key(spec, "" if trials.fresh else typing.text(trials.field), target[4:])
        return _typed(trials, text)
    if target == "back":
        text = typing.text(trials.field)
        return _typed(trials, erased(text) if trials.field in LENGTHS else text[:-1])
    if target == "unit":
        turned = typing.in_other_unit()
        return replace(
            trials, typing=turned, fresh=trials.fresh or has_unit(turned.text(trials.field))
        )
    if target == "kind":
        return replace(trials, field=_first_of_the_other_kind(trials), fresh=True)
    if target == "yes drop":
        return replace(trials, done=trials.done[:-1])
    fields, at = trials.fields, trials.fields.index(trials.field)
    if target == "earlier" and at > 0:
        return replace(trials, field=fields[at - 1], fresh=True)
    if target in ("later", "next") and at + 1 < len(fields):
        return replace(trials, field=fields[at + 1], fresh=True)
    if target == "next":
        target = "add"
    return _added(bender, trials) if target == "add" else trials


def _first_of_the_other_kind(trials: Trials) -> TrialField:
    return BEND_FIELDS[0] if trials.field in U_FIELDS else U_FIELDS[0]


def _typed(trials: Trials, text: str) -> Trials:
    return replace(trials, typing=trials.typing.with_text(trials.field, text), fresh=False)


def _named(name: str) -> TrialField:
    return next((f for f in (*BEND_FIELDS, *U_FIELDS) if f == name), "cut")


def _added(bender: Bender, trials: Trials) -> Trials:
    """The typed trial with the others, if it can be read and leaves a sense in them all."""
    typing, fields = trials.typing, trials.fields
    if fields == U_FIELDS:
        read_length(trial_field("width", typing.unit), typing.width)
    done = (*trials.done, typing.only(fields))
    measured_of(done, bender, trials.od_mm)
    others = BEND_FIELDS if fields == U_FIELDS else U_FIELDS
    return replace(trials, typing=typing.only(others), field=fields[0], fresh=True, done=done)
