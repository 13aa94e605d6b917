"""What has happened (messages, past tense) and what is to be done about it (commands)."""

from dataclasses import dataclass, field
from typing import Literal

from benchcalc.core.job import End, Job
from benchcalc.core.springback.first_guess import Springback
from benchcalc.core.springback.lessons import Lesson
from benchcalc.panel.state.aiming.turn_news import TurnCommand, TurnNews
from benchcalc.panel.state.missing import LogLook, Missing
from benchcalc.panel.state.seen import SensorSeen, Settled
from benchcalc.report.scene import Target
from benchcalc.report.told import Told

Plain = dict[str, object]
"""A record, or work, as it is written: JSON values by their names."""

Outcome = Literal["good", "short", "over"]
"""What a reading of a bend came to: within its tolerance, under it, past it."""


@dataclass(frozen=True, slots=True)
class Pressed:
    """A finger or the mouse button went down on a target (None: on nothing)."""

    target: Target | None
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Released:
    """It came up again; a tap counts when it comes up on the target where it went down."""

    target: Target | None
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class KeyTyped:
    """A key of a keyboard or numeric keypad.

    ``key`` is one character, or a name: enter, back, delete, tab, shift tab, escape, undo, help, or
    of an arrow: left, right, up, down.
    """

    key: str
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Darkened:
    """Nobody has been at the panel for as long as the settings say."""

    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Woke:
    """A touch or a key on a dark panel: it lights it and presses nothing."""

    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class RunStored:
    """The store has the finished piece, under this sequence number; it teaches."""

    sequence: int
    record: Plain | None = field(default=None, hash=False)


@dataclass(frozen=True, slots=True)
class MoreTaught:
    """The store has a record that changes what was taught."""

    sequence: int
    kind: str
    record: Plain = field(hash=False)


@dataclass(frozen=True, slots=True)
class LessonsRead:
    """The bends that taught a lot, oldest first."""

    lessons: tuple[Lesson, ...] = field(hash=False)


@dataclass(frozen=True, slots=True)
class PieceRead:
    """A stored piece with the remarks on it, oldest first, as the log has them; None: no such."""

    entry: Plain | None = field(default=None, hash=False)
    remarks: tuple[Plain, ...] = field(default=(), hash=False)


@dataclass(frozen=True, slots=True)
class SensorSaw:
    """What the sensor shows now."""

    seen: SensorSeen


@dataclass(frozen=True, slots=True)
class ZeroTaken:
    """The sensor's zero was asked for; false when it was silent or did not lie still."""

    taken: bool


@dataclass(frozen=True, slots=True)
class BendSettled:
    """The sensor says that the bend is final."""

    settled: Settled


@dataclass(frozen=True, slots=True)
class RecordingSent:
    """What came of writing a recording to a stick."""

    says: Told


@dataclass(frozen=True, slots=True)
class SticksSeen:
    """The places that can be copied to now, by their paths.

    ``kept`` are those that were to be let go and still are in use.
    """

    places: tuple[str, ...]
    kept: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LogSeen:
    """Where the log ends: its newest record (0: none), that one's hash, and what was copied."""

    last: int
    hash: str
    copied: int


@dataclass(frozen=True, slots=True)
class CopyProgress:
    """A copy has come so far, from 0 to 1."""

    share: float


@dataclass(frozen=True, slots=True)
class CopyDone:
    """A copy is whole and was read back; ``notes`` are sentences about what it holds.

    ``letting_go`` when this machine takes the stick from its files by itself.
    """

    records: int
    folder: str
    notes: tuple[str, ...] = ()
    letting_go: bool = False


@dataclass(frozen=True, slots=True)
class CopyFailed:
    """There is no copy, and why."""

    says: Told


@dataclass(frozen=True, slots=True)
class OrderFound:
    """An order of bending that meets nothing, with the end to hold for each; empty for none."""

    job: Job
    order: tuple[int, ...] = ()
    held: tuple[End, ...] = ()


@dataclass(frozen=True, slots=True)
class StoreFailed:
    """The store refused, and why."""

    says: Told


@dataclass(frozen=True, slots=True)
class StoreRecovered:
    """The store took a write again after it had failed."""


@dataclass(frozen=True, slots=True)
class MachineLooked:
    """The machine was looked at; what is missing, worst first."""

    missing: tuple[Missing, ...]


@dataclass(frozen=True, slots=True)
class SomethingBroke:
    """A fault of our own was caught; the work is as it was before the last act."""


Message = (
    TurnNews
    | Pressed
    | Released
    | KeyTyped
    | Darkened
    | Woke
    | RunStored
    | MoreTaught
    | LessonsRead
    | PieceRead
    | SensorSaw
    | RecordingSent
    | ZeroTaken
    | BendSettled
    | SticksSeen
    | LogSeen
    | CopyProgress
    | CopyDone
    | CopyFailed
    | OrderFound
    | StoreFailed
    | StoreRecovered
    | MachineLooked
    | LogLook
    | SomethingBroke
)


@dataclass(frozen=True, slots=True)
class SaveWork:
    """Keep the work in progress, whole, before the screen shows it."""

    work: Plain = field(hash=False)


@dataclass(frozen=True, slots=True)
class AppendRun:
    """Append a finished (or scrapped) piece and keep the work that follows, both or neither."""

    record: Plain = field(hash=False)
    work: Plain = field(hash=False)


@dataclass(frozen=True, slots=True)
class AppendRecord:
    """Append a record of another kind than a piece: a word on a bend, a reset, a trial.

    With ``work`` the work that follows is kept too, both or neither.
    """

    kind: str
    record: Plain = field(hash=False)
    work: Plain | None = field(default=None, hash=False)


@dataclass(frozen=True, slots=True)
class ReadLessons:
    """Read the bends that taught a lot, for showing them; ``key`` is its plain form."""

    key: Plain = field(hash=False)


@dataclass(frozen=True, slots=True)
class ReadPiece:
    """Read a stored piece for showing it: the newest up to record ``number`` (0: of all), or with
    ``step`` the one before it (-1) or after it (1)."""

    number: int
    step: int = 0


@dataclass(frozen=True, slots=True)
class TakeZero:
    """Take what the sensor says now as the zero of the bend."""


@dataclass(frozen=True, slots=True)
class ExpectBend:
    """Follow a bend on the sensor until it is final; without a target, follow none.

    ``pull_to_deg`` is the reading the operator was told; letting go gives ``release_deg`` back.
    """

    target_deg: float | None = None
    tolerance_deg: float = 0.0
    release_deg: float = 0.0
    release_spread_deg: float = 0.0
    pull_to_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class SendRecording:
    """Write what the sensor said of the last bend to a stick."""


@dataclass(frozen=True, slots=True)
class SayFree:
    """The operator says that the tube is free; take the angle if it lies still."""


@dataclass(frozen=True, slots=True)
class SoundOutcome:
    """Let it be heard once what the last reading came to."""

    outcome: Outcome


@dataclass(frozen=True, slots=True)
class LookThroughLog:
    """Look at every record of the log now; otherwise it is done once a day."""


@dataclass(frozen=True, slots=True)
class NoticesRead:
    """What was to be said about the log has been pressed away."""


@dataclass(frozen=True, slots=True)
class LookAtLog:
    """Say where the log ends and how far it was copied."""


@dataclass(frozen=True, slots=True)
class StartCopy:
    """Copy the log to a place: what is new since the last copy, or everything."""

    place: str
    everything: bool


@dataclass(frozen=True, slots=True)
class CancelCopy:
    """Stop the copy that runs and leave nothing of it."""


@dataclass(frozen=True, slots=True)
class KeepSettings:
    """Keep the panel's settings over a restart, whole."""

    settings: Plain = field(hash=False)


@dataclass(frozen=True, slots=True)
class FindOrder:
    """Look for an order of bending that meets nothing; takes up to some seconds."""

    job: Job
    springback: Springback


Command = (
    TurnCommand | SaveWork | AppendRun | AppendRecord | ReadLessons | ReadPiece | TakeZero
    | ExpectBend | SayFree | SendRecording | SoundOutcome | LookThroughLog | NoticesRead | LookAtLog
    | StartCopy | CancelCopy | KeepSettings | FindOrder
)  # fmt: skip
