"""What sizes and materials tell each other about springback.

In features of its own first guess every size has nearly the same curve. It is a normal tree:

    material ~ N(guess, ..)      size ~ N(its material, between)      scale ~ N(sensor, ..)

with a spread between sizes that is learnt: the one of a few that explains best what they tell.
Source: empirical Bayes for a normal hierarchy, Lindley and Smith, J. Roy. Stat. Soc. B 34 (1972) 1,
from memory.
"""

from math import exp, log
from typing import NamedTuple

from benchcalc.core.springback.evidence import Prior
from benchcalc.core.springback.first_guess import GUESS_MISS, Springback
from benchcalc.core.springback.judging import Judged
from benchcalc.core.springback.matrices import (
    NO_MATRIX,
    NO_VECTOR,
    Symmetric,
    Vector,
    added,
    apply,
    diagonal,
    dot,
    inverse,
    outer,
    plus,
)

MEAN: Vector = (1.0, 1.0, 0.0)
"""The guess itself: its offset, its slope, and no more dip than it has."""

DIP_MISS = 0.8
"""Relative standard deviation of the dip under 30 degrees, apart from the offset's. No source."""

WRONG_SHAPE, WRONG_LEVEL = 2.0, 2.5
"""A guess that is out of the usual: shape so many times as wide, and level by so many guesses."""

BETWEEN_SIZES: Symmetric = added(diagonal((0.2, 0.006, 0.06)), outer(MEAN), 0.008)
BETWEEN_MATERIALS: Symmetric = added(diagonal((0.4, 0.012, 0.1)), outer(MEAN), 0.02)
"""Variances from size to size of one material and from material to material, before any was learnt:
sizes share the metal and differ in legs and die; half of what a guess is off by. No source."""

SCALE_SHARE = 0.01
"""Standard deviation of what a bender's scale reads wrong in proportion: 2 % is not rare. A sensor
does not. Common practice, no source."""

SAME_SIZE = 1e-6
"""What one size differs from itself by: next to nothing, but a variance that can be inverted."""

TIMES = (0.3, 1.0, 3.0)
"""Spreads between sizes and materials that are tried, in variances."""


class LentBelief(NamedTuple):
    """What a size's bends say of its curve: a precision matrix and its vector."""

    info: Symmetric = NO_MATRIX
    vector: Vector = NO_VECTOR


class Other(NamedTuple):
    """Another size: whether it is of this material, or this very size pulled by other readings,
    what it tells, and by what share the scale in use here reads more than the one there, with its
    variance (none for the same scale)."""

    of_material: bool
    same_size: bool
    told: LentBelief
    share: float = 0.0
    share_var: float = 0.0

    def told_here(self, b: float) -> LentBelief:
        """What it tells in readings of the scale in use here, whose guess of the slope is ``b``."""
        if not self.share:
            return self.told
        by = apply(self.told.info, (0.0, self.share / b, 0.0))
        return LentBelief(self.told.info, plus(self.told.vector, by))


def prior_of(theory: Springback) -> Prior:
    """What is believed of a size from the guess alone."""
    a, b = theory.a_deg, theory.b
    narrow = (theory.var_a / (a * a), theory.cov_ab / (a * b), 0.0, theory.var_b / (b * b), 0.0)
    return _with_wrong(MEAN, (*narrow, DIP_MISS**2))


def _with_wrong(mean: Vector, narrow: Symmetric) -> Prior:
    level = outer(MEAN)
    wide = added(added(NO_MATRIX, narrow, WRONG_SHAPE**2), level, WRONG_LEVEL**2 - GUESS_MISS**2)
    return Prior(mean, narrow, wide)


def told_by(judged: Judged, prior: Prior) -> LentBelief:
    """What a judgement adds to the prior it began from."""
    fit = judged.best
    began, _ = inverse(prior.wide if fit.flags.wrong else prior.narrow)
    found, _ = inverse(fit.cov)
    info = added(found, began, -1.0)
    return LentBelief(info, plus(apply(found, fit.mean), apply(began, prior.mean), -1.0))


def _through(told: LentBelief, spread: Symmetric) -> tuple[LentBelief, float]:
    """What is said of a family by a member that differs from it by ``spread``; and its evidence.

    (info^-1 + spread)^-1, by way of spread^-1: info may be singular.
    """
    apart, det_apart = inverse(spread)
    within, det_within = inverse(added(told.info, apart))
    at = apply(within, told.vector)
    evidence = 0.5 * (dot(told.vector, at) - log(det_within / det_apart))
    return LentBelief(_less(apart, within), apply(apart, at)), evidence


def _less(apart: Symmetric, within: Symmetric) -> Symmetric:
    """apart - apart within apart"""
    a, b, c, d, e, f = apart
    columns = [apply(apart, apply(within, column)) for column in ((a, b, c), (b, d, e), (c, e, f))]
    x, y, z = columns
    return (a - x[0], b - x[1], c - x[2], d - y[1], e - y[2], f - z[2])


def _joined(told: list[LentBelief]) -> LentBelief:
    info, vector = NO_MATRIX, NO_VECTOR
    for one in told:
        info, vector = added(info, one.info), plus(vector, one.vector)
    return LentBelief(info, vector)


def _given(mean: Vector, cov: Symmetric, told: LentBelief) -> tuple[Vector, Symmetric, float]:
    """A normal belief after being told, and the evidence of it."""
    began, det_began = inverse(cov)
    after, det_after = inverse(added(began, told.info))
    before = apply(began, mean)
    at = apply(after, plus(before, told.vector))
    evidence = 0.5 * (
        dot(at, plus(before, told.vector)) - dot(mean, before) - log(det_after / det_began)
    )
    return at, after, evidence


def prior_shared(theory: Springback, others: list[Other]) -> Prior:
    """What is believed of a size before its own bends: the guess, and what others tell."""
    alone = prior_of(theory)
    if not others:
        return alone
    found = [_shared(theory, alone, others, times) for times in TIMES]
    top = max(evidence for _, _, evidence in found)
    worth = [exp(evidence - top) for _, _, evidence in found]
    total, mean, cov = sum(worth), NO_VECTOR, NO_MATRIX
    for part, (m, _, _) in zip(worth, found, strict=True):
        mean = plus(mean, m, part / total)
    for part, (m, c, _) in zip(worth, found, strict=True):
        cov = added(cov, added(c, outer(plus(m, mean, -1.0))), part / total)
    return _with_wrong(mean, cov)


def _shared(
    theory: Springback,
    alone: Prior,
    others: list[Other],
    times: float,
) -> tuple[Vector, Symmetric, float]:
    """The belief when sizes and materials differ by so many times what is usual."""
    sizes = added(NO_MATRIX, BETWEEN_SIZES, times)
    materials = added(NO_MATRIX, BETWEEN_MATERIALS, times)
    evidence = 0.0
    own: list[LentBelief] = []
    same: list[LentBelief] = []
    foreign: list[LentBelief] = []
    for other in others:
        scale = diagonal((SAME_SIZE, SAME_SIZE + other.share_var / theory.b**2, SAME_SIZE))
        apart = scale if other.same_size else added(sizes, scale)
        message, gained = _through(other.told_here(theory.b), apart)
        evidence += gained
        (own if other.same_size else same if other.of_material else foreign).append(message)
    told = _joined(same)
    if foreign:
        message, gained = _through(_joined(foreign), materials)
        told, evidence = _joined([told, message]), evidence + gained
    message, gained = _through(told, sizes)
    message = _joined([message, *own])
    mean, cov, more = _given(alone.mean, alone.narrow, message)
    return mean, cov, evidence + gained + more
