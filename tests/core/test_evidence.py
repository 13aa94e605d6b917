"""The closed form against one large normal regression that knows nothing of lots or updates."""

import random
from math import log, pi

import numpy as np
import pytest

from benchcalc.core.springback.evidence import (
    ODD,
    SLIP_CHANCE,
    SLIP_DEG,
    CurveFit,
    EvidenceRow,
    Prior,
    Search,
)
from benchcalc.core.springback.judging import judged
from benchcalc.core.springback.matrices import Symmetric, inverse

PRIOR = Prior((1.0, 1.0, 0.0), (2.7, 0.12, 0.0, 0.21, 0.0, 0.64), (16.9, 6.6, 0.0, 7.0, 0.0, 2.56))


def square(m: Symmetric) -> np.ndarray:
    a, b, c, d, e, f = m
    return np.array([[a, b, c], [b, d, e], [c, e, f]])


def bends(rng: random.Random, count: int) -> tuple[tuple[EvidenceRow, ...], int]:
    lots = rng.randint(1, 5)
    rows = []
    for _ in range(count):
        x = (rng.uniform(0.3, 0.5), rng.uniform(0.5, 4.0), rng.uniform(0.0, 0.2))
        y = x[0] * 1.4 + x[1] * 1.2 + rng.gauss(0.0, 0.3)
        rows.append(EvidenceRow(x, y, rng.uniform(0.2, 1.0), rng.randrange(lots)))
    return tuple(rows), lots


def joint(
    fit: CurveFit, rows: list[tuple[EvidenceRow, bool]]
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Mean and covariance of the sound bends' springback, and their rows and readings."""
    w, flags = fit.widths, fit.flags
    sound = [row for row, counts in rows if counts]
    x, y = np.array([row.x for row in sound]), np.array([row.y_deg for row in sound])
    level = x @ np.array(w.curve)
    cov = x @ square(PRIOR.wide if flags.wrong else PRIOR.narrow) @ x.T
    for i, one in enumerate(sound):
        for j, other in enumerate(sound):
            if one.lot == other.lot:
                lot = w.lot * (ODD**2 if flags.odd[one.lot] else 1.0)
                cov[i, j] += lot * level[i] * level[j]
        cov[i, i] += w.noise / one.fade
    return x @ np.array(PRIOR.mean), cov, x, y


@pytest.mark.parametrize("seed", range(12))
def test_the_closed_form_is_the_joint_regression(seed: int) -> None:
    rng = random.Random(seed)
    rows, lots = bends(rng, rng.randint(2, 25))
    search = Search(rows, lots, PRIOR)
    search.begin([rng.random() < 0.8 for _ in rows])
    search.odd = [rng.random() < 0.3 for _ in range(lots)]
    search.wrong = rng.random() < 0.5
    fit, _ = search.solve()
    mean, cov, x, y = joint(fit, list(zip(rows, fit.flags.sound, strict=True)))
    prior = square(PRIOR.wide if search.wrong else PRIOR.narrow)
    gain = prior @ x.T @ np.linalg.inv(cov)
    assert fit.mean == pytest.approx(tuple(np.array(PRIOR.mean) + gain @ (y - mean)), abs=1e-7)
    assert square(fit.cov) == pytest.approx(prior - gain @ x @ prior, abs=1e-7)


@pytest.mark.parametrize("seed", range(6))
def test_the_odds_of_a_bend_are_those_of_leaving_it_out(seed: int) -> None:
    rng = random.Random(100 + seed)
    rows, lots = bends(rng, 9)
    search = Search(rows, lots, PRIOR)
    search.begin([True] * len(rows))
    fit, _ = search.solve()
    fit, _ = search.look(fit)
    for k, row in enumerate(rows):
        mean, cov, _, y = joint(fit, [(one, True) for one in rows])
        rest = [i for i in range(len(rows)) if i != k]
        across = cov[k, rest] @ np.linalg.inv(cov[np.ix_(rest, rest)])
        off = y[k] - mean[k] - across @ (y - mean)[rest]
        var = cov[k, k] - across @ cov[rest, k]
        wide = var + SLIP_DEG**2
        odds = log((1 - SLIP_CHANCE) / SLIP_CHANCE)
        odds += 0.5 * log(wide / var) - off**2 / 2 * (1 / var - 1 / wide)
        assert fit.odds[k] == pytest.approx(odds, abs=1e-6), row


@pytest.mark.parametrize("seed", range(6))
def test_the_evidence_of_bends_is_their_joint_density(seed: int) -> None:
    """Differences between sets of flags: what one bend more or less adds."""
    rng = random.Random(200 + seed)
    rows, lots = bends(rng, 8)
    found = []
    for counted in ([True] * 8, [True] * 7 + [False]):
        search = Search(rows, lots, PRIOR)
        search.begin(counted)
        fit, _ = search.solve()
        mean, cov, _, y = joint(fit, list(zip(rows, counted, strict=True)))
        off = y - mean
        density = -0.5 * (off @ np.linalg.inv(cov) @ off + np.linalg.slogdet(2 * pi * cov)[1])
        found.append((fit.evidence, density))
    (one, density), (other, less) = found
    assert one - other == pytest.approx(density - less, abs=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_what_a_lot_has_in_common_with_others_is_the_joint_covariance(seed: int) -> None:
    """By turning a bend of another lot over: the answer moves as leaving it out moves it."""
    rng = random.Random(300 + seed)
    rows, lots = bends(rng, 12)
    search = Search(rows, lots, PRIOR)
    search.begin([True] * 12)
    with_all, _ = search.solve()
    with_all, _ = search.look(with_all)
    search.turn(5)
    without, _ = search.solve()
    from benchcalc.core.springback.judging import _moves

    row = rows[5]
    for lot in range(lots):
        if lot == row.lot:
            continue
        of, its = with_all.lots[lot], with_all.lots[row.lot]
        gain = np.array(_moves(with_all, of, row))
        lever = np.array(row.x) @ square(its.cov) @ np.array(row.x)
        noise = with_all.widths.noise / row.fade
        off = row.y_deg - np.array(row.x) @ np.array(its.mean)
        moved = np.array(of.mean) - gain * off / (noise - lever)
        assert moved == pytest.approx(np.array(without.lots[lot].mean), abs=1e-7)


def test_a_matrix_times_its_inverse() -> None:
    m = (4.0, 1.0, 0.5, 3.0, 0.2, 2.0)
    inverted, det = inverse(m)
    assert square(m) @ square(inverted) == pytest.approx(np.eye(3), abs=1e-12)
    assert det == pytest.approx(np.linalg.det(square(m)))


def test_answers_are_worth_one_together() -> None:
    rng = random.Random(1)
    for count in (1, 2, 4, 5, 12):
        rows, lots = bends(rng, count)
        found = judged(rows, lots, PRIOR)
        assert sum(p for p, _ in found.fits) == pytest.approx(1.0, abs=1e-3 * count)
        assert len(found.weights()) == count
