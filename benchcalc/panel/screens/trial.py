"""Trial bends: measure offcuts, see the die's true radius and lines, keep them.

Trials are about one bender and one outside diameter; with others on the bench they wait.
"""

from dataclasses import replace
from typing import Any

from benchcalc.core.parts import Bender, Units
from benchcalc.core.trial import TrialError
from benchcalc.panel.figures import decimal, in_units, length_text, size_text
from benchcalc.panel.grid import (
    Canvas,
    canvas,
    cells,
    columns,
    keypad,
    notice,
    rows,
    status_line,
)
from benchcalc.panel.keypad import Refused, erased, has_unit, keys_for, read_length, type_key
from benchcalc.panel.language import number_shown, say
from benchcalc.panel.lessons import TRIAL
from benchcalc.panel.measured import as_measured
from benchcalc.panel.messages import AppendRecord, Command
from benchcalc.panel.model import Model, work_plain
from benchcalc.panel.reading import trial_lessons
from benchcalc.panel.scene import Box, Fill, Scene
from benchcalc.panel.steps import half_bent
from benchcalc.panel.trials import (
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

Acted = tuple[Model, tuple[Command, ...]]


def opened(model: Model) -> Model:
    """The trial screen for the bender on the bench."""
    if model.draft.bender is None:
        return replace(model, refusal=say("bench.first", missing=say("trial.no-bender")))
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
    return replace(model.with_work(screen="trial", trials=trials), refusal="")


def _od(model: Model, bender: Bender) -> float:
    return bender.od_mm if model.draft.od_mm is None else model.draft.od_mm


def kept(model: Model, record: dict[str, Any]) -> Model:
    """The model when a bender's trial bends are in the store: its profile is the measured one."""
    shop = with_measured_bender(model.shop, record)
    if model.work.screen == "trial":
        model = model.with_work(trials=Trials(), screen="bench")
    return replace(model, shop=shop, work=as_measured(model.work, shop))


def view(model: Model) -> Scene:
    """The measurements on one side with what they say, the keypad on the other."""
    c = canvas(model)
    z = c.zones(strip=False)
    bender, trials = model.draft.bender, model.work.trials
    title = say("trial.title", bender=bender.key if bender else "")
    status_line(c, z.status, title, say("trial.count", count=len(trials.done)), model.trouble)
    if c.small:
        fields, says, acts, pad = rows(z.answer.inset(2.0), 0.2, 0.155, 0.135, 0.51)
        _field_in_hand(c, trials, fields)
    else:
        pad = z.pad
        fields, says, acts = rows(z.answer, 0.54, 0.28, 0.18)
        for field, box in zip(trials.fields, cells(fields, *_shape(trials)), strict=False):
            _field(c, trials, field, box)
    _says(c, model, says.inset(3.0))
    _acts(c, trials, acts, model.asking == "drop")
    _pad(c, trials, pad)
    return c.scene()


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
    keypad(c, box, captions, frozenset(hidden))


def _other(unit: Units) -> Units:
    return "in" if unit == "mm" else "mm"


def _shape(trials: Trials) -> tuple[int, int]:
    return (1, 2) if trials.field == "width" else (2, 3)


def _field_in_hand(c: Canvas, trials: Trials, box: Box) -> None:
    """On a small screen one field at a time, with arrows to the ones beside it."""
    left, middle, right = columns(box, 0.11, 0.78, 0.11)
    at = trials.fields.index(trials.field)
    if at > 0:
        c.arrow_key("earlier", left, left=True)
    if at < len(trials.fields) - 1:
        c.arrow_key("later", right, left=False)
    _field(c, trials, trials.field, middle)


def _field(c: Canvas, trials: Trials, field: TrialField, box: Box) -> None:
    active = trials.field == field
    c.key(f"field {field}", box, "", "sheet", edge="focus" if active else "rule")
    face = box.inset(7.0)
    if active:
        c.add(Fill(Box(face.x - 4.0, face.bottom - 1.0, face.w + 8.0, 5.0), "focus", 2.0))
    name, value = rows(face, 0.44, 0.56)
    spec = trial_field(field, trials.typing.unit)
    typed = trials.typing.text(field)
    unit = "°" if spec.kind != "length" else "" if has_unit(typed) else f" {spec.unit}"
    empty = say("trial.optional") if field in OPTIONAL else say("plan.leg.empty")
    c.text(name, spec.name, min(name.h * 0.9, c.unit * 0.9), "quiet")
    c.text(
        value,
        number_shown(typed) + unit if typed else empty,
        value.h * 0.9,
        "ink" if typed else "quiet",
    )


def _says(c: Canvas, model: Model, box: Box) -> None:
    if model.refusal:
        notice(c, box.inset(2.0), say("word.check"), model.refusal, "alarm", 2 if c.small else 3)
        return
    trials, bender = model.work.trials, model.draft.bender
    if bender is None or not trials.done:
        how = "trial.how.u" if trials.fields == U_FIELDS else "trial.how"
        c.text(box, say(how), c.unit, "quiet", "left", 3)
        return
    try:
        measured = measured_of(trials.done, bender, trials.od_mm)
    except (Refused, TrialError) as error:  # the profile was changed since they were added
        notice(c, box, say("word.check"), str(error), "alarm", 3)
        return
    units = trials.typing.unit
    first, second = rows(box, 1.0, 1.0)
    radius = measured.radius
    spread = "" if radius.spread is None else f" ± {_spread(radius.spread, units)}"
    says = say("trial.radius", radius=length_text(radius.mean, units), spread=spread)
    c.text(first, says, min(first.h * 0.9, c.unit * 1.3))
    lines = [
        say("trial.line", name=name, offset=length_text(line.mean, units))
        for name, line in measured.lines
    ]
    shown = ", ".join(lines) if lines else say("trial.no-lines")
    c.text(second, shown, c.unit, "ink", "left", 2)


def _spread(spread_mm: float, units: Units) -> str:
    return decimal(in_units(spread_mm, units), 2 if units == "mm" else 3)


def _acts(c: Canvas, trials: Trials, box: Box, dropping: bool) -> None:
    """The way back, the other kind, what to do with the trials; dropping one asks, elsewhere."""
    back, kind, drop, add, keep = columns(box, 0.9, 0.9, 0.9, 0.9, 1.2)
    if dropping:
        no = Box(back.x, back.y, kind.right - back.x, back.h)
        size = min(no.h * 0.36, c.unit)
        c.key("no", no, say("trial.drop.no"), "key_go", size, lines=2)
        c.key("yes drop", keep, say("trial.drop.yes"), "key_act", size, lines=2)
        return
    c.key("bench", back, say("back"), "key_act", back.h * 0.36)
    other = "trial.as-bend" if trials.field == "width" else "trial.as-u"
    c.key("kind", kind, say(other), "key_act", kind.h * 0.3, lines=2)
    c.key("add", add, say("trial.add"), "key_act", add.h * 0.36)
    if trials.done:
        c.key("drop", drop, say("trial.drop"), "key_act", drop.h * 0.3, lines=2)
        c.key("keep", keep, say("trial.keep"), "key_go", keep.h * 0.36, lines=2)


def act(model: Model, target: str) -> Acted:
    """Type, change the kind, add a trial, drop the last, keep what they say."""
    trials, bender = model.work.trials, model.draft.bender
    if target in ("bench", "cancel") or bender is None:
        return model.with_work(screen="bench"), ()
    if target == "drop" and trials.done:
        return replace(model, asking="drop", refusal=say("trial.drop.ask")), ()
    try:
        if target == "keep" and trials.done:
            record = trial_record(bender, trials.done, trials.od_mm)
            record["lessons"] = trial_lessons(model, trials.done)
            follows = work_plain(kept(model, record).work)
            return model, (AppendRecord(TRIAL, record, follows),)
        if target == "yes drop" and model.asking != "drop":
            return model, ()
        return replace(model, asking="").with_work(trials=_moved(bender, trials, target)), ()
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
