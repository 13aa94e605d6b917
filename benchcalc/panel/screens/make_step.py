"""A step of making a piece: words and picture side by side, the keys below them."""

from collections.abc import Iterator, Sequence

from benchcalc.core.sheet import Sheet
from benchcalc.panel.drawings.mark_drawing import moved_mark_picture
from benchcalc.panel.screens import gauge
from benchcalc.panel.screens.as_made import fit_says
from benchcalc.panel.screens.make_words import (
    CAUTIONED,
    aimed_says,
    came_says,
    clamp_name,
    flips,
    live_deg,
    moved_by_mm,
    released,
    stored_says,
    words,
)
from benchcalc.panel.screens.making import (
    asked_why,
    bend_kept,
    gone_back,
    gone_on,
    not_yet,
    said_free,
    stored,
    to_level,
    to_plan,
)
from benchcalc.panel.screens.piece_in_hand import Held
from benchcalc.panel.screens.turns import turning
from benchcalc.panel.state.action import press
from benchcalc.panel.state.making.sensing import still_good
from benchcalc.panel.state.making.steps import (
    bend_in_hand,
    made,
    may_scrap,
    off_target,
    reading_to_pull_to,
)
from benchcalc.panel.state.model import Making, Model
from benchcalc.panel.widgets.flowing import text_width
from benchcalc.panel.widgets.form_page import Key, put_key, turned_to
from benchcalc.panel.widgets.grid import (
    GAP,
    LETTER_PART,
    Canvas,
    lines_of,
    measures,
    notice,
    notice_lines,
)
from benchcalc.panel.widgets.stacking import Line, kept_in, sentence, sentences, stack
from benchcalc.report.boxes import columns, foot, rows
from benchcalc.report.drawings import dial, run_picture, seat_picture, strip, turn_ring
from benchcalc.report.figures import angle_text
from benchcalc.report.scene import Box, Fill, Role
from benchcalc.report.told import in_words
from benchcalc.words.language import say

ASKING = ("asking", "touching")
"""States of the sensor in which the operator is asked whether the tube is free."""

GAUGED = ("pull", "reached", "check", "good", "over")
"""Steps in which the bend can be held against the screen."""

SHOWN_SMALL = ("re-mark", "turn", "seat", "pull", "good", "over")
"""Steps whose picture a small screen has room for, beside the number."""

PICTURED = ("re-mark", "turn", "pull", "good", "over")
"""Steps whose picture says as much as the words, which give way to it on every screen."""

WIDER = 1.5
"""How much wider than another a key that goes on is at least."""


def draw(c: Canvas, model: Model, in_hand: Held) -> None:
    """Words and picture side by side, the keys below them; the key that goes on is the widest."""
    making, _, sheet = in_hand
    by_keyboard(c, making)
    body = _key_rows(c, others(c, model, making), keys_on(c, model, making))
    pictured = None  # the narrowest picture beside which what matters most has room
    for share in _shares(c, model, in_hand):
        if share == 1.0 and pictured is not None:
            says, shows, lines = pictured
            break
        says, shows = _shared(c, body, share)
        lines = list(_lines(c, model, in_hand, says.w))
        kept = kept_in(c, says, lines)
        if len(kept) == len(lines):
            break
        if all(at in kept for at, line in enumerate(lines) if line.rank < 2):
            pictured = (says, shows, lines)
    stack(c, says, lines)
    if shows.w > 1.0 and shows.h > 1.0:
        _shown(c, model, making, sheet, shows)


def _shared(c: Canvas, body: Box, share: float) -> tuple[Box, Box]:
    """The places of the words and of the picture."""
    if c.tall:
        says, shows = rows(body, share, 1.0 - share)
    elif c.hand == "left":
        shows, says = columns(body, 1.0 - share, share)
    else:
        says, shows = columns(body, share, 1.0 - share)
    return says.inset(GAP * 1.5), shows


def _shares(c: Canvas, model: Model, in_hand: Held) -> tuple[float, ...]:
    """How much of the place the words may have, the rest being the picture's; least first."""
    making = in_hand.making
    if c.small:
        pictured = making.step in SHOWN_SMALL and not model.refusal and not flips(in_hand)
        return (0.68 if making.step == "turn" else 0.6,) if pictured else (1.0,)
    shares = (0.56, 0.7, 1.0) if c.tall else (0.6, 0.72, 1.0)
    return shares[:2] if making.step in PICTURED and not model.refusal else shares


def _key_rows(c: Canvas, others: Sequence[Key], on: Sequence[Key]) -> Box:
    """The keys at the foot, those that go on at the side of the writing hand; what is left."""
    one_row = _in_a_row(c, others, on)
    body, low = foot(c.below, c.key_h * (1 if one_row else 2))
    if one_row:
        widths = [_key_width(c, key) for key in others]
        least = max(sum(widths), len(others) * (5 * LETTER_PART * c.unit + 2 * GAP))
        small_w = min(max(least, 0.5 * low.w * len(others) / 3), low.w - len(on) * WIDER * c.key_w)
        near, far = columns(low, small_w, low.w - small_w)
        if c.hand == "left":
            far, near = columns(low, low.w - small_w, small_w)
    else:
        near, far = rows(low, 1.0, 1.0)
    for keys, box in ((others, near), (on, far)):
        if c.hand == "left" and one_row:  # back stays at the edge, away from the key that goes on
            keys = keys[::-1]
        widths = [_key_width(c, key) if box is near else 1.0 for key in keys]
        for key, cell in zip(keys, columns(box, *widths) if keys else (), strict=True):
            size = c.unit if key.role == "key_act" else c.unit * 1.2
            put_key(c, cell, key, size)
    return body


def _in_a_row(c: Canvas, others: Sequence[Key], on: Sequence[Key]) -> bool:
    widths = sum(_key_width(c, key) for key in others)
    return widths + WIDER * len(on) * c.key_w <= c.below.w


def _key_width(c: Canvas, key: Key) -> float:
    """The least width of a key, its words on two lines."""
    wide = max(text_width(word, c.unit) for word in key.caption.split(" "))
    while lines_of(c, key.caption, wide) > 2:
        wide += GAP
    return max(c.key_w, wide + 2 * GAP)


def others(c: Canvas, model: Model, making: Making) -> list[Key]:
    """The keys that do not go on; on a small screen, where words need the place, fewer."""
    if asks_of_pull(model, making):
        on = press(gone_on, making.step, making.place, True)
        return [Key("pulled", say("make.pull.all-the-same"), does=on, decides=True)]
    keys = [] if making.step == "cut" else [step_back(("escape", "back"))]
    if making.step in GAUGED and measures(model).source == "ruler":
        keys.append(Key("gauge", say("gauge.key"), does=press(gauge.laid_over)))
    if turning.wants_zero(model, making):
        keys.append(Key("turn zero", say("turn.zero"), does=press(turning.zero_said)))
    elif making.step == "turn" and making.place and not c.small:
        keys.append(level_key())
    return [*keys, more()]


def level_key() -> Key:
    """The key to measuring the turn with a level."""
    return Key("level", say("make.level.key"), does=press(to_level))


def step_back(keys: tuple[str, ...]) -> Key:
    """The key to the step before."""
    return Key("step back", say("back"), does=press(gone_back), keys=keys)


def more() -> Key:
    """The key to what else can be done at this step."""
    return Key("more", say("more"), does=press(turned_to, "more"))


def by_keyboard(c: Canvas, making: Making) -> None:
    """What a keyboard can do at this step though its key lies behind another."""
    if may_scrap(making):
        c.by_keyboard("delete", press(asked_why))
    if making.step == "cut":
        c.by_keyboard("escape", press(to_plan))


def keys_on(c: Canvas, model: Model, making: Making) -> list[Key]:
    """The key that goes on; where a bend went wrong, the ways to decide.

    Where the last key lay that was pressed, scrap asks once more and keep would not.
    """
    if asks_of_pull(model, making):
        return [Key("not yet", say("make.pull.not-yet"), "key_go", press(not_yet), ("enter",))]
    if making.step == "over":
        keys = [_keep("make.keep"), scrap_key("make.scrap")]
        return keys if _in_a_row(c, others(c, model, making), keys) else keys[:1]
    if making.step in ("pull", "good") and model.sensor and model.sensor.state in ASKING:
        return [Key("free", say("sensor.free"), "key_go", press(said_free))]
    if making.step == "good" and not still_good(model.sensor):
        return [Key("type", say("make.good.type"), "key_go", press(gone_back), ("enter",))]
    at = (making.step, making.place)
    does = press(stored) if making.step == "store" else press(gone_on, *at)
    on = Key("next", say(f"make.{making.step}.done"), "key_go", does, ("enter",))
    return [_keep("make.keep-under"), on] if pulled_short(making) else [on]


def asks_of_pull(model: Model, making: Making) -> bool:
    """Whether it is asked if the tube was pulled at all."""
    return making.step == "pull" and model.asking == "pull"


def pulled_short(making: Making) -> bool:
    """Whether the bend in hand was measured under its angle and is to be pulled again."""
    return making.step == "pull" and making.came is not None and making.came.to == "short"


def _keep(phrase: str) -> Key:
    return Key("keep", say(phrase), does=press(bend_kept), decides=True, choice=True)


def scrap_key(phrase: str) -> Key:
    """The key that asks why the piece is to be scrapped."""
    return Key("scrap", say(phrase), does=press(asked_why), keys=("delete",), decides=True)


def _lines(c: Canvas, model: Model, in_hand: Held, width: float) -> Iterator[Line]:
    """What the last act came to, what to do now, the number, and how to know it is right."""
    making, _, sheet = in_hand
    does, figure, why = words(model, in_hand)
    over_by = off_target(making, sheet) or 0.0 if making.step == "over" else 0.0
    if c.small and over_by > 0:
        does = say("make.over.by", by=angle_text(over_by))
    elif making.came and making.step == "cut":
        if not c.small:  # there it stands in the line on top
            yield sentence(c, stored_says(making), 1, width)
    elif making.came and (making.step != "good" or still_good(model.sensor)):
        word, role = _outcome(making, sheet)
        came = came_says(making, sheet.job.units)
        high = notice_lines(c, came, width) * c.unit * 1.15
        after_way = 2 if (making.step, making.came.to) == ("turn", "good") else 1
        rank = 0 if making.came.uncorrectable else after_way
        yield Line(high, rank, lambda b: notice(c, b, say(word), came, role))
    told = making.step == "turn" and not flips(in_hand)  # by its figure and its way
    rank = 1 if c.small and (model.refusal or told) else 0
    part = 1.0 if c.small else 1.15
    if c.small and flips(in_hand):  # four lines must be read: the number stands in the first
        does, figure = f"{does} {figure}", ""
    yield sentence(c, does, rank, width, part)
    if figure:
        pen: Role = "pen" if making.step in ("mark", "re-mark") else "ink"
        size = 1.5 * c.unit if c.small and making.step == "store" else c.figure
        rank = 1 if model.refusal else 0
        yield Line(size * 1.05, rank, lambda b: c.text(b, figure, size, pen))
    if model.refusal:
        says = in_words(model.refusal)
        high = notice_lines(c, says, width) * c.unit * 1.15
        yield Line(high, 0, lambda b: notice(c, b, say("word.check"), says, "alarm"))
    elif making.step == "store" and (fit := fit_says(in_hand, c.small)):
        yield _fit_line(c, width, *fit)
    if not model.refusal:
        yield from _why_lines(c, model, in_hand, why, width)


def _caution(c: Canvas, making: Making, width: float) -> Iterator[Line]:
    """What of this act can hurt; left out on the smallest screens at seat and turn alone."""
    rank = 9 if making.step == "turn" or (c.small and making.step == "seat") else 0
    if making.step in CAUTIONED:
        yield sentence(c, say(f"make.caution.{making.step}"), rank, width)


def _why_lines(c: Canvas, model: Model, in_hand: Held, why: str, width: float) -> Iterator[Line]:
    """How to know that it is right, and where the number comes from when it is not as drawn.

    Which way round is never left out, nor what can hurt.
    """
    making, _, sheet = in_hand
    aimed, (*ways, dots) = aimed_says(model, making, sheet), why.split("\n")
    if live := turning.live_says(model, making, sheet):
        rank = 0 if turning.wants_zero(model, making) else 1
        yield sentence(c, live, rank, width)
    if making.step == "turn":
        yield from (sentence(c, way, 0, width) for way in ways)
    yield from _caution(c, making, width)
    if aimed:
        yield sentence(c, aimed, 1, width)
    if making.step == "turn" and dots:
        yield from sentences(c, dots, 3, width)
    elif why:
        first = 0 if making.step == "re-mark" else 1
        yield from sentences(c, why, first, width)


def _fit_line(c: Canvas, width: float, fits: bool, says: str) -> Line:
    """Whether the piece as made fits."""
    role: Role
    word, role = ("word.good", "good") if fits else ("word.check", "alarm")
    high = notice_lines(c, says, width) * c.unit * 1.15
    return Line(high, 0, lambda b: notice(c, b, say(word), says, role))


def _outcome(making: Making, sheet: Sheet) -> tuple[str, Role]:
    """The word before what the last act came to, and its colour."""
    if making.step == "over":
        return ("word.over" if (off_target(making, sheet) or 0.0) > 0 else "word.under"), "alarm"
    if making.step == "pull":
        return "word.under", "sheet"
    if making.step == "good":
        return "word.good", "good"
    if must_be_seen(making):
        return "word.check", "alarm"
    if making.came and making.came.to == "turned":
        set_right = abs(making.came.by_deg) <= sheet.job.turn_tolerance_deg
        return ("word.good", "good") if set_right else ("word.kept", "sheet")
    last = made(making, sheet.layout.in_order[making.place - 1].number)
    good = last.verdict == "good"
    return ("word.good", "good") if good else ("word.kept", "sheet")


def must_be_seen(making: Making) -> bool:
    """Whether it was just told that a bend is not for pressure, or that the clamp turned it."""
    return making.came is not None and making.came.to in ("out of round", "clamp turned")


def _shown(c: Canvas, model: Model, making: Making, sheet: Sheet, box: Box) -> None:
    """The step's own picture; the straight tube to scale above it where there is room."""
    strip_h = 0.0 if c.small or making.step == "re-mark" else min(0.3 * box.h, 3.2 * c.unit)
    top, low = rows(box, strip_h, box.h - strip_h)
    bend = bend_in_hand(making, sheet)
    if strip_h:
        current = None if making.step in ("slide", "cut", "store") else bend.number
        c.add(strip(top.inset(GAP), sheet, current))
    c.add(Fill(low.inset(3.0), "sheet", 6.0))
    inner = low.inset(8.0)
    if making.step == "turn":
        needle = turning.needle_deg(model, making)
        c.add(turn_ring(inner, sheet.turns[making.place], needle))
    elif making.step == "re-mark":
        c.add(moved_mark_picture(inner, moved_by_mm(model, making), sheet.job.units))
    elif making.step == "seat":
        c.add(seat_picture(inner, bend, clamp_name(sheet)))
    elif making.step in ("pull", "good", "over"):
        to = reading_to_pull_to(making, sheet)
        reading = to if making.step == "pull" else released(making, sheet)
        needle = None if making.step == "over" else live_deg(model.sensor)
        c.add(dial(inner, bend.angle_deg, reading, sheet.tolerance_deg(bend.number), needle))
    else:
        current = bend.number if making.step == "mark" else None
        c.add(run_picture(inner, sheet, current, "sheet"))
