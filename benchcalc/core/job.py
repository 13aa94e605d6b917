"""Tube, bender, segment, run, job: the frozen things every formula is about.

Lengths are millimetres and angles degrees; the unit stands in every name. A bend angle is the
angle of the finished tube: 0 is straight, 90 square, 180 a U.
"""

from typing import Literal

from benchcalc.core.frozen import frozen
from benchcalc.core.geometry.envelope import Envelope

End = Literal["reference", "far"]
Measured = Literal["centre", "outside", "inside"]
To = Literal["corner", "crown"]
Units = Literal["mm", "in"]
Angles = Literal["bend", "included"]
Temper = Literal["annealed", "hardened"]

CROWN_FROM_DEG = 150.0
"""With nothing said a bend is measured to its crown from here on: its corner is too far off."""

CROWN_LEAST_DEG = 90.0
"""A crown is a farthest reach; under 90 degrees the tube itself reaches farther."""


@frozen
class Hardness:
    """A hardness as it is printed on a certificate: 85 HRB, 180 HV."""

    value: float
    scale: str


@frozen
class Tube:
    """A stick of tube. ``wall_under`` is the fraction under nominal that the wall may be."""

    od_mm: float
    wall_mm: float
    material: str
    lot: str = ""
    hardness: Hardness | None = None
    wall_under: float | None = None


@frozen
class Material:
    """A tube material; stress = k * strain ** n past the elastic line.

    ``k_mpa`` and ``n`` hold one published pair each, or two that span what is published.
    """

    key: str
    k_mpa: tuple[float, ...]
    n: tuple[float, ...]
    e_mpa: float
    elongation: float
    hardness_max: tuple[Hardness, ...] = ()
    wall_under: float | None = None
    source: str = ""
    temper: Temper = "annealed"


@frozen
class Line:
    """A line on the bender that a mark can be set to.

    ``offset_mm`` is its distance from the start of bend along the free side; ``angle_deg`` is the
    bend it is made for, None for a line such as "start" that is made for none. ``within_mm`` is how
    well trials measured it, 95 % limits; None where it stands as the profile has it.
    """

    name: str
    offset_mm: float
    angle_deg: float | None = None
    within_mm: float | None = None


@frozen
class WallRange:
    """The walls a die takes in one material, or in ``any``."""

    material: str
    least_mm: float
    most_mm: float


@frozen
class Scale:
    """The bender's own degree scale: its graduation, and what it reads at a true zero."""

    step_deg: float = 1.0
    zero_deg: float = 0.0


@frozen
class Bender:
    """A bender profile. ``radius_mm`` is the die's centreline radius.

    ``grip_mm``, ``free_mm`` and ``between_mm`` are the straights it needs on the held side, on the
    free side and between two bends; ``re_set_deg`` is where the handle is set back in a long bend;
    ``envelope`` is what a swinging tube could meet; ``trials`` is how many trial bends the finished
    radius and the lines rest on, 0 when they stand as the profile has them; ``clamp`` is what the
    profile calls the part that holds the tube, empty where it gives no name. ``stretch_mm`` is how
    much longer the tube's middle line becomes by a bend of 90 degrees; the two ``within`` are how
    well trials measured finished radius and stretch, 95 % limits, None where they did not.
    """

    key: str
    od_mm: float
    radius_mm: float
    max_angle_deg: float
    lines: tuple[Line, ...]
    finished_radius_mm: float | None = None
    walls: tuple[WallRange, ...] = ()
    grip_mm: float = 0.0
    free_mm: float = 0.0
    between_mm: float = 0.0
    scale: Scale = Scale()
    re_set_deg: float | None = None
    source: str = ""
    envelope: Envelope = Envelope()
    trials: int = 0
    clamp: str = ""
    stretch_mm: float = 0.0
    radius_within_mm: float | None = None
    stretch_within_mm: float | None = None


@frozen
class Segment:
    """One leg and the bend at its far end.

    ``turn_deg`` is how far this bend's curve direction lies clockwise of the bend before it, seen
    from the reference end along the direction of travel. None means: as the job says. ``line``
    names the line of the bender that its mark is drawn for already, when it is.
    """

    leg_mm: float
    angle_deg: float
    turn_deg: float = 0.0
    to: To | None = None
    measured: Measured | None = None
    held: End | None = None
    line: str | None = None

    @property
    def crown(self) -> bool:
        """Whether the legs beside this bend are measured to its crown."""
        return self.to == "crown" or (self.to is None and self.angle_deg >= CROWN_FROM_DEG)


@frozen
class Run:
    """One tube: leg, bend, leg, ..., leg, from the reference end to the far end."""

    segments: tuple[Segment, ...]
    last_leg_mm: float
    last_measured: Measured | None = None


@frozen
class Ends:
    """One length for each end of the tube: an allowance, or a straight that must stay."""

    start_mm: float = 0.0
    finish_mm: float = 0.0


@frozen
class SlipOn:
    """The parts that must be slid on before a bend, by the end they belong to."""

    start: str = ""
    finish: str = ""


@frozen
class Fit:
    """How far the far end may miss its port, and how far it may point off."""

    within_mm: float = 2.0
    angle_deg: float = 1.0


@frozen
class Pressure:
    """What a pressure check by the piping code starts from."""

    design_mpa: float
    allowable_mpa: float
    quality: float = 1.0
    weld: float = 1.0
    corrosion_mm: float = 0.0


@frozen
class Job:
    """Everything a drawing and a bench say about one run and how many to make of it.

    ``service`` is what the tube is to carry, in the drawing's words; ``outside_mpa`` a pressure
    that acts on it from outside.
    """

    name: str
    tube: Tube
    material: Material
    bender: Bender
    run: Run
    drawing: str = ""
    note: str = ""
    operator: str = ""
    pieces: int = 1
    units: Units = "mm"
    angles: Angles = "bend"
    measured: Measured = "centre"
    ends: Ends = Ends()
    straight: Ends = Ends()
    slip_on: SlipOn = SlipOn()
    held: End = "reference"
    order: tuple[int, ...] = ()
    tolerance_deg: float = 0.5
    fit: Fit = Fit()
    pressure: Pressure | None = None
    stock_mm: float | None = None
    turn_tolerance_deg: float = 1.0
    service: str = ""
    outside_mpa: float | None = None

    @property
    def bending_order(self) -> tuple[int, ...]:
        """Bend numbers in the order they are made; from the reference end when nothing is said."""
        return self.order or tuple(range(1, len(self.run.segments) + 1))
