"""A tube of fixed length with bends along it, some made and some still to be made.

What can still be chosen is where each unmade bend is held, its angle and its turn; how the far end
moves with each is known exactly. Lengths are millimetres along the straight tube or in space,
angles degrees; derivatives are per millimetre and per degree.
"""

from collections.abc import Sequence
from math import cos, pi, radians, sin
from typing import Literal, NamedTuple

from benchcalc.core.frozen import frozen, replace
from benchcalc.core.geometry.frames import START, Frame
from benchcalc.core.geometry.vectors import Vector, cross, scale, subtract, translate
from benchcalc.core.job import End

What = Literal["mark", "angle", "turn", "end"]
DEG = pi / 180


class Unknown(NamedTuple):
    """One thing that can be chosen: of which bend (None for the end of the tube), and what."""

    what: What
    bend: int | None


@frozen
class BendAsMade:
    """A bend on the tube: ``hold_mm`` is its tangent point on the held side.

    Its arc is ``arc_from_mm`` + ``arc_per_deg`` x angle: linear, whether the finished radius was
    measured or follows from the springback. It takes ``stretch_per_deg`` x angle less of the tube.
    """

    hold_mm: float
    held: End
    angle_deg: float
    turn_deg: float
    arc_from_mm: float
    arc_per_deg: float
    stretch_per_deg: float = 0.0

    @property
    def arc_mm(self) -> float:
        """Length of its middle line."""
        return self.arc_from_mm + self.arc_per_deg * self.angle_deg

    @property
    def radius_mm(self) -> float:
        """Its finished radius."""
        return self.arc_mm / radians(self.angle_deg)

    @property
    def taken_per_deg(self) -> float:
        """How much more straight tube it takes per degree."""
        return self.arc_per_deg - self.stretch_per_deg

    @property
    def taken_mm(self) -> float:
        """How much straight tube it takes: its arc less what it was stretched."""
        return self.arc_mm - self.stretch_per_deg * self.angle_deg

    @property
    def start_mm(self) -> float:
        """Where it starts along the tube."""
        return self.hold_mm if self.held == "reference" else self.hold_mm - self.taken_mm

    @property
    def end_mm(self) -> float:
        """Where it ends along the tube."""
        return self.start_mm + self.taken_mm


class Placed(NamedTuple):
    """A bend in space: frame at its start (turned), where it ends, the direction after it."""

    start: Frame
    finish: Vector
    after: Vector


@frozen
class BentTube:
    """Bends along a tube whose run goes from ``begins_mm`` to ``ends_mm`` of it."""

    bends: tuple[BendAsMade, ...]
    begins_mm: float
    ends_mm: float

    def changed(self, unknowns: Sequence[Unknown], by: Sequence[float]) -> "BentTube":
        """The tube with each unknown changed, in millimetres and degrees."""
        bends, ends_mm = list(self.bends), self.ends_mm
        for (what, number), change in zip(unknowns, by, strict=True):
            if number is None:
                ends_mm += change
                continue
            bend = bends[number - 1]
            if what == "mark":
                bend = replace(bend, hold_mm=bend.hold_mm + change)
            elif what == "angle":
                bend = replace(bend, angle_deg=bend.angle_deg + change)
            else:
                bend = replace(bend, turn_deg=bend.turn_deg + change)
            bends[number - 1] = bend
        return BentTube(tuple(bends), self.begins_mm, ends_mm)

    def straights_mm(self) -> list[float]:
        """The straights between the bends, the first and the last among them."""
        edges = [self.begins_mm]
        for bend in self.bends:
            edges += (bend.start_mm, bend.end_mm)
        edges.append(self.ends_mm)
        return [after - before for before, after in zip(edges[::2], edges[1::2], strict=True)]

    def follow(self) -> tuple[list[Placed], Vector, Vector]:
        """Every bend in space, and where the run ends and points."""
        frame, placed = START, []
        for straight, bend in zip(self.straights_mm(), self.bends, strict=False):
            start = frame.ahead(straight).bent(bend.turn_deg, 0.0)
            theta, radius = radians(bend.angle_deg), bend.radius_mm
            finish = translate(start.point, start.travel, radius * sin(theta))
            finish = translate(finish, start.curve, radius * (1 - cos(theta)))
            frame = start.bent(0.0, bend.angle_deg)._replace(point=finish)
            placed.append(Placed(start, finish, frame.travel))
        last = self.ends_mm - self.bends[-1].end_mm
        return placed, translate(frame.point, frame.travel, last), frame.travel

    def far_end(self) -> tuple[Vector, Vector]:
        """Where the run ends and points."""
        return self.follow()[1:]

    def moves(
        self, unknowns: Sequence[Unknown]
    ) -> tuple[Vector, Vector, list[tuple[Vector, Vector]]]:
        """Where the run ends and points, and how both move with each unknown."""
        placed, end, heads = self.follow()
        moves: list[tuple[Vector, Vector]] = []
        for what, number in unknowns:
            if number is None:
                moves.append((heads, (0.0, 0.0, 0.0)))
                continue
            place, bend = placed[number - 1], self.bends[number - 1]
            start, axis = place.start, place.start.across
            if what == "mark":
                moves.append((subtract(start.travel, place.after), (0.0, 0.0, 0.0)))
            elif what == "turn":
                swung = cross(start.travel, subtract(end, start.point))
                moves.append((scale(swung, DEG), scale(cross(start.travel, heads), DEG)))
            else:
                swung = translate(
                    _grown(bend, place), cross(axis, subtract(end, place.finish)), DEG
                )
                moves.append((swung, scale(cross(axis, heads), DEG)))
        return end, heads, moves


def _grown(bend: BendAsMade, place: Placed) -> Vector:
    """How a bend's end moves in space per degree, with the tube that its arc takes from a leg.

    The held-side tangent point stays on the tube. At a radius that does not change with the angle,
    and held at the reference end, nothing but the turning about the bend's end is left.
    """
    theta, radius = radians(bend.angle_deg), bend.radius_mm
    grows = (bend.arc_per_deg - radius * DEG) / theta
    ahead = grows * sin(theta) + radius * cos(theta) * DEG
    aside = grows * (1 - cos(theta)) + radius * sin(theta) * DEG
    moved = translate(scale(place.start.travel, ahead), place.start.curve, aside)
    taken_from = place.after if bend.held == "reference" else place.start.travel
    return translate(moved, taken_from, -bend.taken_per_deg)
