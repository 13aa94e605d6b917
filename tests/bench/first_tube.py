"""Of first tubes, how many bring the far end within 2 mm and 1 degree: by which way of working.

The fitter goes by what a way tells him and by what his gauges show; the bench and the tube are as
``first_tube_world`` draws them, which no way is told. The same drawings and the same dice for all.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from math import hypot, radians, tan
from random import Random
from statistics import median

from benchcalc.core.fit.correction import home_of
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.reading import Reading
from benchcalc.core.fit.reaim import ReAimed, UnderWay, re_aim
from benchcalc.core.fit.ring_ahead import Gauges
from benchcalc.core.job import Job, Run, Segment, Tube
from benchcalc.core.layout.hand_turns import hand_turns
from benchcalc.core.layout.straight_tube import Layout
from benchcalc.core.sheet import Sheet, work_out
from benchcalc.core.springback.first_guess import Springback, first_pull_to, further_pull_to
from benchcalc.files.loading import load_shop
from tests.bench.first_tube_world import (
    BY_EYE,
    BY_HAND_GAUGES,
    BY_SENSORS,
    DIE_MM,
    OD_MM,
    WALL_MM,
    WITHIN_DEG,
    WITHIN_MM,
    Bench,
    Drawing,
    End,
    Errors,
    any_drawing,
    arc_of,
    drawn_end,
)
from tests.bench.table import Figure

RUNS, FEWER = 500, 200
MOST_PULLS = 8
CHART_OVER_DEG, CHART_TOLERANCE_DEG = 2.5, 0.5
GOALS = {"re-aimed by hand gauges": 0.40, "re-aimed by sensors": 0.80}

Way = Callable[[Bench, Drawing], None]

SHOP = load_shop(None)
MATERIAL, BENDER = SHOP.material("316"), SHOP.bender("bench-10mm")


def figures() -> list[Figure]:
    """Every way of working, then what the two best would reach without one of the errors."""
    ways: list[tuple[str, Errors, Way]] = [
        ("chart, tape and eye", BY_EYE, by_chart),
        ("the sheet alone", BY_EYE, by_sheet),
        ("the bench has learnt and made its trials", BY_EYE, learnt_sheet),
        ("turns set with a level besides", BY_HAND_GAUGES, learnt_sheet),
        ("re-aimed by hand gauges", BY_HAND_GAUGES, by_hand_gauges),
        ("re-aimed by sensors", BY_SENSORS, by_sensors),
    ]
    found = [_figure(name, errors, way, RUNS) for name, errors, way in ways]
    for name, errors, way in ways[-2:]:
        for without, fewer in switched_off(errors).items():
            found.append(_figure(f"{name}, {without}", fewer, way, FEWER))
    return found


def switched_off(errors: Errors) -> dict[str, Errors]:
    """The same world with one kind of error gone at a time."""
    return {
        "pull, radius, lines, stretch known": replace(errors, learnt=0.0),
        "marks and cut exact": replace(errors, mark_mm=0.0, moved_mm=0.0, cut_mm=0.0),
        "a hand that stops where told": replace(errors, hand_deg=0.0),
        "an exact gauge": replace(errors, gauge_bias_deg=0.0, gauge_deg=0.0),
        "exact turns": replace(errors, turn_set_deg=0.0, turn_read_deg=0.0),
    }


def _figure(name: str, errors: Errors, way: Way, runs: int) -> Figure:
    misses = [missed(seed, errors, way) for seed in range(runs)]
    fits = sum(mm <= WITHIN_MM and deg <= WITHIN_DEG for mm, deg in misses) / runs
    by_mm = sorted(mm for mm, _ in misses)
    shown = (
        f"{fits:.0%} fit; median miss {median(by_mm):.1f} mm, 95 % {by_mm[runs * 95 // 100]:.1f}"
    )
    goal = GOALS.get(name)
    told = "" if goal is None else f"{goal:.0%}"
    return Figure(f"{name}, {runs} runs", shown, "", told, None if goal is None else fits >= goal)


def missed(seed: int, errors: Errors, way: Way) -> tuple[float, float]:
    """What one tube misses, millimetres and degrees."""
    drawing, bench = any_drawing(Random(f"run {seed}")), Bench(errors, Random(f"bench {seed}"))
    way(bench, drawing)
    end: End = bench.far_end()
    return end.missed(drawn_end(drawing))


def by_chart(bench: Bench, drawing: Drawing) -> None:
    """Text-book set-backs and gains of the nominal die, 2.5 degrees over at 90, a protractor."""
    at, back, marks = 0.0, 0.0, []
    for leg in drawing.legs:
        own = DIE_MM * tan(radians(leg.bend_deg) / 2)
        marks.append(at + leg.leg_mm - back - own)
        at, back = marks[-1] + arc_of(DIE_MM, leg.bend_deg), own
    bench.cut(at + drawing.last_mm - back, marks)
    for number, leg in enumerate(drawing.legs, 1):
        if number > 1:
            bench.turn(leg.turn_deg, clockwise=False)
        told = leg.bend_deg * (1 + CHART_OVER_DEG / 90)
        loaded = bench.pull(told, 0.0)
        for _ in range(MOST_PULLS):
            shown = bench.read(bench.released(loaded))
            if shown >= leg.bend_deg - CHART_TOLERANCE_DEG:
                break
            told += leg.bend_deg - shown
            loaded = bench.pull(told, loaded)
        bench.bend(number, 0.0, bench.released(loaded))


def job_of(drawing: Drawing) -> Job:
    """The drawing as a job for the bender and tube of this world, as the shop has them."""
    if MATERIAL is None or BENDER is None:
        raise ValueError("the shop has neither 316 nor bench-10mm")
    segments = tuple(Segment(leg.leg_mm, leg.bend_deg, leg.turn_deg) for leg in drawing.legs)
    run = Run(segments, drawing.last_mm)
    return Job("first", Tube(OD_MM, WALL_MM, "316"), MATERIAL, BENDER, run)


def by_sheet(bench: Bench, drawing: Drawing) -> None:
    """The sheet of the job file, nothing learnt, nothing re-aimed."""
    Fitter(bench, work_out(job_of(drawing))).make()


def learnt_sheet(bench: Bench, drawing: Drawing) -> None:
    """The sheet of a bench that has learnt and made its trials."""
    trialled(bench, drawing).make()


def by_hand_gauges(bench: Bench, drawing: Drawing) -> None:
    """The rest re-aimed by every turn and angle, pulled again while under by half a degree."""
    replace(trialled(bench, drawing), re_aims=True).make()


def by_sensors(bench: Bench, drawing: Drawing) -> None:
    """The same, pulled on until within 0.15 degrees, the peak of each pull read by the sensor."""
    fitter = trialled(bench, drawing)
    replace(fitter, re_aims=True, tolerance_deg=0.15, sees_peak=True).make()


def trialled(bench: Bench, drawing: Drawing) -> "Fitter":
    """A bench that knows its springback, radius, lines and stretch as well as trials tell them."""
    left, job = bench.errors.learnt, job_of(drawing)
    a_deg, radius, line, stretch = (bench.dice.gauss(0, left) for _ in range(4))
    law = Springback(
        bench.a_deg + a_deg, bench.b, left**2, 1e-12,
        noise_deg=bench.errors.hand_deg, source="measured",
    )  # fmt: skip
    lines = tuple(
        replace(one, offset_mm=one.offset_mm + bench.line_mm + line) for one in job.bender.lines
    )
    bender = replace(job.bender, finished_radius_mm=bench.finished_mm + radius, lines=lines)
    sheet = work_out(replace(job, bender=bender), law)
    return Fitter(bench, sheet, stretch_mm=bench.stretch_mm + stretch)


@dataclass
class Fitter:
    """Someone at the bench who does what the sheet says and tells it what the gauges show.

    ``stretch_mm`` is what a bend of 90 is known to lengthen the tube by: it is taken off every mark
    after it and off the cut.
    """

    bench: Bench
    sheet: Sheet
    stretch_mm: float = 0.0
    re_aims: bool = False
    tolerance_deg: float = 0.5
    sees_peak: bool = False
    angles: dict[int, Reading] = field(default_factory=dict)
    turns: dict[int, Reading] = field(default_factory=dict)

    def make(self) -> None:
        """The whole piece."""
        longer, marks = 0.0, []
        for bend in self.sheet.layout.bends:
            assert bend.mark is not None
            marks.append(bend.mark.at_mm - longer)
            longer += self.stretch_mm * bend.angle_deg / 90
        self.bench.cut(self.sheet.layout.cut_length_mm - longer, marks)
        for bend in self.sheet.layout.in_order:
            if bend.order > 1:
                self._turn(bend.number)
            self._pull(bend.number)

    @property
    def _gauge_deg(self) -> float:
        errors = self.bench.errors
        return 2 * hypot(errors.gauge_bias_deg, errors.gauge_deg)

    def _told(self) -> Layout:
        return self._re_aimed().aimed.layout if self.re_aims else self.sheet.layout

    def _re_aimed(self) -> ReAimed:
        turn = self.bench.errors.turn_read_deg
        gauges = Gauges(self._gauge_deg, None if turn is None else 2 * turn)
        piece = UnderWay(frozenset(self.angles), self.angles, self.turns, gauges=gauges)
        near = Tolerances(0.5, 0.5, 2 * self.bench.errors.turn_set_deg)
        job, law = self.sheet.job, self.sheet.springback
        return re_aim(job, law, piece, near, home_of(self.sheet.path))

    def _turn(self, number: int) -> None:
        told = self._told()
        turn = hand_turns(told)[told.bends[number - 1].order - 1]
        clockwise = turn.way == "clockwise"
        seen = self.bench.turn(turn.by_deg, clockwise)
        wide = self.bench.errors.turn_read_deg
        if seen is not None and wide is not None:
            meant = told.bends[number - 1].turn_deg
            further = seen - (turn.by_deg if clockwise else -turn.by_deg)
            self.turns[number] = Reading(meant, meant - further, 2 * wide)

    def _pull(self, number: int) -> None:
        meant, law = self._told().bends[number - 1].angle_deg, self.sheet.live
        told = first_pull_to(meant, self.tolerance_deg, law)
        loaded = self.bench.pull(told, 0.0)
        shown = self.bench.read(self.bench.released(loaded))
        for _ in range(MOST_PULLS):
            if shown >= meant - self.tolerance_deg:
                break
            reached = self.bench.read(loaded) if self.sees_peak else told
            told = further_pull_to(reached, shown, meant, law)
            loaded = self.bench.pull(told, loaded)
            shown = self.bench.read(self.bench.released(loaded))
        self.angles[number] = Reading(meant, shown, self._gauge_deg)
        mark = self.sheet.layout.bends[number - 1].mark
        assert mark is not None
        self.bench.bend(number, mark.line.offset_mm, self.bench.released(loaded))
