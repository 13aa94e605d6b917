"""How far past the angle to pull: the first guess from theory, with an honest width.

Released from the loaded angle L the tube opens to T = L - (a + b L). The bench model is that
straight line; b comes from elastic unloading of the bent ring, a is small and unknown until the
bench has measured. Angles are degrees; moments are N mm.
"""

from dataclasses import dataclass
from math import gamma, pi, sqrt
from typing import Literal

from benchcalc.core.job import Bender, Material, Tube

Source = Literal["estimate", "measured"]

A_SPREAD_DEG = 0.5
"""Standard deviation of a before anything was measured: half the 1 degree by which benches of one
kind differ. Common practice (2 to 3 degrees over on a 90 of stainless) lies within two of it."""

THEORY_MISS = 0.27
"""Relative standard deviation of b by theory: models of this kind miss measured tube springback by
14 to 39 %. Source: Science Progress 2021, doi 10.1177/0036850420984303."""

BEND_NOISE_DEG = 0.15 * sqrt(2)
"""Standard deviation from one bend to the next on one bench: springback and the pull itself, 0.15
degrees each. Common practice, no source."""

LOW_SHARE = 1.959963984540054
"""Standard normal deviate that leaves 2.5 % above it."""

CELLS = 64
"""Cells of the elastic core's quadrature; the core is a thousandth of the radius: ample."""


@dataclass(frozen=True, slots=True)
class Springback:
    """The line a + b L with the variances of a and b and what they share.

    ``noise_deg`` is how much one bend differs from the next when a and b are known.
    """

    a_deg: float
    b: float
    var_a: float
    var_b: float
    cov_ab: float = 0.0
    noise_deg: float = BEND_NOISE_DEG
    source: Source = "estimate"


def ring_area_moment(od_mm: float, wall_mm: float) -> float:
    """Second moment of area of a tube's ring, mm**4: pi (D**4 - d**4)/64."""
    inner = od_mm - 2 * wall_mm
    return pi * (od_mm**4 - inner**4) / 64


def power_law_moment(
    od_mm: float, wall_mm: float, radius_mm: float, k_mpa: float, n: float
) -> float:
    """Moment, N mm, that holds a tube at ``radius_mm`` when stress = K strain**n all over the ring.

    M = (K/R**n) C (ro**(n+3) - ri**(n+3)), C = 2 sqrt(pi) Gamma(1+n/2)/((n+3) Gamma((n+3)/2)).
    n = 0 gives the plastic moment K (D**3 - d**3)/6.
    """
    outer, inner = od_mm / 2, od_mm / 2 - wall_mm
    shape: float = 2 * sqrt(pi) * gamma(1 + n / 2) / ((n + 3) * gamma((n + 3) / 2))
    ring: float = outer ** (n + 3) - inner ** (n + 3)
    spread: float = radius_mm**n
    return k_mpa / spread * shape * ring


def section_moment(
    od_mm: float, wall_mm: float, radius_mm: float, k_mpa: float, n: float, e_mpa: float
) -> float:
    """Moment, N mm, by the full law stress = min(E strain, K strain**n), strain = y/R.

    Equals the pure power law but for the fibres within y = R (K/E)**(1/(1-n)) of the middle, which
    are still elastic; there the power law's excess is taken off, by the midpoint rule in y.
    """
    total = power_law_moment(od_mm, wall_mm, radius_mm, k_mpa, n)
    elastic_to: float = min(radius_mm * (k_mpa / e_mpa) ** (1 / (1 - n)), od_mm / 2)
    outer, inner = od_mm / 2, od_mm / 2 - wall_mm
    step = elastic_to / CELLS
    excess = 0.0
    for cell in range(CELLS):
        y = (cell + 0.5) * step
        width = sqrt(outer**2 - y**2) - sqrt(max(inner**2 - y**2, 0.0))
        strain = y / radius_mm
        excess += (k_mpa * strain**n - e_mpa * strain) * y * width
    return total - 4 * excess * step


def springback_ratio(tube: Tube, radius_mm: float, k_mpa: float, n: float, e_mpa: float) -> float:
    """q = M R/(E I): the part of the loaded angle that elastic unloading gives back."""
    moment = section_moment(tube.od_mm, tube.wall_mm, radius_mm, k_mpa, n, e_mpa)
    return moment * radius_mm / (e_mpa * ring_area_moment(tube.od_mm, tube.wall_mm))


def first_guess(tube: Tube, bender: Bender, material: Material) -> Springback:
    """The springback of this tube on this die before the bench has measured any.

    b is the mean over the material's published pairs; its spread is what theory misses and half
    the pairs' distance, as independent widths.
    """
    ratios = [
        springback_ratio(tube, bender.radius_mm, k, n, material.e_mpa)
        for k, n in zip(material.k_mpa, material.n, strict=True)
    ]
    b = sum(ratios) / len(ratios)
    half = (max(ratios) - min(ratios)) / 2
    return Springback(0.0, b, A_SPREAD_DEG**2, (THEORY_MISS * b) ** 2 + half**2)


def bend_to(angle_deg: float, springback: Springback) -> float:
    """The loaded angle that opens to ``angle_deg``: (angle + a)/(1 - b)."""
    return (angle_deg + springback.a_deg) / (1 - springback.b)


def overbend_spread(angle_deg: float, springback: Springback) -> float:
    """Standard deviation, degrees, of the overbend this bend will need."""
    s = springback
    loaded = bend_to(angle_deg, s)
    line = s.var_a + 2 * loaded * s.cov_ab + loaded**2 * s.var_b
    return sqrt(line + s.noise_deg**2) / (1 - s.b)


def first_pull_to(angle_deg: float, tolerance_deg: float, springback: Springback) -> float:
    """The reading for the first pull: over is scrap, under is pulled again.

    The largest reading whose chance of coming out over ``angle_deg + tolerance_deg`` is at most
    2.5 %, and never past ``bend_to``; solved for L in
    L (1 - b) - a + z sqrt(var_a + 2 L cov + L**2 var_b + noise**2) = angle + tolerance.
    """
    s = springback
    reach = angle_deg + tolerance_deg + s.a_deg
    z2 = LOW_SHARE**2
    square = (1 - s.b) ** 2 - z2 * s.var_b
    linear = -2 * (reach * (1 - s.b) + z2 * s.cov_ab)
    constant = reach**2 - z2 * (s.var_a + s.noise_deg**2)
    if square <= 0 or constant <= 0:
        return min(angle_deg, bend_to(angle_deg, s)) / 2
    root = sqrt(max(linear**2 - 4 * square * constant, 0.0))
    lowest = (-linear - root) / (2 * square)
    return min(bend_to(angle_deg, s), max(lowest, 0.0))


def further_pull_to(
    last_pull_deg: float, released_deg: float, angle_deg: float, springback: Springback
) -> float:
    """The absolute reading to pull an under-bent tube to: last loaded + shortfall/(1 - b).

    Pulling back only to the wanted angle is wholly elastic and changes nothing.
    """
    return last_pull_deg + (angle_deg - released_deg) / (1 - springback.b)
