"""Lines one under another: where there is no room for all, those that matter least go."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from benchcalc.panel.grid import Canvas, lines_of
from benchcalc.panel.scene import Box, Role


class Line(NamedTuple):
    """Something to be stacked: how high, how soon it may be left out, and how it is drawn."""

    height: float
    rank: int
    draw: Callable[[Box], None]


def stack(box: Box, lines: Iterable[Line]) -> None:
    """Draw lines from the top down; where there is no room for all, those of high rank go.

    Those of rank 0 stay.
    """
    every = list(lines)
    first = sum(line.height for line in every if line.rank == 0)
    part = min(1.0, box.h / first) if first else 1.0  # what must be said is said, if smaller
    kept: set[int] = set()
    left = box.h + 0.5
    for at in sorted(range(len(every)), key=lambda i: (every[i].rank, i)):
        if every[at].rank == 0 or every[at].height <= left:
            kept.add(at)
            left -= every[at].height
    y = box.y
    for at in sorted(kept):
        high = every[at].height * (part if every[at].rank == 0 else 1.0)
        every[at].draw(Box(box.x, y, box.w, high))
        y += high


def sentence(
    c: Canvas, text: str, rank: int, width: float, part: float = 1.0, role: Role = "ink"
) -> Line:
    """Running text, or larger by ``part``, in as many lines as it takes."""
    size = c.unit * part
    lines = lines_of(c, text, width / part)
    return Line(size * 1.15 * lines, rank, lambda b: c.text(b, text, size, role, lines=lines))
