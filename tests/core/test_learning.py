"""The closed form against one large normal regression that knows nothing of levels or updates."""

import random
from dataclasses import replace

import numpy as np
import pytest

from benchcalc.core.job import Bender, Material, Tube
from benchcalc.core.springback.first_guess import Springback, bend_to, first_guess, overbend_spread
from benchcalc.core.springback.learning import (
    LOT_SPREAD,
    SIZE_SPREAD,
    Bent,
    LotKey,
    Size,
    Taught,
    belief_of,
    forget,
    key_of,
    springback_of,
    teach,
    weight_of,
)

STEEL = Material("304", (1275.0, 1400.0), (0.45, 0.44), 193000.0, 0.35)
BENDER = Bender("x", 6.35, 14.2875, 190.0, ())
TUBE = Tube(6.35, 0.889, "304", lot="A")
THEORY = first_guess(TUBE, BENDER, STEEL)
SURE = True


def keys(rng: random.Random, count: int) -> list[tuple[LotKey, Springback]]:
    """Lots of a few sizes in two materials, each size with a theory of its own."""
    found = []
    for _ in range(count):
        wall, material = rng.choice((0.7, 0.9, 1.2)), rng.choice(("304", "copper"))
        q = 0.02 * wall * (1.0 if material == "304" else 0.3)
        theory = Springback(0.0, q, 0.5**2, (0.3 * q) ** 2)
        found.append((LotKey(Size("x", material, 6.35, wall), rng.choice("AB")), theory))
    return found


def regression(
    lessons: list[tuple[LotKey, Springback, Bent]], key: LotKey, theory: Springback
) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of (a, c) of a lot by one joint normal over every lot that was bent."""
    rows = [(k, t, b) for k, t, b in lessons]
    tx, ts = np.diag(np.square(LOT_SPREAD)), np.diag(np.square(SIZE_SPREAD))

    def top(t: Springback) -> np.ndarray:
        total = np.diag([t.var_a, t.var_b / t.b**2])
        return np.diag(np.diag(total) - np.diag(tx) - np.diag(ts))

    def shared(k: LotKey, other: LotKey, t: Springback) -> np.ndarray:
        if k.size.material != other.size.material:
            return np.zeros((2, 2))
        both = top(t)
        both = both + ts if k.size == other.size else both
        return both + tx if k == other else both

    n = len(rows)
    cov, cross, off = np.zeros((n, n)), np.zeros((2, n)), np.zeros(n)
    xs = [np.array([1.0, t.b * b.loaded_deg]) for _, t, b in rows]
    for i, (ki, ti, bi) in enumerate(rows):
        off[i] = bi.loaded_deg - bi.released_deg - xs[i] @ np.array([0.0, 1.0])
        cross[:, i] = shared(key, ki, theory) @ xs[i]
        for j, (kj, _, _) in enumerate(rows):
            cov[i, j] = xs[i] @ shared(ki, kj, ti) @ xs[j]
        cov[i, i] += bi.noise_deg**2
    solved = np.linalg.solve(cov, cross.T).T
    mean = np.array([0.0, 1.0]) + solved @ off
    return mean, shared(key, key, theory) - solved @ cross.T


@pytest.mark.parametrize("seed", range(12))
def test_the_closed_form_is_the_joint_regression(seed: int) -> None:
    rng = random.Random(seed)
    lessons: list[tuple[LotKey, Springback, Bent]] = []
    taught = Taught()
    for key, theory in keys(rng, 40):
        loaded = rng.uniform(15, 180)
        bent = Bent(loaded, loaded * (1 - theory.b) - rng.gauss(0.2, 0.4), counts=SURE)
        lessons.append((key, theory, bent))
        taught, weight = teach(taught, key, theory, bent)
        assert weight == 1.0
    for key, theory in keys(rng, 12):
        mean, cov = regression(lessons, key, theory)
        belief = belief_of(taught, key, theory)
        assert (belief.a, belief.c) == pytest.approx(tuple(mean), abs=1e-8), seed
        assert (belief.var_a, belief.var_c, belief.cov) == pytest.approx(
            (cov[0, 0], cov[1, 1], cov[0, 1]), abs=1e-8
        )


def taught_by(bends: list[Bent], key: LotKey | None = None) -> Taught:
    taught = Taught()
    for bent in bends:
        taught, _ = teach(taught, key or key_of(TUBE, BENDER), THEORY, bent)
    return taught


def test_nothing_taught_is_the_first_guess() -> None:
    assert springback_of(Taught(), key_of(TUBE, BENDER), THEORY) is THEORY


def test_a_new_lot_size_and_material_start_wider_and_wider() -> None:
    bends = [Bent(90.0 + i, 87.0 + i, counts=SURE) for i in range(20)]
    taught = taught_by(bends)
    same = key_of(TUBE, BENDER)
    lot = key_of(replace(TUBE, lot="B"), BENDER)
    size = key_of(replace(TUBE, wall_mm=1.2), BENDER)
    material = key_of(replace(TUBE, material="copper"), BENDER)
    spreads = [
        overbend_spread(90.0, springback_of(taught, key, THEORY))
        for key in (same, lot, size, material)
    ]
    assert spreads == sorted(spreads)
    assert len({round(s, 6) for s in spreads}) == 4
    assert springback_of(taught, material, THEORY) is THEORY
    overs = [bend_to(90.0, springback_of(taught, k, THEORY)) for k in (same, lot, size, material)]
    assert overs == sorted(overs, reverse=True)  # each step falls back further towards theory
    sources = [springback_of(taught, k, THEORY).source for k in (same, lot, size, material)]
    assert sources == ["measured", "measured", "estimate", "estimate"]


def test_the_order_of_lots_does_not_matter() -> None:
    rng = random.Random(5)
    lessons = [
        (key, theory, Bent(90.0, 88.0 - rng.random(), counts=SURE)) for key, theory in keys(rng, 30)
    ]
    shuffled = rng.sample(lessons, len(lessons))
    one, other = Taught(), Taught()
    for key, theory, bent in lessons:
        one, _ = teach(one, key, theory, bent)
    for key, theory, bent in shuffled:
        other, _ = teach(other, key, theory, bent)
    for key, theory, _ in lessons:
        assert belief_of(one, key, theory) == pytest.approx(belief_of(other, key, theory), abs=1e-9)


def test_a_forgotten_lot_was_never_there() -> None:
    rng = random.Random(6)
    gone = LotKey(Size("x", "304", 6.35, 0.9), "gone")
    theory = Springback(0.0, 0.018, 0.25, (0.3 * 0.018) ** 2)
    with_it, without = Taught(), Taught()
    for key, own in keys(rng, 25):
        bent = Bent(90.0, 88.0 - rng.random(), counts=SURE)
        with_it, _ = teach(with_it, key, own, bent)
        without, _ = teach(without, key, own, bent)
        with_it, _ = teach(with_it, gone, theory, Bent(60.0, 57.0, counts=SURE))
    left = forget(with_it, gone)
    assert left.lots.keys() == without.lots.keys()
    assert left.sizes.keys() == without.sizes.keys()
    for key, own in keys(rng, 10):
        assert belief_of(left, key, own) == pytest.approx(belief_of(without, key, own), abs=1e-8)
    assert forget(left, gone) is left
    only = forget(taught_by([Bent(90.0, 88.0)]), key_of(TUBE, BENDER))
    assert only == Taught()


def test_a_slipped_tube_hardly_counts_and_a_restored_one_does() -> None:
    sound = [Bent(90.0, 87.9), Bent(60.0, 58.6), Bent(120.0, 117.2)]
    before = taught_by(sound)
    key = key_of(TUBE, BENDER)
    slipped = Bent(90.0, 81.0)
    told_a = belief_of(before, key, THEORY).a
    after, weight = teach(before, key, THEORY, slipped)
    assert weight < 1e-6
    assert belief_of(after, key, THEORY).a == pytest.approx(told_a, abs=1e-3)
    assert after.lots[key].bends == 4  # it is still there to be shown
    restored, weight = teach(before, key, THEORY, replace(slipped, counts=True))
    assert weight == 1.0
    assert belief_of(restored, key, THEORY).a > told_a + 0.3
    struck, weight = teach(before, key, THEORY, replace(sound[0], counts=False))
    assert weight == 0.0
    assert belief_of(struck, key, THEORY) == pytest.approx(belief_of(before, key, THEORY))


def test_the_weight_falls_with_the_residual() -> None:
    belief = belief_of(taught_by([Bent(90.0, 88.0)] * 5), key_of(TUBE, BENDER), THEORY)
    weights = [weight_of(Bent(90.0, 88.0 - off), belief, THEORY.b) for off in (0, 0.5, 1, 2, 4, 8)]
    assert weights == sorted(weights, reverse=True)
    assert weights[0] > 0.99
    assert weights[-1] < 1e-9


def test_a_loaded_angle_nobody_read_is_worth_less() -> None:
    read, told = Bent(90.0, 88.0), Bent(90.0, 88.0, loaded_read=False)
    assert told.noise_deg > read.noise_deg
    key = key_of(TUBE, BENDER)
    widths = [belief_of(taught_by([bent]), key, THEORY).var_a for bent in (read, told)]
    assert widths[0] < widths[1]
