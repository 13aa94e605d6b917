"""Shapes a fitter asks for by name, drawn up as legs and bends, exact with finished radii.

Each shape holds what the fitter knows. ``leg_mm`` runs along the leg before it, from its last
corner or crown (or from the end of the tube) as every leg does. ``centre_mm`` runs along it too, to
where the obstacle is: along the centreline, however legs are measured. Heights, widths and
distances are those of the centreline. ``turn_deg`` is the way the shape sets out: how far its first
bend's curve lies clockwise of the bend before it, as for any bend.

A shape leaves the plane as it found it: the turn of the bend after it is counted from the bend
before it, carried along the tube. ``draw_up`` sees to that. The leg after a shape is measured from
the shape's last corner or crown.
"""

from collections.abc import Callable, Iterable
from math import atan2, cos, degrees, hypot, radians, sin, tan
from typing import NamedTuple

from benchcalc.core.finding import SAME_MM
from benchcalc.core.frozen import frozen, replace
from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.job import Bender, Measured, Run, Segment
from benchcalc.core.layout.straight_tube import finished_radius, set_back
from benchcalc.core.springback.first_guess import Springback

Radius = Callable[[float], float]
"""The finished centreline radius, mm, of a bend of so many degrees."""

U_SAME_MM = 0.5
"""A U asked this near to the width of a single bend is that bend: the width of a pen line."""


def radius_of(bender: Bender, springback: Springback) -> Radius:
    """The finished radius on a bender, by angle: the same at every one."""
    radius_mm = finished_radius(bender, springback)

    def finished(angle_deg: float) -> float:
        return radius_mm

    return finished


def _inner(leg_mm: float, angle_deg: float, turn_deg: float) -> Segment:
    """A segment inside a shape: its leg is a centre leg whatever the job says."""
    return Segment(leg_mm, angle_deg, turn_deg, measured="centre")


@frozen
class Offset:
    """Two equal bends, the second turned back: the tube goes on parallel, ``height_mm`` aside.

    ``leg_mm`` ends at the first corner; the angle is over 0 to 90 degrees.
    """

    leg_mm: float
    height_mm: float
    angle_deg: float
    turn_deg: float = 0.0

    @property
    def between_corners_mm(self) -> float:
        """From corner to corner along the slope: height/sin(angle)."""
        return self.height_mm / sin(radians(self.angle_deg))

    @property
    def advance_mm(self) -> float:
        """From corner to corner along the run: height/tan(angle)."""
        return self.height_mm / tan(radians(self.angle_deg))

    @property
    def shrink_mm(self) -> float:
        """How much less far the corner legs reach for being offset: height tan(angle/2)."""
        return self.height_mm * tan(radians(self.angle_deg) / 2)

    def segments(self, radius: Radius) -> tuple[Segment, ...]:
        """Two bends; no radius is needed between corners."""
        return (
            Segment(self.leg_mm, self.angle_deg, self.turn_deg),
            _inner(self.between_corners_mm, self.angle_deg, 180.0),
        )


@frozen
class RollingOffset:
    """An offset up and aside: ``rise_mm`` the way of ``turn_deg``, ``roll_mm`` clockwise of it.

    A roll under zero goes counter-clockwise. True set is hypot(rise, roll), in the plane turned by
    atan2(roll, rise); ``leg_mm`` ends at the first corner.
    """

    leg_mm: float
    rise_mm: float
    roll_mm: float
    angle_deg: float
    turn_deg: float = 0.0

    @property
    def offset(self) -> Offset:
        """The plain offset it is in its own plane."""
        set_mm = hypot(self.rise_mm, self.roll_mm)
        turn = self.turn_deg + degrees(atan2(self.roll_mm, self.rise_mm))
        return Offset(self.leg_mm, set_mm, self.angle_deg, wrapped(turn))

    def segments(self, radius: Radius) -> tuple[Segment, ...]:
        """Two bends in the rolled plane."""
        return self.offset.segments(radius)


@frozen
class Saddle:
    """Three bends over an obstacle: angle/2, angle, angle/2.

    ``centre_mm`` runs along the leg before to the obstacle's middle. ``height_mm`` is how high the
    centreline's real crown stands over it; the sharp corner lies R (sec(angle/2) - 1) higher. The
    tube's underside clears an obstacle by half its diameter less. Angle: over 0 to under 180.
    """

    centre_mm: float
    height_mm: float
    angle_deg: float
    turn_deg: float = 0.0

    def segments(self, radius: Radius) -> tuple[Segment, ...]:
        """Three bends, the second and third turned 180."""
        slope = radians(self.angle_deg) / 2
        corner_mm = self.height_mm + radius(self.angle_deg) * (1 / cos(slope) - 1)
        leg = self.centre_mm - corner_mm / tan(slope)
        along = corner_mm / sin(slope)
        return (
            _inner(leg, self.angle_deg / 2, self.turn_deg),
            _inner(along, self.angle_deg, 180.0),
            _inner(along, self.angle_deg / 2, 180.0),
        )


@frozen
class FlatSaddle:
    """Four equal bends over an obstacle with a straight flat on top.

    ``centre_mm`` runs along the leg before to the middle of the flat. ``height_mm`` is how high the
    centreline of the flat stands over it; ``flat_mm`` is the straight between the two upper bends,
    the width over which the tube has its full height. Angle: over 0 to 90.
    """

    centre_mm: float
    height_mm: float
    angle_deg: float
    flat_mm: float
    turn_deg: float = 0.0

    def segments(self, radius: Radius) -> tuple[Segment, ...]:
        """Four bends, turned 180, 0 and 180 after the first."""
        angle = self.angle_deg
        top = self.flat_mm + 2 * set_back(radius(angle), angle, crown=False)
        along = self.height_mm / sin(radians(angle))
        leg = self.centre_mm - top / 2 - self.height_mm / tan(radians(angle))
        return (
            _inner(leg, angle, self.turn_deg),
            _inner(along, angle, 180.0),
            _inner(top, angle, 0.0),
            _inner(along, angle, 180.0),
        )


@frozen
class UBend:
    """There and back: two parallel legs whose centrelines lie ``width_mm`` apart.

    ``leg_mm`` runs to the farthest reach of the U's centreline, and so does the leg after it: the
    crown of a single bend, the corner of the first of two.
    """

    leg_mm: float
    width_mm: float
    turn_deg: float = 0.0

    def segments(self, radius: Radius) -> tuple[Segment, ...]:
        """One bend of 180 where the width is 2 R or less, else two of 90 the width apart.

        A width that neither can give is told by ``misfit``.
        """
        if self.width_mm <= 2 * radius(180.0) + U_SAME_MM:
            return (Segment(self.leg_mm, 180.0, self.turn_deg, to="crown"),)
        return (
            Segment(self.leg_mm, 90.0, self.turn_deg, to="corner"),
            replace(_inner(self.width_mm, 90.0, 0.0), to="corner"),
        )

    def misfit(self, radius: Radius, between_mm: float) -> "UMisfit | None":
        """Why this bender cannot make the width: under 2 R, or over it and too narrow for two."""
        single_mm = 2 * radius(180.0)
        least_mm = 2 * set_back(radius(90.0), 90.0, crown=False) + between_mm
        if abs(self.width_mm - single_mm) <= U_SAME_MM or self.width_mm >= least_mm - SAME_MM:
            return None
        return UMisfit(self.width_mm, single_mm, least_mm)


class UMisfit(NamedTuple):
    """A U that cannot be made: the width asked, that of one bend, and the least for two of 90."""

    width_mm: float
    single_mm: float
    least_mm: float


Shape = Offset | RollingOffset | Saddle | FlatSaddle | UBend


def draw_up(
    items: Iterable[Segment | Shape],
    last_leg_mm: float,
    radius: Radius,
    last_measured: Measured | None = None,
) -> Run:
    """The run of legs and bends that segments and shapes make, one after the other.

    The turn after a shape is counted from the bend before the shape, so what the shape turned is
    taken back from it; such a turn is written from over -180 to 180.
    """
    made: list[Segment] = []
    owed = 0.0
    for item in items:
        here = (item,) if isinstance(item, Segment) else item.segments(radius)
        first = here[0]
        if owed:
            first = replace(first, turn_deg=wrapped(first.turn_deg + owed))
        made += (first, *here[1:])
        owed = 0.0 if isinstance(item, Segment) else -sum(s.turn_deg for s in here)
    return Run(tuple(made), last_leg_mm, last_measured)


class NotBeside(ValueError):
    """A bend of 180 whose tube beside it would need another die; ``bend`` is its number."""

    def __init__(self, bend: int) -> None:
        super().__init__(f"bend {bend} is a U: no tube of one die lies inside or outside")
        self.bend = bend


@frozen
class Parallel:
    """The next tube of a bank: each of its legs ``spacing_mm`` from the leg it runs beside.

    ``side_deg`` says on which side of the first bend's curve it lies, clockwise along the travel
    as a turn is: 0 on the inside, where the legs grow shorter, 180 on the outside, 90 on top. Its
    ends stand square beside the other's.
    """

    spacing_mm: float
    side_deg: float = 180.0

    def run(self, beside: Run) -> Run:
        """The tube beside a run: each corner moved by inside distance x tan(angle/2).

        Straights then lie the spacing apart and, of one die, bends between spacing and
        spacing x sec(angle/2). Raises NotBeside for a bend of 180 that has it inside or outside:
        one die cannot nest it.
        """
        clock, moved_mm = self.side_deg, [0.0]
        for number, bend in enumerate(beside.segments, 1):
            clock -= bend.turn_deg if number > 1 else 0.0
            inside_mm = self.spacing_mm * cos(radians(clock))
            if bend.angle_deg < 180:
                moved_mm.append(inside_mm * tan(radians(bend.angle_deg) / 2))
            elif abs(inside_mm) < 1e-9 * self.spacing_mm:
                moved_mm.append(0.0)
            else:
                raise NotBeside(number)
        moved_mm.append(0.0)
        segments = tuple(
            replace(bend, leg_mm=bend.leg_mm - moved_mm[n] - moved_mm[n + 1])
            for n, bend in enumerate(beside.segments)
        )
        last_mm = beside.last_leg_mm - moved_mm[-2]
        return replace(beside, segments=segments, last_leg_mm=last_mm)
