"""Checking the gauge on a known square or reversed, and the bender's scale against it."""

from dataclasses import replace

from benchcalc.core.springback.gauge import GaugeCheck, ScaleCheck, days_since, is_old
from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.fields import Refused
from benchcalc.panel.state.known.checking import KINDS, Checking, CheckKind, check_record, read_next
from benchcalc.panel.state.messages import AppendRecord
from benchcalc.panel.state.model import Model, work_plain
from benchcalc.panel.widgets.asking import Asked, asking
from benchcalc.panel.widgets.entry import Entry, Form
from benchcalc.panel.widgets.form_page import Key
from benchcalc.panel.widgets.grid import canvas
from benchcalc.report.figures import decimal
from benchcalc.report.scene import Scene
from benchcalc.report.told import told
from benchcalc.words.language import say


def opened(model: Model) -> Model:
    """The check that was under way, or the first of them."""
    return replace(model.with_work(screen="check"), face="keys")


def view(model: Model) -> Scene:
    """The reading in hand, how it is taken or what was found, and when it was checked last."""
    checking = model.work.checking
    keys = [Key("kind", say(f"check.do.{_next_kind(model)}"), does=press(_other_kind))]
    if checking.found is not None:
        keep = Key("keep", say("check.keep"), "key_go", press(_keep), decides=True)
        keys.append(keep)
    back = Key("bench", say("back"), does=press(_leave), keys=("escape",))
    found, how = _found_says(checking), say(f"check.how.{checking.kind}")
    last = _last_says(model)
    brief = last if _is_old(model) else say(f"check.how.{checking.kind}.short")
    says, short = found or f"{how} {last}", found or brief
    title = say(f"check.title.{checking.kind}")
    return asking(model, FORM, Asked(title, _entry(model), says, short, back, keys))


def _found_says(checking: Checking) -> str:
    found = checking.found
    if isinstance(found, ScaleCheck):
        share, within = (decimal(100 * x, 1) for x in (found.share, found.within))
        return say("check.found.scale", share=share, within=within)
    if isinstance(found, GaugeCheck):
        by, within = decimal(found.bias_deg, 2), decimal(found.within_deg, 2)
        return say("check.found.gauge", by=by, within=within)
    return ""


def _last_says(model: Model) -> str:
    """When it was checked last; that it is long ago, or never was."""
    last = last_check(model)
    if last is None:
        return say("check.never")
    days = days_since(last.day, model.today)
    if days is None:
        return ""
    return say("check.old" if _is_old(model) else "check.fresh", days=days)


def _is_old(model: Model) -> bool:
    """Whether there was a check, and it is long ago."""
    last = last_check(model)
    return last is not None and is_old(last.day, model.today)


def last_check(model: Model) -> GaugeCheck | ScaleCheck | None:
    """The last check of what is checked here."""
    kind, taught = model.work.checking.kind, model.taught
    if kind == "scale":
        bender = model.draft.bender
        return taught.scales.get(bender.key) if bender else None
    return taught.gauges.get("sensor" if kind == "sensor" else "protractor")


def _next_kind(model: Model) -> CheckKind:
    """The check after this one; that of a sensor where there is one, of a scale with a bender."""
    among = [
        kind
        for kind in KINDS
        if (kind != "sensor" or model.sensor is not None)
        and (kind != "scale" or model.draft.bender is not None)
    ]
    now = model.work.checking.kind
    return among[(among.index(now) + 1) % len(among)] if now in among else among[0]


def _other_kind(model: Model) -> Model:
    return replace(model.with_work(checking=Checking(_next_kind(model))), face="keys")


def _leave(model: Model) -> Model:
    return replace(model.with_work(screen="bench"), face="keys")


def _entry(model: Model) -> Entry:
    checking = model.work.checking
    return Entry(checking.field, checking.typed)


def _typed(model: Model, entry: Entry) -> Model:
    return model.with_work(checking=replace(model.work.checking, typed=entry.text))


def _read(model: Model) -> Model:
    """One more reading. Raises Refused for one that cannot be."""
    checking = model.work.checking
    done = (*checking.done, read_next(checking))
    read = replace(checking, done=done, typed="")
    told_behind = read.found is not None and canvas(model).small
    return replace(model.with_work(checking=read), face="answer" if told_behind else "keys")


def _keep(model: Model) -> Acted:
    """The check into the log; what it found holds from then on."""
    bender = model.draft.bender
    record = check_record(model.work.checking, bender.key if bender else "")
    if record is None or (model.work.checking.kind == "scale" and bender is None):
        raise Refused(told("check.not-yet"))
    kind, body = record
    return model, (AppendRecord(kind, body, work_plain(kept(model).work)),)


def kept(model: Model) -> Model:
    """The model when a check is in the store."""
    if model.work.screen != "check":
        return model
    return replace(model.with_work(checking=Checking(), screen="bench"), face="keys")


FORM = Form(_entry, _typed, _read)
"""A reading is typed."""
