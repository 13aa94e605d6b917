"""The tube against what stands about the die, while it swings through a bend.

The tube is drawn in the die's frame as it lies before the pull: what is bent already on either
side of the start of bend, all else straight. During the pull the held side stays. The free side
rolls round the die: at a loaded angle f it has been carried to C + Rot(f)(x - C - R f ex), C the
die's centre at (0, R, 0), and turns about its tangent point at that moment; springing back it goes
the same way, less far.

The straight in the bender touches it and is meant to. Left out is so much of it as the profile's
``grip`` on the held side and its ``free`` past the end of bend, one die radius at the least, and
never what is bent already; the rest of it may pass a body as near as it likes. Every contact deeper
than ``SLACK_MM`` is found.
"""

from collections.abc import Collection, Iterator
from math import cos, degrees, hypot, radians, sin, sqrt
from typing import NamedTuple

from benchcalc.core.clearance.bodies import near_body, square_to_body, thickness
from benchcalc.core.clearance.distance import Pace, first_under, least
from benchcalc.core.finding import SAME_MM
from benchcalc.core.geometry.envelope import Body
from benchcalc.core.geometry.vectors import Vector, cross, dot, scale, subtract, translate
from benchcalc.core.job import End, Job
from benchcalc.core.layout.path import Piece
from benchcalc.core.layout.straight_tube import Layout

SLACK_MM = 0.05
"""How much nearer than what is told the tube can come: a tenth of a pen line."""

STEP_RAD = radians(0.1)
"""How finely the angle of the first contact is told: finer than any bender's scale."""

NEAR_MM = 2.0
"""Nearer than this a person looks first: neither a profile taken by tape nor half a degree at the
end of a long leg is truer. Common practice, no source."""


class BodyPart(NamedTuple):
    """A piece of the tube in the die's frame, and where on the straight tube it starts.

    ``sense`` is 1 where the straight tube's positions rise along the piece, -1 where they fall;
    ``bent`` is false for the straight that lies in the bender.
    """

    piece: Piece
    at_mm: float
    sense: int
    bent: bool


class Meeting(NamedTuple):
    """How near the tube comes to a body in one pull.

    Under a gap of zero they meet, how deep is not told, and ``angle_deg`` is the loaded angle of
    the first contact; else it is that of the least gap. ``at_mm`` lies on the straight tube,
    ``point`` in the die's frame; ``swings`` is false for the held side, which stands still.
    """

    bend: int
    body: str
    gap_mm: float
    angle_deg: float
    at_mm: float
    point: Vector
    swings: bool


def meetings(job: Job, layout: Layout) -> Iterator[Meeting]:
    """Every body the tube meets, or comes within ``NEAR_MM`` of, in the job's order of bending."""
    made: set[int] = set()
    for bend in layout.in_order:
        yield from swing(job, layout, bend.number, bend.held, made)
        made.add(bend.number)


def swing(
    job: Job, layout: Layout, number: int, held: End, made: Collection[int]
) -> Iterator[Meeting]:
    """Every body the tube meets, or comes near, in the pull of one bend; each body once.

    ``made`` are the bends there are already.
    """
    pull = _Pull(job, layout, number)
    still, moving = lying(layout, number, held, made)
    bend = layout.bends[number - 1]
    still = _less_the_first(still, max(job.bender.grip_mm, job.bender.radius_mm))
    moving = _less_the_first(moving, bend.arc_mm + max(job.bender.free_mm, job.bender.radius_mm))
    sides = ((still, False), (moving, True))
    for body in job.bender.envelope.bodies:
        met = [
            found
            for parts, swings in sides
            for part in parts
            if (found := pull.meeting(part, body, swings, NEAR_MM if part.bent else 0.0))
        ]
        if met:
            yield min(met, key=_soonest)


def _soonest(meeting: Meeting) -> tuple[bool, float]:
    """What meets first before what only comes near."""
    meets = meeting.gap_mm < 0
    return not meets, meeting.angle_deg if meets else meeting.gap_mm


def lying(
    layout: Layout, number: int, held: End, made: Collection[int]
) -> tuple[list[BodyPart], list[BodyPart]]:
    """The held and the free side of a tube set up for a bend, outwards from the start of bend."""
    bend = layout.bends[number - 1]
    if held == "reference":
        towards_start = _outwards(layout, number, made, -1, bend.start_mm, -1.0)
        return towards_start, _outwards(layout, number, made, 1, bend.start_mm, 1.0)
    towards_end = _outwards(layout, number, made, 1, bend.end_mm, -1.0)
    return towards_end, _outwards(layout, number, made, -1, bend.end_mm, 1.0)


def carried(piece: Piece, radius_mm: float, angle_rad: float) -> Piece:
    """Where a piece of the free side is when the pull stands at an angle."""
    c, s = cos(angle_rad), sin(angle_rad)
    (x, y, z), (tx, ty, tz), (nx, ny, nz) = piece.point, piece.direction, piece.normal
    x, y = x - radius_mm * angle_rad, y - radius_mm
    return piece._replace(
        point=(x * c - y * s, radius_mm + x * s + y * c, z),
        direction=(tx * c - ty * s, tx * s + ty * c, tz),
        normal=(nx * c - ny * s, nx * s + ny * c, nz),
    )


def _outwards(
    layout: Layout, number: int, made: Collection[int], sense: int, at_mm: float, x: float
) -> list[BodyPart]:
    """The pieces of one side, straight on through what is not bent yet.

    A turn belongs to the leg before its bend: outwards it turns the way the next bend curves,
    towards the reference end too, where both the eye and the order are the other way round.
    """
    bends = layout.bends
    ahead = bends[number:] if sense > 0 else bends[: number - 1][::-1]
    turn_of = 0 if sense > 0 else 1
    point, t, n = (0.0, 0.0, 0.0), (x, 0.0, 0.0), (0.0, 1.0, 0.0)
    parts: list[BodyPart] = []
    for bend in ahead:
        turn = radians(bends[bend.number - 1 + turn_of].turn_deg)
        n = translate(scale(n, cos(turn)), cross(t, n), sin(turn))
        if bend.number not in made:
            continue
        begins, ends = (bend.start_mm, bend.end_mm)[::sense]
        straight = Piece(point, t, n, (begins - at_mm) * sense, 0.0, None)
        point = straight.at(straight.length_mm)[0]
        arc = Piece(point, t, n, bend.arc_mm, bend.radius_mm, bend.number)
        parts += (BodyPart(straight, at_mm, sense, bool(parts)), BodyPart(arc, begins, sense, True))
        angle = radians(bend.angle_deg)
        point = arc.at(arc.length_mm)[0]
        t, n = (
            translate(scale(t, cos(angle)), n, sin(angle)),
            translate(scale(n, cos(angle)), t, -sin(angle)),
        )
        at_mm = ends
    left_mm = layout.cut_length_mm - at_mm if sense > 0 else at_mm
    parts.append(BodyPart(Piece(point, t, n, left_mm, 0.0, None), at_mm, sense, bool(parts)))
    return parts


def _less_the_first(parts: list[BodyPart], skip_mm: float) -> list[BodyPart]:
    """One side without the beginning of its first straight, and without what has no length."""
    (piece, at_mm, sense, bent), *rest = parts
    skip_mm = min(skip_mm, piece.length_mm)
    first = piece._replace(point=piece.at(skip_mm)[0], length_mm=piece.length_mm - skip_mm)
    parts = [BodyPart(first, at_mm + sense * skip_mm, sense, bent), *rest]
    return [part for part in parts if part.piece.length_mm > SAME_MM]


class _Pull:
    """One pull on one die, and the tube's thickness."""

    def __init__(self, job: Job, layout: Layout, number: int) -> None:
        self.number = number
        self.radius = job.bender.radius_mm
        self.angle = radians(layout.bends[number - 1].bend_to_deg)
        self.half_od = job.tube.od_mm / 2

    def meeting(self, part: BodyPart, body: Body, swings: bool, near_mm: float) -> Meeting | None:
        """How a piece meets a body; None when it keeps further off than ``near_mm``."""
        piece = part.piece
        touch = self.half_od + thickness(body)
        last = self.angle if swings else 0.0
        middle, ball = _ball(piece)
        if not self._ball_comes_near(middle, body, last, touch + near_mm + ball):
            return None
        near, radius = near_body(body), self.radius
        pace = self._pace(middle.point, ball)

        def square(angle: float) -> float:
            return near(carried(piece, radius, angle))[0]

        found = least(square, 0.0, last, pace, (touch + near_mm) ** 2, SLACK_MM, touch**2)
        if found is None:
            return None
        gap, angle = sqrt(found[0]) - touch, found[1]
        if gap < 0:
            met = first_under(square, 0.0, angle, pace, touch**2, STEP_RAD)
            angle = angle if met is None else met
        there = carried(piece, radius, angle)
        s = near(there)[1]
        at_mm = part.at_mm + part.sense * s
        return Meeting(self.number, body.name, gap, degrees(angle), at_mm, there.at(s)[0], swings)

    def _ball_comes_near(self, middle: Piece, body: Body, last: float, reach_mm: float) -> bool:
        to_body = square_to_body(body)

        def square(angle: float) -> float:
            return to_body(carried(middle, self.radius, angle).point)

        pace, reach = self._pace(middle.point, 0.0), reach_mm**2
        return least(square, 0.0, last, pace, reach, SLACK_MM, reach) is not None

    def _pace(self, middle: Vector, ball_mm: float) -> Pace:
        """The pace, per radian, of all that lies within a ball on the free side.

        It turns about the tangent point, which moves along the tube as the pull goes on; all
        distances are largest at one end of that way.
        """
        ways = (0.0, self.radius * self.angle)
        speed = max(hypot(middle[0] - way, middle[1]) for way in ways)
        centre = max(hypot(middle[0] - way, middle[1] - self.radius) for way in ways)
        return Pace(speed + ball_mm, centre + ball_mm + 2 * self.radius)


def _ball(piece: Piece) -> tuple[Piece, float]:
    """The middle of a piece, as a piece without length, and how far its ends lie from there."""
    middle = piece._replace(point=piece.at(piece.length_mm / 2)[0], length_mm=0.0)
    off = subtract(piece.point, middle.point)
    return middle, sqrt(dot(off, off))
