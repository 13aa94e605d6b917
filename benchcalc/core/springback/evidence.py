"""The evidence of bends with flags on what is out of the usual, and the climb to the best flags.

Springback of bend i in lot l is  y_i = (1 + e_l) x_i . t + noise,  x the three features of its
angle under load, t the size's curve, e_l how far the lot differs (so many per cent of all of it).
Each of these is as usual, or, seldom, it is not:

    a bend   noise N(0, s2 / fade_i)      or a slip      anywhere within SLIP_DEG
    a lot    e_l ~ N(0, lot2)             or odd         ODD times as wide
    the guess  t ~ N(m, narrow)           or wrong       N(m, wide)

With these flags set everything is normal and in closed form. The flags are found by turning over
the one that betters the evidence most until none does.

Source: normal regression with an outlier flag for each observation, Box and Tiao, Biometrika 55
(1968) 119; widths by expectation maximization, Dempster, Laird and Rubin, J. Roy. Stat. Soc. B 39
(1977) 1; a bend left out in closed form, Allen, Technometrics 16 (1974) 125. All from memory.
"""

from math import log, pi, sqrt
from typing import NamedTuple

from benchcalc.core.springback.matrices import (
    NO_MATRIX,
    NO_VECTOR,
    Symmetric,
    Vector,
    added,
    apply,
    both,
    dot,
    inverse,
    outer,
    plus,
)

SLIP_CHANCE = 1 / 30
"""One bend in so many is a slip or a wrong key. A supposition, no source."""

ALONE_SLIP_CHANCE = 0.5
"""Of a bend alone nobody can say: until another bears it out, it does little more than widen."""

SLIP_DEG = 4.0
"""Standard deviation of what a slip reads beside what it should. A supposition, no source."""

NOISE_DEG, NOISE_WORTH = 0.25, 8.0
"""One bend to the next on one bench before any was made, and how many bends that supposition is
worth. Common practice (0.15 degrees each for springback and pull, 0.1 for the gauge), no source."""

LOT_SPREAD, LOT_WORTH = 0.14, 5.0
"""Lots differ by so much of springback (8 to 20 % is common, no source), worth so many lots."""

ODD_CHANCE, ODD = 0.03, 5.0
"""One lot or guess in so many is out of the usual, and how many times as wide. No source."""

LEAST_LEVEL = 0.5
"""Of springback as it was believed, what lots at least differ by a share of. No source."""

MOST_TURNS = 60


class EvidenceRow(NamedTuple):
    """One bend: features, springback (degrees), how much of it is left after fading, its lot.

    ``fixed`` is the operator's word that it counts.
    """

    x: Vector
    y_deg: float
    fade: float
    lot: int
    fixed: bool = False


class Prior(NamedTuple):
    """What is believed of a size's curve before its bends, as usual and when the guess is wrong."""

    mean: Vector
    narrow: Symmetric
    wide: Symmetric


class Flags(NamedTuple):
    """What is out of the usual."""

    sound: tuple[bool, ...]
    odd: tuple[bool, ...]
    wrong: bool


class Widths(NamedTuple):
    """Learnt spreads: variance of a bend, degrees**2, and of a lot, a share squared; the latter's
    degrees of freedom; and the curve that a lot's share is taken of."""

    noise: float
    lot: float
    lot_worth: float
    curve: Vector


class LotFit(NamedTuple):
    """The curve of one lot: mean and covariance, its share of the size's and that one's variance.

    ``tied`` is how the share goes with the size's curve, ``pull`` what of that moves the share.
    """

    mean: Vector
    cov: Symmetric
    share: float
    share_var: float
    tied: Vector
    pull: Vector


class CurveFit(NamedTuple):
    """The normal answer under one set of flags."""

    flags: Flags
    widths: Widths
    mean: Vector
    cov: Symmetric
    lots: tuple[LotFit, ...]
    evidence: float
    odds: tuple[float, ...]


class _Lot:
    """The sums of a lot's sound bends, unscaled by the noise."""

    __slots__ = ("bends", "s", "v")

    def __init__(self) -> None:
        self.s, self.v, self.bends = NO_MATRIX, NO_VECTOR, 0

    def count(self, row: EvidenceRow, sign: int) -> None:
        """One more sound bend, or one less."""
        p = sign * row.fade
        self.s = added(self.s, outer(row.x), p)
        self.v = plus(self.v, row.x, p * row.y_deg)
        self.bends += sign


class Search:
    """One climb: flags turned over one by one, the sums kept along."""

    def __init__(self, rows: tuple[EvidenceRow, ...], lots: int, prior: Prior) -> None:
        self.rows, self.prior = rows, prior
        self.sound, self.odd, self.wrong = [False] * len(rows), [False] * lots, False
        self.lots = [_Lot() for _ in range(lots)]
        self.squares_of = [
            (x * x, 2 * x * y, 2 * x * z, y * y, 2 * y * z, z * z) for (x, y, z), *_ in rows
        ]
        self.squares, self.fades = 0.0, 0.0
        self.logs = 0.0
        self.noise, self.lot, self.lot_worth = NOISE_DEG**2, LOT_SPREAD**2, LOT_WORTH
        self.curve_of_share = prior.mean
        self.slip_chance = SLIP_CHANCE if len(rows) > 1 else ALONE_SLIP_CHANCE

    def turn(self, i: int) -> None:
        """Count a bend that was not counted, or the other way."""
        row = self.rows[i]
        sign = -1 if self.sound[i] else 1
        self.sound[i] = not self.sound[i]
        self.lots[row.lot].count(row, sign)
        self.squares += sign * row.fade * row.y_deg**2
        self.logs += sign * (0.5 * log(row.fade / (2 * pi)))
        self.fades += sign * row.fade

    def begin(self, which: list[bool]) -> None:
        """Begin with these bends sound and nothing else out of the usual."""
        for i, wanted in enumerate(which):
            wanted = wanted or self.rows[i].fixed
            if wanted != self.sound[i]:
                self.turn(i)
        self.odd = [False] * len(self.odd)

    def solve(self) -> tuple[CurveFit, float]:
        """The normal answer under the flags as they are, and what turning the guess is worth."""
        info, vector, left = NO_MATRIX, NO_VECTOR, self.squares / self.noise
        evidence = self.logs - 0.5 * log(self.noise) * sum(lot.bends for lot in self.lots)
        share, each = self.curve_of_share, []
        for lot, odd in zip(self.lots, self.odd, strict=True):
            spread = self.lot * (ODD * ODD if odd else 1.0)
            s = apply(lot.s, share)
            u = (s[0] / self.noise, s[1] / self.noise, s[2] / self.noise)
            t = dot(share, lot.v) / self.noise
            var = 1 / (1 / spread + dot(u, share))
            info = added(added(info, lot.s, 1 / self.noise), outer(u), -var)
            vector = plus(plus(vector, lot.v, 1 / self.noise), u, -var * t)
            left -= var * t * t
            evidence += 0.5 * log(var / spread) + log(ODD_CHANCE if odd else 1 - ODD_CHANCE)
            each.append((u, t, var))
        usual = _posterior(self.prior.mean, self.prior.narrow, info, vector, left)
        wrong = _posterior(self.prior.mean, self.prior.wide, info, vector, left)
        gains = (usual[0] + log(1 - ODD_CHANCE), wrong[0] + log(ODD_CHANCE))
        _, mean, cov = wrong if self.wrong else usual
        lots = tuple(_lot_fit(mean, cov, share, *sums) for sums in each)
        widths = Widths(self.noise, self.lot, self.lot_worth, share)
        flags = Flags(tuple(self.sound), tuple(self.odd), self.wrong)
        evidence += gains[self.wrong]
        turned = gains[not self.wrong] - gains[self.wrong]
        return CurveFit(flags, widths, mean, cov, lots, evidence, ()), turned

    def look(self, fit: CurveFit) -> tuple[CurveFit, float]:
        """The odds of each bend from all others, and the sum of sound bends' squares."""
        odds, squares, slips = [], 0.0, 0.0
        prior_odds, slip2 = log((1 - self.slip_chance) / self.slip_chance), SLIP_DEG**2
        known = [of[:2] for of in fit.lots]
        rows = zip(self.rows, self.squares_of, self.sound, strict=True)
        for ((x0, x1, x2), y, fade, lot, _), (p, q, r, s, t, u), sound in rows:
            (at0, at1, at2), (a, b, c, d, e, f) = known[lot]
            off = y - x0 * at0 - x1 * at1 - x2 * at2
            lever = a * p + b * q + c * r + d * s + e * t + f * u
            noise = self.noise / fade
            if sound:
                squares += fade * (off * off + lever)
                part = max(1 - lever / noise, 1e-3)
                off, lever = off / part, lever / part
            var = lever + noise
            wide = var + slip2
            odds.append(prior_odds + 0.5 * (log(wide / var) - off * off * (1 / var - 1 / wide)))
            if not sound:
                slips += log(self.slip_chance / sqrt(2 * pi * wide)) - 0.5 * off * off / wide
        count = sum(self.sound)
        evidence = fit.evidence + slips + count * log(1 - self.slip_chance)
        return fit._replace(odds=tuple(odds), evidence=evidence), squares

    def learn_widths(self, fit: CurveFit, squares: float) -> None:
        """One round of expectation maximization of the spreads of bends and lots."""
        self.noise = (NOISE_WORTH * NOISE_DEG**2 + squares) / (NOISE_WORTH + self.fades)
        told = [
            of.share**2 + of.share_var
            for of, lot, odd in zip(fit.lots, self.lots, self.odd, strict=True)
            if lot.bends and not odd
        ]
        self.lot_worth = LOT_WORTH + len(told)
        self.lot = (LOT_WORTH * LOT_SPREAD**2 + sum(told)) / self.lot_worth

    def climb(self, rounds: int = 0) -> CurveFit:
        """Turn over what betters the evidence most until nothing does, or it comes round again.

        Then, ``rounds`` times, learn the spreads and go on from there.
        """
        seen = set()
        for _ in range(MOST_TURNS):
            fit, wrong = self.solve()
            fit, squares = self.look(fit)
            gain, which = self._best_turn(fit, wrong)
            if gain > 0 and fit.flags not in seen:
                seen.add(fit.flags)
                self._turn_over(which)
            elif rounds:
                rounds -= 1
                self.learn_widths(fit, squares)
                self.curve_of_share = self._curve_of_share(fit.mean)
            else:
                break
        return fit

    def _curve_of_share(self, mean: Vector) -> Vector:
        """What a lot differs by a share of: the size's curve, or half of what was believed of it
        where hardly anything springs back: lots of such tube are not all the same."""
        believed = self.prior.mean
        least = LEAST_LEVEL * (believed[0] + believed[1])
        if mean[0] + mean[1] > least:
            return mean
        return (LEAST_LEVEL * believed[0], LEAST_LEVEL * believed[1], LEAST_LEVEL * believed[2])

    def _best_turn(self, fit: CurveFit, wrong: float) -> tuple[float, int]:
        """How much the best turn betters the evidence, and which it is: bends, lots, the guess."""
        best, which = 1e-9, -1
        for i, (odds, sound) in enumerate(zip(fit.odds, self.sound, strict=True)):
            gain = -odds if sound else odds
            if gain > best and not self.rows[i].fixed:
                best, which = gain, i
        count = len(self.rows)
        for i, of in enumerate(fit.lots):
            gain = self._lot_gain(i, of.share, of.share_var)
            if gain > best:
                best, which = gain, count + i
        if wrong > best:
            best, which = wrong, count + len(self.odd)
        return (best, which) if which >= 0 else (0.0, which)

    def _lot_gain(self, i: int, e: float, v: float) -> float:
        """What the evidence gains when a lot is turned odd, or usual again."""
        usual, odd = self.lot, self.lot * ODD * ODD
        now, then = (odd, usual) if self.odd[i] else (usual, odd)
        left = 1 / v - 1 / now
        if left <= 1e-9:
            return 0.0
        at, var = e / v / left, 1 / left
        chance = log(ODD_CHANCE / (1 - ODD_CHANCE)) * (-1 if self.odd[i] else 1)
        a, b = var + now, var + then
        return chance + 0.5 * (log(a / b) + at * at * (1 / a - 1 / b))

    def _turn_over(self, which: int) -> None:
        count = len(self.rows)
        if which < count:
            self.turn(which)
        elif which < count + len(self.odd):
            self.odd[which - count] = not self.odd[which - count]
        else:
            self.wrong = not self.wrong


def _posterior(
    mean: Vector, cov: Symmetric, info: Symmetric, vector: Vector, left: float
) -> tuple[float, Vector, Symmetric]:
    """Evidence, mean and covariance of a curve from its prior and the bends' information."""
    precision, det = inverse(cov)
    before = apply(precision, mean)
    after, information = inverse(added(precision, info))
    at = apply(after, plus(before, vector))
    misfit = left + dot(mean, before) - dot(at, plus(before, vector))
    return -0.5 * (misfit + log(det) + log(information)), at, after


def _lot_fit(
    mean: Vector, cov: Symmetric, curve: Vector, u: Vector, t: float, var: float
) -> LotFit:
    """A lot's own curve, (1 + share) times the size's, from its sums and the size's."""
    share, pull = var * (t - dot(u, mean)), (var * u[0], var * u[1], var * u[2])
    tied = apply(cov, (-pull[0], -pull[1], -pull[2]))
    share_var = var - dot(pull, tied)
    own = added(added(cov, both(tied, curve)), outer(curve), share_var)
    return LotFit(plus(mean, curve, share), own, share, share_var, tied, pull)
