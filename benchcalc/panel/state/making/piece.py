"""A piece being made, frozen: how far it has come, what was measured, what was corrected.

It is kept over a restart with the work that it belongs to (``panel.state.model``).
"""

from dataclasses import dataclass, field
from typing import Any, Literal

from benchcalc.core.job import Run
from benchcalc.core.springback.first_guess import Springback
from benchcalc.panel.state.making.table import Step

StepKind = Step
Verdict = Literal["good", "accepted over", "accepted under", "over"]

CameTo = Literal[
    "good", "accepted over", "accepted under", "over", "short", "past travel", "doubted",
    "corrected", "left uncorrected", "round", "out of round", "stored", "turned", "turn off",
    "clamp turned",
]  # fmt: skip
"""What an act came to."""


@dataclass(frozen=True, slots=True)
class Came:
    """What the last act came to, in figures; the words are made when the step is shown.

    ``number`` is the bend's, or the piece's that was stored; ``by_deg`` is how far a reading is
    off, the reading expected, or the bender's travel; the miss is the far end's; ``share`` is a
    bend's out-of-round and ``most_share`` what is allowed; ``uncorrectable`` when no correction of
    the rest can be worked out.
    """

    to: CameTo
    number: int = 0
    reading_deg: float | None = None
    by_deg: float = 0.0
    miss_mm: float = 0.0
    miss_deg: float = 0.0
    share: float = 0.0
    most_share: float = 0.0
    uncorrectable: bool = False


@dataclass(frozen=True, slots=True)
class Pulled:
    """One pull of a bend: the reading that was reached, and the angle measured after letting go.

    By sensor the first is the highest reading under load; its raw reading and zero are kept too.
    ``told_deg`` is the reading that was told; None where an older version kept the pull.
    """

    pulled_to_deg: float
    released_deg: float | None = None
    by: Literal["hand", "sensor"] = "hand"
    raw_deg: float | None = None
    zero_deg: float | None = None
    told_deg: float | None = None


TurnBy = Literal["across", "flat", "upright", "sensor"]


@dataclass(frozen=True, slots=True)
class TurnRead:
    """How far a bend and the one made before it lie apart about the tube, as meant and as measured.

    Signed as the one farther from the reference end lies clockwise of the other.

    ``width_deg`` is how far the reading may be off, 95 % limits; ``by`` how it was read: a level
    clipped across the tube, laid along the last leg on a bender that lies flat or stands upright,
    or a sensor.
    """

    meant_deg: float
    read_deg: float
    width_deg: float
    by: TurnBy


@dataclass(frozen=True, slots=True)
class Made:
    """A bend of this piece: its pulls so far, the verdict when there is one.

    ``calipers`` are the largest and smallest diameter across it, mm, when they were measured;
    ``turn`` is its turn, when that was. ``within_deg`` is how near to its angle it had to come.
    """

    number: int
    pulls: tuple[Pulled, ...] = ()
    verdict: Verdict | None = None
    calipers: tuple[float, float] | None = None
    turn: TurnRead | None = None
    within_deg: float | None = None


@dataclass(frozen=True, slots=True)
class Why:
    """The measurement that re-aims the rest most: of which bend, what, meant and measured."""

    bend: int
    what: Literal["angle", "turn"]
    meant_deg: float
    read_deg: float


@dataclass(frozen=True, slots=True)
class Answered:
    """A correction that was offered, and whether it was taken.

    One that ``re_aims`` was not asked for: it changes angles and turns to come and no mark, and
    ``why`` says by what. ``turned`` are the bends whose turn had been measured by then.

    ``bent`` holds the bends made by then, in order, with their measured angles; ``run`` is what was
    offered: those bends as measured and the rest corrected. The misses of the far end, as the rest
    stood and as corrected, and the degrees it would point off. ``moved`` are the bends
    whose marks it moves so far that they are drawn anew.
    """

    bent: tuple[tuple[int, float], ...]
    run: Run
    taken: bool
    now_mm: float
    now_deg: float
    after_mm: float
    after_deg: float
    moved: tuple[int, ...] = ()
    re_aims: bool = False
    why: Why | None = None
    turned: tuple[int, ...] = ()


PortField = Literal["ahead", "up", "right", "tilt_up", "tilt_right"]


@dataclass(frozen=True, slots=True)
class PortMiss:
    """Where a piece missed at its port, as typed; a leading ``-`` means the other way.

    Past its port, high and right, pointing up and pointing right, seen along the tube to the port
    with the last heel down. ``field`` is the one that is asked now.
    """

    ahead: str = ""
    up: str = ""
    right: str = ""
    tilt_up: str = ""
    tilt_right: str = ""
    field: PortField = "ahead"


@dataclass(frozen=True, slots=True)
class PieceBefore:
    """The last piece made of this run, and what its measured bends alone made its far end miss.

    ``missed_mm`` and ``swung`` are as ``core.first_piece.Arrival`` has them.
    """

    piece: int
    missed_mm: tuple[float, float, float]
    swung: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Aim:
    """The run that the pieces to come are laid out by, after one of them missed.

    ``piece`` is the one that missed, ``after_mm`` and ``after_deg`` what the correction leaves.
    """

    piece: int
    run: Run
    after_mm: float
    after_deg: float


@dataclass(frozen=True, slots=True)
class AimKept:
    """The aim that a missed port led to, kept for the next time the job with this mark is made."""

    job: str
    aim: Aim


@dataclass(frozen=True, slots=True)
class Making:
    """How far the making of a piece has come.

    ``place`` counts the bends in the order they are made, from 0; ``doubted`` is a reading so far
    from what was expected that it must be typed once more. ``came`` is what the last act came to.
    ``back_to`` is the step to go back to
    when the piece is not scrapped after all, or was measured with calipers. ``springback`` is what
    the layout of this piece rests on, from the cut on: what is learnt meanwhile moves no mark.
    ``corrections`` are those offered so far; the last one taken is what the rest is bent by.
    ``before`` is the piece made before this one, ``port`` where it missed, as it is typed, and
    ``aim`` what this piece and the next are laid out by instead of the run as drawn. ``re_aims``
    says whether every measured bend re-aims the rest. ``lay`` is the way that was chosen to lay a
    level for the turn in hand, empty for the best; ``level_before`` what it showed before the turn.
    """

    piece: int = 1
    step: StepKind = "cut"
    place: int = 0
    made: tuple[Made, ...] = ()
    typed: str = ""
    doubted: str = ""
    came: Came | None = None
    stored: int = 0
    back_to: StepKind = "cut"
    springback: Springback | None = None
    largest: str = ""
    corrections: tuple[Answered, ...] = ()
    before: PieceBefore | None = None
    port: PortMiss = field(default_factory=PortMiss)
    aim: Aim | None = None
    re_aims: bool = False
    lay: Literal["", "across", "flat", "upright"] = ""
    level_before: str = ""


def without_sentences(plain: Any) -> Any:
    """Saved work as this version reads it: an older one kept sentences with the piece in hand."""
    if isinstance(plain, dict):
        kept = {name: without_sentences(value) for name, value in plain.items()}
        if "place" in kept and "made" in kept:
            kept.pop("says", None)
        return kept
    return [without_sentences(item) for item in plain] if isinstance(plain, list) else plain
