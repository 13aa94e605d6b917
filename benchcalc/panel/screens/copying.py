"""Copying the log to a stick: what, where, how far, and what came of it.

It takes two presses on different places: the key on the bench that opens this screen, and the one
here that begins.
"""

from dataclasses import replace

from benchcalc.panel.copying_state import Copying
from benchcalc.panel.grid import Canvas, canvas, columns, notice, rows, status_line
from benchcalc.panel.language import say
from benchcalc.panel.messages import (
    CancelCopy,
    Command,
    CopyDone,
    CopyFailed,
    CopyProgress,
    LogSeen,
    LookAtLog,
    StartCopy,
)
from benchcalc.panel.model import Model
from benchcalc.panel.scene import Box, Fill, Scene

Acted = tuple[Model, tuple[Command, ...]]
News = LogSeen | CopyProgress | CopyDone | CopyFailed

SHOWN_HASH = 16
LONGEST_SHOWN = 40
LONGEST_NOTE = 120
"""The copy's own report has a note in full."""


def looks_for_sticks(model: Model) -> bool:
    """Whether a stick that comes or goes would be shown now; never while a piece is made."""
    return model.work.screen in ("bench", "copy") and model.copying.share is None


def place_of(model: Model) -> str:
    """Where a copy would go: the chosen place while it is there, else another; "" without any."""
    chosen, there = model.copying.place, model.sticks
    return chosen if chosen in there else there[0] if there else ""


def opened(model: Model) -> Acted:
    """The copy screen, and the question where the log ends."""
    fresh = replace(model, copying=Copying(place_of(model)))
    return fresh.with_work(screen="copy"), (LookAtLog(),)


def heard(model: Model, news: News) -> Model:
    """What the shell says about the log or the copy that runs."""
    was = model.copying
    if isinstance(news, LogSeen):
        now = replace(was, last=news.last, hash=news.hash, copied=news.copied)
    elif was.share is None:
        return model  # the last word on a copy that was stopped
    elif isinstance(news, CopyProgress):
        share = round(news.share, 2)
        if share == was.share:
            return model
        now = replace(was, share=share)
    elif isinstance(news, CopyDone):
        says = say("copy.done", records=news.records, folder=news.folder)
        note = _shortened(news.notes[0]) if news.notes else ""
        let_go = news.letting_go
        now = replace(was, share=None, outcome="done", says=says, note=note, letting_go=let_go)
    else:
        now = replace(was, share=None, outcome="failed", says=news.says)
    return replace(model, copying=now)


def _shortened(note: str) -> str:
    return note if len(note) <= LONGEST_NOTE else f"{note[:LONGEST_NOTE]}…"


def view(model: Model) -> Scene:
    """What goes where on top, what came of it below, the keys at the foot."""
    c = canvas(model)
    status_line(c, c.zones().status, say("copy.title"), "benchcalc", model.trouble)
    body = c.below.inset(6.0)
    where, what, chain, came, foot = rows(body, 1.0, 1.0, 0.7, 1.7, 1.0)
    now = model.copying
    _where(c, model, where)
    _what(c, model, what)
    if now.last:
        says = say("copy.chain", last=now.last, hash=grouped(now.hash))
        c.text(chain.inset(4.0), says, c.unit, "quiet")
    _came(c, now, came.inset(4.0))
    _foot(c, model, foot)
    return c.scene()


def grouped(chain_hash: str) -> str:
    """A hash's first digits in fours, as someone would read them out beside a copy's own."""
    return " ".join(chain_hash[at : at + 4] for at in range(0, SHOWN_HASH, 4))


def _where(c: Canvas, model: Model, box: Box) -> None:
    running, done = model.copying.share is not None, model.copying.outcome == "done"
    place = model.copying.place if done else place_of(model)
    says, key = columns(box, 0.7, 0.3)
    text = say("copy.to", place=_shown(place)) if place else say("copy.no-stick")
    c.text(says.inset(4.0), text, c.unit * 1.2, "ink", "left", 2)
    if len(model.sticks) > 1 and not running and not done:
        c.key("other", key, say("copy.other"), "key_act", c.unit, lines=2)


def _shown(place: str) -> str:
    """A path as it can be shown: its end, without what is no text."""
    text = "".join(x if x.isprintable() else "?" for x in place)
    return text if len(text) <= LONGEST_SHOWN else f"…{text[-LONGEST_SHOWN:]}"


def _what(c: Canvas, model: Model, box: Box) -> None:
    now = model.copying
    if now.last is None:
        return
    says, key = columns(box, 0.7, 0.3)
    text = _after_copy(model) if now.outcome == "done" else _what_says(now, now.last)
    if c.tall and now.outcome == "done":
        says = box
    c.text(says.inset(4.0), text, c.unit * 1.2, "ink", "left", 4 if c.tall else 2)
    if now.copied and now.share is None and now.outcome != "done":
        other = "copy.only-new" if now.everything else "copy.all"
        c.key("what", key, say(other), "key_act", c.unit, lines=2)


def _after_copy(model: Model) -> str:
    """Whether the stick can be taken out, and who has to see to it."""
    now = model.copying
    if not now.letting_go:
        return say("copy.eject")
    if now.place in model.kept_sticks:
        return say("copy.kept")
    return say("copy.letting-go" if now.place in model.sticks else "copy.take-out")


def _what_says(now: Copying, last: int) -> str:
    if last == 0:
        return say("copy.none")
    if last <= now.after:
        return say("copy.nothing-new", last=last)
    what = "copy.what.new" if now.after else "copy.what.all"
    return say(what, first=now.after + 1, last=last, count=last - now.after)


def _came(c: Canvas, now: Copying, box: Box) -> None:
    """The bar of a copy that runs, or what became of the one before."""
    if now.share is not None:
        text, bar = rows(box, 1.0, 0.7)
        says = say("copy.progress", percent=f"{100 * now.share:.0f}")
        c.text(text, says, min(text.h * 0.8, c.unit * 1.4))
        c.add(Fill(bar, "sheet", 6.0, "rule"))
        if now.share > 0:
            c.add(Fill(bar._replace(w=max(bar.w * now.share, 12.0)), "lit", 6.0))
    elif now.outcome == "done":
        first, second = rows(box, 1.0, 1.0)
        notice(c, first, say("copy.word.done"), now.says, "good")
        c.text(second, now.note, min(c.unit, second.h * 0.32), "ink", "left", 3)
    elif now.outcome == "failed":
        notice(c, box, say("word.check"), now.says, "alarm", 4)
    else:
        c.text(box, now.says, c.unit, "ink", "left", 2)


def _foot(c: Canvas, model: Model, box: Box) -> None:
    back, _, start = columns(box, 1.0, 1.0, 1.3)
    if model.copying.share is not None:
        c.key("stop", back, say("copy.stop"), "key_act", back.h * 0.36)
        return
    c.key("bench", back, say("back"), "key_act", back.h * 0.36)
    if can_start(model):
        c.key("start", start, say("copy.start"), "key_go", start.h * 0.4)


def can_start(model: Model) -> bool:
    """Whether there is a stick, and a record to be put on it."""
    now = model.copying
    ready = now.share is None and now.outcome != "done"
    return ready and bool(place_of(model)) and (now.last or 0) > now.after


def act(model: Model, target: str) -> Acted:
    """Choose what and where, begin, stop, or go back."""
    now = model.copying
    if target == "stop" and now.share is not None:
        stopped = replace(now, share=None, outcome="stopped", says=say("copy.stopped"))
        return replace(model, copying=stopped), (CancelCopy(),)
    if now.share is not None:
        return model, ()
    if target in ("bench", "cancel"):
        return model.with_work(screen="bench"), ()
    if target == "what":
        now = replace(now, everything=not now.everything, outcome="", says="")
    if target == "other" and model.sticks:
        at = model.sticks.index(place_of(model))
        now = replace(now, place=model.sticks[(at + 1) % len(model.sticks)], outcome="", says="")
    if target == "start" and can_start(model):
        place = place_of(model)
        now = replace(now, place=place, share=0.0, outcome="", says="", note="")
        return replace(model, copying=now), (StartCopy(place, now.everything),)
    return replace(model, copying=now), ()
