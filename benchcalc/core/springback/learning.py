"""Springback that the bench teaches: a straight line, learnt bend by bend in closed form.

For one size of tube on one bender theory gives q, the part of the loaded angle that comes back.
What is learnt is (a, c) in

    springback = a + c q L          (L the angle under load)

so that b = c q, and what one size teaches about c holds for the next. A lot differs from its
size, a size from its material, a material from theory; each step is a normal spread of its own:

    lot ~ N(size, LOT)     size ~ N(material, SIZE)     material ~ N((0, 1), what theory leaves)

Evidence is kept as information (a precision and its vector), five numbers, for every lot, size and
material that has any; it adds up, so the order in which lots are bent does not matter.
"""

from dataclasses import dataclass, field
from math import exp, pi, sqrt
from typing import NamedTuple, TypeVar

from benchcalc.core.job import Bender, Tube
from benchcalc.core.springback.first_guess import BEND_NOISE_DEG, Springback

READING_NOISE_DEG = 0.1
"""Standard deviation of one angle read by a sensor or a good gauge. Common practice, no source."""

SPRINGBACK_NOISE_DEG = 0.15
"""Standard deviation of springback itself from bend to bend. Common practice, no source."""

PULL_NOISE_DEG = 0.15
"""How far the loaded angle lies from the reading a hand was told to pull to; counts when only the
released angle was measured. Common practice, no source."""

GROSS_SHARE = 0.05
"""Readings that say nothing of the tube: it slipped, or a wrong key. A supposition, no source."""

GROSS_SPREAD_DEG = 8.0
"""How far such readings lie about. A supposition, no source."""

LOT_SPREAD = (0.15, 0.08)
SIZE_SPREAD = (0.25, 0.10)
"""Standard deviations of a (degrees) and c from lot to lot of one size, and from size to size of
one material. Common practice (lots differ by tenths of a degree on a square bend), no source."""

DOUBTED_UNDER = 0.5
"""A bend that counts less than half is shown as an outlier."""


class Evidence(NamedTuple):
    """Information about (a, c): the precision matrix and the information vector."""

    aa: float = 0.0
    ac: float = 0.0
    cc: float = 0.0
    ha: float = 0.0
    hc: float = 0.0

    def plus(self, other: "Evidence", sign: float = 1.0) -> "Evidence":
        """Both together; with ``sign`` -1 the other taken out again."""
        return Evidence(
            self.aa + sign * other.aa,
            self.ac + sign * other.ac,
            self.cc + sign * other.cc,
            self.ha + sign * other.ha,
            self.hc + sign * other.hc,
        )

    def through(self, spread: tuple[float, float]) -> "Evidence":
        """What evidence about one member says of its family, members differing by ``spread``.

        (A^-1 + T)^-1 = (I + A T)^-1 A, which holds for a singular A as well.
        """
        ta, tc = spread[0] ** 2, spread[1] ** 2
        m11, m12 = 1 + self.aa * ta, self.ac * tc
        m21, m22 = self.ac * ta, 1 + self.cc * tc
        det = m11 * m22 - m12 * m21
        return Evidence(
            (m22 * self.aa - m12 * self.ac) / det,
            (m22 * self.ac - m12 * self.cc) / det,
            (m11 * self.cc - m21 * self.ac) / det,
            (m22 * self.ha - m12 * self.hc) / det,
            (m11 * self.hc - m21 * self.ha) / det,
        )


NOTHING = Evidence()
K = TypeVar("K")


class Belief(NamedTuple):
    """A normal distribution of (a, c)."""

    a: float
    c: float
    var_a: float
    var_c: float
    cov: float

    def widened(self, spread: tuple[float, float]) -> "Belief":
        """About a member of the family this belief is about."""
        wider_a, wider_c = self.var_a + spread[0] ** 2, self.var_c + spread[1] ** 2
        return self._replace(var_a=wider_a, var_c=wider_c)

    def given(self, evidence: Evidence) -> "Belief":
        """The belief after evidence."""
        det = self.var_a * self.var_c - self.cov**2
        paa, pcc, pac = self.var_c / det, self.var_a / det, -self.cov / det
        ha = paa * self.a + pac * self.c + evidence.ha
        hc = pac * self.a + pcc * self.c + evidence.hc
        paa, pac, pcc = paa + evidence.aa, pac + evidence.ac, pcc + evidence.cc
        det = paa * pcc - pac * pac
        return Belief(
            (pcc * ha - pac * hc) / det,
            (paa * hc - pac * ha) / det,
            pcc / det,
            paa / det,
            -pac / det,
        )


@dataclass(frozen=True, slots=True)
class Size:
    """One size of tube in one material on one bender."""

    bender: str
    material: str
    od_mm: float
    wall_mm: float

    def tube(self, lot: str = "") -> Tube:
        """A tube of this size."""
        return Tube(self.od_mm, self.wall_mm, self.material, lot)


@dataclass(frozen=True, slots=True)
class LotKey:
    """What is learnt apart: a lot of one size. An empty lot is a lot like another."""

    size: Size
    lot: str


@dataclass(frozen=True, slots=True)
class Bent:
    """One confirmed bend: loaded and released angle.

    ``loaded_read`` is false when nobody read the loaded angle and the reading that was told stands
    for it. ``counts`` is the operator's word: None for by its weight, False for struck, True for
    restored and counted in full.
    """

    loaded_deg: float
    released_deg: float
    loaded_read: bool = True
    counts: bool | None = None

    @property
    def noise_deg(self) -> float:
        """Standard deviation of the measured springback about the line."""
        loaded = READING_NOISE_DEG if self.loaded_read else PULL_NOISE_DEG
        return sqrt(SPRINGBACK_NOISE_DEG**2 + READING_NOISE_DEG**2 + loaded**2)


class Family(NamedTuple):
    """A size's or a material's evidence, and how many bends it rests on."""

    evidence: Evidence = NOTHING
    bends: int = 0


@dataclass(frozen=True, slots=True)
class Taught:
    """All that a bench was taught: five numbers and a count for each lot, size and material."""

    lots: dict[LotKey, Family] = field(default_factory=dict, hash=False)
    sizes: dict[Size, Family] = field(default_factory=dict, hash=False)
    materials: dict[str, Family] = field(default_factory=dict, hash=False)


def key_of(tube: Tube, bender: Bender) -> LotKey:
    """Where bends of this tube on this bender are learnt."""
    return LotKey(Size(bender.key, tube.material, tube.od_mm, tube.wall_mm), tube.lot)


def belief_before(taught: Taught, key: LotKey, theory: Springback) -> Belief:
    """What is believed of a lot from everything but its own bends."""
    size, spreads = key.size, (LOT_SPREAD, SIZE_SPREAD)
    own_lot = taught.lots.get(key, Family()).evidence.through(LOT_SPREAD)
    all_lots = taught.sizes.get(size, Family()).evidence
    own_size = all_lots.through(SIZE_SPREAD)
    others = taught.materials.get(size.material, Family()).evidence.plus(own_size, -1.0)
    total_a, total_c = theory.var_a, theory.var_b / theory.b**2
    left_a = total_a - sum(s[0] ** 2 for s in spreads)
    left_c = max(total_c - sum(s[1] ** 2 for s in spreads), 0.25 * total_c)
    material = Belief(theory.a_deg, 1.0, left_a, left_c, 0.0).given(others)
    return material.widened(SIZE_SPREAD).given(all_lots.plus(own_lot, -1.0)).widened(LOT_SPREAD)


def belief_of(taught: Taught, key: LotKey, theory: Springback) -> Belief:
    """What is believed of a lot, its own bends counted."""
    before = belief_before(taught, key, theory)
    own = taught.lots.get(key)
    return before if own is None else before.given(own.evidence)


def springback_of(taught: Taught, key: LotKey, theory: Springback) -> Springback:
    """The bench model of a lot: a + b L with its spread, said to be measured once a bend counted.

    Without any evidence from this size or material it is the first guess itself.
    """
    if key.size.material not in taught.materials:
        return theory
    belief, q = belief_of(taught, key, theory), theory.b
    measured = taught.sizes.get(key.size, Family()).bends > 0
    return Springback(
        belief.a,
        belief.c * q,
        belief.var_a,
        belief.var_c * q * q,
        belief.cov * q,
        BEND_NOISE_DEG,
        "measured" if measured else "estimate",
    )


def weight_of(bent: Bent, belief: Belief, theory_b: float) -> float:
    """How much a bend counts: the chance that it is no gross error, given what was believed."""
    if bent.counts is not None:
        return 1.0 if bent.counts else 0.0
    u = theory_b * bent.loaded_deg
    off = bent.loaded_deg - bent.released_deg - (belief.a + belief.c * u)
    variance = belief.var_a + 2 * u * belief.cov + u * u * belief.var_c + bent.noise_deg**2
    sound = (1 - GROSS_SHARE) * _normal(off, variance)
    gross = GROSS_SHARE * _normal(off, variance + GROSS_SPREAD_DEG**2)
    return sound / (sound + gross)


def _normal(off: float, variance: float) -> float:
    return exp(-off * off / (2 * variance)) / sqrt(2 * pi * variance)


def teach(
    taught: Taught, key: LotKey, theory: Springback, bent: Bent, weight: float | None = None
) -> tuple[Taught, float]:
    """What is taught after one more confirmed bend, and how much that bend counted, 0 to 1.

    A weight that was found when the bend was made is given again when records are gone through, so
    that the same records teach the same.
    """
    if weight is None:
        weight = weight_of(bent, belief_of(taught, key, theory), theory.b)
    return _told(taught, key, _evidence(theory, bent, weight), 1), weight


def recount(taught: Taught, key: LotKey, theory: Springback, bent: Bent, by: float) -> Taught:
    """What is taught when a bend counts ``by`` more (or, negative, less) than it did."""
    return _told(taught, key, _evidence(theory, bent, by), 0)


def _evidence(theory: Springback, bent: Bent, weight: float) -> Evidence:
    u, delta = theory.b * bent.loaded_deg, bent.loaded_deg - bent.released_deg
    p = weight / bent.noise_deg**2
    return Evidence(p, p * u, p * u * u, p * delta, p * u * delta)


def _told(taught: Taught, key: LotKey, told: Evidence, bends: int) -> Taught:
    lot = taught.lots.get(key, Family())
    after = Family(lot.evidence.plus(told), lot.bends + bends)
    return _with_lot(taught, key, lot, after)


def _with_lot(taught: Taught, key: LotKey, before: Family, after: Family) -> Taught:
    """A lot's evidence replaced, here and in what its size and its material were told by it."""
    size = taught.sizes.get(key.size, Family())
    material = taught.materials.get(key.size.material, Family())
    more = after.bends - before.bends
    new_size = size.evidence.plus(before.evidence.through(LOT_SPREAD), -1.0).plus(
        after.evidence.through(LOT_SPREAD)
    )
    new_material = material.evidence.plus(size.evidence.through(SIZE_SPREAD), -1.0).plus(
        new_size.through(SIZE_SPREAD)
    )
    name = key.size.material
    return Taught(
        _with(taught.lots, key, after),
        _with(taught.sizes, key.size, Family(new_size, size.bends + more)),
        _with(taught.materials, name, Family(new_material, material.bends + more)),
    )


def _with(families: dict[K, Family], key: K, family: Family) -> dict[K, Family]:
    """Families with one replaced, or taken out when it rests on no bend any more."""
    if family.bends:
        return {**families, key: family}
    return {k: v for k, v in families.items() if k != key}


def forget(taught: Taught, key: LotKey) -> Taught:
    """What is left when a lot is reset: everything else stays."""
    lot = taught.lots.get(key)
    return taught if lot is None else _with_lot(taught, key, lot, Family())


def taught_by_lots(lots: dict[LotKey, Family]) -> Taught:
    """All that follows from what the lots were taught."""
    taught = Taught()
    for key, family in lots.items():
        taught = _with_lot(taught, key, Family(), family)
    return taught
