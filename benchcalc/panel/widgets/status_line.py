"""The line on top of a screen: help, the job, the piece, what the machine lacks; or the trouble."""

from benchcalc.panel.state.action import aside
from benchcalc.panel.state.acts import help_asked, machine_asked, understood
from benchcalc.panel.widgets.flowing import text_width
from benchcalc.panel.widgets.grid import GAP, LETTER_PART, Canvas, lines_of
from benchcalc.report.boxes import columns, rows
from benchcalc.report.figures import brief
from benchcalc.report.scene import (
    Box,
    Fill,
    Polygon,
    Role,
    Target,
)
from benchcalc.report.told import Told, in_words
from benchcalc.words.language import say

HELP_WIDE = 1.3
"""How wide the key for help is, in least widths of a key; on a small screen just one."""


def status_line(c: Canvas, box: Box, left: str, right: str, trouble: tuple[Told, ...] = ()) -> None:
    """The line on top: help, the job, the piece, what the machine is missing; or what went wrong.

    Its keys are as high as the line, on the side away from a keypad that may reach up into it.
    """
    c.add(Fill(box, "sheet"))
    if c.asks:
        ask, box = _aside(c, box, help_width(c))
        asked = aside(help_asked)
        c.key("help", ask, "?", "key_act", c.unit * 1.3, does=asked, keys=("help",), decides=True)
        c.by_keyboard("?", asked)
    if trouble:
        c.add(Fill(box, "alarm"))
        told = " ".join(map(in_words, trouble))
        whole = lines_of(c, told, box.w - 4.0) <= 2
        most = int(1.6 * (box.w - 4.0) / (LETTER_PART * c.unit)) - 16
        says = told if whole else say("trouble.read", says=brief(told, most))
        c.text(box.inset(2.0), says, min(c.unit, (box.h - 4.0) / 2), "alarm_ink", lines=2)
        name, act = ("understood", understood) if whole else ("machine", machine_asked)
        c.targets.append(Target(name, box, aside(act), decides=whole))
        return
    words = box.inset(2.0)
    if c.missing:
        key, box = _aside(c, box, missing_width(c))
        _missing_key(c, key)
        words = box.inset(2.0)
    if narrow(c):
        full = Box(words.x, box.y + 1.0, words.w, box.h - 2.0)
        if not right:
            c.text(full, left, c.unit, "quiet", lines=2)
            return
        upper, lower = rows(full, 1.0, 1.0)
        c.text(upper, left, min(upper.h, c.unit), "quiet")
        c.text(lower, right, min(lower.h, c.unit), "quiet")
        return
    if not c.tall:
        words = words._replace(h=min(words.h, c.size[1] - 4 * c.key_h - 2.0))
    share = near_share(c, words.w, right)
    near, far = columns(words, share, 1.0 - share)
    lines = 2 if words.h > 1.95 * c.unit else 1
    c.text(near, left, c.unit, "quiet", "left", lines)
    c.text(far, right, c.unit, "quiet", "right", lines)


def near_share(c: Canvas, width: float, right: str) -> float:
    """The part of a status line that its left words may have."""
    if not right:
        return 1.0
    return min(0.57, max(0.4, 1.0 - 1.03 * text_width(right, c.unit) / width))


def _aside(c: Canvas, box: Box, width: float) -> tuple[Box, Box]:
    """The end of the status line that is away from the keypad, and what is left of it."""
    if c.hand == "left" and not c.tall:
        left, key = columns(box, box.w - width, width)
        return key, left
    key, right = columns(box, width, box.w - width)
    return key, right


def help_width(c: Canvas) -> float:
    """The width of the key for help."""
    return c.measures.least_px[0] * (1.0 if c.small else HELP_WIDE)


def missing_width(c: Canvas) -> float:
    """The width of the key for what the machine lacks; with its word where there is room."""
    return c.measures.least_px[0] + (0.0 if narrow(c) else c.unit * 5)


def narrow(c: Canvas) -> bool:
    """Whether a line of running text holds only some thirty letters."""
    return c.size[0] < 20 * c.unit


def _missing_key(c: Canvas, box: Box) -> None:
    """What the machine lacks most, on a key that leads to the rest; the sign is a triangle."""
    c.key("machine", box, "", "key_act", does=aside(machine_asked))
    inner = box.inset(GAP)
    wide = inner.w > 2 * inner.h
    x, y = (inner.x + inner.h * 0.45, inner.centre[1]) if wide else inner.centre
    reach = min(inner.h, inner.w) * 0.3
    role: Role = "quiet" if c.missing[0].kind == "clock" else "alarm"
    c.add(Polygon(((x, y - reach), (x + reach, y + reach), (x - reach, y + reach)), role))
    if not wide:
        return
    words = Box(inner.x + inner.h * 0.9, inner.y, inner.w - inner.h * 0.9, inner.h)
    more = len(c.missing) - 1
    word = say(f"missing.{c.missing[0].kind}.word")
    says = say("missing.more", word=word, count=more) if more else word
    c.text(words, says, c.unit, lines=2)
