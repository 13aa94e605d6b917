"""Springback against the angle under load: the line, its band, and the bends that taught it."""

from math import sqrt

from benchcalc.core.springback.first_guess import (
    LOW_SHARE,
    Springback,
    springback_at,
    springback_variance,
)
from benchcalc.core.springback.learning import DOUBTED_UNDER
from benchcalc.core.springback.lessons import Lesson
from benchcalc.report.figures import angle_text
from benchcalc.report.scene import Box, Disc, Fill, Label, Picture, Point, Polygon, Shape, Stroke
from benchcalc.words.language import say

ANGLES = (0, 45, 90, 135, 180)
STEPS_DEG = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
MOST_STEPS = 4


def springback_plot(
    box: Box,
    springback: Springback,
    lessons: tuple[Lesson, ...],
    chosen: Lesson | None = None,
    least_px: float = 12.0,
) -> Picture:
    """A plot in words and lines; rings are bends that hardly count, ``chosen`` stands out.

    ``least_px`` is the least size of its words.
    """
    s = springback
    size = max(least_px, box.h * 0.07)
    frame = Box(box.x + size * 2.6, box.y + size * 1.8, box.w - size * 3.6, box.h - size * 4.4)
    highest = max(
        [springback_at(180.0, s) + _half(s, 180.0)] + [_delta(lesson) for lesson in lessons]
    )
    top = max(1.0, highest * 1.1)

    def at(loaded: float, delta: float) -> Point:
        y = frame.bottom - frame.h * min(max(delta / top, 0.0), 1.0)
        return (frame.x + frame.w * min(loaded, 190.0) / 190.0, y)

    upper = [at(x, springback_at(x, s) + _half(s, x)) for x in range(0, 191, 10)]
    lower = [at(x, springback_at(x, s) - _half(s, x)) for x in range(190, -1, -10)]
    shapes: list[Shape] = [
        Fill(frame, "sheet"),
        Polygon((*upper, *lower), "key"),
        Stroke(tuple(at(x, springback_at(x, s)) for x in range(0, 191, 10)), "tube_edge", 4.0),
        Stroke(((frame.x, frame.y), (frame.x, frame.bottom), (frame.right, frame.bottom)), "ink"),
    ]
    for lesson in lessons:
        ring = lesson.counted < DOUBTED_UNDER
        point = at(lesson.bent.loaded_deg, _delta(lesson))
        shapes.append(Disc(point, size * 0.32, "ink", 2.5 if ring else 0.0))
        if lesson == chosen:
            shapes.append(Disc(point, size * 0.7, "focus", 4.0))
    for angle in ANGLES:
        x, y = at(angle, 0.0)
        place = Box(x - size * 2, y + size * 0.3, size * 4, size)
        shapes.append(Label(place, angle_text(angle), size, "ink", "centre"))
    for delta in _steps(top):
        x, y = at(0.0, delta)
        place = Box(box.x, y - size / 2, size * 2.4, size)
        shapes.append(Label(place, angle_text(delta), size, "ink", "right"))
    across = Box(frame.x, frame.bottom + size * 1.5, frame.w, size)
    upward = Box(box.x, box.y, box.w, size)
    shapes.append(Label(across, say("learnt.across"), size, "quiet", "centre"))
    shapes.append(Label(upward, say("learnt.upward"), size, "quiet"))
    return Picture(box, tuple(shapes))


def _steps(top_deg: float) -> list[float]:
    """Round values up the side, a few of them."""
    step = next((s for s in STEPS_DEG if top_deg / s <= MOST_STEPS + 1), STEPS_DEG[-1])
    return [step * n for n in range(1, int(top_deg / step) + 1)]


def _delta(lesson: Lesson) -> float:
    return lesson.bent.loaded_deg - lesson.bent.released_deg


def _half(s: Springback, loaded_deg: float) -> float:
    """Half the width of the 95 % band in which the next bend is expected."""
    return LOW_SHARE * sqrt(springback_variance(loaded_deg, s) + s.noise_deg**2)
