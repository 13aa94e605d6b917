"""What stored records teach about springback, and what was taught as plain values and back."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from benchcalc.core.fit.expected_miss import UNCHECKED_GAUGE_DEG
from benchcalc.core.job import Bender, Material, Tube
from benchcalc.core.springback.checking import gauge_checked, scale_checked
from benchcalc.core.springback.first_guess import (
    Springback,
    first_guess,
    guess_of_ratio,
    guess_with,
)
from benchcalc.core.springback.gauge import GaugeCheck, ScaleCheck, is_old
from benchcalc.core.springback.learning import (
    Bends,
    Bent,
    Group,
    Kept,
    LotKey,
    Size,
    Taught,
    forget,
    key_of,
    teach,
    with_word,
)

PIECE, TRIAL = "piece", "trial"
WORD, RESET = "springback-word", "springback-reset"
REMARK, FIRST_PIECE = "remark", "first-piece"
BEFORE, GAUGE_CHECK, SCALE_CHECK = "bends-before", "gauge-check", "scale-check"
"""Kinds of records that teach: a piece, trials, a bend struck or restored, a lot begun anew, bends
made before or elsewhere, a gauge checked, a bender's scale compared."""

THEORY = ("a_deg", "b", "var_a", "var_b", "cov_ab")
"""What is kept of a first guess; the rest of it follows."""

HALF = 0.5
"""A word counts a bend in full, 1, or not at all, 0."""

USUAL_OD_PER_RADIUS = 0.4
"""Dies are about two and a half diameters; for old records that do not say. Common practice."""

CONFIRMED = ("good", "accepted over", "accepted under", "over")
"""Verdicts of bends that were measured at rest; a bend still being pulled teaches nothing."""


class Lesson(NamedTuple):
    """One bend of a stored piece; ``counted`` is how much it taught when it was made, 0 to 1."""

    key: LotKey
    theory: Springback
    bent: Bent
    counted: float
    sequence: int
    bend: int


class Subject(NamedTuple):
    """What springback is learnt about: the lot, and the first guess for it."""

    key: LotKey
    theory: Springback


def subject(tube: Tube, bender: Bender, material: Material) -> Subject:
    """The lot that a tube on a bender belongs to, and its first guess."""
    return Subject(key_of(tube, bender), first_guess(tube, bender, material))


def gauge_width(check: GaugeCheck | None, today: str) -> float:
    """How far a gauge may be off, the same for every bend; an old check is as good as none."""
    if check is None or is_old(check.day, today):
        return UNCHECKED_GAUGE_DEG
    return check.within_deg


def lessons_of(sequence: int, body: dict[str, Any]) -> Iterator[Lesson]:
    """The bends of a piece that teach, in the order they were recorded."""
    theory = body.get("theory")
    if not theory:
        return
    key = LotKey(
        Size(body["bender"], body["material"], body["od_mm"], body["wall_mm"]), body["lot"]
    )
    radius_mm = (body.get("bender_values") or {}).get("radius_mm")
    guess = theory_of_plain(theory, radius_mm and body["od_mm"] / radius_mm)
    for bend in body["bends"]:
        pulls = bend["pulls"]
        if bend["verdict"] not in CONFIRMED or not pulls or bend.get("counted") is None:
            continue
        last = pulls[-1]
        bent = Bent(last["pulled_to_deg"], last["released_deg"], last["by"] == "sensor")
        yield Lesson(key, guess, bent, bend["counted"], sequence, bend["number"])


def learn_record(
    taught: Taught, sequence: int, kind: str, body: dict[str, Any], day: str
) -> Taught:
    """What is taught after one more record of any kind; ``day`` is the lot of a tube without one.

    How much a bend counted when it was made is not looked at: all bends are judged anew.
    """
    if kind == PIECE:
        for lesson in lessons_of(sequence, body):
            taught = _taught(taught, lesson, day)
    elif kind in (TRIAL, BEFORE):
        for number, told in enumerate(body["lessons"], 1):
            made = told.get("day") or day
            taught = _taught(taught, lesson_of(told, sequence, number), made)
    elif kind == WORD:
        lesson = lesson_of_word(body)
        counts = body["counts"] >= HALF
        taught = with_word(taught, lesson.key, lesson.sequence, lesson.bend, counts)
    elif kind == RESET:
        taught = forget(taught, key_of_plain(body))
    elif kind == GAUGE_CHECK:
        check = GaugeCheck(body["bias_deg"], body["within_deg"], day)
        taught = gauge_checked(taught, body["gauge"], check)
    elif kind == SCALE_CHECK:
        taught = scale_checked(
            taught, body["bender"], ScaleCheck(body["share"], body["within"], day)
        )
    return taught


def _taught(taught: Taught, lesson: Lesson, day: str) -> Taught:
    key, theory, bent, _, sequence, bend = lesson
    return teach(taught, key, theory, bent, day, sequence, bend)


def word_on(lesson: Lesson, counts: float) -> dict[str, Any]:
    """The record of an operator's word on a bend: struck (0) or restored (1)."""
    bent, theory = lesson.bent, lesson.theory
    return {
        **key_plain(lesson.key),
        "piece_sequence": lesson.sequence,
        "bend": lesson.bend,
        "loaded_deg": bent.loaded_deg,
        "released_deg": bent.released_deg,
        "loaded_read": bent.loaded_read,
        "theory": theory_plain(theory),
        "counted": lesson.counted,
        "counts": counts,
    }


def lesson_of_word(body: dict[str, Any]) -> Lesson:
    """The bend that a word is about, counted as it was before the word."""
    return lesson_of(body, body["piece_sequence"], body["bend"])


def lesson_of(told: dict[str, Any], sequence: int, bend: int) -> Lesson:
    """A bend as a word or a trial tells of it."""
    return Lesson(
        key_of_plain(told),
        theory_of_plain(told["theory"]),
        Bent(told["loaded_deg"], told["released_deg"], told["loaded_read"]),
        told["counted"],
        sequence,
        bend,
    )


def theory_plain(theory: Springback) -> dict[str, float]:
    """The first guess, which a lesson is measured against, as plain values."""
    return {name: getattr(theory, name) for name in THEORY}


def theory_of_plain(plain: dict[str, float], od_per_radius: float | None = None) -> Springback:
    """The first guess back from plain values.

    Records from before the guess had an offset hold its slope alone: the guess is made anew from
    that and the tube's diameter in die radii.
    """
    if "cov_ab" not in plain:
        return guess_of_ratio(plain["b"], od_per_radius or USUAL_OD_PER_RADIUS)
    a_deg, b, var_a, var_b, cov_ab = (plain[name] for name in THEORY)
    return guess_with(a_deg, b, var_a, var_b, cov_ab)


def key_plain(key: LotKey) -> dict[str, Any]:
    """A key as plain values."""
    return {**_size_plain(key.size), "lot": key.lot}


def _size_plain(size: Size) -> dict[str, Any]:
    return {
        "bender": size.bender,
        "material": size.material,
        "od_mm": size.od_mm,
        "wall_mm": size.wall_mm,
    }


def key_of_plain(plain: dict[str, Any]) -> LotKey:
    """A key back from plain values."""
    return LotKey(_size_of(plain), plain["lot"])


def _size_of(plain: dict[str, Any]) -> Size:
    return Size(plain["bender"], plain["material"], plain["od_mm"], plain["wall_mm"])


def taught_plain(taught: Taught) -> dict[str, Any]:
    """What was taught: how many bends each lot had, and the newest bends of each size."""
    return {
        "lots": [{**key_plain(key), "bends": bends} for key, bends in taught.lots.items()],
        "groups": [
            {
                **_size_plain(group.size),
                "read": group.read,
                "theory": theory_plain(bends.theory),
                "kept": [_kept_plain(one) for one in bends.kept],
            }
            for group, bends in taught.groups.items()
        ],
        "gauges": {name: list(check) for name, check in taught.gauges.items()},
        "scales": {name: list(check) for name, check in taught.scales.items()},
    }


def _kept_plain(one: Kept) -> list[Any]:
    bent = one.bent
    place = [one.lot, one.day, one.sequence, one.number]
    return [*place, bent.loaded_deg, bent.released_deg, bent.counts]


def taught_of(plain: dict[str, Any]) -> Taught:
    """What was taught, back again. Raises KeyError, TypeError or ValueError for what is none."""
    groups = {}
    for row in plain["groups"]:
        read = bool(row["read"])
        kept = tuple(
            Kept(Bent(loaded, released, read, counts), lot, day, sequence, number)
            for lot, day, sequence, number, loaded, released, counts in row["kept"]
        )
        groups[Group(_size_of(row), read)] = Bends(theory_of_plain(row["theory"]), kept)
    gauges = {name: GaugeCheck(*check) for name, check in plain.get("gauges", {}).items()}
    scales = {name: ScaleCheck(*check) for name, check in plain.get("scales", {}).items()}
    lots = {key_of_plain(row): int(row["bends"]) for row in plain["lots"]}
    return Taught(groups, lots, gauges, scales)
