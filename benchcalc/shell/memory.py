"""The bench's memory as the panel uses it: work, records, and what the records taught."""

from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.core.fit.expected_miss import UNCHECKED_GAUGE_DEG
from benchcalc.core.frozen import replace
from benchcalc.core.job import Job
from benchcalc.core.serialize import deserialize
from benchcalc.core.springback.first_guess import Springback
from benchcalc.core.springback.learning import Taught, springback_of
from benchcalc.jobfile.shop import Shop
from benchcalc.panel.state.in_hand import gauge_width, subject
from benchcalc.panel.state.lessons import (
    BEFORE,
    GAUGE_CHECK,
    PIECE,
    RESET,
    SCALE_CHECK,
    TRIAL,
    WORD,
    Lesson,
    key_of_plain,
    learn_record,
    lesson_of,
    lesson_of_word,
    lessons_of,
    taught_of,
    taught_plain,
)
from benchcalc.panel.state.messages import (
    AppendRecord,
    AppendRun,
    Command,
    LessonsRead,
    Message,
    MoreTaught,
    NoticesRead,
    PieceRead,
    ReadLessons,
    ReadPiece,
    RunStored,
    SaveWork,
)
from benchcalc.panel.state.port_miss import FIRST_PIECE, with_aimed_bender
from benchcalc.panel.state.trials import with_measured_bender
from benchcalc.report.told import Told, told
from benchcalc.runlog.beside import Log
from benchcalc.runlog.chain import Entry
from benchcalc.runlog.reading import Damage, Records
from benchcalc.runlog.records import REMARK, PieceRecord, RemarkRecord, upgraded
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.shell import clock

TAUGHT_SLOT, TAUGHT_VERSION = "taught", 2
"""Form 1 held what weights that were never looked at again had made of the bends; those benches
are learnt anew from their records."""

TEACHING = (PIECE, TRIAL, WORD, RESET, BEFORE, GAUGE_CHECK, SCALE_CHECK)

SHOWN_RECORDS = 400
"""How many of the newest records are looked through for bends to show."""

LOOKED_AT = 20
"""How many records are read at a time in search of the piece before one."""


def carry_out(store: Store, command: Command) -> tuple[Message, ...]:
    """Do what a command says; the messages are its outcome. Raises StoreError."""
    if isinstance(command, SaveWork):
        store.save_work(PANEL_SLOT, command.work)
        return ()
    if isinstance(command, AppendRun):
        deserialize(PieceRecord, command.record)  # one that cannot be read back is a fault of ours
        sequence = store.append(
            PIECE, command.record, clock.wall_time(), clock.clock_trusted(), command.work
        )
        return (RunStored(sequence, command.record),)
    if isinstance(command, AppendRecord):
        if command.kind == REMARK:
            deserialize(RemarkRecord, command.record)
        sequence = store.append(
            command.kind, command.record, clock.wall_time(), clock.clock_trusted(), command.work
        )
        return (MoreTaught(sequence, command.kind, command.record),)
    if isinstance(command, NoticesRead):
        store.forget_notices()
        return ()
    if isinstance(command, ReadLessons):
        return (LessonsRead(read_lessons(store, command)),)
    if isinstance(command, ReadPiece):
        return (read_piece(store, command),)
    raise TypeError(f"{command!r} is no matter of the store")


def read_piece(store: Records, command: ReadPiece) -> PieceRead:
    """The stored piece that a command asks for, and the remarks on it."""
    number = command.number or store.head()[0]
    if command.step > 0:
        entry = next(store.records(PIECE, after=number), None)
    else:
        entry = _last_piece(store, number if command.step == 0 else number - 1)
    if entry is None:
        return PieceRead()
    remarks = (
        remark._asdict()
        for remark in store.records(REMARK, after=entry.sequence)
        if remark.body["about"] == entry.sequence
    )
    return PieceRead(entry._replace(body=upgraded(entry.body))._asdict(), tuple(remarks))


def _last_piece(store: Records, upto: int) -> Entry | None:
    """The newest piece among the records up to a number, looked for from there backwards."""
    while upto > 0:
        low, found = max(0, upto - LOOKED_AT), None
        for entry in store.records(PIECE, after=low):
            if entry.sequence > upto:
                break
            found = entry
        if found is not None:
            return found
        upto = low
    return None


def read_lessons(store: Records, command: ReadLessons) -> tuple[Lesson, ...]:
    """The newest bends that taught a lot, each counted as it counts now."""
    key = key_of_plain(command.key)
    newest = store.head()[0]
    found: dict[tuple[int, int], Lesson] = {}
    for entry in store.records(after=max(0, newest - SHOWN_RECORDS)):
        if entry.kind == PIECE:
            for lesson in lessons_of(entry.sequence, entry.body):
                if lesson.key == key:
                    found[lesson.sequence, lesson.bend] = lesson
        elif entry.kind in (TRIAL, BEFORE):
            for number, told in enumerate(entry.body["lessons"], 1):
                if key_of_plain(told) == key:
                    found[entry.sequence, number] = lesson_of(told, entry.sequence, number)
        elif entry.kind == WORD:
            lesson = lesson_of_word(entry.body)
            if lesson.key == key:
                counts = entry.body["counts"]
                found[lesson.sequence, lesson.bend] = lesson._replace(counted=counts)
        elif entry.kind == RESET and key_of_plain(entry.body) == key:
            found.clear()
    return tuple(found.values())


def load_taught(store: Records) -> Taught:
    """What this bench has been taught: as it was last kept, and what records say since then."""
    taught, upto = _kept_taught(store)
    for entry in store.records(after=upto):
        if entry.kind in TEACHING:
            taught = learn_record(taught, entry.sequence, entry.kind, entry.body, entry.day)
    return taught


def _kept_taught(store: Records) -> tuple[Taught, int]:
    """What was kept, and up to which record; nothing when there is none that can be read."""
    kept: Any = store.load_work(TAUGHT_SLOT)
    try:
        if kept["form"] != TAUGHT_VERSION:
            return Taught(), 0
        # The slot outlives a damaged file; the records that follow are then counted from 1 again.
        upto = int(kept["upto"]) if kept["device"] == store.device else 0
        return taught_of(kept), upto
    except (KeyError, TypeError, ValueError):
        return Taught(), 0


def refit(store: Records) -> Taught:
    """What the records teach, from the first one on; the same as what was kept."""
    taught = Taught()
    for entry in store.records():
        if entry.kind in TEACHING:
            taught = learn_record(taught, entry.sequence, entry.kind, entry.body, entry.day)
    return taught


def measured_shop(store: Records, shop: Shop) -> Shop:
    """The shop with every bender as its last trial bends measured it."""
    for entry in _measuring(store):
        if entry.kind == TRIAL:
            shop = with_measured_bender(shop, entry.body)
        else:
            shop = with_aimed_bender(shop, entry.body)
    return shop


def _measuring(store: Records) -> list[Entry]:
    """The records that measure benders, oldest first."""
    found = [*store.records(TRIAL), *store.records(FIRST_PIECE)]
    return sorted(found, key=lambda entry: entry.sequence)


class OnThisBench(NamedTuple):
    """A job on this bench, its springback, what could not be read for it, and how far the gauge may
    be off for every bend, 95 % limits."""

    job: Job
    learnt: Springback | None
    unread: list[Damage]
    gauge_deg: float


def as_this_bench(job: Job, folder: Path) -> OnThisBench:
    """A job on this bench: its bender as measured here, its springback as taught here, and its
    shapes and ports worked out with both.

    Also the records that could not be read for it. Where no log ever was the job stays as it is.
    Raises StoreError, NoWay, NotBeside.
    """
    store = Log.of(folder)
    if store is None:
        return OnThisBench(job, None, [], UNCHECKED_GAUGE_DEG)
    with store:
        shop = measured_shop(store, Shop((job.bender,), ()))
        job = replace(job, bender=shop.benders[0])
        about = subject(job.tube, job.bender, job.material)
        taught, today = load_taught(store), clock.today()
        learnt = springback_of(taught, about.key, about.theory, today)
        gauge_deg = gauge_width(taught.gauges.get("protractor"), today)
    if type(job) is not Job:  # most jobs are legs and bends alone and need no shapes
        from benchcalc.core.shapes.drawing import drawn_again

        job = drawn_again(job, learnt)
    return OnThisBench(job, learnt, store.damage, gauge_deg)


NOTICES = (
    "set-aside", "set-aside-all", "set-aside-work", "lost", "work-behind", "work-spoilt",
    "other-log", "altered",
)  # fmt: skip
"""What may have happened to a log, each with a phrase of its own."""


def notices_of(store: Store) -> tuple[Told, ...]:
    """What happened to the log, until someone has pressed it away."""
    found = []
    for notice in store.notices():
        what = str(notice.get("what"))
        if what == "set-aside" and not notice.get("lost"):
            what = "set-aside-all"
        values = {k: str(v) for k, v in notice.items() if k not in ("what", "work")}
        if what in NOTICES:
            found.append(told(f"notice.{what}", **values))
        if notice.get("work"):
            found.append(told("notice.set-aside-work"))
    return tuple(found)


def keep_taught(store: Store, taught: Taught) -> None:
    """Keep what was taught, so that a start need not go through all records."""
    body: dict[str, Any] = {
        "form": TAUGHT_VERSION,
        "device": store.device,
        "upto": store.head()[0],
        **taught_plain(taught),
    }
    store.save_work(TAUGHT_SLOT, body)
