"""A job worked out: all that the bench, the panel and the printed sheet say comes from here."""

from typing import NamedTuple

from benchcalc.core.findings import Finding, find_all
from benchcalc.core.layout import Layout, lay_out
from benchcalc.core.parts import Job
from benchcalc.core.path import Path, trace
from benchcalc.core.springback import Springback, first_guess, first_pull_to, overbend_spread
from benchcalc.core.turning import HandTurn, hand_turns


class Pull(NamedTuple):
    """How far to pull for one bend, degrees under load; ``spread_deg`` is of the overbend."""

    bend_to_deg: float
    overbend_deg: float
    spread_deg: float
    first_pull_to_deg: float


class Sheet(NamedTuple):
    """A run worked out; ``turns`` stand in the order of bending."""

    job: Job
    springback: Springback
    layout: Layout
    path: Path
    turns: tuple[HandTurn, ...]
    findings: tuple[Finding, ...]

    def pull(self, number: int) -> Pull:
        """The pull for bend ``number``."""
        bend = self.layout.bends[number - 1]
        spread = overbend_spread(bend.angle_deg, self.springback)
        first = first_pull_to(bend.angle_deg, self.job.tolerance_deg, self.springback)
        return Pull(bend.bend_to_deg, bend.bend_to_deg - bend.angle_deg, spread, first)

    def turn(self, number: int) -> HandTurn:
        """What the hands do before bend ``number``."""
        return self.turns[self.layout.bends[number - 1].order - 1]

    @property
    def stopped(self) -> bool:
        """Whether any finding says that this must not be bent as it stands."""
        return any(finding.level == "stop" for finding in self.findings)


def work_out(job: Job, springback: Springback | None = None) -> Sheet:
    """Work a job out, with what the bench has learnt or else the first guess.

    Raises ValueError for a bend that has no geometry (see ``lay_out``).
    """
    s = springback or first_guess(job.tube, job.bender, job.material)
    layout = lay_out(job, s)
    path = trace(layout)
    return Sheet(job, s, layout, path, hand_turns(layout), find_all(job, layout, s))
