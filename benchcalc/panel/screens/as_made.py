"""All bends are made: what the piece is by its measurements. Its points, and marks, in a list."""

from dataclasses import replace

from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Units
from benchcalc.panel.screens.piece_in_hand import Held, held, with_making
from benchcalc.panel.state.action import press
from benchcalc.panel.state.making.correcting import Finished, finished
from benchcalc.panel.state.making.steps import forward, marks_in_order
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, Told, key_row, pages, tell, turned_to
from benchcalc.panel.widgets.grid import GAP, Canvas
from benchcalc.report.boxes import foot
from benchcalc.report.correction_text import off_says
from benchcalc.report.figures import angle_text, length_figure, length_text, tape_for, tape_text
from benchcalc.words.language import say


def store_words(in_hand: Held) -> tuple[str, str, str]:
    """What the piece is from end to end, and what to try before it is stored."""
    making, drawn, _ = in_hand
    done, units = finished(drawn, making), drawn.job.units
    if done is None:
        return say("make.store"), "", say("make.store.unknown", piece=making.piece)
    within = length_text(done.within_mm, units)
    far = say("make.store.far", point=point_text(done.made.points[-1], units))
    how = say("make.store.how", within=within, piece=making.piece)
    apart = length_text(done.made.end_to_end_mm, units)
    return say("make.store.across"), apart, f"{how}\n{far}"


def fit_says(in_hand: Held, small: bool) -> tuple[bool, str] | None:
    """Whether the piece as made is inside what the job allows, and the sentence.

    A small screen leaves out what is allowed; it stands behind *more*.
    """
    done, job = finished(in_hand.drawn, in_hand.making), in_hand.drawn.job
    if done is None:
        return None
    phrase = "make.store.fits" if done.made.fits else "make.store.fits-not"
    if small:
        off = off_says(done.made.off, job.units)
        return done.made.fits, say("make.store.off", off=off)
    within, angle = length_text(job.fit.within_mm, job.units), angle_text(job.fit.angle_deg)
    off = off_says(done.made.off, job.units)
    return done.made.fits, say(phrase, off=off, within=within, angle=angle)


def point_text(point: Vector, units: Units) -> str:
    """A place in the run's own space: X Y Z."""
    axes = zip("XYZ", point, strict=True)
    return "  ".join(f"{axis} {length_figure(x, units)}" for axis, x in axes) + f" {units}"


def has_points(in_hand: Held) -> bool:
    """Whether there are points to be listed."""
    return in_hand.making.step == "store" and finished(in_hand.drawn, in_hand.making) is not None


def points_key() -> Key:
    """The key to the list of points."""
    return Key("points", say("make.points.key"), does=press(_opened))


def _opened(model: Model) -> Model:
    return replace(model, face="answer", points_page=0)


def _turned(model: Model, page: int) -> Model:
    return replace(model, points_page=page)


def has_marks(in_hand: Held) -> bool:
    """Whether marks are to be drawn, which can be listed."""
    return in_hand.making.step == "mark"


def marks_key() -> Key:
    """The key to the list of marks."""
    return Key("marks", say("make.marks.key"), does=press(_opened))


def draw_list(c: Canvas, model: Model, in_hand: Held) -> None:
    """The corner points of a finished piece, or all its marks to be drawn, page by page."""
    done, job = finished(in_hand.drawn, in_hand.making), in_hand.drawn.job
    if has_marks(in_hand):
        says = [say("make.marks.title"), *_marks(model, in_hand)]
    else:
        says = [say("make.points.title"), *(_points(done, job.units) if done else [])]
    body, low = foot(c.below, c.key_h)
    room = body.inset(2 * GAP)
    leaves = pages(c, room, [Told(one) for one in says])
    at = min(model.points_page, len(leaves) - 1)
    tell(c, room, leaves[at])
    keys = [Key("step", say("back"), does=press(turned_to, "keys"), keys=("escape", "back"))]
    if len(leaves) > 1:
        on = press(_turned, (at + 1) % len(leaves))
        keys.append(Key("more", say("more"), does=on, keys=("tab",)))
    if has_marks(in_hand) and at == len(leaves) - 1:
        keys.append(Key("all marked", say("make.marks.done"), "key_go", press(all_marked)))
    key_row(c, low, keys)


def _marks(model: Model, in_hand: Held) -> list[str]:
    """Every mark from the flagged end on, with its distance as the tape reads it, and its line."""
    units, tape = in_hand.sheet.job.units, tape_for(model.draft.tape, in_hand.sheet.job.units)
    return [
        say("make.marks.mark", bend=bend.number, at=length_text(bend.mark.at_mm, units),
            tape=tape_text(bend.mark.at_mm, tape), line=bend.mark.line.name)
        for bend in marks_in_order(in_hand.sheet)
        if bend.mark is not None
    ]  # fmt: skip


def all_marked(model: Model) -> Model:
    """Every mark is drawn: on to the first bend."""
    in_hand = held(model)
    making = replace(in_hand.making, place=len(in_hand.sheet.layout.bends) - 1)
    return with_making(model, forward(making, in_hand.sheet))


def _points(done: Finished, units: Units) -> list[str]:
    pairs = zip(done.made.kinds, done.made.points, strict=True)
    return [
        say(f"make.points.{kind}", number=number, point=point_text(point, units))
        for number, (kind, point) in enumerate(pairs, 1)
    ]
