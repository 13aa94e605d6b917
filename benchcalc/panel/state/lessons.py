"""What stored pieces teach about springback, and what was taught as plain values and back."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

from benchcalc.core.springback.first_guess import Springback
from benchcalc.core.springback.learning import (
    Bent,
    Evidence,
    Family,
    LotKey,
    Size,
    Taught,
    forget,
    recount,
    taught_by_lots,
    teach,
)

PIECE, TRIAL = "piece", "trial"
WORD, RESET = "springback-word", "springback-reset"
REMARK = "remark"
"""Kinds of records that teach: a piece, trials, a bend struck or restored, a lot begun anew."""

CONFIRMED = ("good", "accepted over", "accepted under", "over")
"""Verdicts of bends that were measured at rest; a bend still being pulled teaches nothing."""


class Lesson(NamedTuple):
    """One bend of a stored piece, as it taught: ``counted`` is how much, 0 to 1."""

    key: LotKey
    theory: Springback
    bent: Bent
    counted: float
    sequence: int
    bend: int


@dataclass(frozen=True, slots=True)
class Learnt:
    """Which taught lot is shown, its bends as read, the bend in hand, and whether to reset it."""

    lot: int = 0
    lessons: tuple[Lesson, ...] = ()
    bend: int = -1
    asking: bool = False


def lessons_of(sequence: int, body: dict[str, Any]) -> Iterator[Lesson]:
    """The bends of a piece that teach, in the order they were recorded."""
    theory = body.get("theory")
    if not theory:
        return
    key = LotKey(
        Size(body["bender"], body["material"], body["od_mm"], body["wall_mm"]), body["lot"]
    )
    guess = theory_of_plain(theory)
    for bend in body["bends"]:
        pulls = bend["pulls"]
        if bend["verdict"] not in CONFIRMED or not pulls or bend.get("counted") is None:
            continue
        last = pulls[-1]
        bent = Bent(last["pulled_to_deg"], last["released_deg"], last["by"] == "sensor")
        yield Lesson(key, guess, bent, bend["counted"], sequence, bend["number"])


def learn_record(taught: Taught, sequence: int, kind: str, body: dict[str, Any]) -> Taught:
    """What is taught after one more record of any kind."""
    if kind == PIECE:
        for lesson in lessons_of(sequence, body):
            taught, _ = teach(taught, lesson.key, lesson.theory, lesson.bent, lesson.counted)
    elif kind == TRIAL:
        for number, told in enumerate(body["lessons"], 1):
            lesson = lesson_of(told, sequence, number)
            taught, _ = teach(taught, lesson.key, lesson.theory, lesson.bent, lesson.counted)
    elif kind == WORD:
        lesson = lesson_of_word(body)
        taught = recount(
            taught, lesson.key, lesson.theory, lesson.bent, body["counts"] - lesson.counted
        )
    elif kind == RESET:
        taught = forget(taught, key_of_plain(body))
    return taught


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
        "theory": {
            "a_deg": theory.a_deg,
            "b": theory.b,
            "var_a": theory.var_a,
            "var_b": theory.var_b,
        },
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
    return {"a_deg": theory.a_deg, "b": theory.b, "var_a": theory.var_a, "var_b": theory.var_b}


def theory_of_plain(plain: dict[str, float]) -> Springback:
    """The first guess back from plain values."""
    return Springback(plain["a_deg"], plain["b"], plain["var_a"], plain["var_b"])


def key_plain(key: LotKey) -> dict[str, Any]:
    """A key as plain values."""
    size = key.size
    return {
        "bender": size.bender,
        "material": size.material,
        "od_mm": size.od_mm,
        "wall_mm": size.wall_mm,
        "lot": key.lot,
    }


def key_of_plain(plain: dict[str, Any]) -> LotKey:
    """A key back from plain values."""
    size = Size(plain["bender"], plain["material"], plain["od_mm"], plain["wall_mm"])
    return LotKey(size, plain["lot"])


def taught_plain(taught: Taught) -> list[dict[str, Any]]:
    """What was taught: for each lot five numbers and a count; sizes and materials follow."""
    return [
        {**key_plain(key), "bends": family.bends, "evidence": list(family.evidence)}
        for key, family in taught.lots.items()
    ]


def taught_of(plain: list[dict[str, Any]]) -> Taught:
    """What was taught, back again. Raises KeyError or TypeError for what is no such list."""
    return taught_by_lots(
        {key_of_plain(row): Family(Evidence(*row["evidence"]), row["bends"]) for row in plain}
    )
