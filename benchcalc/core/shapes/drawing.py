"""What a job draws its run from when that is more than legs and bends: shapes, ports, points.

Shapes and ports are worked out with finished radii, and those rest on what is known of springback:
the drawing is kept with the job, so that it can be worked out again when more is known.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Job, Measured, Run, Segment
from benchcalc.core.shapes.named_shapes import Parallel, Radius, Shape, UBend, draw_up, radius_of
from benchcalc.core.shapes.ports import Answer, Pattern, Port, closing_runs, port_to_port, way_again
from benchcalc.core.springback.first_guess import Springback

REMEMBERED = 16
"""Port searches kept: the panel asks for the same one again at every tap."""


@dataclass(frozen=True, slots=True)
class Goal:
    """A port to get to, and which of the ways there is taken, counted from 1.

    ``start`` is None when the run's own legs and bends lead up to it. Once a way was found it is
    known by its pattern in ``way``, and no longer by its place among the ways.
    """

    end: Port
    start: Port | None = None
    take: int = 1
    way: Pattern = ()


@dataclass(frozen=True, slots=True)
class Drawn:
    """Segments and shapes one after the other, and a last leg or the port it all leads to.

    With ``beside`` the job's tube is the one that lies beside the run so drawn. ``points`` are the
    corners the segments were read from, if they were.
    """

    items: tuple[Segment | Shape, ...] = ()
    last_leg_mm: float = 0.0
    last_measured: Measured | None = None
    goal: Goal | None = None
    beside: Parallel | None = None
    points: tuple[Vector, ...] = ()

    @property
    def plain(self) -> bool:
        """Whether it is legs and bends alone, the run itself."""
        shaped = any(not isinstance(item, Segment) for item in self.items)
        return not (shaped or self.goal or self.beside or self.points)


class NoWay(ValueError):
    """No run leads to the port, or fewer than was asked for; ``found`` is how many.

    ``lost_deg`` are the bends of a way that was taken and cannot be bent any more.
    """

    def __init__(self, found: int, lost_deg: tuple[float, ...] = ()) -> None:
        super().__init__(f"{found} ways to the port")
        self.found, self.lost_deg = found, lost_deg


def draw(job: Job, drawn: Drawn, springback: Springback) -> Job:
    """The job with the run that a drawing comes to on its bender.

    An order of bending that does not fit the bends is left out. Raises NoWay for a port that is not
    reached, NotBeside for a run that no tube of one die lies beside.
    """
    if drawn.goal is not None:
        taken = way_taken(job, drawn, springback)
        drawn = replace(drawn, goal=replace(drawn.goal, way=drawn.goal.way or taken.pattern))
        run = taken.run
    else:
        radius = radius_of(job.bender, springback)
        run = draw_up(drawn.items, drawn.last_leg_mm, radius, drawn.last_measured)
    widths = _u_widths(drawn.items, radius_of(job.bender, springback))
    if drawn.beside is not None:
        run = drawn.beside.run(run)
        widths = tuple(w for w in widths if run.segments[w[0] - 1].angle_deg == 180)
    order = job.order if len(job.order) == len(run.segments) else ()
    kept = None if drawn.plain else drawn
    return replace(job, run=run, u_widths=widths, order=order, drawn=kept)


def drawn_again(job: Job, springback: Springback) -> Job:
    """A job's drawing worked out with what is known now; a job of legs and bends as it is."""
    return job if job.drawn is None else draw(job, job.drawn, springback)


def way_taken(job: Job, drawn: Drawn, springback: Springback) -> Answer:
    """The way to the port that a drawing takes: by its pattern, or by its place before it has one.

    Raises NoWay, and ValueError without a port.
    """
    goal = _goal(drawn)
    if goal.way:
        before = _before(job, drawn, springback)
        found = _again(_bare(job), before, goal.start, goal.end, springback, goal.way)
        if found is None:
            raise NoWay(0, tuple(angle for angle, _ in goal.way))
        return found
    answers = ways(job, drawn, springback)
    if goal.take > len(answers):
        raise NoWay(len(answers))
    return answers[goal.take - 1]


def ways(job: Job, drawn: Drawn, springback: Springback) -> tuple[Answer, ...]:
    """The ways to the port of a drawing, the best first. Raises ValueError without a port."""
    goal, before = _goal(drawn), _before(job, drawn, springback)
    return _ways(_bare(job), before, goal.start, goal.end, springback)


def _goal(drawn: Drawn) -> Goal:
    if drawn.goal is None:
        raise ValueError("a run that ends in a leg leads to no port")
    return drawn.goal


def _before(job: Job, drawn: Drawn, springback: Springback) -> tuple[Segment, ...]:
    return draw_up(drawn.items, 0.0, radius_of(job.bender, springback)).segments


def _bare(job: Job) -> Job:
    return replace(job, run=Run((), 0.0), order=(), u_widths=(), drawn=None)


@lru_cache(REMEMBERED)
def _again(
    job: Job,
    before: tuple[Segment, ...],
    start: Port | None,
    end: Port,
    springback: Springback,
    pattern: Pattern,
) -> Answer | None:
    return way_again(job, springback, start, before, end, pattern)


@lru_cache(REMEMBERED)
def _ways(
    job: Job,
    before: tuple[Segment, ...],
    start: Port | None,
    end: Port,
    springback: Springback,
) -> tuple[Answer, ...]:
    if start is not None:
        return port_to_port(job, springback, start, end)
    return closing_runs(job, springback, before, end)


def bends_of(item: Segment | Shape, radius: Radius) -> int:
    """How many bends an item of a drawing comes to."""
    return 1 if isinstance(item, Segment) else len(item.segments(radius))


def _u_widths(items: tuple[Segment | Shape, ...], radius: Radius) -> tuple[tuple[int, float], ...]:
    number = 1
    found: list[tuple[int, float]] = []
    for item in items:
        if isinstance(item, UBend):
            found.append((number, item.width_mm))
        number += bends_of(item, radius)
    return tuple(found)
