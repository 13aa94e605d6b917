"""Lines one under another: where there is no room for all, those that matter least go."""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from benchcalc.panel.widgets.grid import (
    Canvas,
    lines_of,
)
from benchcalc.report.scene import Box, Role


class Line(NamedTuple):
    """Something to be stacked: how high, how soon it may be left out, and how it is drawn.

    Sentences of the same ``flow`` run on from one another as far as they are shown; 0 is none.
    """

    height: float
    rank: int
    draw: Callable[[Box], None]
    text: str = ""
    flow: int = 0


def stack(c: Canvas, box: Box, lines: Iterable[Line]) -> None:
    """Draw lines from the top down; where there is no room for all, those of high rank go.

    Those of rank 0 stay.
    """
    every = list(lines)
    shown = list(_run_on(c, box.w, [every[at] for at in kept_in(c, box, every)]))
    first = sum(line.height for line in shown if line.rank == 0)
    part = min(1.0, box.h / first) if first else 1.0  # what must be said is said, if smaller
    y = box.y
    for line in shown:
        high = line.height * (part if line.rank == 0 else 1.0)
        line.draw(Box(box.x, y, box.w, high))
        y += high


def kept_in(c: Canvas, box: Box, every: Sequence[Line]) -> list[int]:
    """Which of the lines have room, the least rank first."""
    kept: list[int] = []
    for at in sorted(range(len(every)), key=lambda i: (every[i].rank, i)):
        more = sorted((*kept, at))
        high = sum(line.height for line in _run_on(c, box.w, [every[i] for i in more]))
        if every[at].rank == 0 or high <= box.h + 0.5:
            kept = more
    return kept


def _run_on(c: Canvas, width: float, lines: Sequence[Line]) -> Iterator[Line]:
    """Sentences of one flow as one paragraph, all else as it is."""
    for flow, group in groupby(lines, key=lambda line: line.flow):
        if not flow:
            yield from group
            continue
        parts = list(group)
        rank = min(line.rank for line in parts)
        yield sentence(c, " ".join(line.text for line in parts), rank, width)


def sentence(
    c: Canvas, text: str, rank: int, width: float, part: float = 1.0, role: Role = "ink"
) -> Line:
    """Running text, or larger by ``part``, in as many lines as it takes."""
    size = c.unit * part
    lines = lines_of(c, text, width / part)
    return Line(size * 1.15 * lines, rank, lambda b: c.text(b, text, size, role, lines=lines))


def sentences(c: Canvas, text: str, rank: int, width: float) -> Iterator[Line]:
    """Running text of which the last sentences go first; each paragraph begins a line."""
    for flow, paragraph in enumerate(text.split("\n"), 1):
        for says in re.split(r"(?<=[.?!]) ", paragraph):
            yield sentence(c, says, rank, width)._replace(text=says, flow=flow)
            rank += 1
