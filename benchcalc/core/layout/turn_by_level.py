"""A turn read off a level: what it must read, what turn it then tells, and how well it tells it.

Three ways. *Across*: the level is clipped square across the tube, which lies level in the bender;
what it reads more than before is the turn, after any bend. *Flat* and *upright*: the level is laid
along the last bent leg, with the bender's plane level or upright. That leg then rises towards its
free end by i, with sin i = sin(angle) sin(turn) or sin(angle) cos(turn), where angle is the bend
it lies beyond.

A turn here is how far the bend in hand lies clockwise of the one made before it, seen along the run
from the reference end. Laid along a leg two turns read alike, one as far on this side of the
steepest place as the other on that side; where they lie near each other, or the reading hardly
changes with the turn, that way is of no use and another is.
"""

from math import asin, cos, degrees, radians, sin, sqrt
from typing import Literal, NamedTuple

from benchcalc.core.geometry.frames import wrapped
from benchcalc.core.job import End
from benchcalc.core.layout.straight_tube import Layout

Lay = Literal["across", "flat", "upright"]
LAYS: tuple[Lay, ...] = ("across", "flat", "upright")
Side = Literal["right", "left"]

LEVEL_DEG = 0.5
"""How far one reading of a digital level laid by hand may be off, 95 % limits. Common practice, no
source."""

USEFUL_DEG = 3.0
"""A way that leaves the turn wider than this is no better than the eye on a pen line, which spans 3
degrees of a 10 mm tube."""

ALIKE_DEG = 10.0
"""Two turns nearer than this are not told apart by eye: a pen line spans 10 degrees of a 6 mm
tube."""


class FromLast(NamedTuple):
    """What a bend is turned from: the bend made before it, its angle, and the turn between them."""

    bend: int
    angle_deg: float
    turn_deg: float


class LevelAim(NamedTuple):
    """One way to lay the level for a turn.

    ``reads_deg`` is what it must read: along a leg its rise towards its free end, across the tube
    what it must read more than before. ``worth_deg`` is how far the turn may be off for one degree
    of reading, ``width_deg`` for the level's own width, 95 % limits. ``alike_deg`` is another turn
    that reads the same and lies too near to be told apart by eye; None when there is none.
    """

    lay: Lay
    reads_deg: float
    worth_deg: float
    width_deg: float
    alike_deg: float | None

    @property
    def useful(self) -> bool:
        """Whether this way tells the turn better than the eye does."""
        return self.width_deg <= USEFUL_DEG and self.alike_deg is None


def from_last(layout: Layout, number: int) -> FromLast | None:
    """What bend ``number`` is turned from; None for the bend that is made first."""
    bend = layout.bends[number - 1]
    if bend.order == 1:
        return None
    last = layout.in_order[bend.order - 2]
    low, high = sorted((number, last.number))
    between = sum(one.turn_deg for one in layout.bends[low:high])
    by = wrapped(between if last.number < number else -between)
    return FromLast(last.number, last.angle_deg, by)


def leans(held: End, curves: Side) -> int:
    """The sign of a rise with the bender flat: 1 as the formula has it, -1 the other way.

    ``curves`` is the side to which the free end swings, seen from above and from the held end.
    """
    return 1 if (held == "reference") == (curves == "right") else -1


def turn_of_hands(clockwise_deg: float, held: End) -> float:
    """The turn that the tube gets when the hands turn it clockwise, seen from the held end.

    The bender always curves the same way, so the tube gets the opposite of what the hands do.
    """
    return wrapped(-clockwise_deg if held == "reference" else clockwise_deg)


def rise_deg(lay: Lay, angle_deg: float, turn_deg: float) -> float:
    """How far the last bent leg rises towards its free end, degrees from -90 to 90.

    ``angle_deg`` is the bend it lies beyond. Flat, the sign is that of ``leans``; upright, the
    bender curves upwards. Across the tube it is the turn itself.

    Source: the leg leans sin(angle) of itself towards the side its bend curves to, and that side is
    turned about the level tube; the upward part of it.
    """
    if lay == "across":
        return wrapped(turn_deg)
    part = sin(radians(turn_deg)) if lay == "flat" else cos(radians(turn_deg))
    return degrees(asin(_clipped(sin(radians(angle_deg)) * part)))


def aim_by_level(
    lay: Lay, angle_deg: float, turn_deg: float, level_deg: float = LEVEL_DEG
) -> LevelAim:
    """What a level must read for a turn, laid one way, and how well it then tells it.

    ``level_deg`` is how far one of its readings may be off; across takes two readings.
    """
    reads = rise_deg(lay, angle_deg, turn_deg)
    if lay == "across":
        return LevelAim(lay, reads, 1.0, sqrt(2) * level_deg, None)
    other = mirrored(lay, turn_deg)
    alike = other if abs(wrapped(other - turn_deg)) <= ALIKE_DEG else None
    worth, width = (_spread(lay, angle_deg, turn_deg, by) for by in (1.0, level_deg))
    return LevelAim(lay, reads, worth, width, alike)


def best_aim(angle_deg: float, turn_deg: float, level_deg: float = LEVEL_DEG) -> LevelAim:
    """The way along the last leg that tells this turn better; across where neither is of use."""
    along = [aim_by_level(lay, angle_deg, turn_deg, level_deg) for lay in ("flat", "upright")]
    useful = [aim for aim in along if aim.useful]
    if not useful:
        return aim_by_level("across", angle_deg, turn_deg, level_deg)
    return min(useful, key=lambda aim: aim.width_deg)


def turn_by_level(lay: Lay, angle_deg: float, read_deg: float, wanted_deg: float) -> float:
    """The turn that a level tells, of those that read alike the one nearest to the wanted one.

    A reading past the steepest the leg can rise is taken for the steepest. Across, ``read_deg`` is
    what it reads more than before.
    """
    if lay == "across":
        return wrapped(read_deg)
    part = _part(angle_deg, read_deg)
    own = degrees(asin(part)) if lay == "flat" else 90.0 - degrees(asin(part))
    return min((own, mirrored(lay, own)), key=lambda t: abs(wrapped(t - wanted_deg)))


def mirrored(lay: Lay, turn_deg: float) -> float:
    """The other turn at which the leg rises the same."""
    return wrapped(180.0 - turn_deg if lay == "flat" else -turn_deg)


def unfolded(shown_deg: float, expected_deg: float) -> float:
    """The reading of a level that counts 0, 90, 0 and shows no sign, as the full circle has it.

    Of the four that show the same the one nearest to what is expected.
    """
    four = (shown_deg, -shown_deg, 180.0 - shown_deg, shown_deg - 180.0)
    return min(four, key=lambda r: abs(wrapped(r - expected_deg)))


def turns_across(before_deg: float, after_deg: float, wanted_deg: float) -> tuple[float, float]:
    """The turn that a level clipped across the tube tells, and the next that shows the same.

    The level leans so that turning first makes it show more. It may count 0, 90, 0 and show no
    sign, or go round; one that goes round may count either way. Of the turns that show the same the
    nearest to the wanted one and the second nearest: within ``ALIKE_DEG`` of each other they are
    not told apart. A level that counts 0, 90, 0 and leans the other way would show 89 as 91.
    """
    ahead = abs(wanted_deg)
    round_about = [after_deg - before_deg]
    if not (0 <= before_deg <= 90 and 0 <= after_deg <= 90):
        round_about.append(before_deg - after_deg)
    else:
        folded = (180.0 - after_deg, 180.0 + after_deg, -after_deg)
        round_about += [after - before_deg for after in folded]
    turns = {round(wrapped(turn - ahead), 9) for turn in round_about}
    first, *rest = sorted(turns, key=abs)
    way = -1.0 if wanted_deg < 0 else 1.0
    second = rest[0] if rest else wrapped(first + 180.0)
    return wrapped(way * (ahead + first)), wrapped(way * (ahead + second))


def _spread(lay: Lay, angle_deg: float, turn_deg: float, by_deg: float) -> float:
    """How far the turn may be off when the reading may be off by ``by_deg`` either way."""
    reads = rise_deg(lay, angle_deg, turn_deg)
    turns = (turn_by_level(lay, angle_deg, r, turn_deg) for r in (reads - by_deg, reads + by_deg))
    return max(abs(wrapped(turn - turn_deg)) for turn in turns)


def _part(angle_deg: float, read_deg: float) -> float:
    lean = sin(radians(angle_deg))
    rises = sin(radians(min(max(read_deg, -90.0), 90.0)))
    return _clipped(rises / lean) if lean > abs(rises) else (1.0 if rises > 0 else -1.0)


def _clipped(part: float) -> float:
    return min(max(part, -1.0), 1.0)
