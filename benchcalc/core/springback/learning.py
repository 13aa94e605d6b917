"""Springback that the bench teaches: its bends are kept, and judged anew, together, when asked.

Nothing is worked out when a bend is taught: it is put with the others of its size, the newest of
which are kept. What a size says is found from all of them at once (``judging``); what other sizes
and materials say comes in as the belief it starts from (``sharing``). A reading of the bender's own
scale and one of a sensor are not the same thing, since a scale may read wrong in proportion: bends
pulled by the one and by the other are learnt apart, like two sizes.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from benchcalc.core.frozen import frozen, replace
from benchcalc.core.job import Bender, Tube
from benchcalc.core.springback.evidence import EvidenceRow, Prior
from benchcalc.core.springback.first_guess import (
    FALLS_BY,
    Springback,
    fall,
)
from benchcalc.core.springback.gauge import Gauge, GaugeCheck, ScaleCheck
from benchcalc.core.springback.judging import Judged, judged_since
from benchcalc.core.springback.matrices import Symmetric, Vector
from benchcalc.core.springback.sharing import (
    SCALE_SHARE,
    LentBelief,
    Other,
    prior_of,
    prior_shared,
    told_by,
)

KEPT = 150
"""How many of the newest bends of a size are kept; older ones have faded to a sixth and less."""

HALF_BENDS = 60.0
"""After so many newer bends of its size one counts half: tools wear, benders are set anew."""

DOUBTED_UNDER = 0.5
"""A bend that counts less than half is shown as an outlier."""


@frozen
class Size:
    """One size of tube in one material on one bender."""

    bender: str
    material: str
    od_mm: float
    wall_mm: float

    def tube(self, lot: str = "") -> Tube:
        """A tube of this size."""
        return Tube(self.od_mm, self.wall_mm, self.material, lot)


@frozen
class LotKey:
    """A lot of one size. An empty lot is a new one each day."""

    size: Size
    lot: str


@frozen
class Bent:
    """One confirmed bend: loaded and released angle.

    ``loaded_read`` tells a loaded angle that a sensor read from one on the bender's scale.
    ``counts`` is the operator's word: None for by its weight, False for struck, True for restored
    and counted in full.
    """

    loaded_deg: float
    released_deg: float
    loaded_read: bool = True
    counts: bool | None = None


class Kept(NamedTuple):
    """A bend as it is kept: its lot, the day it was made, and where its record is."""

    bent: Bent
    lot: str = ""
    day: str = ""
    sequence: int = 0
    number: int = 0

    @property
    def bundle(self) -> tuple[str, str]:
        """What is a lot of its own: a named one, or a day."""
        return (self.lot, "" if self.lot else self.day)


class Group(NamedTuple):
    """What is learnt apart: a size, its bends pulled by a sensor or by the bender's scale."""

    size: Size
    read: bool


@dataclass(frozen=True)
class Bends:
    """The newest bends of a group, in the order they were made, and the guess they began from."""

    theory: Springback
    kept: tuple[Kept, ...]

    @cached_property
    def counted(self) -> tuple[Kept, ...]:
        """Those that the operator did not strike."""
        return tuple(one for one in self.kept if one.bent.counts is not False)

    @cached_property
    def bundles(self) -> dict[tuple[str, str], int]:
        """The lots among them, numbered."""
        return {bundle: i for i, bundle in enumerate(dict.fromkeys(k.bundle for k in self.counted))}

    def rows(self, theory: Springback) -> tuple[EvidenceRow, ...]:
        """What there is to judge; a bend of theory's size is 1, 1, 0 in these features."""
        newest = len(self.counted) - 1
        return tuple(
            EvidenceRow(
                features(one.bent.loaded_deg, theory),
                one.bent.loaded_deg - one.bent.released_deg,
                2.0 ** ((i - newest) / HALF_BENDS),
                self.bundles[one.bundle],
                one.bent.counts is True,
            )
            for i, one in enumerate(self.counted)
        )

    def judged(self, theory: Springback, prior: Prior) -> tuple[int, Judged]:
        """From which counted bend on they hold, and what they say together."""
        return judged_since(self.rows(theory), len(self.bundles), prior)

    @cached_property
    def told(self) -> LentBelief:
        """What these bends by themselves tell others of their material."""
        prior = prior_of(self.theory)
        return told_by(self.judged(self.theory, prior)[1], prior)


@dataclass(frozen=True, slots=True)
class Taught:
    """All that a bench was taught; ``lots`` counts the bends that each lot ever had.

    ``gauges`` and ``scales``, by bender, are what checks of them found.
    """

    groups: dict[Group, Bends] = field(default_factory=dict, hash=False)
    lots: dict[LotKey, int] = field(default_factory=dict, hash=False)
    gauges: dict[Gauge, GaugeCheck] = field(default_factory=dict, hash=False)
    scales: dict[str, ScaleCheck] = field(default_factory=dict, hash=False)


def features(loaded_deg: float, theory: Springback) -> Vector:
    """What offset, slope and dip of the guess come to at an angle under load, degrees."""
    a, e = theory.a_deg, fall(loaded_deg)
    return (a * (1 - FALLS_BY * e), theory.b * loaded_deg, a * e)


def key_of(tube: Tube, bender: Bender) -> LotKey:
    """Where bends of this tube on this bender are learnt."""
    return LotKey(Size(bender.key, tube.material, tube.od_mm, tube.wall_mm), tube.lot)


def teach(
    taught: Taught,
    key: LotKey,
    theory: Springback,
    bent: Bent,
    day: str = "",
    sequence: int = 0,
    number: int = 0,
) -> Taught:
    """What is taught after one more confirmed bend, made on ``day`` (its lot when it has no name).

    ``sequence`` and ``number`` say which bend of which record it was, for a later word on it.
    """
    group = Group(key.size, bent.loaded_read)
    before = taught.groups.get(group)
    kept = Kept(bent, key.lot, day, sequence, number)
    bends = Bends(theory, ((*before.kept, kept) if before else (kept,))[-KEPT:])
    # Taken out first: what was bent last stands last.
    groups = {g: b for g, b in taught.groups.items() if g != group} | {group: bends}
    lots = {**taught.lots, key: taught.lots.get(key, 0) + 1}
    return replace(taught, groups=groups, lots=lots)


def with_word(taught: Taught, key: LotKey, sequence: int, number: int, counts: bool) -> Taught:
    """What is taught when the operator strikes a bend or restores it; it stays to be shown."""
    groups = dict(taught.groups)
    for group, bends in taught.groups.items():
        if group.size == key.size:
            kept = tuple(
                one._replace(bent=replace(one.bent, counts=counts))
                if (one.lot, one.sequence, one.number) == (key.lot, sequence, number)
                else one
                for one in bends.kept
            )
            groups[group] = replace(bends, kept=kept)
    return replace(taught, groups=groups)


def forget(taught: Taught, key: LotKey) -> Taught:
    """What is left when a lot is begun anew: everything else stays."""
    groups = {}
    for group, bends in taught.groups.items():
        kept = bends.kept
        if group.size == key.size:
            kept = tuple(one for one in kept if one.lot != key.lot)
        if kept:
            groups[group] = bends if len(kept) == len(bends.kept) else replace(bends, kept=kept)
    lots = {k: count for k, count in taught.lots.items() if k != key}
    return replace(taught, groups=groups, lots=lots)


def together(each: Iterable[Taught]) -> Taught:
    """What several benches taught, as if one had made all their bends one after the other."""
    groups: dict[Group, Bends] = {}
    lots: dict[LotKey, int] = {}
    for taught in each:
        for group, bends in taught.groups.items():
            before = groups[group].kept if group in groups else ()
            groups[group] = replace(bends, kept=(*before, *bends.kept)[-KEPT:])
        for key, count in taught.lots.items():
            lots[key] = lots.get(key, 0) + count
    return Taught(groups, lots)


def group_in_use(taught: Taught, size: Size) -> Group:
    """By which readings this size is bent now: those of its newest bend."""
    found = [group for group in taught.groups if group.size == size]
    return found[-1] if found else Group(size, read=False)


class Belief(NamedTuple):
    """What all bends say of one group."""

    bends: Bends
    since: int
    judged: Judged


def belief_of(taught: Taught, group: Group, theory: Springback) -> Belief | None:
    """All bends of a group judged together, begun from what others say; None without bends."""
    bends = taught.groups.get(group)
    if bends is None or not bends.counted:
        return None
    return Belief(bends, *bends.judged(theory, _prior(taught, group, theory)))


def _prior(taught: Taught, group: Group, theory: Springback) -> Prior:
    others = [
        Other(
            other.size.material == group.size.material,
            other.size == group.size,
            bends.told,
            *_scales_between(taught, group, other),
        )
        for other, bends in taught.groups.items()
        if other != group and bends.counted
    ]
    return prior_shared(theory, others)


def _scales_between(taught: Taught, one: Group, other: Group) -> tuple[float, float]:
    """By what share the scale of one group reads more than that of the other, and its variance.

    The same scale reads both equally wrong; a sensor is taken to read in proportion right.
    """
    if one.size.bender == other.size.bender and one.read == other.read:
        return 0.0, 0.0
    (share, var), (other_share, other_var) = _scale_of(taught, one), _scale_of(taught, other)
    return share - other_share, var + other_var


def _scale_of(taught: Taught, group: Group) -> tuple[float, float]:
    if group.read:
        return 0.0, 0.0
    check = taught.scales.get(group.size.bender)
    return (0.0, SCALE_SHARE**2) if check is None else (check.share, (check.within / 2) ** 2)


def springback_of(
    taught: Taught, key: LotKey, theory: Springback, day: str = "", read: bool | None = None
) -> Springback:
    """The curve of a lot with its spread, said to be measured once its size was bent.

    ``day`` is today, which is the lot of a tube without one; ``read`` asks for the readings of a
    sensor or, False, of the bender's scale: without it, for what this size was bent by last.
    Without any bend to learn from it is the first guess itself.
    """
    group = group_in_use(taught, key.size) if read is None else Group(key.size, read)
    belief = belief_of(taught, group, theory)
    if belief is None:
        prior = _prior(taught, group, theory)
        if prior == prior_of(theory):
            return theory
        return _springback(theory, prior.mean, prior.narrow, theory.noise_deg, theory)
    bends, _, judged = belief
    lot = bends.bundles.get(Kept(Bent(0.0, 0.0), key.lot, day).bundle)
    bent = {row.lot for row in judged.rows}
    mean, cov = judged.curve(lot if lot in bent else None)
    found = _springback(theory, mean, cov, judged.noise_deg, theory)
    check = None if group.read else taught.gauges.get("protractor")
    left_open = 0.0 if check is None else (check.within_deg / 2) ** 2
    return replace(found, var_a=found.var_a + left_open, source="measured")


def _springback(
    theory: Springback, mean: Vector, cov: Symmetric, noise_deg: float, guess: Springback
) -> Springback:
    """A curve in features of the guess as a + b L - dip exp(-L/15): dip = (alpha/2 - delta) a."""
    a, b, f = guess.a_deg, guess.b, FALLS_BY
    aa, ac, ad, cc, cd, dd = cov
    return Springback(
        a * mean[0],
        b * mean[1],
        a * a * aa,
        b * b * cc,
        a * b * ac,
        noise_deg,
        "estimate",
        a * (f * mean[0] - mean[2]),
        a * a * (f * f * aa - 2 * f * ad + dd),
        a * a * (f * aa - ad),
        a * b * (f * ac - cd),
    )


def weights_of(taught: Taught, key: LotKey, theory: Springback) -> dict[tuple[int, int], float]:
    """How much each bend of a lot counts now, 0 to 1, by its record and number in it.

    A bend from before the bender was set anew counts 0, like one that was struck.
    """
    found: dict[tuple[int, int], float] = {}
    for group, bends in taught.groups.items():
        if group.size != key.size:
            continue
        for one, weight in zip(bends.kept, weights_in(taught, group, theory), strict=True):
            if one.lot == key.lot:
                found[one.sequence, one.number] = weight
    return found


def weights_in(taught: Taught, group: Group, theory: Springback) -> list[float]:
    """How much each kept bend of a group counts now, 0 to 1, in the order they were made."""
    belief = belief_of(taught, group, theory)
    if belief is None:
        return [0.0] * len(taught.groups[group].kept)
    judged = iter([0.0] * belief.since + belief.judged.weights())
    kept = belief.bends.kept
    return [0.0 if one.bent.counts is False else next(judged) for one in kept]
