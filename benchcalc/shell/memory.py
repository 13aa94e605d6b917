"""The bench's memory as the panel uses it: work, records, and what the records taught."""

from benchcalc.core.serialize import deserialize
from benchcalc.core.springback.lessons import (
    BEFORE,
    PIECE,
    RESET,
    TRIAL,
    WORD,
    Lesson,
    key_of_plain,
    lesson_of,
    lesson_of_word,
    lessons_of,
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
from benchcalc.report.told import Told, told
from benchcalc.runlog.chain import Entry
from benchcalc.runlog.reading import Records
from benchcalc.runlog.records import REMARK, PieceRecord, RemarkRecord, upgraded
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.shell import clock

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
