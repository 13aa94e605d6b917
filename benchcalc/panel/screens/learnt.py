"""What the bench has been taught: springback of each lot with its line, band and bends.

A bend that hardly counts is shown all the same; the operator may strike a bend or restore it. A lot
is begun anew by two presses on different places.
"""

from dataclasses import replace

from benchcalc.core.springback.first_guess import Springback, bend_to, overbend_spread
from benchcalc.core.springback.learning import DOUBTED_UNDER, weights_of
from benchcalc.core.springback.learning import LotKey as Lot
from benchcalc.core.springback.lessons import RESET, WORD, Lesson, key_plain, word_on
from benchcalc.panel.drawings.springback_plot import springback_plot
from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.acts import to_screen
from benchcalc.panel.state.caches import first_guess, springback_of
from benchcalc.panel.state.in_hand import subject_of
from benchcalc.panel.state.learnt import Learnt
from benchcalc.panel.state.messages import AppendRecord, ReadLessons, ReadPiece
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, face_key, key_row, turned_to
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    lines_of,
    paragraph,
)
from benchcalc.panel.widgets.stacking import Line, stack
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    columns,
    foot,
    rows,
)
from benchcalc.report.figures import angle_text, decimal, tube_text
from benchcalc.report.scene import Box, Scene
from benchcalc.words.language import say


def lots(model: Model) -> list[Lot]:
    """The lots that were taught, the one on the bench first."""
    about = subject_of(model.draft)
    keys = list(model.taught.lots)
    return sorted(keys, key=lambda key: about is None or key != about.key)


def theory(model: Model, key: Lot) -> Springback | None:
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
    return _show(to_screen(model, "learnt"), 0)


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
    """The bends of the lot that is shown, each as it counts now; the one in hand is counted from
    the newest."""
    if lessons and (guess := theory(model, lessons[0].key)) is not None:
        weights = weights_of(model.taught, lessons[0].key, guess)
        lessons = tuple(
            one._replace(counted=weights.get((one.sequence, one.bend), 0.0)) for one in lessons
        )
    bend = max(model.learnt.bend, -len(lessons)) if lessons else -1
    return replace(model, learnt=replace(model.learnt, lessons=lessons, bend=bend))


def view(model: Model) -> Scene:
    """The plot beside the lot and the bend in hand; a small screen has them one after the other."""
    c = canvas(model)
    keys = lots(model)
    plot_only = c.small and model.face != "keys" and bool(keys) and not model.learnt.asking
    title = _figures(model, keys[model.learnt.lot]) if plot_only else say("learnt.title")
    status_line(c, c.status, title, "", model.trouble)
    if not keys or model.learnt.asking:
        _alone(c, model, asking=bool(keys))
        return c.scene()
    key, key_lines = keys[model.learnt.lot], _key_rows(c, model, len(keys))
    body, low = foot(c.below, c.key_h * len(key_lines))
    for box, some in zip(rows(low, *[1.0] * len(key_lines)), key_lines, strict=True):
        key_row(c, box, some)
    guess = theory(model, key)
    if c.small or guess is None:
        says = picture = body
    elif c.tall:
        says, picture = rows(body, 0.54, 0.46)
    else:
        picture, says = columns(body, 0.54, 0.46)
    if not plot_only or guess is None:
        _says(c, model, key, says.inset(GAP))
    if guess is not None and (plot_only or not c.small):
        lessons = model.learnt.lessons
        chosen = lessons[model.learnt.bend] if lessons else None
        s = springback_of(model.taught, key, guess, model.today)
        c.add(springback_plot(picture.inset(2 * GAP), s, lessons, chosen, 0.65 * c.unit))
    return c.scene()


def _alone(c: Canvas, model: Model, asking: bool) -> None:
    """What there is to say where nothing is taught; the question before a lot is begun anew."""
    body, low = foot(c.below, c.key_h)
    if not asking:
        paragraph(c, body.inset(2 * GAP), say("learnt.nothing"))
        key_row(c, low, [_back(), _pieces()])
        return
    body, upper = foot(body, c.key_h * (2 if c.tall else 1))  # above where the first press was
    paragraph(c, body.inset(2 * GAP), say("learnt.reset.ask"), "alarm")
    yes = Key("yes reset", say("learnt.reset.yes"), does=press(_reset), decides=True)
    no = Key("no reset", say("learnt.reset.no"), "key_go", press(_asked, False), ("escape",))
    key_row(c, upper._replace(h=c.key_h), [yes])
    key_row(c, low, [no])


def _back() -> Key:
    leaves = ("enter", "back", "escape")
    return Key("bench", say("back"), does=press(to_screen, "bench"), keys=leaves)


def _pieces() -> Key:
    return Key("piece", say("learnt.pieces"), does=press(_piece))


def _key_rows(c: Canvas, model: Model, count: int) -> list[list[Key]]:
    """The keys of the bend in hand, or behind them those of the lot."""
    shown = model.learnt
    if model.face != "keys":
        back = Key("type", say("back"), does=press(turned_to, "keys"), keys=("escape", "back"))
        away = [back, _pieces()]
        of_lot = [Key("reset", say("learnt.reset"), does=press(_asked, True))]
        if count > 1:
            before = Key("lot before", say("learnt.before"), does=press(_show, shown.lot - 1))
            after = Key("lot after", say("learnt.after"), does=press(_show, shown.lot + 1))
            of_lot = [before, after, *of_lot]
        return [of_lot, away] if c.tall else [[away[0], *of_lot, away[1]]]
    keys = [_back(), face_key("answer", say("learnt.more"))]
    if not shown.lessons:
        return [keys]
    counts = shown.lessons[shown.bend].counted >= DOUBTED_UNDER
    word = Key("word", say("learnt.strike" if counts else "learnt.restore"), does=press(_word))
    before = Key("bend before", "", does=press(_another_bend, -1), keys=("shift tab",))
    after = Key("bend after", "", does=press(_another_bend, 1), keys=("tab",), right=True)
    arrows = [before, after] if len(shown.lessons) > 1 else []
    if c.tall and arrows:
        return [[*arrows, word], keys]
    return [[keys[0], *arrows, word, keys[1]]]


def _says(c: Canvas, model: Model, key: Lot, box: Box) -> None:
    """The lot, what its 90° needs, and the bend in hand; on a small screen the bend first."""
    told = [_lot_says(model, key), _figures(model, key)]
    if model.learnt.lessons:
        told.append(_bend_says(model.learnt.lessons[model.learnt.bend]))
    ranks = (1, 2, 0) if c.small else (0, 1, 0)
    for leading in (1.2, 1.1, 1.0):
        lines = [_line(c, box.w, *pair, leading) for pair in zip(told, ranks, strict=False)]
        if sum(line.height for line in lines) <= box.h:
            break
    stack(c, box, lines)


def _line(c: Canvas, width: float, says: str, rank: int, leading: float) -> Line:
    high = (leading * lines_of(c, says, width) + 2 * (leading - 0.9)) * c.unit
    return Line(high, rank, lambda box: paragraph(c, box, says))


def _lot_says(model: Model, key: Lot) -> str:
    units, size = model.draft.units, key.size
    tube = f"{tube_text(size.od_mm, units)} x {tube_text(size.wall_mm, units)} {size.material}"
    lot = key.lot or say("learnt.no-lot")
    return say("learnt.lot", bender=size.bender, tube=tube, lot=lot)


def _figures(model: Model, key: Lot) -> str:
    guess, bends = theory(model, key), model.taught.lots[key]
    if guess is None:
        return say("learnt.unknown", bends=bends)
    s = springback_of(model.taught, key, guess, model.today)
    over, spread = bend_to(90.0, s) - 90.0, overbend_spread(90.0, s)
    return say("learnt.figures", over=decimal(over, 2), spread=decimal(spread, 2), bends=bends)


def _bend_says(lesson: Lesson) -> str:
    bent = lesson.bent
    return say(
        "learnt.bend",
        bend=lesson.bend,
        piece=lesson.sequence,
        loaded=angle_text(round(bent.loaded_deg, 1)),
        released=angle_text(round(bent.released_deg, 1)),
        back=angle_text(round(bent.loaded_deg - bent.released_deg, 1)),
        counted=f"{100 * lesson.counted:.0f} %",
    )


def _another_bend(model: Model, step: int) -> Model:
    """The bend after or before the one in hand, counted from the newest."""
    shown = model.learnt
    if not shown.lessons:
        return model
    bend = (shown.bend + step) % len(shown.lessons) - len(shown.lessons)
    return replace(model, learnt=replace(shown, bend=bend))


def _piece(model: Model) -> Acted:
    """The piece of the bend in hand, or the newest one."""
    shown = model.learnt
    return model, (ReadPiece(shown.lessons[shown.bend].sequence if shown.lessons else 0),)


def _word(model: Model) -> Acted:
    """The bend in hand is struck, or restored."""
    shown = model.learnt
    if not shown.lessons:
        return model, ()
    lesson = shown.lessons[shown.bend]
    counts = 0.0 if lesson.counted >= DOUBTED_UNDER else 1.0
    return model, (AppendRecord(WORD, word_on(lesson, counts)),)


def _asked(model: Model, asking: bool) -> Model:
    """Ask whether the lot is to be begun anew, or ask no more."""
    return replace(model, learnt=replace(model.learnt, asking=asking))


def _reset(model: Model) -> Acted:
    """The lot is begun anew, at the second press."""
    shown, keys = model.learnt, lots(model)
    if not shown.asking:
        return model, ()
    return model, (AppendRecord(RESET, key_plain(keys[shown.lot])),)
