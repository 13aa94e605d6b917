"""A piece under way as its measurements have it, and the rest of it re-aimed by them.

Each bend counts as what its reading makes one believe: a gauge that may be off by as much as the
hand is believed half.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from math import floor, hypot

from benchcalc.core.fit.correction import home_of
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.needed_tolerance import Need
from benchcalc.core.fit.reading import Reading
from benchcalc.core.fit.reaim import ReAimed, UnderWay, re_aim
from benchcalc.core.fit.remaining import Home
from benchcalc.core.fit.ring_ahead import Gauges
from benchcalc.core.job import Job, Run
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.layout.turn_by_level import from_last
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.first_guess import READING_NOISE_DEG, Springback
from benchcalc.core.springback.gauge import UNCHECKED_DEG
from benchcalc.panel.state.making.piece import Answered, Making, Pulled, Verdict
from benchcalc.panel.state.making.steps import made

HAND_GAUGE_DEG = 2 * hypot(UNCHECKED_DEG, READING_NOISE_DEG)
"""How far off an angle read on a gauge by hand may be, 95 % limits."""

SENSOR_DEG = 0.2
"""The same by a sensor that took its zero on the straight tube. Common practice, no source."""

LEAST_TOLERANCE_DEG = 0.1
"""No gauge and no scale at a bench shows less."""

UNREAD_DEG = 1e6
"""How far off a turn may be that nobody read: what was told is believed."""

DONE: tuple[Verdict, ...] = ("good", "accepted over", "accepted under")
"""The verdicts of bends that are made."""

Readings = tuple[tuple[int, Reading], ...]


def gauge_deg(by: str) -> float:
    """How far off an angle may be that was read so, 95 % limits."""
    return SENSOR_DEG if by == "sensor" else HAND_GAUGE_DEG


def re_aimed(drawn: Sheet, making: Making) -> ReAimed | None:
    """The rest of the piece as its measured bends re-aim it.

    ``drawn`` is the sheet of the job as drawn. None where a bend came out at an angle that no bend
    can have.
    """
    bent = frozenset(bend.number for bend in making.made if bend.verdict in DONE)
    angles = tuple((number, _angle(drawn, making, number)) for number in sorted(bent))
    turns = tuple(_turns(drawn, making, bent))
    marked = tuple(sorted(_marked(drawn, making).items()))
    home = home_of(drawn.path)
    try:
        return _re_aimed(
            drawn.job, drawn.springback, bent, angles, turns, marked, drawn.widths, home
        )  # fmt: skip
    except ValueError:
        return None


def needed(drawn: Sheet, making: Making) -> dict[int, float]:
    """How near to its angle each bend to come must be for this run, degrees either way.

    Never more than the job allows, and never less than a gauge shows.
    """
    found, most = re_aimed(drawn, making), drawn.job.tolerance_deg
    if found is None:
        return {}
    return {
        need.bend: min(max(floor(10 * need.taken_up_deg) / 10, LEAST_TOLERANCE_DEG), most)
        for need in found.needs
        if need.what == "angle" and need.taken_up_deg < most
    }


def too_coarse(drawn: Sheet, making: Making, gauge_deg: float) -> Need | None:
    """The angle that a gauge is most too coarse for, of those to come; None where it will do.

    ``gauge_deg`` is how far off it may be, 95 % limits.
    """
    found = re_aimed(drawn, making)
    needs = found.needs if found is not None else ()
    coarse = [need for need in needs if need.what == "angle" and need.too_coarse(gauge_deg)]
    return min(coarse, key=lambda need: need.within_deg, default=None)


@lru_cache(8)
def _re_aimed(
    job: Job,
    springback: Springback,
    bent: frozenset[int],
    angles: Readings,
    turns: Readings,
    marked: tuple[tuple[int, float], ...],
    widths: Tolerances,
    home: Home,
) -> ReAimed:
    by_hand = Gauges(HAND_GAUGE_DEG)
    piece = UnderWay(bent, dict(angles), dict(turns), dict(marked), by_hand)
    return re_aim(job, springback, piece, widths, home)


def _angle(drawn: Sheet, making: Making, number: int) -> Reading:
    """What a made bend was bent by and what was read of it."""
    last = made(making, number).pulls[-1]
    meant = run_of_bend(drawn, making, number).segments[number - 1].angle_deg
    return Reading(meant, last.released_deg or 0.0, _width(last))


def _turns(drawn: Sheet, making: Making, bent: frozenset[int]) -> Iterator[tuple[int, Reading]]:
    """The turns that were measured, and those that were set by eye otherwise than drawn."""
    for number in sorted({*bent, *(bend.number for bend in making.made if bend.turn)}):
        read = made(making, number).turn
        if read is not None:
            yield number, Reading(read.meant_deg, read.read_deg, read.width_deg)
            continue
        run = run_of_bend(drawn, making, number)
        told = from_last(lay_out(replace(drawn.job, run=run), drawn.springback), number)
        if told is not None:
            turn_deg = told.turn_deg * (1 if told.bend < number else -1)
            yield number, Reading(turn_deg, turn_deg, UNREAD_DEG)


def turns_read(making: Making) -> dict[int, float]:
    """The turns that were measured of the bends that are made, by number."""
    read = {bend.number: bend.turn for bend in making.made if bend.verdict in DONE}
    return {number: turn.read_deg for number, turn in read.items() if turn is not None}


def _width(pull: Pulled) -> float:
    return gauge_deg(pull.by)


def run_of_bend(drawn: Sheet, making: Making, number: int) -> Run:
    """The run that a bend was bent by, or is to be bent by."""
    before = [c for c in taken(making) if number not in dict(c.bent)]
    return before[-1].run if before else drawn.job.run


def taken(making: Making) -> Iterator[Answered]:
    """The corrections that hold, the oldest first."""
    return (c for c in making.corrections if c.taken)


def _marked(drawn: Sheet, making: Making) -> dict[int, float]:
    """Where marks really lie that a correction has moved."""
    last = next(reversed(list(taken(making))), None)
    if last is None or not last.moved:
        return {}
    bends = lay_out(replace(drawn.job, run=last.run), drawn.springback).bends
    marks = {number: bends[number - 1].mark for number in last.moved}
    return {number: mark.at_mm for number, mark in marks.items() if mark is not None}
