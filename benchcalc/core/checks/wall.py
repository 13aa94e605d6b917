"""The wall of a bent tube: how thin it becomes, what a pressure asks of it, how round it stays.

``radius_mm`` is the centreline radius of the die and must be over half the outside diameter.
"""

from typing import Literal, NamedTuple

from benchcalc.core.job import Material, Pressure, Tube

Place = Literal["outside", "straight", "inside"]
PLACES: tuple[Place, ...] = ("outside", "straight", "inside")
"""Round the bend; its sides are as thick as the straights and need what they need."""

Y_DUCTILE = 0.4
"""ASME B31.3-2016 Table 304.1.1, read: austenitic and other ductile metals up to 482 °C."""

THICK_SHARE = 0.385
"""P/(S E) over which ASME B31.3-2016 304.1.2 asks for special consideration. From memory."""

MOST_OUT_OF_ROUND = 0.08
"""(largest - smallest)/OD of a bend under internal pressure. UFC 4-159-01N gives the same 8 %."""

MOST_OUT_OF_ROUND_OUTSIDE = 0.03
"""The same under pressure from outside or vacuum. ASME B31.3 332.2.1, from memory."""


class BentWall(NamedTuple):
    """What bending makes of one wall at the two ends of a section."""

    outside_mm: float
    inside_mm: float


class Roundness(NamedTuple):
    """A measured section: what calipers span across it, by the nominal OD."""

    out_of_round: float

    def within(self, most: float = MOST_OUT_OF_ROUND) -> bool:
        """Whether a bend may be so far out of round; 8 % where pressure is inside alone."""
        return self.out_of_round <= most + 1e-9


def wall_under(tube: Tube, material: Material) -> float | None:
    """The fraction under nominal the wall may be: the tube's own, else its material's standard."""
    return material.wall_under if tube.wall_under is None else tube.wall_under


def thinnest_wall(tube: Tube, material: Material) -> float:
    """The thinnest wall, mm, the tube may have as delivered; nominal when no standard is known."""
    return tube.wall_mm * (1 - (wall_under(tube, material) or 0.0))


def bent_wall(wall_mm: float, od_mm: float, radius_mm: float) -> BentWall:
    """Walls after bending: outside t R/(R + D/2), inside t R/(R - D/2).

    Constant volume with the neutral line left in the middle of the tube. Raises ValueError for a
    radius that is not over half the OD.
    """
    _check_radius(od_mm, radius_mm)
    half = od_mm / 2
    return BentWall(
        wall_mm * radius_mm / (radius_mm + half), wall_mm * radius_mm / (radius_mm - half)
    )


def outer_strain(od_mm: float, radius_mm: float) -> float:
    """Strain of the outermost fibre while bent round the die, D/(2 R), a fraction."""
    return od_mm / (2 * radius_mm)


def bend_factor(place: Place, od_mm: float, radius_mm: float) -> float:
    """I of the required wall: how a bend spreads hoop stress, by the place on the section.

    Inside (4R/D - 1)/(4R/D - 2), outside (4R/D + 1)/(4R/D + 2), 1 at the sides and on straights.
    Raises ValueError for a radius that is not over half the OD. Source: ASME B31.3-2016 304.2.1,
    equations 3d and 3e, read.
    """
    _check_radius(od_mm, radius_mm)
    ratio = 4 * radius_mm / od_mm
    if place == "inside":
        return (ratio - 1) / (ratio - 2)
    return (ratio + 1) / (ratio + 2) if place == "outside" else 1.0


def required_wall(given: Pressure, od_mm: float, factor: float = 1.0) -> float:
    """The wall a pressure needs, mm: P D/(2 (S E W/I + P Y)) + c, with ``factor`` I.

    P and S in MPa, E quality, W weld, c corrosion in mm. Source: ASME B31.3-2016 304.2.1,
    equation 3c, and Table 304.1.1 for Y, read.
    """
    stress = given.allowable_mpa * given.quality * given.weld / factor
    hoop = given.design_mpa * od_mm / (2 * (stress + given.design_mpa * Y_DUCTILE))
    return hoop + given.corrosion_mm


def pressure_share(given: Pressure) -> float:
    """P/(S E), what the design pressure takes of the allowable stress, a fraction."""
    return given.design_mpa / (given.allowable_mpa * given.quality)


def is_thick(given: Pressure, od_mm: float, need_mm: float) -> bool:
    """Whether the formula no longer serves: the need is D/6 or more, or P/(S E) is over 0.385.

    ``need_mm`` is the required wall, corrosion included. Such walls need the special consideration
    of ASME B31.3-2016 304.1.2 (from memory).
    """
    return need_mm >= od_mm / 6 - 1e-9 or pressure_share(given) > THICK_SHARE + 1e-9


def out_of_round(max_mm: float, min_mm: float, od_mm: float) -> Roundness:
    """Two caliper readings of one section, the largest and the smallest, against the nominal OD.

    Raises ValueError when the smallest is not over 0 or is over the largest.
    """
    if not 0 < min_mm <= max_mm or od_mm <= 0:
        raise ValueError(
            f"smallest diameter {min_mm:g} mm, largest {max_mm:g} mm: the smallest must be over 0 "
            "and not over the largest: measure again"
        )
    return Roundness((max_mm - min_mm) / od_mm)


def _check_radius(od_mm: float, radius_mm: float) -> None:
    if radius_mm <= od_mm / 2:
        raise ValueError(
            f"radius {radius_mm:g} mm: it must be over half the OD, {od_mm / 2:g} mm: check both"
        )
