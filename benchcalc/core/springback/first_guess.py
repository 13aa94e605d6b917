"""How far past the angle to pull: the first guess from theory, with an honest width.

Released from the loaded angle L the tube opens to T = L - D(L), where

    D(L) = a + b L - dip exp(-L/15)

b comes from elastic unloading of the bent ring, a from the straight legs beside it, which bend a
little too; under some 30 degrees the curve falls off towards nothing. Angles are degrees; moments
are N mm.
"""

from collections.abc import Callable
from math import degrees, exp, gamma, pi, sqrt
from typing import Literal

from benchcalc.core.frozen import frozen
from benchcalc.core.job import Bender, Material, Tube

Source = Literal["estimate", "measured"]

RAISED = 1.2
"""Elastic theory is raised by so much for ovality and the softer modulus on unloading: some 20 %.
Common practice, no source."""

ARM_DIAMETERS = 1.0
"""Length of each straight leg that bends elastically too, in diameters of the tube. 1 to 3 are
plausible; the least of them, because in finite-element bends half the springback at 90 degrees is
offset and it stands in place of the slope, not on top of it (assets/manual/springback.md)."""

FALL_DEG = 15.0
"""Under load angle over which the curve falls off. Read off finite-element bends of titanium tube
(assets/manual/springback.md): between 10 and 30 degrees."""

FALLS_BY = 0.5
"""How much of the offset is gone at 0 degrees by the same curves."""

OFFSET_MISS, SLOPE_MISS, GUESS_MISS = 1.6, 0.3, 0.35
"""Relative standard deviations of a, of b, and of both together: half to three times the guess.
Models of this kind miss measured tube springback by 14 to 39 % (Science Progress 2021, doi
10.1177/0036850420984303); the legs are only estimated. A supposition beyond that, no source."""

BEND_NOISE_DEG = 0.25
"""Standard deviation from one bend to the next on one bench: springback and the pull itself, 0.15
degrees each, and the gauge, 0.1. Common practice, no source."""

READING_NOISE_DEG = 0.1
"""Standard deviation of one angle read on a gauge, which is in the noise of bends that teach but
not in the tube. Common practice, no source."""

LOW_SHARE = 1.959963984540054
"""Standard normal deviate that leaves 2.5 % above it."""

CELLS = 64
"""Cells of the elastic core's quadrature; the core is a thousandth of the radius: ample."""


NEWTON_STEPS, SAME_DEG = 12, 1e-12
PULL_STEPS = 60
"""Halvings in search of a pull: to the last digit of a float."""

LEAST_OPENING = 0.05
"""Springback that took all of a pull would ask for pulls without end."""

FARTHEST_DEG = 400.0
"""No bench pulls farther; where springback has no end, this is what is said."""


@frozen
class Springback:
    """The curve a + b L - dip exp(-L/15) with the variances of its numbers and what they share.

    ``noise_deg`` is how much one bend differs from the next when the curve is known.
    """

    a_deg: float
    b: float
    var_a: float
    var_b: float
    cov_ab: float = 0.0
    noise_deg: float = BEND_NOISE_DEG
    source: Source = "estimate"
    dip_deg: float = 0.0
    var_dip: float = 0.0
    cov_a_dip: float = 0.0
    cov_b_dip: float = 0.0


def fall(loaded_deg: float) -> float:
    """exp(-L/15): how much of the dip there is at this angle under load, 1 at 0 degrees."""
    return exp(-max(loaded_deg, 0.0) / FALL_DEG)


def springback_at(loaded_deg: float, springback: Springback) -> float:
    """How far the tube opens when it is let go at this angle under load, degrees."""
    s = springback
    return s.a_deg + s.b * loaded_deg - s.dip_deg * fall(loaded_deg)


def springback_variance(loaded_deg: float, springback: Springback) -> float:
    """Variance of the curve itself at an angle under load, degrees**2; a bend's noise not in it."""
    s, e = springback, fall(loaded_deg)
    line = s.var_a + 2 * loaded_deg * s.cov_ab + loaded_deg**2 * s.var_b
    dip = e * (e * s.var_dip - 2 * s.cov_a_dip - 2 * loaded_deg * s.cov_b_dip)
    return max(line + dip, 0.0)


def opens_per_degree(loaded_deg: float, springback: Springback) -> float:
    """How much of one more degree of pull stays in the tube: 1 - dD/dL."""
    s = springback
    return 1 - s.b - s.dip_deg * fall(loaded_deg) / FALL_DEG


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

    b is the mean over the material's published pairs, raised; its spread is what theory misses and
    half the pairs' distance, as independent widths. a = q (arm + arm)/(2 R) in radians.
    """
    ratios = [
        springback_ratio(tube, bender.radius_mm, k, n, material.e_mpa)
        for k, n in zip(material.k_mpa, material.n, strict=True)
    ]
    half = RAISED * (max(ratios) - min(ratios)) / 2
    return guess_of_ratio(sum(ratios) / len(ratios), tube.od_mm / bender.radius_mm, half)


def guess_of_ratio(ratio: float, od_per_radius: float, half_pairs: float = 0.0) -> Springback:
    """The first guess from q alone and the tube's diameter in die radii."""
    return guessed(degrees(ratio * ARM_DIAMETERS * od_per_radius), RAISED * ratio, half_pairs)


def guessed(a_deg: float, b: float, half_pairs: float = 0.0) -> Springback:
    """A guess with its honest width, half to three times, from its two numbers."""
    together = GUESS_MISS**2
    return guess_with(
        a_deg,
        b,
        (OFFSET_MISS**2 + together) * a_deg**2,
        (SLOPE_MISS**2 + together) * b * b + half_pairs**2,
        together * a_deg * b,
    )


def guess_with(a_deg: float, b: float, var_a: float, var_b: float, cov_ab: float) -> Springback:
    """A guess with its dip, which goes with the offset, from what else there is to it."""
    return Springback(
        a_deg,
        b,
        var_a,
        var_b,
        cov_ab,
        dip_deg=FALLS_BY * a_deg,
        var_dip=FALLS_BY**2 * var_a,
        cov_a_dip=FALLS_BY * var_a,
        cov_b_dip=FALLS_BY * cov_ab,
    )


def _least_root(reaches: Callable[[float], float], up_to: float) -> float:
    """Where a rising function of the pull comes to 0, by halving; ``up_to`` where it never does."""
    low, high = 0.0, up_to
    if reaches(high) <= 0:
        return high
    for _ in range(PULL_STEPS):
        middle = (low + high) / 2
        low, high = (low, middle) if reaches(middle) > 0 else (middle, high)
    return high


def bend_to(angle_deg: float, springback: Springback) -> float:
    """The loaded angle that opens to ``angle_deg``, solved for L in L - D(L) = angle.

    A straight line has it in one step: (angle + a)/(1 - b).
    """
    s = springback
    if s.b < 1:
        pull = min((angle_deg + s.a_deg) / (1 - s.b), FARTHEST_DEG)
        if s.dip_deg == 0:
            return pull
        for _ in range(NEWTON_STEPS):  # a layout asks often, and two or three steps do
            stays = opens_per_degree(pull, s)
            if not LEAST_OPENING < stays < 2:
                break
            step = (pull - springback_at(pull, s) - angle_deg) / stays
            pull -= step
            if abs(step) < SAME_DEG:
                return min(pull, FARTHEST_DEG)
    return _least_root(lambda pull: pull - springback_at(pull, s) - angle_deg, FARTHEST_DEG)


def overbend_spread(angle_deg: float, springback: Springback) -> float:
    """Standard deviation, degrees, of the overbend this bend will need."""
    s = springback
    loaded = bend_to(angle_deg, s)
    spread = sqrt(springback_variance(loaded, s) + s.noise_deg**2)
    return spread / max(opens_per_degree(loaded, s), LEAST_OPENING)


def first_pull_to(angle_deg: float, tolerance_deg: float, springback: Springback) -> float:
    """The reading for the first pull: over is scrap, under is pulled again.

    The largest reading whose chance of coming out over ``angle_deg + tolerance_deg`` is at most
    2.5 %, and never past ``bend_to``; solved for L in
    L - D(L) + z sqrt(var D(L) + noise**2 - reading**2) = angle + tolerance: the tube itself varies
    less than what a gauge says of it.
    """
    s = springback
    varies = max(s.noise_deg**2 - READING_NOISE_DEG**2, 0.0)

    def reaches(pull: float) -> float:
        spread = sqrt(springback_variance(pull, s) + varies)
        return pull - springback_at(pull, s) + LOW_SHARE * spread - angle_deg - tolerance_deg

    most = bend_to(angle_deg, s)
    if reaches(0.0) > 0:
        return min(angle_deg, most) / 2
    return _least_root(reaches, most)


def further_pull_to(
    last_pull_deg: float, released_deg: float, angle_deg: float, springback: Springback
) -> float:
    """The absolute reading to pull an under-bent tube to: last loaded + shortfall/(1 - b).

    Pulling back only to the wanted angle is wholly elastic and changes nothing.
    """
    stays = max(opens_per_degree(last_pull_deg, springback), LEAST_OPENING)
    return last_pull_deg + (angle_deg - released_deg) / stays
