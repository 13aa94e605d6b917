"""Text that runs over pages: how many lines it takes, told without a font."""

from collections.abc import Iterable
from typing import NamedTuple

PITCH = 1.2
"""From line to line, as a part of the text's size."""

_WIDTHS: tuple[tuple[str, float], ...] = (
    (" ijlI.,/'íïì", 0.31),
    ("ft():;!-r¡|", 0.39),
    ("mMW%w", 0.92),
    ("ABCDEGHKNOQRUVXYÄÖÜÁÉÑ", 0.78),
)
_OTHER = 0.62
_EM = {letter: wide for letters, wide in _WIDTHS for letter in letters}
"""Widths of the panel's font, as parts of its size, a little more rather than less.

Source: measured from pygame's default font; tests/panel/test_help.py compares them.
"""


class Item(NamedTuple):
    """One thing to be read, and the sign before it."""

    sign: str
    text: str


def text_width(text: str, size: float) -> float:
    """About how wide a text is in pixels, hardly ever less than it is."""
    return size * sum(_EM.get(letter, _OTHER) for letter in text)


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


def paged(
    items: Iterable[Item], width: float, height: float, size: float, gap: float
) -> list[tuple[Item, ...]]:
    """Items one under the other, none broken over two pages."""
    pages: list[list[Item]] = []
    left = 0.0
    for item in items:
        need = height_of(item.text, width, size) + gap
        if not pages or need > left:
            pages.append([])
            left = height + gap
        pages[-1].append(item)
        left -= need
    return [tuple(page) for page in pages]
