"""What a job file draws, worked out to legs and bends once its tube and bender are known."""

from dataclasses import replace

from benchcalc.core.parts import Job, Run, Segment
from benchcalc.core.points import Rows
from benchcalc.core.ports import Answer, closing_runs, port_to_port
from benchcalc.core.shapes import Shape, UBend, draw_up, radius_of
from benchcalc.core.springback import Springback, first_guess
from benchcalc.shell.fields import Fields
from benchcalc.shell.job_places import Goal
from benchcalc.shell.job_run import MOST_BENDS, Items


def worked_out(job: Job, drawn: Items | Rows | Goal, fields: Fields) -> Job | None:
    """The job with its run. None, with a problem noted, when no run reaches a port.

    Shapes and ports rest on the radius as it is known without this bench's own bends.
    """
    springback = first_guess(job.tube, job.bender, job.material)
    if isinstance(drawn, Rows):
        return _from_points(job, drawn)
    if isinstance(drawn, Goal):
        return _from_ports(job, springback, drawn, fields)
    radius = radius_of(job.bender, springback)
    run = draw_up(drawn.items, drawn.last_leg_mm, radius, drawn.last_measured)
    if len(run.segments) > MOST_BENDS:
        bends, todo = f"{len(run.segments)} bends", "split the run"
        fields.refuse("run", bends, f"at most {MOST_BENDS} with those of its shapes", todo)
        return None
    widths = _u_widths(drawn.items, springback, job)
    if drawn.goal is None:
        return replace(job, run=run, u_widths=widths)
    answers = closing_runs(job, springback, run.segments, drawn.goal.end)
    return _taken(replace(job, u_widths=widths), answers, drawn.goal, fields)


def _from_points(job: Job, rows: Rows) -> Job:
    """Points are corners of the centreline, however the job's legs are measured."""
    run = rows.run
    if job.measured != "centre":
        segments = tuple(replace(segment, measured="centre") for segment in run.segments)
        run = Run(segments, run.last_leg_mm, "centre")
    return replace(job, run=run, in_line=rows.in_line)


def _from_ports(job: Job, springback: Springback, goal: Goal, fields: Fields) -> Job | None:
    assert goal.start is not None
    return _taken(job, port_to_port(job, springback, goal.start, goal.end), goal, fields)


def _taken(job: Job, answers: tuple[Answer, ...], goal: Goal, fields: Fields) -> Job | None:
    if goal.take <= len(answers):
        return replace(job, run=answers[goal.take - 1].run)
    ways = f"{len(answers)} ways found that this bender can bend" if answers else "no way found"
    todo = "take an earlier one" if answers else "move a port, or write the run yourself"
    fields.report.add(goal.line, "ports take", str(goal.take), ways, todo)
    return None


def _u_widths(
    items: tuple[Segment | Shape, ...], springback: Springback, job: Job
) -> tuple[tuple[int, float], ...]:
    """The width asked of each U, by the number of its first bend."""
    radius, number = radius_of(job.bender, springback), 1
    found: list[tuple[int, float]] = []
    for item in items:
        if isinstance(item, UBend):
            found.append((number, item.width_mm))
        number += 1 if isinstance(item, Segment) else len(item.segments(radius))
    return tuple(found)
