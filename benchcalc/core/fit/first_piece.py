"""The first of several pieces missed its port: the other pieces, and what the miss may come from.

The pieces to come are not cut yet, so their length may change with their marks, angles and turns.
One miss is one vector: it cannot tell causes apart. What is said of the line and the radius is how
much of the miss each would explain if it were the only cause; the bench decides by measuring.
"""

from collections.abc import Mapping
from math import radians, tan
from typing import Literal, NamedTuple

from benchcalc.core.fit.bent_tube import BentTube
from benchcalc.core.fit.correction import Correction, corrected
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.fit.remaining import Home
from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.fit.tube_job import remaining_of, tube_of
from benchcalc.core.frozen import replace
from benchcalc.core.geometry.frames import Frame, length, unit
from benchcalc.core.geometry.vectors import Vector, dot, scale, subtract, translate
from benchcalc.core.job import Bender, Job
from benchcalc.core.layout.path import Path, trace
from benchcalc.core.layout.straight_tube import Layout, lay_out
from benchcalc.core.springback.first_guess import Springback

Cause = Literal["line", "radius"]

EXPLAINS = 0.25
"""A single cause is worth a look when it leaves no more than this part of the miss."""

STEP_MM = 0.01
"""Small enough that the far end moves straight with it, large against rounding."""


class Suspect(NamedTuple):
    """A cause that alone would explain most of the miss, and what it would leave, mm.

    ``line``: every bend began ``by_mm`` farther towards the free side of the bender than the marks
    meant. ``radius``: the finished radius is ``by_mm`` larger than the layout took.
    """

    cause: Cause
    by_mm: float
    leaves_mm: float


class FirstPiece(NamedTuple):
    """The correction of the pieces to come, and the suspects, the likeliest first."""

    correction: Correction
    suspects: tuple[Suspect, ...]


def miss_in_run(path: Path, ahead_mm: float, aside_mm: float, across_mm: float) -> Vector:
    """A miss told at the port, in the run's own space.

    ``ahead_mm`` counts the way the far end points, ``aside_mm`` the way the last bend curves there,
    ``across_mm`` square to both, clockwise from aside when seen along the far end's direction.
    """
    last = path.pieces[-1]
    return Frame(last.point, last.direction, last.normal).out((ahead_mm, aside_mm, across_mm))


def swing_in_run(path: Path, aside_deg: float, across_deg: float) -> Vector:
    """How the far end's direction is off, in the run's own space, from two angles told there."""
    return miss_in_run(path, 0.0, tan(radians(aside_deg)), tan(radians(across_deg)))


class Arrival(NamedTuple):
    """How far a far end is from where it belongs, and what its unit direction is off by."""

    missed_mm: Vector
    swung: Vector


def arrival(
    job: Job, layout: Layout, springback: Springback, bent: Mapping[int, float], meant: Path
) -> Arrival:
    """What the measured angles of a piece, marked by this layout, make its far end miss by."""
    point, heads = tube_of(job, layout, springback, SoFar(bent)).far_end()
    return Arrival(subtract(point, meant.end_point), subtract(heads, meant.end_direction))


def bender_by(bender: Bender, layout: Layout, suspect: Suspect) -> Bender:
    """The profile as it would be if the suspect were the cause.

    A bend that began farther towards the free side began as if the line lay that much nearer to it.
    A radius counts from the mean of the layout's.
    """
    if suspect.cause == "line":
        lines = tuple(
            replace(line, offset_mm=line.offset_mm - suspect.by_mm) for line in bender.lines
        )
        return replace(bender, lines=lines)
    radii = [bend.radius_mm for bend in layout.bends]
    return replace(bender, finished_radius_mm=sum(radii) / len(radii) + suspect.by_mm)


def first_piece(
    job: Job,
    springback: Springback,
    missed_mm: Vector,
    swung: Vector = (0.0, 0.0, 0.0),
    widths: Tolerances | None = None,
) -> FirstPiece:
    """The next pieces, when the first one's far end came ``missed_mm`` from where it belongs.

    The miss is in the run's own space, from the place to where the end came, and ``swung`` is what
    its unit direction was off by. The next pieces aim as far to the other side.
    """
    planned = lay_out(job, springback)
    path = trace(planned)
    heads = unit(subtract(path.end_direction, swung))
    home = Home(translate(path.end_point, missed_mm, -1.0), heads)
    rest = remaining_of(job, planned, springback, SoFar(), widths or Tolerances(), cut=False)
    correction = corrected(job, springback, planned, rest, home)
    return FirstPiece(correction, suspects_of(rest.tube, missed_mm))


def suspects_of(tube: BentTube, missed_mm: Vector) -> tuple[Suspect, ...]:
    """The single causes that would explain the miss, by what they leave of it."""
    size = length(missed_mm)
    found: list[Suspect] = []
    causes: tuple[Cause, ...] = ("line", "radius")
    for cause in causes:
        moves = _moves(tube, cause)
        square = dot(moves, moves)
        if square < 1e-6 or not size:
            continue
        by = dot(moves, missed_mm) / square
        leaves = length(subtract(missed_mm, scale(moves, by)))
        if leaves <= EXPLAINS * size:
            found.append(Suspect(cause, by, leaves))
    return tuple(sorted(found, key=lambda suspect: suspect.leaves_mm))


def _moves(tube: BentTube, cause: Cause) -> Vector:
    """How the far end moves per millimetre of a cause, the tube's length staying."""
    other = []
    for bend in tube.bends:
        if cause == "line":
            by = STEP_MM if bend.held == "reference" else -STEP_MM
            other.append(replace(bend, hold_mm=bend.hold_mm + by))
        else:
            longer = bend.arc_mm * STEP_MM / bend.radius_mm
            other.append(replace(bend, arc_from_mm=bend.arc_from_mm + longer))
    moved = replace(tube, bends=tuple(other)).far_end()[0]
    return scale(subtract(moved, tube.far_end()[0]), 1 / STEP_MM)
