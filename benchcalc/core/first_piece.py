"""The first of several pieces missed its port: the other pieces, and what the miss may come from.

The pieces to come are not cut yet, so their length may change with their marks, angles and turns.
One miss is one vector: it cannot tell causes apart. What is said of the line and the radius is how
much of the miss each would explain if it were the only cause; the bench decides by measuring.
"""

from dataclasses import replace
from typing import Literal, NamedTuple

from benchcalc.core.bent_tube import BentTube
from benchcalc.core.correction import Correction, corrected
from benchcalc.core.fit import Widths
from benchcalc.core.frames import Frame, length
from benchcalc.core.layout import lay_out
from benchcalc.core.parts import Job
from benchcalc.core.path import Path, trace
from benchcalc.core.remaining import Home
from benchcalc.core.springback import Springback
from benchcalc.core.tube_job import remaining_of
from benchcalc.core.vectors import Vector, along, dot, less, times

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


def first_piece(
    job: Job, springback: Springback, missed_mm: Vector, widths: Widths | None = None
) -> FirstPiece:
    """The next pieces, when the first one's far end came ``missed_mm`` from where it belongs.

    The miss is in the run's own space, from the place to where the end came. The next pieces aim
    as far to the other side; the direction stays as planned.
    """
    planned = lay_out(job, springback)
    path = trace(planned)
    home = Home(along(path.end_point, missed_mm, -1.0), path.end_direction)
    rest = remaining_of(job, planned, springback, {}, widths or Widths(), cut=False)
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
        leaves = length(less(missed_mm, times(moves, by)))
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
    return times(less(moved, tube.far_end()[0]), 1 / STEP_MM)
