"""A draft whose run is drawn by shapes, ports or a tube it lies beside: its job, and its rows."""

from dataclasses import replace
from itertools import accumulate

from benchcalc.core.job import Job, Measured, Segment, Units
from benchcalc.core.shapes.drawing import Drawing, Goal, NoWay, bends_of, draw
from benchcalc.core.shapes.named_shapes import NotBeside, Parallel, Shape, radius_of
from benchcalc.core.springback.first_guess import Springback
from benchcalc.panel.state.caches import first_guess
from benchcalc.panel.state.draft_rows import job_of, rows_of
from benchcalc.panel.state.model import Draft, Row
from benchcalc.panel.state.shape_forms import ShapeOrGoal, read_shape, typed_of
from benchcalc.panel.state.typed_shapes import ShapeTyped
from benchcalc.report.told import Angles, Told, told

Item = Segment | Shape
Ending = tuple[float, Measured | None, ShapeOrGoal | None]
"""The last leg and how it is measured, or the port."""


def read_shape_row(
    typed: ShapeTyped, inside: bool
) -> tuple[Shape | None, Goal | None, Told | None]:
    """What a row draws: a shape, or the port that the run leads to; else what is wrong with it."""
    drawing, faults = read_shape(typed, inside)
    if faults:
        return None, None, faults[0].says
    if isinstance(drawing, Goal):
        return None, drawing, None
    return (None if isinstance(drawing, Parallel) else drawing), None, None


def beside_of(draft: Draft) -> Parallel | None:
    """The distance and side at which the job's tube lies beside the run of the rows."""
    if draft.beside is None:
        return None
    drawing, _ = read_shape(draft.beside, draft.extras.angles == "included")
    return drawing if isinstance(drawing, Parallel) else None


def drawn_job(
    draft: Draft, items: tuple[Item, ...], ending: Ending, springback: Springback | None
) -> tuple[Job, tuple[int, ...]] | Told:
    """The job that a drawing comes to, and how many bends come before each row; or why none."""
    last_mm, measured, goal = ending
    goal = goal if isinstance(goal, Goal) else None
    if goal is not None and goal.start is None and not items:
        return told("shape.port-first")
    bare = replace(job_of(draft, (), 0.0, None), order=draft.extras.order)
    known = springback or first_guess(bare.tube, bare.bender, bare.material)
    more = draft.extras
    drawing = Drawing(items, last_mm, measured, goal, beside_of(draft), more.points, more.in_line)
    try:
        job = draw(bare, drawing, known)
    except NoWay as none:
        if none.lost_deg:
            return told("shape.way-lost", bends=Angles(none.lost_deg))
        return (
            told("shape.no-run") if not none.found else told("shape.ways-found", count=none.found)
        )
    except NotBeside as none:
        return told("shape.not-beside", number=none.bend)
    radius = radius_of(bare.bender, known)
    firsts = list(accumulate((bends_of(item, radius) for item in items), initial=0))
    if goal is not None:
        firsts.append(len(job.run.segments))
    return job, tuple(firsts)


def rows_drawn(
    drawing: Drawing, units: Units, inside: bool
) -> tuple[tuple[Row, ...], ShapeTyped | None]:
    """The rows of a drawing, and what it lies beside."""
    rows = rows_of(drawing.items, drawing.last_leg_mm, drawing.last_measured, units, inside)
    if drawing.goal is not None:
        rows = (*rows[:-1], Row(unit=units, shape=typed_of(drawing.goal, units, inside)))
    beside = None if drawing.beside is None else typed_of(drawing.beside, units, inside)
    return rows, beside
