"""What a job file draws, worked out to legs and bends once its tube and bender are known."""

from benchcalc.core.frozen import replace
from benchcalc.core.job import Job, Run
from benchcalc.core.shapes.drawing import Drawing, Goal, NoWay, draw
from benchcalc.core.shapes.named_shapes import NotBeside, Parallel
from benchcalc.core.springback.first_guess import first_guess
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.job_fields import MOST_BENDS
from benchcalc.jobfile.places import Corners, PortAsked
from benchcalc.jobfile.run import Items


def worked_out(
    job: Job, written: Items | Corners | PortAsked, beside: Parallel | None, fields: Fields
) -> Job | None:
    """The job with its run. None, with a problem noted, when no run comes of what is drawn.

    Shapes and ports rest on the radius as it is known without this bench's own bends.
    """
    drawing = replace(_drawing(job, written), beside=beside)
    port = written if isinstance(written, PortAsked) else None
    if isinstance(written, Items):
        port = written.port
    try:
        found = draw(job, drawing, first_guess(job.tube, job.bender, job.material))
    except NoWay as none:
        assert port is not None
        _no_way(port, none.found, fields)
        return None
    except NotBeside as none:
        limit = f"no U in its plane, and bend {none.bend} is one"
        todo = "lay it on top of the U (side: 90), or write its own run"
        fields.refuse("parallel", "side by side", limit, todo)
        return None
    if len(found.run.segments) > MOST_BENDS:
        bends, todo = f"{len(found.run.segments)} bends", "split the run"
        fields.refuse("run", bends, f"at most {MOST_BENDS} with those of its shapes", todo)
        return None
    return found


def _drawing(job: Job, written: Items | Corners | PortAsked) -> Drawing:
    if isinstance(written, PortAsked):
        return Drawing(goal=Goal(written.end, written.start, written.take))
    if isinstance(written, Corners):
        run = _centre(job, written.rows.run)
        return Drawing(
            run.segments,
            run.last_leg_mm,
            run.last_measured,
            points=written.points,
            in_line=written.rows.in_line,
        )
    goal = None
    if written.port is not None:
        goal = Goal(written.port.end, take=written.port.take)
    return Drawing(written.items, written.last_leg_mm, written.last_measured, goal)


def _centre(job: Job, run: Run) -> Run:
    """Points are corners of the centreline, however the job's legs are measured."""
    if job.measured == "centre":
        return run
    segments = tuple(replace(segment, measured="centre") for segment in run.segments)
    return Run(segments, run.last_leg_mm, "centre")


def _no_way(port: PortAsked, found: int, fields: Fields) -> None:
    ways = f"{found} ways found that this bender can bend" if found else "no way found"
    todo = "take an earlier one" if found else "move a port, or write the run yourself"
    fields.report.add(port.line, "ports take", str(port.take), ways, todo)
