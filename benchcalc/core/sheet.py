"""A job worked out: all that the bench, the panel and the printed sheet say comes from here."""

from typing import TYPE_CHECKING, NamedTuple

from benchcalc.core.checks.findings import Finding, find_all, ranked
from benchcalc.core.fit.expected_miss import (
    Lever,
    Miss,
    Tolerances,
    miss_of,
    own_levers,
    tolerances_on,
)
from benchcalc.core.fit.shared_errors import (
    Measure,
    Shared,
    best_measured,
    levers_of,
    shared_errors,
)
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.fit.tube_job import tube_of
from benchcalc.core.job import Job
from benchcalc.core.layout.hand_turns import HandTurn, hand_turns
from benchcalc.core.layout.path import Path, trace
from benchcalc.core.layout.straight_tube import Layout, lay_out
from benchcalc.core.springback.first_guess import (
    Springback,
    bend_to,
    first_guess,
    first_pull_to,
    overbend_spread,
)

if TYPE_CHECKING:
    from benchcalc.core.shapes.drawing import Drawing


class Pull(NamedTuple):
    """How far to pull for one bend, degrees under load; ``spread_deg`` is of the overbend."""

    bend_to_deg: float
    overbend_deg: float
    spread_deg: float
    first_pull_to_deg: float


class Sheet(NamedTuple):
    """A run worked out; ``turns`` stand in the order of bending.

    ``springback`` is what the layout rests on and stays as it is while a piece is made; ``live`` is
    what is known by now, and says how far to pull. ``usual`` are the widths set for this bench.
    ``drawing`` is what the run was drawn from, when that is more than legs and bends. ``so_far`` is
    how far a piece is made whose sheet this is. ``needed`` are bends that must come nearer to their
    angle than the job's tolerance, by number with how near; ``reads_over_deg`` what the gauge was
    found to read too much.
    """

    job: Job
    springback: Springback
    layout: Layout
    path: Path
    turns: tuple[HandTurn, ...]
    findings: tuple[Finding, ...]
    live: Springback
    usual: Tolerances = Tolerances()
    drawing: "Drawing | None" = None
    so_far: SoFar = SoFar()
    needed: tuple[tuple[int, float], ...] = ()
    reads_over_deg: float = 0.0

    def tolerance_deg(self, number: int) -> float:
        """How far off its angle a bend may come out and count as good, degrees either way."""
        return dict(self.needed).get(number, self.job.tolerance_deg)

    def pull(self, number: int) -> Pull:
        """The pull for bend ``number``."""
        angle = self.layout.bends[number - 1].angle_deg
        to, spread = bend_to(angle, self.live), overbend_spread(angle, self.live)
        first = first_pull_to(angle, self.tolerance_deg(number), self.live)
        return Pull(to, to - angle, spread, first)

    @property
    def widths(self) -> Tolerances:
        """How far marks, angles and turns of this bench may be off, 95 % limits."""
        usual = self.usual.on(self.job.tube.od_mm)
        return tolerances_on(self.layout, self.job.tolerance_deg, self.springback, usual)

    def expected_miss(self) -> Miss:
        """How far the far end may come to lie from its place, at 95 %; only of a run with bends."""
        own, shared = self._errors()
        return miss_of([*own, *levers_of(shared)])

    def best_measured(self) -> Measure | None:
        """What to measure so that the far end may miss by less; None where nothing helps much."""
        return best_measured(*self._errors())

    def worth_measuring(self) -> Finding | None:
        """The same as a note: what the far end may miss by now, and once that is measured."""
        first = self.best_measured() if self.layout.bends else None
        if first is None:
            return None
        now_mm = self.expected_miss().radius_mm
        values = (("measure", first.cause), ("now_mm", now_mm), ("then_mm", first.radius_mm))
        return Finding("note", "ring", None, values)

    def _errors(self) -> tuple[list[Lever], list[Shared]]:
        """The errors of each bend and those that all share."""
        widths = self.widths
        own = own_levers(self.layout, self.path, widths, self.so_far)
        tube = tube_of(self.job, self.layout, self.springback, self.so_far)
        return own, shared_errors(tube, self.layout, self.job.bender, widths)

    @property
    def all_made(self) -> bool:
        """Whether this is the sheet of a piece whose every bend is made."""
        made = self.so_far.bent
        return bool(made) and len(made) == len(self.layout.bends)

    def of(self, job: Job) -> "Sheet":
        """Another job worked out with all that this one rests on."""
        other = work_out(job, self.springback, self.live)
        return other._replace(usual=self.usual, reads_over_deg=self.reads_over_deg)

    def turn(self, number: int) -> HandTurn:
        """What the hands do before bend ``number``."""
        return self.turns[self.layout.bends[number - 1].order - 1]

    @property
    def meets_bender(self) -> bool:
        """Whether a pull meets the bender or the bench, so that another order is worth a search."""
        return any(f.rule == "clash-bender" and f.level == "stop" for f in self.findings)

    @property
    def stopped(self) -> bool:
        """Whether any finding says that this must not be bent as it stands."""
        return any(finding.level == "stop" for finding in self.findings)


def work_out(
    job: Job, springback: Springback | None = None, live: Springback | None = None
) -> Sheet:
    """Work a job out, with what the bench has learnt or else the first guess.

    ``live`` is what has been learnt since the layout was made, when that is something else.

    Raises ValueError for a bend that has no geometry (see ``lay_out``).
    """
    s = springback or first_guess(job.tube, job.bender, job.material)
    layout = lay_out(job, s)
    path = trace(layout)
    findings, drawing = find_all(job, layout, s, path), None
    if type(job) is not Job:  # most jobs are legs and bends alone and need no shapes
        from benchcalc.core.shapes.drawing import drawing_of, width_findings

        drawing = drawing_of(job)
        findings = ranked((*findings, *width_findings(job, s)))
    turns = hand_turns(layout)
    return Sheet(job, s, layout, path, turns, findings, live or s, drawing=drawing)
