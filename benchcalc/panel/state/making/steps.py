"""Making a piece, step by step: what happened at a step, by the table of what may follow.

What a measured angle decides stands in ``panel.state.making.judging``.
"""

from dataclasses import replace

from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.first_guess import further_pull_to
from benchcalc.panel.state.fields import Field, number_typed, read_number
from benchcalc.panel.state.making.table import ASIDE, Event, after
from benchcalc.panel.state.model import Answered, Made, Making, Pulled, Work
from benchcalc.report.told import Told, told

REACHED = Field("make.reached.field", "angle", 0.0, 200.0)
"""The reading at which the hand stopped."""

LEAST_FURTHER_DEG = 0.1
"""A further pull goes past the last reading reached, or it changes nothing."""


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
    """Why run and bench must stay as they are, or nothing: a piece in hand has bends already."""
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


def with_made(making: Making, bend: Made) -> Making:
    """The piece with what was done to one bend replaced."""
    others = tuple(m for m in making.made if m.number != bend.number)
    return replace(making, made=(*others, bend))


def bent_so_far(making: Making, sheet: Sheet) -> dict[int, float]:
    """The bends that are made, by number in the order they were, with their measured angles."""
    found = {}
    for bend in sheet.layout.in_order[: making.place]:
        pulls = made(making, bend.number).pulls
        found[bend.number] = (pulls[-1].released_deg if pulls else None) or 0.0
    return found


def off_target(making: Making, sheet: Sheet) -> float | None:
    """How far the last reading of the bend in hand is off its target; None without one."""
    bend = bend_in_hand(making, sheet)
    pulls = made(making, bend.number).pulls
    if not pulls or pulls[-1].released_deg is None:
        return None
    return pulls[-1].released_deg - bend.angle_deg


def reading_to_pull_to(making: Making, sheet: Sheet) -> float:
    """The absolute reading for the pull now due, as it is told: to a tenth of a degree.

    A further pull goes past every one before: one that stopped under an earlier one changed
    nothing.
    """
    bend = bend_in_hand(making, sheet)
    pulls = made(making, bend.number).pulls
    if pulls and pulls[-1].released_deg is None:
        return pulls[-1].pulled_to_deg
    if not pulls:
        return round(sheet.pull(bend.number).first_pull_to_deg, 1)
    farthest = max(pull.pulled_to_deg for pull in pulls)
    released = pulls[-1].released_deg or 0.0
    further = further_pull_to(farthest, released, bend.angle_deg, sheet.live)
    return max(round(further, 1), round(farthest + LEAST_FURTHER_DEG, 1))


def happened(making: Making, event: Event) -> Making:
    """The piece at the step that follows an event; what was typed and said belongs to the last.

    Raises ValueError for an event that cannot happen at this step.
    """
    return replace(making, step=after(making.step, event), typed="", doubted="", came=None)


def forward(making: Making, sheet: Sheet) -> Making:
    """The step after one that asks for no number.

    Every mark is made before the first bend: nobody can tape round one.
    """
    step = making.step
    if step == "cut":
        kept = replace(making, springback=making.springback or sheet.springback)
        return happened(kept, "parts to slide on" if _slides(sheet) else "no parts")
    if step == "slide":
        return happened(making, "slid on")
    if step == "mark":
        if making.place + 1 < len(sheet.layout.bends):
            return replace(happened(making, "one more mark"), place=making.place + 1)
        return on_to_bend(replace(making, place=0), sheet)
    if step == "re-mark":
        return happened(making, _turn_or_seat(making, sheet))
    if step == "turn":
        return happened(making, "turned")
    if step == "seat":
        return happened(making, "seated")
    return happened(making, "pulled") if step == "pull" else making


def on_to_bend(making: Making, sheet: Sheet) -> Making:
    """The first step of a bend: its new mark where that has moved, its turn, else its seat."""
    moved = mark_moved(making, sheet)
    return happened(making, "mark moved" if moved else _turn_or_seat(making, sheet))


def _turn_or_seat(making: Making, sheet: Sheet) -> Event:
    return "tube to turn" if _turned(sheet, making.place) else "tube lies right"


def backward(making: Making, sheet: Sheet) -> Making:
    """The step before; behind a finished bend, its last reading typed and ready to be changed."""
    step, place = making.step, making.place
    if step == "scrap":
        return replace(making, step=making.back_to)
    if step == "reached":
        return happened(making, "back to the pull")
    if step == "check":
        return _reached_again(making, sheet)
    if step in ("slide", "port"):
        return happened(making, "back to the cut")
    if step == "aim":
        return happened(making, "back to the miss")
    if step == "mark" and not place:
        return happened(making, "back to the parts" if _slides(sheet) else "back to the cut")
    if step == "level":
        return happened(making, "back to the turn" if _turned(sheet, place) else "back to the seat")
    if step == "pull" and not any(p.released_deg is not None for p in _pulls(making, sheet)):
        return happened(making, "back to the seat")
    if step in ("pull", "good", "over"):
        return _reading_again(making, sheet, place)
    if step == "seat" and _turned(sheet, place):
        return happened(making, "back to the turn")
    if step in ("seat", "turn") and mark_moved(making, sheet):
        return happened(making, "back to the new mark")
    if step in ("seat", "turn", "re-mark") and _answered(making, sheet):
        back = happened(making, "back to the correction")
        return replace(back, corrections=_before_answer(making))
    if step in ("seat", "turn", "re-mark", "correct", "store") and place:
        return _reading_again(making, sheet, place - 1)
    if step in ("mark", "seat", "turn"):
        last = place - 1 if step == "mark" else len(sheet.layout.bends) - 1
        return replace(happened(making, "back to a mark"), place=last)
    return making


def _pulls(making: Making, sheet: Sheet) -> tuple[Pulled, ...]:
    return made(making, bend_in_hand(making, sheet).number).pulls


def _answered(making: Making, sheet: Sheet) -> bool:
    """Whether the last thing done was to answer the correction after the bend before."""
    asked = [c for c in making.corrections if not c.re_aims]
    if not asked or not making.place:
        return False
    return asked[-1].bent[-1][0] == sheet.layout.in_order[making.place - 1].number


def _before_answer(making: Making) -> tuple[Answered, ...]:
    """The corrections before the last one that was asked for."""
    asked = [at for at, c in enumerate(making.corrections) if not c.re_aims]
    return making.corrections[: asked[-1]]


def _slides(sheet: Sheet) -> bool:
    slip = sheet.job.slip_on
    return bool(slip.start or slip.finish)


def _turned(sheet: Sheet, place: int) -> bool:
    turn = sheet.turns[place]
    return bool(turn.by_deg or turn.end_for_end)


def mark_moved(making: Making, sheet: Sheet) -> bool:
    """Whether the last correction taken moves the mark of the bend at ``making.place``."""
    taken = next((c for c in reversed(making.corrections) if c.taken), None)
    in_order = sheet.layout.in_order
    if taken is None or making.place >= len(in_order):
        return False
    return in_order[making.place].number in taken.moved


def may_scrap(making: Making) -> bool:
    """Whether there is anything yet to scrap."""
    return making.step in ASIDE["scrap"]


def scrapping(making: Making) -> Making:
    """Ask why the piece is to be scrapped; nothing else is changed, so that one can go back."""
    return replace(making, step="scrap", back_to=making.step)


def pull_reached(making: Making, sheet: Sheet) -> Making:
    """The hand stopped at the reading that is typed, or at the one that was told: now measure.

    Raises Refused for a text that is no angle.
    """
    told_deg = reading_to_pull_to(making, sheet)
    reached_deg = read_number(REACHED, making.typed) if making.typed else told_deg
    so_far = made(making, bend_in_hand(making, sheet).number)
    done = tuple(pull for pull in so_far.pulls if pull.released_deg is not None)
    pull = Pulled(reached_deg, told_deg=told_deg)
    making = with_made(making, replace(so_far, pulls=(*done, pull)))
    return happened(making, "reached")


def _reached_again(making: Making, sheet: Sheet) -> Making:
    """Back to what the pull reached, as it was typed; what is not measured is taken out again."""
    so_far = made(making, bend_in_hand(making, sheet).number)
    *done, last = so_far.pulls
    as_told = last.told_deg in (None, last.pulled_to_deg)
    back = with_made(making, replace(so_far, pulls=tuple(done)))
    typed = "" if as_told else number_typed(last.pulled_to_deg)
    return replace(happened(back, "back to what was reached"), typed=typed)


def _reading_again(making: Making, sheet: Sheet, place: int) -> Making:
    """Back to the check of the bend at ``place``, with its last reading as typed."""
    bend = sheet.layout.in_order[place]
    so_far = made(making, bend.number)
    *before, last = [p for p in so_far.pulls if p.released_deg is not None]
    typed = number_typed(last.released_deg or 0.0)
    reopened = (*before, replace(last, released_deg=None))
    back = with_made(making, replace(so_far, pulls=reopened, verdict=None))
    earlier = tuple(c for c in making.corrections if bend.number not in dict(c.bent))
    back = replace(back, corrections=earlier)
    return replace(happened(back, "back to the reading"), place=place, typed=typed)
