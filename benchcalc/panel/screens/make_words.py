"""What a step of making says: what to do, with which number, and how to know that it is right."""

from benchcalc.core.fit.correction import Off
from benchcalc.core.fit.reaim import LEAST_DEG
from benchcalc.core.job import Units
from benchcalc.core.layout.hand_turns import HandTurn
from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.layout.turn_by_level import from_last
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.learning import Group
from benchcalc.panel.screens.as_made import store_words
from benchcalc.panel.screens.piece_in_hand import Held
from benchcalc.panel.state.aiming.under_way import (
    LEAST_TOLERANCE_DEG,
    gauge_deg,
    too_coarse,
)
from benchcalc.panel.state.in_hand import subject_of, work_in_hand
from benchcalc.panel.state.making.correcting import new_mark
from benchcalc.panel.state.making.piece import CameTo
from benchcalc.panel.state.making.sensing import still_good
from benchcalc.panel.state.making.steps import (
    bend_in_hand,
    mark_moved,
    off_target,
    reading_to_pull_to,
)
from benchcalc.panel.state.model import Making, Model, SensorSeen
from benchcalc.panel.widgets.grid import measures
from benchcalc.report.correction_text import mark_says, off_says
from benchcalc.report.figures import (
    angle_text,
    decimal,
    length_text,
    scale_text,
    tape_for,
    tape_text,
)
from benchcalc.report.finding_text import held_says, turn_text
from benchcalc.report.told import in_words
from benchcalc.words.language import say

NEAR_DEG = 3.0
"""A pull this near to another one is about the same: further off, another angle was meant."""

LEAST_SHOWN_DEG = 0.1


CAUTIONED = ("cut", "mark", "turn", "seat", "pull", "over")
"""Steps whose act can hurt, each with a caution of its own."""


def words(model: Model, in_hand: Held) -> tuple[str, str, str]:
    """What to do, the number, and what it is measured from or how to know it is right."""
    making, _, sheet = in_hand
    units, layout = sheet.job.units, sheet.layout
    bend, turn = bend_in_hand(making, sheet), sheet.turns[min(making.place, len(sheet.turns) - 1)]
    tape = tape_for(model.draft.tape, units)
    if making.step == "slide":
        slip = sheet.job.slip_on
        parts = [say("make.slide.start", parts=slip.start)] if slip.start else []
        parts += [say("make.slide.finish", parts=slip.finish)] if slip.finish else []
        return say("make.slide"), "", " ".join(parts)
    if making.step == "cut":
        cut = layout.cut_length_mm
        how = say("make.cut.how", tape=tape_text(cut, tape))
        return (
            say("make.cut"),
            length_text(cut, units),
            " ".join(one for one in (_aim_says(making), how, coarse_says(model, in_hand)) if one),
        )
    if making.step == "mark" and bend.mark is not None:
        at = bend.mark.at_mm
        how = "make.mark.heel" if bend.order == 1 else "make.mark.how"
        return say("make.mark"), length_text(at, units), say(how, tape=tape_text(at, tape))
    if making.step == "re-mark":
        return _new_mark_words(model, making, sheet)
    if making.step == "turn":
        return _turn_words(turn, sheet, measures(model).small)
    if making.step == "seat" and bend.mark is not None:
        line = say("make.line", line=bend.mark.line.name)
        how = _mark_says(model, making, sheet)
        if model.sensor is not None and model.sensor.gravity:
            how += " " + say("sensor.gravity")
        moved = mark_moved(making, sheet)
        return say("make.seat.new" if moved else "make.seat"), line, how
    if making.step == "pull":
        return _pull_words(model, making, sheet, bend)
    if making.step == "good":
        how, seen = say("make.lies-good.how"), model.sensor
        if seen is not None:
            how = _now(seen) + (how if still_good(seen) else prompt(seen))
        return say("make.lies-good"), angle_text(released(making, sheet)), how
    if making.step == "over":
        return say("make.over"), angle_text(released(making, sheet)), say("make.over.how")
    return store_words(in_hand)


def _new_mark_words(model: Model, making: Making, sheet: Sheet) -> tuple[str, str, str]:
    """Which way comes first: it is said on every screen. A bent tube is measured from its heel."""
    drawn = work_in_hand(model).sheet
    shift = new_mark(drawn, making) if drawn else None
    past_mm = moved_by_mm(model, making)
    how = [say("make.re-mark.away" if past_mm > 0 else "make.re-mark.to-flag")]
    if shift is not None and shift.from_heel_mm is not None:
        heel = length_text(shift.from_heel_mm, sheet.job.units)
        where = "make.re-mark.heel" if shift.touched else "make.re-mark.backs"
        how.append(say(where, from_heel=heel, bend=shift.heel_of))
    by = length_text(abs(past_mm), sheet.job.units)
    return say("make.re-mark"), by, f"{how[0]}\n{' '.join((*how[1:], say('make.re-mark.how')))}"


def moved_by_mm(model: Model, making: Making) -> float:
    """How far the new mark of the bend in hand lies past the old one, mm."""
    drawn = work_in_hand(model).sheet
    shift = new_mark(drawn, making) if drawn else None
    return (shift.past_mm if shift else None) or 0.0


def aimed_says(model: Model, making: Making, sheet: Sheet) -> str:
    """What this step says otherwise than the drawing, and which measurement that comes from."""
    drawn = work_in_hand(model).sheet
    last = next((c for c in reversed(making.corrections) if c.taken), None)
    if drawn is None or last is None or last.why is None or making.step not in ("turn", "pull"):
        return ""
    number = bend_in_hand(making, sheet).number
    if making.step == "pull":
        now, was = (one.layout.bends[number - 1].angle_deg for one in (sheet, drawn))
    else:
        now, was = (one.turns[making.place].by_deg for one in (sheet, drawn))
    if abs(now - was) < LEAST_DEG:
        return ""
    read = angle_text(last.why.read_deg)
    why = say(f"make.aimed.{last.why.what}", bend=last.why.bend, read=read)
    return say("make.aimed", now=angle_text(now), was=angle_text(was), why=why)


def flips(in_hand: Held) -> bool:
    """Whether the other end goes into the clamp at this turn: missed, a mirror image is bent."""
    making, _, sheet = in_hand
    return making.step == "turn" and sheet.turns[making.place].end_for_end


def _turn_words(turn: HandTurn, sheet: Sheet, small: bool) -> tuple[str, str, str]:
    """Which way round comes first: it is said on every screen; then what the run calls it."""
    if not turn.by_deg:
        return say("make.flip.only"), "", ""
    how = [say(f"make.turn.{turn.way or 'half'}")]
    how += [say("make.flip.first")] if turn.end_for_end else []
    last = from_last(sheet.layout, turn.bend)
    dots = say("make.turn.dots")
    if last is not None and not small:
        dots = say("make.turn.same", turn=turn_text(last.turn_deg), last=last.bend) + " " + dots
    how.append(dots)
    does = "make.flip" if turn.end_for_end else "make.turn"
    return say(does), angle_text(turn.by_deg), "\n".join(how)


def coarse_says(model: Model, in_hand: Held, short: bool = False) -> str:
    """That the gauge at hand is too coarse for this run, where bends re-aim the rest."""
    gauge = gauge_deg("sensor" if model.sensor is not None else "hand")
    tight = too_coarse(in_hand.drawn, in_hand.making, gauge) if model.settings.re_aims else None
    if tight is None:
        return ""
    need = angle_text(max(round(tight.within_deg, 1), LEAST_TOLERANCE_DEG))
    if short:
        return say("make.coarse", need=need)
    return say("make.cut.coarse", bend=tight.bend, need=need)


def _aim_says(making: Making) -> str:
    """That this piece is laid out otherwise than drawn."""
    if making.aim is None:
        return ""
    earlier = making.aim.piece >= making.piece
    says = (
        say("make.cut.aimed-before") if earlier else say("make.cut.aimed", piece=making.aim.piece)
    )
    return says + " "


def _mark_says(model: Model, making: Making, sheet: Sheet) -> str:
    """Where the mark of the bend in hand is; after a correction, where to draw a new one."""
    bend, units = bend_in_hand(making, sheet), sheet.job.units
    held, drawn = held_says(bend.held), work_in_hand(model).sheet
    clamp = clamp_name(sheet)
    shift = new_mark(drawn, making) if drawn else None
    if shift is not None:
        mark, held = (says[:1].upper() + says[1:] for says in (mark_says(shift, units), held))
        return say("make.seat.corrected", mark=mark, held=held, clamp=clamp)
    at_text = length_text(bend.mark.at_mm, units) if bend.mark else ""
    return say("make.seat.how", at=at_text, held=held, clamp=clamp)


def clamp_name(sheet: Sheet) -> str:
    """What holds the tube, as the bender's profile names it."""
    return sheet.job.bender.clamp or say("make.clamp")


def released(making: Making, sheet: Sheet) -> float:
    """The angle that the bend in hand stands at."""
    return bend_in_hand(making, sheet).angle_deg + (off_target(making, sheet) or 0.0)


def _over_before(model: Model, sheet: Sheet, bend: BendLayout, to_deg: float) -> str:
    """That a bend of this lot came out over by about this reading before; nothing for none."""
    about = subject_of(model.draft)
    if about is None:
        return ""
    kept = [
        one.bent
        for read in (False, True)
        if (bends := model.taught.groups.get(Group(about.key.size, read))) is not None
        for one in bends.counted
        if one.bundle == (about.key.lot, "" if about.key.lot else model.today)
    ]
    over = bend.angle_deg + sheet.job.tolerance_deg
    near = [b for b in kept if b.released_deg > over and abs(b.loaded_deg - to_deg) <= NEAR_DEG]
    if not near:
        return ""
    worst = near[-1]
    lower = to_deg < worst.loaded_deg - LEAST_SHOWN_DEG / 2
    phrase = "make.pull.over-before" if lower else "make.pull.over-still"
    loaded, came = angle_text(worst.loaded_deg), angle_text(worst.released_deg)
    return say(phrase, loaded=loaded, came=came, to=angle_text(to_deg))


def _pull_words(
    model: Model, making: Making, sheet: Sheet, bend: BendLayout
) -> tuple[str, str, str]:
    to = reading_to_pull_to(making, sheet)
    how = told = say("make.pull.how", scale=scale_text(to, sheet.job.bender.scale))
    re_set = sheet.job.bender.re_set_deg
    if re_set is not None and to > re_set:
        how = say("make.pull.re-set", at=angle_text(re_set)) + " " + how
    if model.sensor is not None:
        short = say("make.pull.short", scale=scale_text(to, sheet.job.bender.scale))
        live = _now(model.sensor) + prompt(model.sensor)
        how = f"{live}\n{how.replace(told, short)}"
    again = off_target(making, sheet) is not None
    whole = angle_text(round(sheet.pull(bend.number).bend_to_deg, 1))
    if not again and angle_text(to) != whole:
        how += " " + say("make.pull.low", whole=whole)
    if not again and (before := _over_before(model, sheet, bend, to)):
        how += "\n" + before
    return say("make.pull.again" if again else "make.pull"), angle_text(to), how


def sensor_says(seen: SensorSeen | None) -> str:
    """The sensor in the status line."""
    if seen is None:
        return ""
    if seen.trouble:
        return say("sensor.trouble")
    if seen.stale:
        return say("sensor.waiting")
    return say("sensor.on")


def prompt(seen: SensorSeen) -> str:
    """What to do now, while pulling, by what the sensor shows."""
    if seen.trouble:
        return in_words(seen.trouble)
    if not seen.zeroed:
        return say("sensor.no-zero")
    state = seen.state or "waiting"
    says = say(f"sensor.state.{state}")
    if seen.doubt:
        says = f"{say(f'sensor.doubt.{seen.doubt}')} {says}"
    if seen.aside is not None:
        told = f"sensor.aside.{seen.aside.why}"
        says += " " + say(told, count=seen.aside.count, angle=angle_text(seen.aside.deg))
    if state == "waiting":
        says += " " + say(f"sensor.goes-by.{'handle' if seen.by_handle else 'fall'}")
    if seen.gravity and state == "waiting":  # a bend that lies flat never makes the angle rise
        return f"{says} {say('sensor.gravity')}"
    return says


def _now(seen: SensorSeen) -> str:
    """The live angle; one that is not live is called the last."""
    if seen.angle_deg is None:
        return ""
    key = "sensor.stale" if seen.stale else "sensor.angle"
    return say(key, angle=angle_text(seen.angle_deg)) + " "


def live_deg(seen: SensorSeen | None) -> float | None:
    """The angle for the needle; an old one has none, so that it is not taken for the tube's."""
    return None if seen is None or seen.stale else seen.angle_deg


def stored_says(making: Making) -> str:
    """What became of the piece before, with its number in the log as soon as that is known."""
    number = say("make.cut.number", number=making.stored) if making.stored else ""
    return f"{came_says(making)} {number}".strip()


def came_says(making: Making, units: Units = "mm") -> str:
    """What the last act came to, in words; nothing when there is nothing to tell."""
    came = making.came
    if came is None:
        return ""
    by, share = angle_text(came.by_deg), decimal(100 * came.share, 1)
    reading = angle_text(came.reading_deg) if came.reading_deg is not None else ""
    miss = off_says(Off(came.miss_mm, came.miss_deg), units)
    phrase = CAME_SAYS[came.to]
    if came.to in ("turned", "turn off", "clamp turned"):  # by as much as the hands turn it
        reading = angle_text(round(abs(came.reading_deg or 0.0), 1))
        by = angle_text(abs(came.by_deg))
    if came.to == "turn off" and came.by_deg < 0:
        phrase = "make.turn-off.counter-clockwise"
    if came.to == "clamp turned" and came.by_deg < 0:
        phrase = "make.clamp-turned.counter-clockwise"
    limit = f"{100 * came.most_share:.0f} %"
    says = say(phrase, number=came.number, piece=came.number, reading=reading, by=by,
               expected=by, travel=by, miss=miss, share=share, limit=limit)  # fmt: skip
    return f"{says} {say('correct.none')}" if came.uncorrectable else says


CAME_SAYS: dict[CameTo, str] = {
    "good": "make.good",
    "accepted over": "make.accepted-over",
    "accepted under": "make.accepted-under",
    "over": "make.over-by",
    "short": "make.under-by",
    "past travel": "make.past-travel",
    "doubted": "make.doubt",
    "corrected": "correct.taken",
    "left uncorrected": "correct.left",
    "round": "calipers.good",
    "out of round": "calipers.over",
    "stored": "make.cut.stored",
    "turned": "make.turned",
    "turn off": "make.turn-off.clockwise",
    "clamp turned": "make.clamp-turned.clockwise",
}
"""The phrase for what an act came to."""
