"""Where things stand on a screen that asks for one value at a time, and its rows of keys.

Beside the keypad: the field in hand, what comes of it, a row of keys. On a small screen the field
is the line above the keypad; all else is on the screen's second page.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from benchcalc.panel.state.action import Action, press
from benchcalc.panel.state.model import Face, Model
from benchcalc.panel.widgets.flowing import text_width
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    fits,
    lines_of,
    notice,
    notice_lines,
    paragraph,
)
from benchcalc.panel.widgets.status_line import (
    help_width,
    missing_width,
    status_line,
)
from benchcalc.report.boxes import (
    columns,
    foot,
)
from benchcalc.report.scene import Box, Role
from benchcalc.report.told import in_words
from benchcalc.words.language import say


class Key(NamedTuple):
    """A key of a row: its name and what is written on it; without a caption it is an arrow.

    A ``sign`` is drawn in the place of a caption. ``does`` and what follows are as
    ``report.scene.Target`` has them.
    """

    target: str
    caption: str
    role: Role = "key_act"
    does: Action | None = None
    keys: tuple[str, ...] = ()
    decides: bool = False
    choice: bool = False
    first: bool = False
    right: bool = False
    sign: Callable[[Canvas, Box], None] | None = None


class Places(NamedTuple):
    """The field's row, the room for sentences, the row of keys, the keypad."""

    field: Box
    says: Box
    keys: Box
    pad: Box


def form(c: Canvas) -> Places:
    """The places of a typing screen; on a small one there is room for the field and the keypad."""
    z = c.zones(strip=False)
    if c.small:
        none = Box(0.0, z.pad.y, 0.0, 0.0)
        return Places(line_above(c), none, none, z.pad)
    rest, keys = foot(z.answer, c.key_h)
    field = rest._replace(h=min(c.key_h, 3 * c.unit))
    says = Box(rest.x, field.bottom, rest.w, rest.h - field.h).inset(GAP)
    wide = keys._replace(x=keys.x - GAP, w=keys.w + 2 * GAP)
    return Places(field, says, wide, z.pad)


def line_above(c: Canvas) -> Box:
    """The line above a small screen's keypad, beside the keys of the status line."""
    aside = (help_width(c) if c.asks else 0.0) + (missing_width(c) if c.missing else 0.0)
    x = 0.0 if c.hand == "left" and not c.tall else aside
    return Box(x, 0.0, c.size[0] - aside, c.measures.least_px[1])


def form_status(c: Canvas, model: Model, left: str, right: str = "") -> bool:
    """The line on top; whether the field's line above a small screen's keypad is still free."""
    words = ("", "") if c.small else (left, right)
    status_line(c, c.zones(strip=False).status, *words, model.trouble)
    return not (c.small and model.trouble)


def titled(c: Canvas, model: Model, title: str) -> bool:
    """The line on top of a screen without a keypad; a refusal in its place where it has room.

    Whether the refusal, if there is one, is told.
    """
    place = line_above(c).inset(2.0)
    room = not model.trouble and fits(
        c, place._replace(w=place.w - 5 * GAP), in_words(model.refusal)
    )
    told = bool(model.refusal) and room
    status_line(c, c.status, "" if told else title, "", model.trouble)
    if told:
        notice(c, place, say("word.check"), in_words(model.refusal), "alarm")
    return told or not model.refusal


NAMES: dict[Face, str] = {"answer": "look", "keys": "type", "more": "more"}
"""What the keys to the pages of a screen are called."""


def turned_to(model: Model, face: Face) -> Model:
    """The screen on another of its faces."""
    return replace(model, face=face)


def back_to_typing() -> Key:
    """The key that leads back to the first face, where there is something to type."""
    return Key("type", say("plan.type"), "key_go", press(turned_to, "keys"), ("enter",))


def more_of_it() -> Key:
    """The key to the second face: all that is said, and what else can be done."""
    return Key("look", say("more"), does=press(turned_to, "answer"))


def face_key(face: Face, caption: str, role: Role = "key_act") -> Key:
    """The key to another page of the screen."""
    return Key(NAMES[face], caption, role, press(turned_to, face))


def face_of(c: Canvas, model: Model) -> Face:
    """The page of a typing screen; a refusal without room beside the keypad is on the second."""
    room = not c.small and fits(c, form(c).says.inset(2 * GAP), in_words(model.refusal))
    return model.face if room or not model.refusal else "answer"


def said(c: Canvas, model: Model, box: Box, says: str, short: str = "") -> bool:
    """The refusal, else a sentence or its short form; whether all there is to say was said."""
    if model.refusal:
        notice(c, box, say("word.check"), in_words(model.refusal), "alarm")
        return True
    room = fits(c, box, says) or not short
    c.text(box, says if room else short, c.unit, "quiet", "left", int(box.h / c.unit))
    return room


class Told(NamedTuple):
    """A sentence of a page, with the word and its colour when it is a notice.

    ``rank`` is how soon it goes to the second page.
    """

    says: str
    rank: int = 0
    word: str = ""
    role: Role = "ink"


FACES: tuple[Face, ...] = ("keys", "answer", "more")
"""The pages of a screen in their order."""


def pages(c: Canvas, box: Box, told: Sequence[Told]) -> list[list[Told]]:
    """Sentences on as many pages as they take, at least one."""
    first, rest = paged(c, box, told)
    return [first, *(pages(c, box, rest) if rest else [])]


def page_of(model: Model, count: int) -> int:
    """Which of so many pages is shown, from 0 on."""
    return min(FACES.index(model.face), count - 1)


def onward(at: int, count: int) -> list[Key]:
    """The key to the next page, where there is one and a face left to show it on."""
    more = at < min(count, len(FACES)) - 1
    return [face_key(FACES[at + 1], say("more"))] if more else []


def paged(c: Canvas, box: Box, told: Sequence[Told]) -> tuple[list[Told], list[Told]]:
    """What has room in a box, in its order, and what goes to the second page."""
    kept: set[int] = set()
    left = box.h
    for at in sorted(range(len(told)), key=lambda i: (told[i].rank, i)):
        if (high := _told_high(c, box.w, told[at])) <= left or not kept:
            kept.add(at)
            left -= high
    return (
        [one for at, one in enumerate(told) if at in kept],
        [one for at, one in enumerate(told) if at not in kept],
    )


def tell(c: Canvas, box: Box, told: Sequence[Told]) -> list[Box]:
    """Sentences from the top down, loosely where there is room; where each stands."""
    highs = [_told_high(c, box.w, one) for one in told]
    loose = min(0.6 * c.unit, max(0.0, box.h - sum(highs)) / max(len(told), 1))
    y, places = box.y, []
    for one, high in zip(told, highs, strict=True):
        place = Box(box.x, y, box.w, min(high + loose, box.bottom - y))
        places.append(place)
        if one.word:
            notice(c, place, one.word, one.says, one.role)
        else:
            paragraph(c, place, one.says, one.role)
        y += high + loose
    return places


def _told_high(c: Canvas, width: float, told: Told) -> float:
    if told.word and c.small:  # a bar in the place of the word
        return (lines_of(c, told.says, width - 5 * GAP) + 0.1) * c.unit
    if told.word:
        return (notice_lines(c, told.says, width) + 0.2) * c.unit
    return (lines_of(c, told.says, width) + 0.1) * c.unit


class Part(NamedTuple):
    """A part of a long list: what is on it, its page of how many, where the next page begins."""

    items: tuple[Any, ...]
    page: int
    pages: int
    next: int


def part_of(items: Sequence[Any], room: int, at: int) -> Part:
    """The page of a list that shows the item ``at``: so none jumps when the list or room change."""
    pages = max(1, -(-len(items) // room))
    page = min(at // room, pages - 1)
    return Part(tuple(items[page * room :][:room]), page, pages, (page + 1) % pages * room)


def key_row(c: Canvas, box: Box, keys: Sequence[Key]) -> None:
    """Keys side by side, of one width as long as their words have room; one alone is no bar."""
    if len(keys) == 1:
        box = box._replace(w=min(box.w, max(box.w / 2, 3 * c.key_w)))
    for key, cell in zip(keys, columns(box, *_widths(c, box, keys)), strict=True):
        put_key(c, cell, key)


def put_key(c: Canvas, cell: Box, key: Key, size: float | None = None, lines: int = 2) -> None:
    """One key in its place, its caption in running text unless a size is given."""
    if not key.caption and not key.sign:
        c.arrow_key(key.target, cell, not key.right, key.does, key.keys)
        return
    size = size or c.unit
    c.key(key.target, cell, key.caption, key.role, size, lines=lines, does=key.does,
          keys=key.keys, decides=key.decides, choice=key.choice, first=key.first)  # fmt: skip
    if key.sign:
        key.sign(c, cell)


def for_hand(c: Canvas, keys: Sequence[Key]) -> list[Key]:
    """Keys from the way back to the way on; that one lies at the side of the writing hand."""
    return list(reversed(keys)) if c.hand == "left" else list(keys)


def _widths(c: Canvas, box: Box, keys: Sequence[Key]) -> list[float]:
    """What the longest words ask for, and an even share of what is left over."""
    longest = [max(text_width(word, c.unit) for word in key.caption.split(" ")) for key in keys]
    asked = [max(c.key_w, wide + 2 * GAP) for wide in longest]
    if max(asked) * len(asked) <= box.w:
        return [1.0] * len(keys)
    over = [w - c.key_w for w in asked]
    spare = box.w - c.key_w * len(keys)
    if spare < 0:
        return [1.0] * len(keys)
    if sum(over) >= spare:  # the long words take what there is
        return [c.key_w + spare * o / sum(over) for o in over]
    return [w + (spare - sum(over)) / len(keys) for w in asked]
