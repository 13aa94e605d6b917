"""Hands for the panel: taps by name on the screen that is shown, commands carried out in memory."""

from dataclasses import replace
from typing import Any, NamedTuple

from benchcalc.core.springback.learning import Taught
from benchcalc.core.springback.lessons import (
    FIRST_PIECE,
    PIECE,
    REMARK,
    RESET,
    TRIAL,
    WORD,
    Lesson,
    key_of_plain,
    learn_record,
    lesson_of,
    lesson_of_word,
    lessons_of,
)
from benchcalc.files.loading import load_shop
from benchcalc.panel.state.making.port_miss import with_aimed_bender
from benchcalc.panel.state.measured import as_measured
from benchcalc.panel.state.messages import (
    AppendRecord,
    AppendRun,
    CancelCopy,
    Command,
    FindOrder,
    KeepSettings,
    KeyTyped,
    LessonsRead,
    LogSeen,
    LookAtLog,
    LookThroughLog,
    Message,
    MoreTaught,
    NoticesRead,
    PieceRead,
    Pressed,
    ReadLessons,
    ReadPiece,
    Released,
    RunStored,
    SaveWork,
    StartCopy,
)
from benchcalc.panel.state.model import READ_WHEN_OPENED, Model, Work, work_of
from benchcalc.panel.state.shape_forms import FORMS
from benchcalc.panel.state.trials import with_measured_bender
from benchcalc.panel.update import update, view
from benchcalc.report.scene import Scene, scene_text


def same(one: Taught, other: Taught) -> bool:
    """Whether two states agree in all but the days: hands have no clock."""
    return _undated(one) == _undated(other)


def _undated(taught: Taught) -> Taught:
    groups = {
        group: replace(bends, kept=tuple(kept._replace(day="") for kept in bends.kept))
        for group, bends in taught.groups.items()
    }
    return replace(taught, groups=groups)


CHAIN_END = "5f0c9e2117ab40d3" + 48 * "0"


FACED = ("plan", "trial", "check", "before", "make", "shape", "bench", "learnt", "settings")
"""Screens that turn to other faces or pages."""

WAYS: list[tuple[str, ...]] = [
    (), ("type",), ("look",), ("look", "more"), ("more",), ("more", "more"), ("type", "more"),
    ("type", "more", "more"),
]  # fmt: skip
"""What is tapped to come to each of them."""


class Kept(NamedTuple):
    """A record of any kind, as the store would have it."""

    kind: str
    body: Any


class Hands:
    """A panel without a window. Tapping what is not shown fails the test."""

    def __init__(self, model: Model | None = None, size: tuple[int, int] = (800, 480)) -> None:
        self.model = model or Model(load_shop(None), size)
        self.shop = self.model.shop
        self.saved: list[Any] = []
        self.log: list[Kept] = []
        self.copied = 0
        self.kept_settings: Any = None
        self.asked: list[StartCopy | CancelCopy | LookThroughLog | NoticesRead] = []
        self.searches: list[FindOrder] = []

    @property
    def records(self) -> list[Any]:
        """The pieces among the records."""
        return [kept.body for kept in self.log if kept.kind == PIECE]

    @property
    def taught(self) -> Taught:
        """What the records teach, from the first one on."""
        taught = Taught()
        for sequence, kept in enumerate(self.log, 1):
            taught = learn_record(taught, sequence, kept.kind, kept.body, self.model.today)
        return taught

    @property
    def scene(self) -> Scene:
        return view(self.model)

    @property
    def text(self) -> str:
        return scene_text(self.scene)

    @property
    def work(self) -> Work:
        return self.model.work

    @property
    def shown(self) -> str:
        """The name of the screen, or of the step while a piece is made."""
        making = self.work.making
        return making.step if making and self.work.screen == "make" else self.work.screen

    def tap(self, *names: str) -> "Hands":
        for name in names:
            self.tap_one(name)
        return self

    def tap_one(self, name: str) -> None:
        self._turn_to(name)
        if name.startswith("field ") and self.work.screen == "shape":
            return
        target = self.scene.target(name)
        assert target is not None, f"no {name!r} on:\n{self.text}"
        x, y = target.box.centre
        hit = self.scene.target_at(x, y)
        assert hit is not None and hit.name == name, f"{name!r} is covered by {hit!r}"
        self.down(name)
        self._handle(Released(target))

    def can(self, name: str) -> bool:
        """Whether a key is on this screen, be it on another face; the screen then shows it."""
        self._turn_to(name)
        return self.scene.target(name) is not None

    def _turn_to(self, name: str) -> None:
        """Where a screen has a key on another of its faces or pages, the taps that lead there.

        On a small screen one field of a run is shown, and a tap on it shows the next.
        """
        if self.work.screen in ("pick", "write", "jobs"):
            for _ in range(8):
                if self.scene.target(name) is None:
                    self._tap_if_there("more")
            return
        if name.startswith("field ") and self.work.screen == "shape":
            self._go_to_field(name.removeprefix("field "))
            return
        if self.work.screen not in FACED:
            return
        before, ways = self.model, WAYS
        if name.startswith("field ") and self.work.screen == "plan":
            ways = [(*way, *around) for way in ways[:2] for around in ((), ("",), ("", ""))]
        for way in ways:
            self.model = before
            for key in way:
                self._tap_if_there(key)
            if self.scene.target(name) is not None:
                return
        self.model = before

    def _go_to_field(self, key: str) -> None:
        """In a shape's form: back or on to a field."""
        shaping = self.work.shaping
        assert shaping.shape is not None
        keys = [asked.key for asked in FORMS[shaping.shape.kind]]
        for _ in keys:
            at = keys.index(key) - self.work.shaping.field
            if at:
                self._tap_if_there("earlier" if at < 0 else "next")

    def _tap_if_there(self, key: str) -> None:
        names = [t.name for t in self.scene.targets]
        shown = next((n for n in names if n == key or (not key and n.startswith("field "))), None)
        if shown is not None:
            self.down(shown)
            self.up(shown)

    def hear(self, *news: Message) -> "Hands":
        """What the shell tells of its own accord."""
        for message in news:
            self._handle(message)
        return self

    def down(self, name: str | None) -> None:
        self._handle(Pressed(self.scene.target(name) if name else None))

    def up(self, name: str | None) -> None:
        self._handle(Released(self.scene.target(name) if name else None))

    def type(self, digits: str, *after: str) -> "Hands":
        return self.tap(*[f"key {d}" for d in digits], *after)

    def key(self, *names: str) -> "Hands":
        for name in names:
            self._handle(KeyTyped(name))
        return self

    def segment(self, leg: str, bend: str, turn: str | None = None) -> "Hands":
        self.type(leg, "next").type(bend, "next")
        if turn is not None:
            self.type(turn, "next")
        return self

    def bench(self, bender: str, wall: str, material: str = "304") -> "Hands":
        self.tap("set bender", f"choose {bender}", "set wall")
        return self.type(wall, "next").tap("set material", f"choose {material}")

    def restart(self) -> "Hands":
        """The power went: what was saved is all that is left."""
        again = Hands(Model(self.shop, self.model.size))
        again.saved, again.log = self.saved, self.log
        shop = self.shop
        for kept in self.log:
            shop = with_measured_bender(shop, kept.body) if kept.kind == TRIAL else shop
            shop = with_aimed_bender(shop, kept.body) if kept.kind == FIRST_PIECE else shop
        again.model = replace(again.model, shop=shop, taught=again.taught)
        if self.saved:
            work = work_of(self.saved[-1])
            work = replace(work, screen="bench") if work.screen in READ_WHEN_OPENED else work
            again.model = replace(again.model, work=as_measured(work, shop))
        return again

    def lessons(self, key: Any) -> tuple[Lesson, ...]:
        """The bends that taught a lot, each counted as it counts now."""
        found: dict[tuple[int, int], Lesson] = {}
        for number, (kind, body) in enumerate(self.log, 1):
            if kind == PIECE:
                told = list(lessons_of(number, body))
            elif kind == TRIAL:
                told = [lesson_of(t, number, at) for at, t in enumerate(body["lessons"], 1)]
            elif kind == WORD:
                told = [lesson_of_word(body)._replace(counted=body["counts"])]
            else:
                found = {} if kind == RESET and body == key else found
                continue
            found |= {(t.sequence, t.bend): t for t in told if t.key == key_of_plain(key)}
        return tuple(found.values())

    def entry(self, number: int) -> dict[str, Any]:
        """A record as the store reads it back."""
        kind, body = self.log[number - 1]
        at = {"wall_time": "2026-11-25T14:05:09+00:00", "clock_trusted": number % 2 == 1}
        return {"sequence": number, "boot_id": "boot", **at, "kind": kind, "body": body}

    def piece(self, command: ReadPiece) -> PieceRead:
        """The stored piece that is asked for, with the remarks on it."""
        pieces = [n for n, kept in enumerate(self.log, 1) if kept.kind == PIECE]
        number = command.number or len(self.log)
        if command.step > 0:
            found = min((n for n in pieces if n > number), default=None)
        else:
            found = max((n for n in pieces if n <= number + command.step), default=None)
        if found is None:
            return PieceRead()
        about = [n for n, kept in enumerate(self.log, 1)
                 if kept.kind == REMARK and kept.body["about"] == found]  # fmt: skip
        return PieceRead(self.entry(found), tuple(map(self.entry, about)))

    def _handle(self, message: Message) -> None:
        self.model, commands = update(self.model, message)
        for command in commands:
            self._carry_out(command)

    def _carry_out(self, command: Command) -> None:
        if isinstance(command, ReadLessons):
            self._handle(LessonsRead(self.lessons(command.key)))
            return
        if isinstance(command, ReadPiece):
            self._handle(self.piece(command))
            return
        if isinstance(command, LookAtLog):
            self._handle(LogSeen(len(self.log), CHAIN_END, self.copied))
            return
        if isinstance(command, KeepSettings):
            self.kept_settings = command.settings
        if isinstance(command, FindOrder):
            self.searches.append(command)
            return
        if isinstance(command, StartCopy | CancelCopy | LookThroughLog | NoticesRead):
            self.asked.append(command)
            return
        if not isinstance(command, SaveWork | AppendRun | AppendRecord):
            return  # for a sensor, and there is none
        if not isinstance(command, SaveWork):
            kind = PIECE if isinstance(command, AppendRun) else command.kind
            self.log.append(Kept(kind, command.record))
        if command.work is not None:
            self.saved.append(command.work)
        if isinstance(command, AppendRun):
            self._handle(RunStored(len(self.log), command.record))
        elif isinstance(command, AppendRecord):
            self._handle(MoreTaught(len(self.log), command.kind, command.record))
