"""The jobs that wait: each with its tube, how far it is and since when; a tap takes it up."""

from dataclasses import replace
from typing import NamedTuple

from benchcalc.panel.screens import write
from benchcalc.panel.screens.aside import shelf
from benchcalc.panel.screens.aside.asking import question
from benchcalc.panel.state.action import Action, press
from benchcalc.panel.state.acts import to_screen
from benchcalc.panel.state.model import Model, Shelved
from benchcalc.panel.widgets.form_page import Key, key_row, part_of, put_key, titled
from benchcalc.panel.widgets.grid import GAP, Canvas, canvas, notice
from benchcalc.report.boxes import cells, columns, foot, rows
from benchcalc.report.figures import brief, tube_text
from benchcalc.report.scene import Box, Disc, Scene, Stroke
from benchcalc.report.told import in_words
from benchcalc.words.language import say


class Waiting(NamedTuple):
    """A job in the list, wherever it came from: its name, what is told of it, what takes it up.

    ``away`` throws it away; None where it cannot be.
    """

    key: str
    name: str
    about: str
    takes: Action
    away: Action | None


def opened(model: Model) -> Model:
    """To the list."""
    return replace(to_screen(model, "jobs"), jobs_at=0)


def waiting(model: Model) -> list[Waiting]:
    """All jobs that wait, the last one put aside first."""
    jobs = list(enumerate(model.work.shelf))
    return [
        Waiting(
            f"take {number}",
            job.draft.name or say("bench.unnamed"),
            _about(model, job),
            press(shelf.take_up, at),
            press(_asked, at),
        )
        for number, (at, job) in enumerate(reversed(jobs), 1)
    ]


def _about(model: Model, job: Shelved) -> str:
    """Its tube, how far it is, since when."""
    draft, making = job.draft, job.making
    od = write.od_of(draft)
    sizes = [tube_text(size, draft.units) for size in (od, draft.wall_mm) if size is not None]
    tube = " x ".join(sizes) + (f" {draft.material.key}" if draft.material else "")
    legs = sum(1 for row in draft.rows if row.leg or row.shape)
    far = say("jobs.run", count=legs) if legs else say("jobs.empty")
    if making is not None:
        bends = sum(1 for bend in making.made if bend.verdict not in (None, "over"))
        far = say("jobs.making", piece=making.piece, pieces=draft.pieces, count=bends)
    when = say("jobs.today") if job.day and job.day == model.today else _day(job.day)
    return ",  ".join(part for part in (tube, far, when) if part)


def _day(day: str) -> str:
    """The date of a day; nothing for a day that only the machine's start is known of."""
    return day[:10] if day[:4].isdigit() and day[4:5] == "-" else ""


def _asked(model: Model, at: int) -> Model:
    return replace(model, asking=f"away {at}")


def _not(model: Model) -> Model:
    return replace(model, asking="")


def _turned(model: Model, at: int) -> Model:
    return replace(model, jobs_at=at)


def view(model: Model) -> Scene:
    """The list page by page; or the question whether one is to be thrown away."""
    c = canvas(model)
    body, low = foot(c.below, c.key_h)
    asked = _asked_about(model)
    if asked is not None:
        return _asks(model, asked)
    if not titled(c, model, say("jobs.title", count=len(model.work.shelf))):
        notice(c, body.inset(2 * GAP), say("word.check"), in_words(model.refusal), "alarm")
        key_row(c, low, [Key("cancel", say("back"), "key_go", press(opened), ("enter", "escape"))])
        return c.scene()
    least = (3.8 if c.tall else 2.6) * c.unit
    down = max(1, int(body.h / max(c.key_h, least) + 0.01))
    part = part_of(waiting(model), down, model.jobs_at)
    for one, box in zip(part.items, cells(body, 1, down), strict=False):
        _row(c, one, box)
    keys = [Key("cancel", say("back"), does=press(to_screen, "bench"), keys=("escape", "back"))]
    if part.pages > 1:
        shown = say("pick.more", page=part.page + 1, pages=part.pages)
        keys.append(Key("more", shown, does=press(_turned, part.next), keys=("tab",)))
    key_row(c, low, keys)
    return c.scene()


def _asked_about(model: Model) -> int | None:
    word, _, at = model.asking.partition(" ")
    return int(at) if word == "away" and int(at) < len(model.work.shelf) else None


def _row(c: Canvas, one: Waiting, box: Box) -> None:
    wide, narrow = columns(box, box.w - c.key_w, c.key_w) if one.away else (box, box)
    c.key(one.key, wide, "", "key_act", does=one.takes, choice=True)
    name, about = rows(wide.inset(2 * GAP), 0.42, 0.58)
    c.text(name, brief(one.name, 40), c.unit * 1.2)
    c.text(about, one.about, c.unit, "quiet", lines=2 if about.h > 1.9 * c.unit else 1)
    if one.away:
        away = Key(one.key.replace("take", "away"), "", does=one.away, decides=True, sign=_bin)
        put_key(c, narrow, away)


def _bin(c: Canvas, box: Box) -> None:
    """A cross in a ring: away with it."""
    x, y = box.centre
    r = min(box.w, box.h) * 0.16
    c.add(
        Disc(box.centre, r * 1.9, "ink", 2.0),
        Stroke(((x - r, y - r), (x + r, y + r)), "ink", 3.0),
        Stroke(((x - r, y + r), (x + r, y - r)), "ink", 3.0),
    )


def _asks(model: Model, at: int) -> Scene:
    name = model.work.shelf[at].draft.name or say("bench.unnamed")
    yes = Key("throw away", say("jobs.away"), does=press(shelf.thrown_away, at), decides=True)
    no = Key("keep it", say("jobs.keep"), "key_go", press(_not), ("enter", "escape"))
    title = say("jobs.title", count=len(model.work.shelf))
    return question(model, title, say("jobs.away.ask", name=name), yes, no)
