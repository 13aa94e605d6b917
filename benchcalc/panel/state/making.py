"""Making a piece, step by step: which step comes next, and what a measured angle decides."""

from dataclasses import replace

from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.first_guess import further_pull_to
from benchcalc.panel.state.draft_text import number_typed
from benchcalc.panel.state.fields import Field, read_number
from benchcalc.panel.state.model import Made, Making, Pulled, StepKind, Verdict, Work
from benchcalc.report.figures import angle_text
from benchcalc.report.told import Told, told
from benchcalc.words.language import say

MEASURED = Field("shape.field.angle", "angle", 0.0, 200.0)

DOUBT_DEG = 6.0
"""A reading this far from what the pull should have left is more likely a wrong key than a tube."""


def begin(piece: int, stored: int = 0) -> Making:
    """A piece with nothing done to it yet."""
    return Making(piece=piece, stored=stored)


def next_piece(making: Making, piece: int, stored: int) -> Making:
    """Another piece of the same run, by the same aim."""
    return replace(begin(piece, stored), before=making.before, aim=making.aim)


def begin_again(work: Work) -> Work:
    """Work whose run or bench has changed: a piece that was only cut or marked starts anew."""
    making = work.making
    if making is None:
        return work
    return replace(work, making=begin(making.piece, making.stored))


def half_bent(work: Work) -> Told | None:
    """Why run and bench must stay as they are, or None: a piece in hand has bends already."""
    making = work.making
    if making is None or not making.made:
        return None
    return told("plan.being-made", piece=making.piece)


def bend_in_hand(making: Making, sheet: Sheet) -> BendLayout:
    """The bend this step is about; the last one when all are made.

    Marks are made from the flagged end on, bends in the order of bending.
    """
    step = making.back_to if making.step == "scrap" else making.step
    if step == "mark":
        return marks_in_order(sheet)[making.place]
    in_order = sheet.layout.in_order
    return in_order[min(making.place, len(in_order) - 1)]


def marks_in_order(sheet: Sheet) -> list[BendLayout]:
    """The bends by where their marks lie, from the flagged end on."""
    return sorted(sheet.layout.bends, key=lambda b: b.mark.at_mm if b.mark else b.start_mm)


def made(making: Making, number: int) -> Made:
    """What has been done to a bend so far."""
    return next((m for m in making.made if m.number == number), Made(number))


def reading_to_pull_to(making: Making, sheet: Sheet) -> float:
    """The absolute reading for the pull now due, as it is told: to a tenth of a degree."""
    bend = bend_in_hand(making, sheet)
    pulls = made(making, bend.number).pulls
    if pulls and pulls[-1].released_deg is None:
        return pulls[-1].pulled_to_deg
    if not pulls:
        return round(sheet.pull(bend.number).first_pull_to_deg, 1)
    last = pulls[-1]
    released = last.released_deg or 0.0
    further = further_pull_to(last.pulled_to_deg, released, bend.angle_deg, sheet.live)
    return round(further, 1)


def forward(making: Making, sheet: Sheet) -> Making:
    """The step after one that asks for no number.

    Every mark is made before the first bend: nobody can tape round one.
    """
    step = making.step
    if step == "cut":
        kept = replace(making, springback=making.springback or sheet.springback)
        return _to(kept, "slide" if _slides(sheet) else "mark")
    if step == "slide":
        return _to(making, "mark")
    if step == "mark":
        if making.place + 1 < len(sheet.layout.bends):
            return replace(_to(making, "mark"), place=making.place + 1)
        return approach(replace(making, place=0), sheet)
    if step == "re-mark":
        return _marked(making, sheet)
    if step == "turn":
        return _to(making, "seat")
    if step == "seat":
        return _to(making, "pull")
    return _pulled(making, sheet) if step == "pull" else making


def backward(making: Making, sheet: Sheet) -> Making:
    """The step before; behind a finished bend, its last reading typed and ready to be changed."""
    step, place = making.step, making.place
    if step == "scrap":
        return replace(making, step=making.back_to)
    if step == "check":
        return replace(_to(making, "pull"), typed=making.typed)
    if step == "pull":
        return _before_pull(making, sheet)
    if step == "over":
        return _reading_again(making, sheet, place)
    if step in ("slide", "port", "aim"):
        return _to(making, "cut")
    if step == "mark" and place:
        return replace(_to(making, "mark"), place=place - 1)
    if step == "mark":
        return _to(making, "slide" if _slides(sheet) else "cut")
    if step == "seat" and _turned(sheet, place):
        return _to(making, "turn")
    if step in ("seat", "turn") and mark_moved(making, sheet):
        return _to(making, "re-mark")
    if step in ("seat", "turn", "re-mark") and _answered(making, sheet):
        return replace(_to(making, "correct"), corrections=making.corrections[:-1])
    if step in ("seat", "turn", "re-mark", "correct", "store") and place:
        return _reading_again(making, sheet, place - 1)
    if step == "seat":
        return replace(_to(making, "mark"), place=len(sheet.layout.bends) - 1)
    return making


def _answered(making: Making, sheet: Sheet) -> bool:
    """Whether the last thing done was to answer the correction after the bend before."""
    if not making.corrections or not making.place:
        return False
    return making.corrections[-1].bent[-1][0] == sheet.layout.in_order[making.place - 1].number


def _slides(sheet: Sheet) -> bool:
    slip = sheet.job.slip_on
    return bool(slip.start or slip.finish)


def _turned(sheet: Sheet, place: int) -> bool:
    turn = sheet.turns[place]
    return bool(turn.by_deg or turn.end_for_end)


def approach(making: Making, sheet: Sheet) -> Making:
    """The first step of a bend: its new mark where that has moved, else as after marking it."""
    if mark_moved(making, sheet):
        return _to(making, "re-mark")
    return _marked(making, sheet)


def _marked(making: Making, sheet: Sheet) -> Making:
    """Turn the tube where it must be turned, else seat it."""
    return _to(making, "turn" if _turned(sheet, making.place) else "seat")


def mark_moved(making: Making, sheet: Sheet) -> bool:
    """Whether the last correction taken moves the mark of the bend at ``making.place``."""
    taken = next((c for c in reversed(making.corrections) if c.taken), None)
    in_order = sheet.layout.in_order
    if taken is None or making.place >= len(in_order):
        return False
    return in_order[making.place].number in taken.moved


def scrapping(making: Making) -> Making:
    """Ask why the piece is to be scrapped; nothing else is changed, so that one can go back."""
    return replace(making, step="scrap", back_to=making.step)


def _to(making: Making, step: StepKind) -> Making:
    return replace(making, step=step, typed="", doubted="", says="")


def with_made(making: Making, bend: Made) -> Making:
    """The piece with what was done to one bend replaced."""
    others = tuple(m for m in making.made if m.number != bend.number)
    return replace(making, made=(*others, bend))


def _pulled(making: Making, sheet: Sheet) -> Making:
    """The operator pulled to the reading that was told; now the angle is to be measured."""
    bend = bend_in_hand(making, sheet)
    so_far = made(making, bend.number)
    if not so_far.pulls or so_far.pulls[-1].released_deg is not None:
        pull = Pulled(reading_to_pull_to(making, sheet))
        making = with_made(making, replace(so_far, pulls=(*so_far.pulls, pull)))
    return replace(_to(making, "check"), typed=making.typed)


def _before_pull(making: Making, sheet: Sheet) -> Making:
    """Before a further pull came a reading; before the first pull the tube was seated."""
    pulls = made(making, bend_in_hand(making, sheet).number).pulls
    if any(pull.released_deg is not None for pull in pulls):
        return _reading_again(making, sheet, making.place)
    return _to(making, "seat")


def _reading_again(making: Making, sheet: Sheet, place: int) -> Making:
    """Back to the check of the bend at ``place``, with its last reading as typed."""
    bend = sheet.layout.in_order[place]
    so_far = made(making, bend.number)
    *before, last = [p for p in so_far.pulls if p.released_deg is not None]
    typed = number_typed(last.released_deg or 0.0)
    reopened = (*before, replace(last, released_deg=None))
    back = with_made(making, replace(so_far, pulls=reopened, verdict=None))
    return replace(_to(back, "check"), place=place, typed=typed)


def measured(making: Making, sheet: Sheet, certain: bool = False) -> Making:
    """Judge the typed angle: good, pull further, or over.

    Raises Refused for a text that is no angle. A reading far from what the pull should have left is
    doubted first; ``certain``, or the same text typed once more, takes it all the same.
    """
    bend = bend_in_hand(making, sheet)
    so_far = made(making, bend.number)
    reading = read_number(MEASURED, making.typed)
    pull = so_far.pulls[-1]
    s = sheet.live
    expected = pull.pulled_to_deg - (s.a_deg + s.b * pull.pulled_to_deg)
    again = making.typed == making.doubted and not making.says
    if abs(reading - expected) > DOUBT_DEG and not (certain or again):
        says = say("make.doubt", reading=angle_text(reading), expected=angle_text(round(expected)))
        return replace(making, doubted=making.typed, says=says)
    pulls = (*so_far.pulls[:-1], replace(pull, released_deg=reading))
    making = with_made(making, replace(so_far, pulls=pulls))
    return judged(making, sheet, reading)


def judged(making: Making, sheet: Sheet, reading: float) -> Making:
    """What the last reading of the bend in hand decides: good, pull further, or over."""
    bend = bend_in_hand(making, sheet)
    off = reading - bend.angle_deg
    if abs(off) <= sheet.job.tolerance_deg + 1e-9:
        return settle(making, sheet, "good")
    if off > 0:
        making = with_made(making, replace(made(making, bend.number), verdict="over"))
        return replace(_to(making, "over"), says=say("make.over-by", by=angle_text(off)))
    making = replace(_to(making, "pull"), says=say("make.under-by", by=angle_text(-off)))
    if reading_to_pull_to(making, sheet) > sheet.job.bender.max_angle_deg:
        travel = angle_text(sheet.job.bender.max_angle_deg)
        return replace(making, step="over", says=say("make.past-travel", travel=travel))
    return making


def settle(making: Making, sheet: Sheet, verdict: Verdict) -> Making:
    """A bend is done, one way or the other: on to the next, or to storing the piece."""
    bend = bend_in_hand(making, sheet)
    so_far = made(making, bend.number)
    making = with_made(making, replace(so_far, verdict=verdict))
    released = so_far.pulls[-1].released_deg if so_far.pulls else None
    reading = angle_text(released) if released is not None else ""
    says = say(f"make.{verdict.replace(' ', '-')}", number=bend.number, reading=reading)
    making = replace(making, place=making.place + 1)
    if making.place >= len(sheet.layout.bends):
        return replace(_to(making, "store"), says=says)
    if verdict == "good":
        return replace(approach(making, sheet), says=says)
    if _correctable(bent_so_far(making, sheet)):
        return replace(_to(making, "correct"), says=says)
    return replace(approach(making, sheet), says=f"{says} {say('correct.none')}")


def bent_so_far(making: Making, sheet: Sheet) -> dict[int, float]:
    """The bends that are made, by number in the order they were, with their measured angles."""
    found = {}
    for bend in sheet.layout.in_order[: making.place]:
        pulls = made(making, bend.number).pulls
        found[bend.number] = (pulls[-1].released_deg if pulls else None) or 0.0
    return found


def _correctable(bent: dict[int, float]) -> bool:
    """Whether every bend came out at an angle that the rest can be corrected for."""
    return all(0 < angle <= 180 for angle in bent.values())


def off_target(making: Making, sheet: Sheet) -> float | None:
    """How far the last reading of the bend in hand is off its target; None without one."""
    bend = bend_in_hand(making, sheet)
    pulls = made(making, bend.number).pulls
    if not pulls or pulls[-1].released_deg is None:
        return None
    return pulls[-1].released_deg - bend.angle_deg
