"""Text that runs over pages: how many lines it takes, told without a font."""

import re
from collections.abc import Iterable
from typing import NamedTuple

PITCH = 1.2
"""From line to line, as a part of the text's size."""

SPARE = 1.04
"""Letters stand on whole pixels: by that much a text may be wider than the sum of its letters."""

_WIDTHS: tuple[tuple[str, float], ...] = (
    (" ", 0.22),
    ("',.:;ij·í’|¡!", 0.28),
    ("Il", 0.30),
    ("()[]f{}", 0.34),
    ("-t", 0.36),
    ("/r°*", 0.40),
    ('"?szJcxvy¿', 0.50),
    ("+0123456789F_aegk±×áäé−LY–$#", 0.56),
    ("SVXZAEToÁÄÉóö", 0.60),
    ("CbdhnpquñúüKPRß&", 0.63),
    ("BDG", 0.69),
    ("NUÚÜHOQØÖÓÑ", 0.74),
    ("wM", 0.82),
    ("W¼¾½%m", 0.92),
    ("…", 1.06),
)
_OTHER = 0.62
_EM = {letter: wide for letters, wide in _WIDTHS for letter in letters}
"""Widths of the panel's font, as parts of its size.

Source: measured from the font; tests/screens/test_help.py compares them.
"""


class Item(NamedTuple):
    """One thing to be read, and the sign before it."""

    sign: str
    text: str


def text_width(text: str, size: float) -> float:
    """About how wide a text is in pixels, hardly ever less than it is."""
    return size * SPARE * sum(_EM.get(letter, _OTHER) for letter in text)


def lines_of(text: str, width: float, size: float) -> int:
    """How many lines a text takes in a column of that many pixels."""
    count, row = 1, ""
    for word in text.split(" "):
        longer = f"{row} {word}".strip()
        if row and text_width(longer, size) > width:
            count, row = count + 1, word
        else:
            row = longer
    return count


def height_of(text: str, width: float, size: float) -> float:
    """How high a text stands in a column of that many pixels, with what hangs under it."""
    return (lines_of(text, width, size) * PITCH + 0.1) * size


class Room(NamedTuple):
    """A page, in pixels: the column, the size of its text, and the gap between two items."""

    wide: float
    high: float
    size: float
    gap: float

    def holds(self, text: str) -> bool:
        """Whether a text has a page for itself."""
        return height_of(text, self.wide, self.size) <= self.high


def paged(items: Iterable[Item], room: Room) -> list[tuple[Item, ...]]:
    """Items one under the other; one that is higher than a page is broken after a sentence."""
    pages: list[list[Item]] = []
    left = 0.0
    for item in (part for whole in items for part in _parts(whole, room)):
        need = height_of(item.text, room.wide, room.size) + room.gap
        if not pages or need > left:
            pages.append([])
            left = room.high + room.gap
        pages[-1].append(item)
        left -= need
    return [tuple(page) for page in pages]


def _parts(item: Item, room: Room) -> Iterable[Item]:
    """The item whole where it has room on a page, else in parts; the sign stands at the first."""
    sign = item.sign
    for text in _broken(item.text, room, ("[.?!]", "[:;,]")):
        yield Item(sign, text)
        sign = ""


def _broken(text: str, room: Room, ends: tuple[str, ...]) -> Iterable[str]:
    if room.holds(text) or not ends:
        yield text
        return
    row = ""
    for sentence in re.split(f"(?<={ends[0]}) ", text):
        longer = f"{row} {sentence}".strip()
        if row and not room.holds(longer):
            yield from _broken(row, room, ends[1:])
            row = sentence
        else:
            row = longer
    yield from _broken(row, room, ends[1:])
