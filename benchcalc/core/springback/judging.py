"""All bends of one size judged anew, together: which of them count, and what curve they draw.

The flags of what is out of the usual (``evidence``) are looked for from several beginnings, and the
answers are averaged by their evidence: two bends that agree outvote any guess, one slip does not.
"""

from dataclasses import dataclass
from math import exp, log, sqrt

from benchcalc.core.springback.evidence import (
    NOISE_DEG,
    CurveFit,
    EvidenceRow,
    LotFit,
    Prior,
    Search,
)
from benchcalc.core.springback.matrices import (
    NO_MATRIX,
    NO_VECTOR,
    Symmetric,
    Vector,
    added,
    apply,
    dot,
    outer,
    plus,
    quadratic,
)

CHANGE_CHANCE = 1 / 200
"""Before one bend in so many the bender was set anew. A supposition, no source."""

SUSPECT = 4.0
"""A change is looked at where the running sum is off by so many standard deviations."""

ONE_COUNTS = 3.0
"""One bend counts at most so many standard deviations in that sum: a slip is no change."""

FEW = 4
"""Up to so many bends every one of them is tried as the only one that counts."""

WIDTH_ROUNDS = 4
NEGLIGIBLE = 1e-3


@dataclass(frozen=True)
class Judged:
    """What all bends together say: fits with what each is worth, adding up to 1."""

    rows: tuple[EvidenceRow, ...]
    fits: tuple[tuple[float, CurveFit], ...]
    evidence: float

    @property
    def best(self) -> CurveFit:
        """The likeliest fit."""
        return max(self.fits, key=lambda pair: pair[0])[1]

    @property
    def noise_deg(self) -> float:
        """Standard deviation from one bend to the next, as learnt."""
        return sqrt(sum(p * fit.widths.noise for p, fit in self.fits))

    def weights(self) -> list[float]:
        """The chance of each bend that it is sound, 0 to 1; the operator's word is 1."""
        found = [0.0] * len(self.rows)
        for p, fit in self.fits:
            for i, odds in enumerate(fit.odds):
                found[i] += p * _chance(odds)
        return [1.0 if row.fixed else p for row, p in zip(self.rows, found, strict=True)]

    def curve(self, lot: int | None) -> tuple[Vector, Symmetric]:
        """Mean and covariance of the curve of a lot; None is a lot that was never bent.

        A bend of which it is not sure whether it counts widens by what it would move.
        """
        parts = [(p, *_of_lot(self.rows, fit, lot)) for p, fit in self.fits]
        mean = NO_VECTOR
        for p, m, _ in parts:
            mean = plus(mean, m, p)
        cov = NO_MATRIX
        for p, m, c in parts:
            cov = added(cov, added(c, outer(plus(m, mean, -1.0))), p)
        return mean, cov


def _chance(odds: float) -> float:
    return 1 / (1 + exp(-max(min(odds, 40.0), -40.0)))


def _of_lot(
    rows: tuple[EvidenceRow, ...], fit: CurveFit, lot: int | None
) -> tuple[Vector, Symmetric]:
    """The curve of a lot under one fit, widened by the bends of which it is not sure."""
    of = _new_lot(fit) if lot is None else fit.lots[lot]
    mean, cov = of.mean, of.cov
    for row, sound, odds in zip(rows, fit.flags.sound, fit.odds, strict=True):
        chance = _chance(-abs(odds))
        if chance > NEGLIGIBLE and not row.fixed:
            gain = apply(of.cov, row.x) if row.lot == lot else _moves(fit, of, row)
            its = fit.lots[row.lot]
            off, lever = row.y_deg - dot(row.x, its.mean), quadratic(its.cov, row.x)
            noise = fit.widths.noise / row.fade
            by = -off / max(noise - lever, 1e-3 * noise) if sound else off / (noise + lever)
            mean = plus(mean, gain, chance * by)
            cov = added(cov, outer(gain), chance * (1 - chance) * by * by)
    return mean, cov


def _new_lot(fit: CurveFit) -> LotFit:
    """A lot of which nothing was bent; few lots leave open how widely they differ."""
    w = fit.widths
    spread = w.lot * w.lot_worth / (w.lot_worth - 2)
    cov = added(fit.cov, outer(w.curve), spread)
    return LotFit(fit.mean, cov, 0.0, spread, NO_VECTOR, NO_VECTOR)


def _moves(fit: CurveFit, of: LotFit, row: EvidenceRow) -> Vector:
    """What the curve of a lot has in common with a bend of another: their covariance times x."""
    its, curve = fit.lots[row.lot], fit.widths.curve
    level = dot(curve, row.x)
    gain = plus(apply(fit.cov, row.x), its.tied, level)
    return plus(gain, curve, dot(of.tied, row.x) - dot(of.pull, its.tied) * level)


def _beginnings(fit: CurveFit, count: int) -> list[tuple[list[bool], bool]]:
    """Where else to look: the guess the other way round, the newest bend a slip, or, with few
    bends, each of them as the only one that counts."""
    sound = list(fit.flags.sound)
    if count <= FEW:
        alone = [[i == k for i in range(count)] for k in range(count + 1)]
        return [(which, wrong) for which in (sound, *alone) for wrong in (False, True)]
    return [(sound, not fit.flags.wrong), ([*sound[:-1], False], fit.flags.wrong)]


def judged(rows: tuple[EvidenceRow, ...], lots: int, prior: Prior) -> Judged:
    """All bends of a size, judged together."""
    search = Search(rows, lots, prior)
    count = len(rows)
    search.wrong = True
    search.begin([True] * count)
    fits = [search.climb(WIDTH_ROUNDS)]
    for sound, wrong in _beginnings(fits[0], count):
        search.begin(sound)
        search.wrong = wrong
        fits.append(search.climb())
    apart = {fit.flags: fit for fit in fits[1:]} | {fits[0].flags: fits[0]}
    top = max(fit.evidence for fit in apart.values())
    worth = {flags: exp(fit.evidence - top) for flags, fit in apart.items()}
    total = sum(worth.values())
    kept = [(worth[f] / total, fit) for f, fit in apart.items() if worth[f] > 1e-4 * total]
    return Judged(rows, tuple(kept), top + log(total))


def judged_since(rows: tuple[EvidenceRow, ...], lots: int, prior: Prior) -> tuple[int, Judged]:
    """From which bend on they count, the bender having been set anew before it, and what they say.

    The place is where the residuals' running sum is farthest from what chance makes it; it is a
    change when both parts by themselves explain their bends better than one curve explains all.
    """
    whole = judged(rows, lots, prior)
    at = _likeliest_change(whole)
    if at == 0:
        return 0, whole
    before, after = judged(rows[:at], lots, prior), judged(rows[at:], lots, prior)
    if before.evidence + after.evidence + log(CHANGE_CHANCE) <= whole.evidence:
        return 0, whole
    since, last = judged_since(rows[at:], lots, prior)
    return at + since, last


def _likeliest_change(whole: Judged) -> int:
    fit = whole.best
    offs = []
    for row in whole.rows:
        off = (row.y_deg - dot(row.x, fit.lots[row.lot].mean)) * sqrt(row.fade) / NOISE_DEG
        offs.append(max(-ONE_COUNTS, min(ONE_COUNTS, off)))
    total, count = sum(offs), len(offs)
    best, at, ran = SUSPECT, 0, 0.0
    for k in range(1, count - 1):
        ran += offs[k - 1]
        off = abs(ran - total * k / count) / sqrt(k * (count - k) / count)
        if off > best:
            best, at = off, k
    return at
