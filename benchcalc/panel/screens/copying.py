"""Copying the log to a stick: what, where, how far, and what came of it.

It takes two presses on different places: the key on the bench that opens this screen, and the one
here that begins.
"""

from dataclasses import replace

from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.acts import to_screen
from benchcalc.panel.state.copying import Copying
from benchcalc.panel.state.messages import (
    CancelCopy,
    CopyDone,
    CopyFailed,
    CopyProgress,
    LogSeen,
    LookAtLog,
    StartCopy,
)
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import (
    Key,
    Told,
    key_row,
    onward,
    page_of,
    pages,
    tell,
    turned_to,
)
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
)
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    columns,
    foot,
)
from benchcalc.report.scene import Box, Fill, Scene
from benchcalc.report.told import in_words, told
from benchcalc.words.language import say

News = LogSeen | CopyProgress | CopyDone | CopyFailed

SHOWN_HASH = 16
LONGEST_SHOWN = 23
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
    return to_screen(fresh, "copy"), (LookAtLog(),)


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
        says = told("copy.done", records=news.records, folder=_shown(news.folder))
        note = _shortened(news.notes[0]) if news.notes else ""
        let_go = news.letting_go
        now = replace(was, share=None, outcome="done", says=says, note=note, letting_go=let_go)
    else:
        now = replace(was, share=None, outcome="failed", says=news.says)
    return replace(model, copying=now)


def _shortened(note: str) -> str:
    return note if len(note) <= LONGEST_NOTE else f"{note[:LONGEST_NOTE]}…"


def view(model: Model) -> Scene:
    """What goes where, what came of it, the keys at the foot; what has no room is behind one."""
    c = canvas(model)
    status_line(c, c.status, say("copy.title"), "", model.trouble)
    body, low = foot(c.below, c.key_h)
    room, said = body.inset(GAP if c.small else 2 * GAP), _told(model)
    if model.copying.share is not None:
        bar_h = c.unit * 1.6
        room, bar = foot(room, bar_h)
        _bar(c, bar.inset(GAP / 2), model.copying.share)
    leaves = pages(c, room, said)
    at = page_of(model, len(leaves))
    tell(c, room, leaves[at])
    on = onward(at, len(leaves))
    back = Key("type", say("back"), does=press(turned_to, "keys"), keys=("escape", "back"))
    keys = [back, *on] if at else _keys(model, on)
    if can_start(model) and len(keys) == 2 and not at:  # never where the bench has its key for this
        left, _, right = columns(low, 1.0, 1.0, 1.0)
        key_row(c, left, keys[:1])
        key_row(c, right, keys[1:])
    else:
        key_row(c, low, keys)
    return c.scene()


def _bar(c: Canvas, box: Box, share: float) -> None:
    c.add(Fill(box, "sheet", 6.0, "rule"))
    if share > 0:
        c.add(Fill(box._replace(w=max(box.w * share, 12.0)), "lit", 6.0))


def _told(model: Model) -> list[Told]:
    """All that there is to say, the least needed with the highest rank."""
    now, done = model.copying, model.copying.outcome == "done"
    place = now.place if done else place_of(model)
    said = [Told(say("copy.to", place=_named(place)) if place else say("copy.no-stick"), 1)]
    if now.last is not None:
        said.append(Told(_after_copy(model) if done else _what_says(now, now.last)))
    if now.share is not None:
        return [Told(say("copy.progress", percent=f"{100 * now.share:.0f}")), *said]
    if done:
        said.insert(0, Told(in_words(now.says), 0, say("copy.word.done"), "good"))
        said.append(Told(now.note, 2))
    elif now.outcome == "failed":
        said.insert(0, Told(in_words(now.says), 0, say("word.check"), "alarm"))
    else:
        said.append(Told(in_words(now.says)))
    if now.last:
        said.append(Told(say("copy.chain", last=now.last, hash=grouped(now.hash)), 3, "", "quiet"))
    return [one for one in said if one.says]


def _keys(model: Model, more: list[Key]) -> list[Key]:
    now = model.copying
    if now.share is not None:
        return [Key("stop", say("copy.stop"), does=press(_stop), keys=("escape",), decides=True)]
    back = press(to_screen, "bench")
    keys = [Key("bench", say("back"), does=back, keys=("back", "escape")), *more]
    if now.outcome == "done":
        return keys
    if len(model.sticks) > 1:
        keys.append(Key("other", say("copy.other"), does=press(_other_stick)))
    if now.copied and place_of(model):
        what = say("copy.only-new" if now.everything else "copy.all")
        keys.append(Key("what", what, does=press(_all_or_new)))
    if can_start(model):
        keys.append(Key("start", say("copy.start"), "key_go", press(_start), ("enter",)))
    return keys


def grouped(chain_hash: str) -> str:
    """A hash's first digits in fours, as someone would read them out beside a copy's own."""
    return " ".join(chain_hash[at : at + 4] for at in range(0, SHOWN_HASH, 4))


def _named(place: str) -> str:
    """A stick by its name: the folder it is mounted in tells a fitter nothing."""
    return _shown(place.rstrip("/").rpartition("/")[2] or place)


def _shown(place: str) -> str:
    """A path as it can be shown: its end, without what is no text."""
    text = "".join(x if x.isprintable() else "?" for x in place)
    return text if len(text) <= LONGEST_SHOWN else f"…{text[-LONGEST_SHOWN:]}"


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


def can_start(model: Model) -> bool:
    """Whether there is a stick, and a record to be put on it."""
    now = model.copying
    ready = now.share is None and now.outcome != "done"
    return ready and bool(place_of(model)) and (now.last or 0) > now.after


def _stop(model: Model) -> Acted:
    """Leave nothing of the copy that runs."""
    now = model.copying
    if now.share is None:
        return model, ()
    stopped = replace(now, share=None, outcome="stopped", says=told("copy.stopped"))
    return replace(model, copying=stopped), (CancelCopy(),)


def _all_or_new(model: Model) -> Model:
    """Everything, or only what is new."""
    now = model.copying
    now = replace(now, everything=not now.everything, outcome="", says=None)
    return replace(model, copying=now)


def _other_stick(model: Model) -> Model:
    """To the next of several sticks."""
    if not model.sticks:
        return model
    place = model.sticks[(model.sticks.index(place_of(model)) + 1) % len(model.sticks)]
    return replace(model, copying=replace(model.copying, place=place, outcome="", says=None))


def _start(model: Model) -> Acted:
    """Begin the copy."""
    if not can_start(model):
        return model, ()
    place = place_of(model)
    now = replace(model.copying, place=place, share=0.0, outcome="", says=None, note="")
    return replace(model, copying=now, face="keys"), (StartCopy(place, now.everything),)
