"""Bends made before: two columns by keypad, and the bench knows what the note on the wall knew."""

from dataclasses import replace

from benchcalc.core.springback.first_guess import Springback, bend_to, overbend_spread
from benchcalc.core.springback.learning import springback_of, teach
from benchcalc.core.springback.lessons import BEFORE, Subject
from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.fields import Refused
from benchcalc.panel.state.in_hand import IN_HAND, subject_of, work_in_hand
from benchcalc.panel.state.known.made_before import (
    Before,
    before_record,
    bends_of,
    with_typed,
    without_last,
)
from benchcalc.panel.state.making.steps import half_bent
from benchcalc.panel.state.messages import AppendRecord
from benchcalc.panel.state.model import Model, work_plain
from benchcalc.panel.widgets.asking import Asked, asking
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.panel.widgets.form_page import Key
from benchcalc.report.figures import angle_text, decimal
from benchcalc.report.scene import Scene
from benchcalc.report.told import told
from benchcalc.words.language import say


def opened(model: Model) -> Model:
    """The rows so far, of the tube on the bench."""
    if subject_of(model.draft) is None:
        missing = work_in_hand(model).missing or ""
        return replace(model, refusal=told("bench.first", missing=missing))
    refusal = half_bent(model.work)
    if refusal:
        return replace(model, refusal=refusal)
    return replace(model.with_work(screen="before"), face="keys")


def view(model: Model) -> Scene:
    """The column in hand beside the keypad, and what the rows so far come to."""
    before = model.work.made_before
    back = Key("bench", say("back"), does=press(_leave), keys=("escape",))
    keys = []
    if before.done or before.pulled is not None:
        keys.append(Key("drop", say("before.drop"), does=press(_drop), keys=("delete",)))
    if before.done:
        keys.append(Key("keep", say("before.keep"), "key_go", press(_keep), decides=True))
    title = say("before.title", count=len(before.done))
    says, short = _says(model)
    return asking(model, FORM, Asked(title, _entry(model), says, short, back, keys))


def _says(model: Model) -> tuple[str, str]:
    """How to go about it; or the last row, and what a square bend needs by all of them."""
    before, about = model.work.made_before, subject_of(model.draft)
    if not before.done or about is None:
        return say("before.how"), say("before.how.short")
    pulled, out = before.done[-1]
    last = say("before.last", pulled=angle_text(pulled), out=angle_text(out))
    law = _law(model, about)
    over, spread = bend_to(90.0, law) - 90.0, overbend_spread(90.0, law)
    needs = say("before.needs", over=decimal(over, 1), spread=decimal(spread, 1))
    return f"{last} {needs}", needs


def _law(model: Model, about: Subject) -> Springback:
    taught = model.taught
    for number, bent in enumerate(bends_of(model.work.made_before)):
        taught = teach(taught, about.key, about.theory, bent, model.today, IN_HAND, number)
    return springback_of(taught, about.key, about.theory, model.today, read=False)


def _leave(model: Model) -> Model:
    return replace(model.with_work(screen="bench"), face="keys")


def _drop(model: Model) -> Model:
    return model.with_work(made_before=without_last(model.work.made_before))


def _entry(model: Model) -> Entry:
    return Entry(model.work.made_before.field, model.work.made_before.typed)


def _typed(model: Model, entry: Entry) -> Model:
    return model.with_work(made_before=replace(model.work.made_before, typed=entry.text))


def _read(model: Model) -> Model:
    """The typed column taken. Raises Refused."""
    return model.with_work(made_before=with_typed(model.work.made_before))


def _keep(model: Model) -> Acted:
    """The rows into the log, where they teach like bends of this bench."""
    about = subject_of(model.draft)
    if about is None or not model.work.made_before.done:
        raise Refused(told("before.nothing"))
    record = before_record(model.work.made_before, about.key, about.theory)
    return model, (AppendRecord(BEFORE, record, work_plain(kept(model).work)),)


def kept(model: Model) -> Model:
    """The model when the rows are in the store."""
    if model.work.screen != "before":
        return model
    return replace(model.with_work(made_before=Before(), screen="bench"), face="keys")


FORM = Form(_entry, _typed, _read)
"""A column is typed."""
