"""Text into a box: where to break it and how small it must be. No drawing here."""

from collections.abc import Callable
from typing import NamedTuple

from benchcalc.report.scene import CAPITAL_PART, Label

LEAST_PART = 0.6
"""How far a label may shrink, as a part of its size, before it counts as a misfit."""

DROP_PART = 0.25
"""How far a g or a p reaches under the line, as a part of the text size."""

PITCH_PART = 1.2
"""Distance from line to line where the box has room for it, as a part of the text size."""

WidthOf = Callable[[str, int], float]
"""The width in pixels of a text at a size in whole pixels."""


class Fitted(NamedTuple):
    """A label broken and sized. ``baselines`` are the y of each row, in the pixels of its box."""

    rows: tuple[str, ...]
    size_px: int
    baselines: tuple[float, ...]
    fits: bool


def printable(text: str) -> str:
    """The text with whatever no font or file can take (controls, line ends) made a space."""
    return "".join(c if c.isprintable() else " " for c in text).strip()


def fit(label: Label, width_of: WidthOf) -> Fitted:
    """Break and size the text of a label so that all of it lies inside the box.

    Breaking comes before shrinking. Shrinking stops at ``LEAST_PART`` of the size; a text that
    still does not fit goes smaller all the same, and ``fits`` is False.
    """
    text = printable(label.text)
    wanted_px = max(1, int(label.size + 0.5))
    size_px = wanted_px
    while True:
        rows = _broken(text, label, size_px, width_of)
        widest = max(width_of(row, size_px) for row in rows)
        too_wide = widest > label.box.w or len(rows) > label.lines
        too_high = len(rows) * size_px > label.box.h + 1
        inside = not (too_wide or too_high)
        if inside or size_px == 1:
            break
        size_px = _next_smaller(label, size_px, widest)
    fits = inside and size_px >= int(LEAST_PART * wanted_px)
    return Fitted(rows, size_px, _baselines(label, len(rows), size_px), fits)


def _next_smaller(label: Label, size_px: int, widest: float) -> int:
    """One line can jump to the size its width asks for; broken text must be tried step by step."""
    if label.lines > 1 or widest <= label.box.w:
        return size_px - 1
    return max(1, min(size_px - 1, int(size_px * label.box.w / widest) + 1))


def _broken(text: str, label: Label, size_px: int, width_of: WidthOf) -> tuple[str, ...]:
    """The text in rows as full as the box allows, or whole when it may not be broken."""
    if label.lines <= 1 or width_of(text, size_px) <= label.box.w:
        return (text,)
    rows: list[str] = []
    row = ""
    for word in text.split(" "):
        longer = f"{row} {word}".strip()
        if row and width_of(longer, size_px) > label.box.w:
            rows.append(row)
            row = word
        else:
            row = longer
    return (*rows, row)


def _baselines(label: Label, count: int, size_px: int) -> tuple[float, ...]:
    """Rows centred by the height of their capitals, so that numbers sit in the middle of keys.

    In a tight box the block moves up until what hangs under the last line is inside too.
    """
    box = label.box
    pitch = PITCH_PART * size_px
    if count > 1:
        pitch = max(float(size_px), min(pitch, (box.h - size_px) / (count - 1)))
    block = CAPITAL_PART * size_px + (count - 1) * pitch
    last = min(box.centre[1] + block / 2, box.bottom - DROP_PART * size_px)
    return tuple(last - (count - 1 - i) * pitch for i in range(count))
