"""Another way to bend the same run: the order of bends and held ends that meets nothing.

What a pull meets depends on the bend, the end that is held and the bends there are already, not on
the order they were made in. So orders are searched as a shortest way through sets of made bends,
cheapest first, and each pull is swung once.
"""

from heapq import heappop, heappush
from typing import NamedTuple, get_args

from benchcalc.core.clearance.swing import swing
from benchcalc.core.finding import SAME_MM
from benchcalc.core.frozen import replace
from benchcalc.core.job import End, Job
from benchcalc.core.layout.hand_turns import LEAST_TURN_DEG
from benchcalc.core.layout.straight_tube import Layout, choose_mark, lay_out
from benchcalc.core.springback.first_guess import Springback

ALL_ORDERS_UP_TO = 6
"""Bends up to which every order is looked at: 384 pulls to swing at the most."""


class Proposal(NamedTuple):
    """An order that meets nothing. ``turnings`` counts turns by hand and layings end for end."""

    job: Job
    turnings: int
    end_for_end: int

    @property
    def steps(self) -> tuple[tuple[int, End], ...]:
        """Each bend with the end to hold for it, in the order of bending."""
        segments = self.job.run.segments
        return tuple((n, segments[n - 1].held or self.job.held) for n in self.job.bending_order)


class _Cost(NamedTuple):
    """What an order is chosen by: less to do, fewer layings end for end, fewer changes."""

    turnings: int = 0
    end_for_end: int = 0
    changes: int = 0


_Step = tuple[int, End]
_Steps = tuple[_Step, ...]


def best_order(job: Job, springback: Springback) -> Proposal | None:
    """The order, with the end to hold for each bend, that works with the fewest turnings.

    It works when every bend has a mark, its straights suit the held end, and no pull meets
    anything. Every order is looked at for up to ``ALL_ORDERS_UP_TO`` bends; for more, besides the
    job's own, those that begin anywhere and go on at either end of what is bent, 2 n (n + 1) pulls
    for n bends. None when there is none among them.
    """
    search = _Search(job, lay_out(job, springback))
    return search.run()


class _Search:
    def __init__(self, job: Job, layout: Layout) -> None:
        self.job, self.layout = job, layout
        self.count = len(layout.bends)
        self.own = [(bend.number, bend.held) for bend in layout.in_order]
        self.clock = [0.0]
        for bend in layout.bends:
            self.clock.append(self.clock[-1] + bend.turn_deg)
        self.swung: dict[tuple[_Step, frozenset[int]], bool] = {}
        self.waiting: list[tuple[_Cost, int, _Steps]] = []

    def run(self) -> Proposal | None:
        settled: set[tuple[frozenset[int], _Step]] = set()
        self._extend(_Cost(), ())
        while self.waiting:
            cost, _, steps = heappop(self.waiting)
            made, last = frozenset(number for number, _ in steps[:-1]), steps[-1]
            if (made, last) in settled or not self._clear(last, made):
                continue
            settled.add((made, last))
            if len(steps) == self.count:
                return Proposal(_ordered(self.job, steps), cost.turnings, cost.end_for_end)
            self._extend(cost, steps)
        return None

    def _extend(self, cost: _Cost, steps: _Steps) -> None:
        made = {number for number, _ in steps}
        for step in self._next(made):
            if self._suits(step, made):
                longer = (*steps, step)
                heappush(self.waiting, (self._cost(cost, steps, step), -len(longer), longer))

    def _next(self, made: set[int]) -> set[_Step]:
        """What may be bent after the bends there are, mark and room aside."""
        numbers = set(range(1, self.count + 1)) - made
        if made and self.count > ALL_ORDERS_UP_TO:
            numbers &= {number + by for number in made for by in (-1, 1)}
        steps = {(number, held) for number in numbers for held in get_args(End)}
        if made == {number for number, _ in self.own[: len(made)]}:
            steps.add(self.own[len(made)])
        return steps

    def _cost(self, cost: _Cost, steps: _Steps, step: _Step) -> _Cost:
        changes = cost.changes + (self.own[len(steps)] != step)
        if not steps:
            return _Cost(cost.turnings, cost.end_for_end, changes)
        last, held = steps[-1]
        by_deg = abs((self.clock[step[0]] - self.clock[last] + 180) % 360 - 180)
        flips = held != step[1]
        turnings = cost.turnings + (by_deg > LEAST_TURN_DEG) + flips
        return _Cost(turnings, cost.end_for_end + flips, changes)

    def _suits(self, step: _Step, made: set[int]) -> bool:
        """Whether there is a mark for this bend now, and straight enough at the tube's ends."""
        number, held = step
        bend, bends = self.layout.bends[number - 1], self.layout.bends
        there = [(bends[n - 1].start_mm, bends[n - 1].end_mm) for n in made]
        where, cut_mm = (bend.start_mm, bend.end_mm), self.layout.cut_length_mm
        if choose_mark(bend.angle_deg, held, where, self.job.bender.lines, there, cut_mm) is None:
            return False
        grip, free = self.job.bender.grip_mm, self.job.bender.free_mm
        first, last = (grip, free) if held == "reference" else (free, grip)
        return (number > 1 or bend.start_mm >= first - SAME_MM) and (
            number < self.count or cut_mm - bend.end_mm >= last - SAME_MM
        )

    def _clear(self, step: _Step, made: frozenset[int]) -> bool:
        known = self.swung.get((step, made))
        if known is None:
            meetings = swing(self.job, self.layout, *step, made)
            known = all(one.gap_mm >= -SAME_MM for one in meetings)
            self.swung[step, made] = known
        return known


def _ordered(job: Job, steps: _Steps) -> Job:
    """The job with an order and the ends to hold for it."""
    held = dict(steps)
    ends = set(held.values())
    every = ends.pop() if len(ends) == 1 else job.held
    segments = tuple(
        replace(segment, held=None if held[number] == every else held[number])
        for number, segment in enumerate(job.run.segments, 1)
    )
    order = tuple(number for number, _ in steps)
    return replace(job, order=order, held=every, run=replace(job.run, segments=segments))
