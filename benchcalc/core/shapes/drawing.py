"""What a job draws its run from when that is more than legs and bends: shapes, ports, points.

Shapes and ports are worked out with finished radii, and those rest on what is known of springback:
the drawing is kept with the job, so that it can be worked out again when more is known.
"""

from collections.abc import Iterator
from dataclasses import fields
from functools import lru_cache
from typing import Any

from benchcalc.core.finding import Finding
from benchcalc.core.frozen import frozen, replace
from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Job, Measured, Run, Segment
from benchcalc.core.shapes.named_shapes import Parallel, Radius, Shape, UBend, draw_up, radius_of
from benchcalc.core.shapes.ports import Answer, Pattern, Port, closing_runs, port_to_port, way_again
from benchcalc.core.springback.first_guess import Springback

REMEMBERED = 16
"""Port searches kept: the panel asks for the same one again at every tap."""


@frozen
class Goal:
    """A port to get to, and which of the ways there is taken, counted from 1.

    ``start`` is None when the run's own legs and bends lead up to it. Once a way was found it is
    known by its pattern in ``way``, and no longer by its place among the ways.
    """

    end: Port
    start: Port | None = None
    take: int = 1
    way: Pattern = ()


@frozen
class Drawing:
    """Segments and shapes one after the other, and a last leg or the port it all leads to.

    With ``beside`` the job's tube is the one that lies beside the run so drawn. ``points`` are the
    corners the segments were read from, if they were kept; ``in_line`` names those points, counted
    from 1, that lay on a straight leg and were left out.
    """

    items: tuple[Segment | Shape, ...] = ()
    last_leg_mm: float = 0.0
    last_measured: Measured | None = None
    goal: Goal | None = None
    beside: Parallel | None = None
    points: tuple[Vector, ...] = ()
    in_line: tuple[int, ...] = ()

    @property
    def legs_and_bends(self) -> bool:
        """Whether it is legs and bends alone, the run itself."""
        shaped = any(not isinstance(item, Segment) for item in self.items)
        return not (shaped or self.goal or self.beside or self.points or self.in_line)


@frozen
class DrawnJob(Job):
    """A job together with the drawing that its run was worked out from.

    ``u_widths`` is the width asked of each U, by the number of its first bend.
    """

    source: Drawing = Drawing()
    u_widths: tuple[tuple[int, float], ...] = ()


class NoWay(ValueError):
    """No run leads to the port, or fewer than was asked for; ``found`` is how many.

    ``lost_deg`` are the bends of a way that was taken and cannot be bent any more.
    """

    def __init__(self, found: int, lost_deg: tuple[float, ...] = ()) -> None:
        super().__init__(f"{found} ways to the port")
        self.found, self.lost_deg = found, lost_deg


def draw(job: Job, drawing: Drawing, springback: Springback) -> Job:
    """The job with the run that a drawing comes to on its bender, and with the drawing.

    An order of bending that does not fit the bends is left out. Raises NoWay for a port that is not
    reached, NotBeside for a run that no tube of one die lies beside.
    """
    if drawing.goal is not None:
        taken = way_taken(job, drawing, springback)
        drawing = replace(
            drawing, goal=replace(drawing.goal, way=drawing.goal.way or taken.pattern)
        )
        run = taken.run
    else:
        radius = radius_of(job.bender, springback)
        run = draw_up(drawing.items, drawing.last_leg_mm, radius, drawing.last_measured)
    widths = _u_widths(drawing.items, radius_of(job.bender, springback))
    if drawing.beside is not None:
        run = drawing.beside.run(run)
        widths = tuple(w for w in widths if run.segments[w[0] - 1].angle_deg == 180)
    order = job.order if len(job.order) == len(run.segments) else ()
    made = replace(_undrawn(job), run=run, order=order)
    if drawing.legs_and_bends:
        return made
    return DrawnJob(**_values(made), source=drawing, u_widths=widths)


def drawing_of(job: Job) -> Drawing | None:
    """What a job was drawn from; None for a job of legs and bends."""
    return job.source if isinstance(job, DrawnJob) else None


def drawn_again(job: Job, springback: Springback) -> Job:
    """A job's drawing worked out with what is known now; a job of legs and bends as it is."""
    return draw(job, job.source, springback) if isinstance(job, DrawnJob) else job


def width_findings(job: Job, springback: Springback) -> Iterator[Finding]:
    """The widths that were asked of a U and that this die does not give."""
    if not isinstance(job, DrawnJob):
        return
    for number, width in job.u_widths:
        radius, between = radius_of(job.bender, springback), job.bender.between_mm
        misfit = UBend(0.0, width).misfit(radius, between)
        if misfit is not None:
            values = (
                ("width_mm", misfit.width_mm),
                ("single_mm", misfit.single_mm),
                ("least_mm", misfit.least_mm),
            )
            yield Finding("stop", "u-width", number, values)


def way_taken(job: Job, drawing: Drawing, springback: Springback) -> Answer:
    """The way to the port that a drawing takes: by its pattern, or by its place before it has one.

    Raises NoWay, and ValueError without a port.
    """
    goal = _goal(drawing)
    if goal.way:
        before = _before(job, drawing, springback)
        found = _again(_bare(job), before, goal.start, goal.end, springback, goal.way)
        if found is None:
            raise NoWay(0, tuple(angle for angle, _ in goal.way))
        return found
    answers = ways(job, drawing, springback)
    if goal.take > len(answers):
        raise NoWay(len(answers))
    return answers[goal.take - 1]


def ways(job: Job, drawing: Drawing, springback: Springback) -> tuple[Answer, ...]:
    """The ways to the port of a drawing, the best first. Raises ValueError without a port."""
    goal, before = _goal(drawing), _before(job, drawing, springback)
    return _ways(_bare(job), before, goal.start, goal.end, springback)


def _goal(drawing: Drawing) -> Goal:
    if drawing.goal is None:
        raise ValueError("a run that ends in a leg leads to no port")
    return drawing.goal


def _before(job: Job, drawing: Drawing, springback: Springback) -> tuple[Segment, ...]:
    return draw_up(drawing.items, 0.0, radius_of(job.bender, springback)).segments


def _bare(job: Job) -> Job:
    return replace(_undrawn(job), run=Run((), 0.0), order=())


def _undrawn(job: Job) -> Job:
    return job if type(job) is Job else Job(**_values(job))


def _values(job: Job) -> dict[str, Any]:
    return {field.name: getattr(job, field.name) for field in fields(Job)}


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
