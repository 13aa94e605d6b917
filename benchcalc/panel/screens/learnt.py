"""What the bench has been taught: springback of each lot with its line, band and bends.

A bend that hardly counts is shown all the same; the operator may strike a bend or restore it. A lot
is begun anew by two presses on different places.
"""

from dataclasses import replace

from benchcalc.core.learning import DOUBTED_UNDER, Key, springback_of
from benchcalc.core.springback import Springback, bend_to, first_guess, overbend_spread
from benchcalc.panel.figures import angle_text, decimal, size_text
from benchcalc.panel.grid import Canvas, canvas, columns, rows, status_line
from benchcalc.panel.language import say
from benchcalc.panel.lessons import RESET, WORD, Learnt, Lesson, key_plain, word_on
from benchcalc.panel.messages import AppendRecord, Command, ReadLessons, ReadPiece
from benchcalc.panel.model import Model
from benchcalc.panel.plots import springback_plot
from benchcalc.panel.reading import subject_of
from benchcalc.panel.scene import Box, Scene

Acted = tuple[Model, tuple[Command, ...]]


def lots(model: Model) -> list[Key]:
    """The lots that were taught, the one on the bench first."""
    about = subject_of(model.draft)
    keys = list(model.taught.lots)
    return sorted(keys, key=lambda key: about is None or key != about.key)


def theory(model: Model, key: Key) -> Springback | None:
    """The first guess for a lot; None when its bender or material is not in the shop any more."""
    about = subject_of(model.draft)
    if about is not None and about.key == key:
        return about.theory
    bender, material = model.shop.bender(key.size.bender), model.shop.material(key.size.material)
    if bender is None or material is None:
        return None
    return first_guess(key.size.tube(key.lot), bender, material)


def opened(model: Model) -> Acted:
    """Show the first lot."""
    return _show(model.with_work(screen="learnt"), 0)


def _show(model: Model, lot: int) -> Acted:
    keys = lots(model)
    model = replace(model, learnt=Learnt(lot % max(len(keys), 1)))
    if not keys:
        return model, ()
    return model, (ReadLessons(key_plain(keys[model.learnt.lot])),)


def again(model: Model) -> Acted:
    """More was taught about the lot that is shown: its bends, or when it is gone those of another.

    Records of words and resets leave the other lots, and so their order, as they are.
    """
    keys, shown = lots(model), model.learnt
    if shown.asking or shown.lot >= len(keys):
        return _show(model, 0)
    return model, (ReadLessons(key_plain(keys[shown.lot])),)


def read(model: Model, lessons: tuple[Lesson, ...]) -> Model:
    """The bends of the lot that is shown; the one in hand is counted from the newest."""
    bend = max(model.learnt.bend, -len(lessons)) if lessons else -1
    return replace(model, learnt=replace(model.learnt, lessons=lessons, bend=bend))


def view(model: Model) -> Scene:
    """The plot on one side, the bend in hand and what can be done on the other."""
    c = canvas(model)
    z = c.zones(strip=False)
    keys = lots(model)
    status_line(c, z.status, say("learnt.title"), "benchcalc", model.trouble)
    body = c.below.inset(4.0)
    plot, side = rows(body, 0.54, 0.46) if c.tall else columns(body, 0.62, 0.38)
    if not keys:
        c.text(plot.inset(8.0), say("learnt.nothing"), c.unit * 1.2, "ink", "left", 6)
        pieces, _, back = rows(side, 1.0, 3.0, 1.0)
        c.key(
            "piece", pieces, say("learnt.pieces"), "key_act", min(pieces.h * 0.4, c.unit), lines=2
        )
        c.key("bench", back, say("back"), "key_act")
        return c.scene()
    key = keys[model.learnt.lot]
    head, picture = rows(plot, 0.2, 0.8)
    _head(c, model, key, head)
    guess = theory(model, key)
    if guess is not None:
        s = springback_of(model.taught, key, guess)
        lessons = model.learnt.lessons
        chosen = lessons[model.learnt.bend] if lessons else None
        c.add(springback_plot(picture.inset(2.0), s, lessons, chosen))
    _side(c, model, len(keys), side)
    return c.scene()


def _head(c: Canvas, model: Model, key: Key, box: Box) -> None:
    name, figures = rows(box.inset(5.0), 1.0, 1.0)
    units = model.draft.units
    size = key.size
    tube = f"{size_text(size.od_mm, units)} x {size_text(size.wall_mm, units)} {size.material}"
    lot = key.lot or say("learnt.no-lot")
    c.text(name, say("learnt.lot", bender=size.bender, tube=tube, lot=lot), name.h * 0.8)
    guess = theory(model, key)
    bends = model.taught.lots[key].bends
    if guess is None:
        c.text(figures, say("learnt.unknown", bends=bends), figures.h * 0.7)
        return
    s = springback_of(model.taught, key, guess)
    over, spread = bend_to(90.0, s) - 90.0, overbend_spread(90.0, s)
    says = say("learnt.figures", over=decimal(over, 2), spread=decimal(spread, 2), bends=bends)
    c.text(figures, says, figures.h * 0.8)


def _side(c: Canvas, model: Model, count: int, box: Box) -> None:
    shown = model.learnt
    lot, bend, says, act, low = rows(box, 1.0, 1.0, 2.0, 1.0, 1.0)
    if shown.asking:
        c.text(says.inset(4.0), say("learnt.reset.ask"), c.unit, "alarm", "left", 5)
        c.key("yes reset", lot, say("learnt.reset.yes"), "key_act", lot.h * 0.4, lines=2)
        c.key("no reset", low, say("learnt.reset.no"), "key_go", low.h * 0.4, lines=2)
        return
    if count > 1:
        near, far = columns(lot, 1.0, 1.0)
        c.key("lot before", near, say("learnt.before"), "key_act", near.h * 0.34, lines=2)
        c.key("lot after", far, say("learnt.after"), "key_act", far.h * 0.34, lines=2)
    if shown.lessons:
        near, far = columns(bend, 1.0, 1.0)
        if len(shown.lessons) > 1:
            c.arrow_key("bend before", near, left=True)
            c.arrow_key("bend after", far, left=False)
        _bend(c, shown.lessons[shown.bend], says, act)
    back, reset = columns(low, 1.0, 1.0)
    c.key("bench", back, say("back"), "key_act", back.h * 0.42)
    c.key("reset", reset, say("learnt.reset"), "key_act", reset.h * 0.34, lines=2)


def _bend(c: Canvas, lesson: Lesson, box: Box, act: Box) -> None:
    bent = lesson.bent
    says = say(
        "learnt.bend",
        bend=lesson.bend,
        piece=lesson.sequence,
        loaded=angle_text(round(bent.loaded_deg, 1)),
        released=angle_text(round(bent.released_deg, 1)),
        back=angle_text(round(bent.loaded_deg - bent.released_deg, 1)),
        counted=f"{100 * lesson.counted:.0f} %",
    )
    c.key("piece", box, "", "sheet")
    c.text(box.inset(8.0), says, c.unit, "ink", "left", 5)
    word = "learnt.strike" if lesson.counted >= DOUBTED_UNDER else "learnt.restore"
    c.key("word", act, say(word), "key_act", act.h * 0.36, lines=2)


def act(model: Model, target: str) -> Acted:
    """Another lot, another bend, a word on it, or begin the lot anew."""
    shown, keys = model.learnt, lots(model)
    if target in ("bench", "cancel"):
        return model.with_work(screen="bench"), ()
    if target in ("lot before", "lot after"):
        return _show(model, shown.lot + (1 if target == "lot after" else -1))
    if target in ("bend before", "bend after") and shown.lessons:
        step = 1 if target == "bend after" else -1
        bend = (shown.bend + step) % len(shown.lessons) - len(shown.lessons)
        return replace(model, learnt=replace(shown, bend=bend)), ()
    if target == "piece":
        number = shown.lessons[shown.bend].sequence if shown.lessons else 0
        return model, (ReadPiece(number),)
    if target == "word" and shown.lessons:
        lesson = shown.lessons[shown.bend]
        counts = 0.0 if lesson.counted >= DOUBTED_UNDER else 1.0
        return model, (AppendRecord(WORD, word_on(lesson, counts)),)
    if target == "reset":
        return replace(model, learnt=replace(shown, asking=True)), ()
    if target == "no reset":
        return replace(model, learnt=replace(shown, asking=False)), ()
    if target == "yes reset" and shown.asking:
        return model, (AppendRecord(RESET, key_plain(keys[shown.lot])),)
    return model, ()
