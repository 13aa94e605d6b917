"""The panel's state, frozen: what is kept over a restart (``Work``) and what is not (``Model``).

What the operator typed stays text until a formula needs it, so that nothing typed is lost or
rounded, and half a number survives a power cut as half a number.
"""

from dataclasses import dataclass, field, replace
from typing import Any, Literal

from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import (
    Angles,
    Bender,
    End,
    Ends,
    Fit,
    Hardness,
    Job,
    Material,
    Measured,
    Pressure,
    SlipOn,
    To,
    Units,
)
from benchcalc.core.serialize import deserialize, serialize
from benchcalc.core.springback.learning import Taught
from benchcalc.jobfile.shop import Shop
from benchcalc.panel.state.aiming.turn_news import TurnSeen
from benchcalc.panel.state.copying import Copying
from benchcalc.panel.state.known.checking import Checking
from benchcalc.panel.state.known.made_before import Before
from benchcalc.panel.state.learnt import Learnt
from benchcalc.panel.state.making.piece import Aim as Aim
from benchcalc.panel.state.making.piece import AimKept as AimKept
from benchcalc.panel.state.making.piece import Answered as Answered
from benchcalc.panel.state.making.piece import Made as Made
from benchcalc.panel.state.making.piece import Making as Making
from benchcalc.panel.state.making.piece import PieceBefore as PieceBefore
from benchcalc.panel.state.making.piece import PortField as PortField
from benchcalc.panel.state.making.piece import PortMiss as PortMiss
from benchcalc.panel.state.making.piece import Pulled as Pulled
from benchcalc.panel.state.making.piece import StepKind as StepKind
from benchcalc.panel.state.making.piece import Verdict as Verdict
from benchcalc.panel.state.making.piece import without_sentences
from benchcalc.panel.state.missing import LogLook, Missing
from benchcalc.panel.state.over import Over
from benchcalc.panel.state.seen import AsideSeen as AsideSeen
from benchcalc.panel.state.seen import SensorSeen as SensorSeen
from benchcalc.panel.state.trials import Trials
from benchcalc.panel.state.typed_shapes import ShapeTyped, Shaping
from benchcalc.report.settings import Ruled, Ruling, Settings
from benchcalc.report.told import Told

Face = Literal["keys", "answer", "more"]
"""What the planning screen shows: keys beside a short answer, the whole answer, what else to do."""

ScreenName = Literal[
    "bench", "pick", "write", "plan", "findings", "make", "kept", "learnt", "trial", "copy",
    "settings", "ruler", "clash", "shape", "widths", "check", "before", "jobs",
]  # fmt: skip
READ_WHEN_OPENED: tuple[ScreenName, ...] = ("learnt", "copy", "ruler")
"""Screens that show what was read as they were opened; a restart begins on the bench instead."""

RowField = Literal["leg", "bend", "turn"]
SetupField = Literal["bender", "od", "wall", "material", "lot", "pieces", "name", "tape", "remark"]


@dataclass(frozen=True, slots=True)
class Row:
    """One segment as typed; ``unit`` is that of the leg's bare number.

    ``to``, ``measured`` and ``held`` come from a job file and stay as they are. With a ``shape``
    the row is that shape, of as many bends as it comes to, and all else is left empty.
    """

    leg: str = ""
    bend: str = ""
    turn: str = ""
    unit: Units = "mm"
    to: To | None = None
    measured: Measured | None = None
    held: End | None = None
    shape: ShapeTyped | None = None


@dataclass(frozen=True, slots=True)
class Extras:
    """What a job file says that the panel shows but does not ask for; until a row is changed,
    ``points`` are the corners of its rows and ``in_line`` those left out."""

    drawing: str = ""
    note: str = ""
    operator: str = ""
    angles: Angles = "bend"
    measured: Measured = "centre"
    ends: Ends = field(default_factory=Ends)
    straight: Ends = field(default_factory=Ends)
    slip_on: SlipOn = field(default_factory=SlipOn)
    held: End = "reference"
    order: tuple[int, ...] = ()
    tolerance_deg: float = 0.5
    fit: Fit = field(default_factory=Fit)
    pressure: Pressure | None = None
    stock_mm: float | None = None
    turn_tolerance_deg: float = 1.0
    hardness: Hardness | None = None
    wall_under: float | None = None
    service: str = ""
    outside_mpa: float | None = None
    points: tuple[Vector, ...] = ()
    in_line: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Draft:
    """A job being written: bench, tube, and rows of the run (or of the one it lies ``beside``).

    None is not chosen yet.
    """

    name: str = ""
    bender: Bender | None = None
    material: Material | None = None
    od_mm: float | None = None
    wall_mm: float | None = None
    lot: str = ""
    pieces: int = 1
    units: Units = "mm"
    tape: str = ""
    rows: tuple[Row, ...] = (Row(),)
    extras: Extras = field(default_factory=Extras)
    beside: ShapeTyped | None = None

    @property
    def chosen(self) -> bool:
        """Whether bender, material and wall are: without them nothing can be worked out."""
        return None not in (self.bender, self.material, self.wall_mm)


@dataclass(frozen=True, slots=True)
class Cursor:
    """Where typing goes; ``fresh`` when it replaces what is there; a shape's ``bend`` shown."""

    row: int = 0
    field: RowField = "leg"
    fresh: bool = True
    bend: int = 0


@dataclass(frozen=True, slots=True)
class Writing:
    """A bench value being typed or picked; ``page`` of a long choice.

    Or a remark ``about`` the piece of that record, and the screen it leads ``back`` to.
    """

    field: SetupField = "bender"
    typed: str = ""
    unit: Units = "mm"
    page: int = 0
    fresh: bool = True
    about: int = 0
    back: ScreenName = "bench"


@dataclass(frozen=True, slots=True)
class Shelved:
    """Work put aside when another job was opened, with the edits that can be taken back.

    ``day`` is the day it was put aside, as ``Model.today`` has it; empty where that is not known.
    """

    draft: Draft
    making: Making | None = None
    undo: tuple[str, ...] = ()
    day: str = ""


@dataclass(frozen=True, slots=True)
class Work:
    """Everything that must be there again after the power went.

    ``undo`` has what each edit of the draft changed, newest last, as ``state.undo`` writes it.
    ``unfinished`` are words typed and not taken; ``findings_page`` is the part that is shown.
    ``aims`` are what missed ports taught, for the next time one of these jobs is made.
    """

    screen: ScreenName = "bench"
    draft: Draft = field(default_factory=Draft)
    cursor: Cursor = field(default_factory=Cursor)
    writing: Writing = field(default_factory=Writing)
    making: Making | None = None
    shelf: tuple[Shelved, ...] = ()
    trials: Trials = field(default_factory=Trials)
    shaping: Shaping = field(default_factory=Shaping)
    checking: Checking = field(default_factory=Checking)
    made_before: Before = field(default_factory=Before)
    undo: tuple[str, ...] = ()
    unfinished: tuple[tuple[SetupField, str], ...] = ()
    findings_page: int = 0
    aims: tuple[AimKept, ...] = ()


@dataclass(frozen=True, slots=True)
class OrderSought:
    """Another order of bending that was asked for; without one when ``done``, there is none."""

    job: Job
    done: bool = False
    order: tuple[int, ...] = ()
    held: tuple[End, ...] = ()


@dataclass(frozen=True, slots=True)
class Model:
    """The whole panel. ``dark`` while the screen is black.

    ``ring`` is the key that a knob or the arrows stand on, empty where the next act is, None
    without a ring; ``asking`` an act that waits for a second press. ``refusal`` is told in
    the answer's place until the next act, ``trouble`` of the machine until it is over.
    ``notices`` are what happened to the log, until they are pressed away, ``log`` what looking
    through it found, ``key`` the fingerprint of the key that signs copies, empty without one, None
    for one that cannot be used. ``missing`` is what the machine lacks, worst first; ``told`` is the
    size the screen tells. ``face`` is the side of a screen that is shown; ``bench_at`` and
    ``settings_at`` are the keys of those screens, by their number, whose page is shown,
    ``points_page`` is that of a piece as it was made. ``over`` is what lies over the work, ``sent``
    what came of sending a recording. ``today`` is the lot of tube that has none.
    """

    shop: Shop
    size: tuple[int, int] = (800, 480)
    work: Work = field(default_factory=Work)
    pressed: str | None = None
    dark: bool = False
    ring: str | None = None
    asking: str = ""
    refusal: Told | None = None
    trouble: tuple[Told, ...] = ()
    face: Face = "keys"
    bench_at: int = 0
    settings_at: int = 0
    points_page: int = 0
    jobs_at: int = 0
    taught: Taught = field(default_factory=Taught)
    today: str = ""
    learnt: Learnt = field(default_factory=Learnt)
    sensor: SensorSeen | None = None
    turn: TurnSeen | None = None
    missing: tuple[Missing, ...] = ()
    notices: tuple[Told, ...] = ()
    log: LogLook = field(default_factory=LogLook)
    key: str | None = ""
    sticks: tuple[str, ...] = ()
    kept_sticks: tuple[str, ...] = ()
    copying: Copying = field(default_factory=Copying)
    settings: Settings = field(default_factory=Settings)
    order_sought: OrderSought | None = None
    told: Ruled | None = None
    sent: Told | None = None
    ruling: Ruling = field(default_factory=Ruling)
    over: Over | None = None

    @property
    def wanting(self) -> tuple[Missing, ...]:
        """What the machine lacks, and what is to be told of the log before all else."""
        log = (Missing("log"),) if self.notices or self.log.wrong else ()
        return (*log, *self.missing)

    @property
    def draft(self) -> Draft:
        """The job in hand."""
        return self.work.draft

    def with_work(self, **changes: object) -> "Model":
        """The model with parts of its work replaced."""
        return replace(self, work=replace(self.work, **changes))  # type: ignore[arg-type]

    def with_draft(self, **changes: object) -> "Model":
        """The model with parts of its job replaced."""
        return self.with_work(draft=replace(self.work.draft, **changes))  # type: ignore[arg-type]


WORK_FORM = 1
"""The form of the saved work; another one is not guessed at."""


KEPT_CHARACTERS = 16_384
"""Of the newest edits that can be undone, over a restart; some 200 of them.

The work is written again with every tap, to a card that wears: without a bound, undo would soon be
most of what is written.
"""

SHELVED_CHARACTERS = 2_048
"""Of each job that is put aside."""


def newest(undo: tuple[str, ...], room: int = KEPT_CHARACTERS) -> tuple[str, ...]:
    """The newest edits that have room together."""
    at = len(undo)
    while at and len(undo[at - 1]) <= room:
        at -= 1
        room -= len(undo[at])
    return undo[at:]


def work_plain(work: Work) -> dict[str, Any]:
    """The work as it is saved; of undo the newest part."""
    shelf = tuple(replace(job, undo=newest(job.undo, SHELVED_CHARACTERS)) for job in work.shelf)
    kept = replace(work, undo=newest(work.undo), shelf=shelf)
    return {"form": WORK_FORM, "work": serialize(kept)}


RENAMED = {"minds": "findings"}
"""Screens that had another name when work was saved."""


def work_of(plain: Any) -> Work:
    """Saved work back again. Raises ValueError when it was saved by another version."""
    if not isinstance(plain, dict) or plain.get("form") != WORK_FORM:
        raise ValueError("the saved work has another form than this program's")
    work = plain.get("work")
    if isinstance(work, dict) and isinstance(was := work.get("screen"), str):
        work = work | {"screen": RENAMED.get(was, was)}
    return deserialize(Work, without_sentences(work))
