"""Seeded streams of taps and keys, with a failing store: the panel never stumbles.

BENCHCALC_RANDOM_TAPS asks for more taps than the suite's own.
"""

import json
import os
import random
from dataclasses import replace

import pytest

from benchcalc.core.serialize import deserialize
from benchcalc.core.springback.lessons import (
    TRIAL,
    WORD,
    Lesson,
    key_of_plain,
    lesson_of,
    lesson_of_word,
    lessons_of,
)
from benchcalc.panel.screens.make_words import came_says
from benchcalc.panel.state.messages import (
    AppendRecord,
    AppendRun,
    Command,
    KeyTyped,
    LessonsRead,
    LogSeen,
    LookAtLog,
    Message,
    MoreTaught,
    Pressed,
    ReadLessons,
    Released,
    RunStored,
    SaveWork,
    SticksSeen,
    StoreFailed,
    StoreRecovered,
)
from benchcalc.panel.state.model import (
    SHELVED_CHARACTERS,
    Making,
    Model,
    Work,
    newest,
    work_of,
    work_plain,
)
from benchcalc.panel.state.shape_forms import FORMS
from benchcalc.panel.state.typed_shapes import Shaping
from benchcalc.panel.update import update, view
from benchcalc.report.scene import Scene, Target, scene_text
from benchcalc.report.told import in_words, verbatim
from benchcalc.report.units_shown import showing
from benchcalc.runlog.records import PieceRecord
from benchcalc.words.language import speaking
from tests.panel.faces import toward
from tests.panel.journeys import JOB, SHOP, demo_draft

TAPS = int(os.environ.get("BENCHCALC_RANDOM_TAPS", "20000"))
STREAMS = 8
NAMED_KEYS = ("enter", "back", "delete", "tab", "left", "right", "up", "down", "escape")
CHARACTERS = "0123456789./-' \"aZäx%\n"
SIZES = ((480, 320), (800, 480), (1024, 600))
FULL = "The disk is full: make room on it, then try again."


def as_kept(work: Work) -> Work:
    """The work as a restart finds it."""
    shelf = tuple(replace(job, undo=newest(job.undo, SHELVED_CHARACTERS)) for job in work.shelf)
    return replace(work, undo=newest(work.undo), shelf=shelf)


def _way(shaping: Shaping) -> str:
    """The way to the port that is chosen."""
    return (shaping.shape.texts[-1] if shaping.shape else "") or "1"


class Chance:
    """One stream: a panel, a store that fails now and then, and dice."""

    def __init__(self, seed: int) -> None:
        self.dice = random.Random(seed)
        work = Work("plan", demo_draft()) if seed % 2 else Work()
        self.model = Model(SHOP, SIZES[seed % 3], work)
        self.kept: Work = work
        self.failing = False
        self.behind = False
        self.count = 0
        self.lessons: dict[tuple[int, int], Lesson] = {}
        self._seen = (self.model, view(self.model))

    @property
    def scene(self) -> Scene:
        """What the panel shows; drawn anew only when the model changed, as in the shell."""
        if self._seen[0] is not self.model:
            self._seen = (self.model, view(self.model))
        return self._seen[1]

    def send(self, message: Message) -> tuple[Command, ...]:
        """One message; what must hold after any of them."""
        before = self.model
        self.model, commands = update(before, message)
        if self.model == before:
            self.model = before
        assert self.scene.size == self.model.size
        if self.model.work is not before.work:
            plain = json.loads(json.dumps(work_plain(self.model.work), allow_nan=False))
            assert work_of(plain) == as_kept(self.model.work)
        for command in commands:
            self._carry_out(command)
        return commands

    def _carry_out(self, command: Command) -> None:
        stored = isinstance(command, SaveWork | AppendRun | AppendRecord | ReadLessons)
        if self.failing and stored:
            self.behind = True
            self.send(StoreFailed(verbatim(FULL)))
            return
        if isinstance(command, ReadLessons):
            key = key_of_plain(command.key)
            self.send(LessonsRead(tuple(x for x in self.lessons.values() if x.key == key)))
            return
        if isinstance(command, LookAtLog):
            self.send(LogSeen(self.count, "", self.count // 2))
            return
        if not isinstance(command, SaveWork | AppendRun | AppendRecord):
            return  # for a sensor or a stick, and there is none
        if command.work is not None:
            self.kept = work_of(json.loads(json.dumps(command.work, allow_nan=False)))
        if isinstance(command, AppendRun | AppendRecord):
            self._append(command)
        if self.behind and command.work is not None:
            self.behind = False
            self.send(StoreRecovered())

    def _append(self, command: AppendRun | AppendRecord) -> None:
        self.count += 1
        plain = json.loads(json.dumps(command.record, allow_nan=False))
        if isinstance(command, AppendRun):
            deserialize(PieceRecord, plain)
            self._told(*lessons_of(self.count, plain))
            self.send(RunStored(self.count, plain))
            return
        if command.kind == TRIAL:
            self._told(*(lesson_of(t, self.count, n) for n, t in enumerate(plain["lessons"])))
        elif command.kind == WORD:
            self._told(lesson_of_word(plain)._replace(counted=plain["counts"]))
        else:
            self.lessons = {}
        self.send(MoreTaught(self.count, command.kind, plain))

    def _told(self, *lessons: Lesson) -> None:
        self.lessons |= {(lesson.sequence, lesson.bend): lesson for lesson in lessons}

    def turn(self) -> None:
        """One act of the operator, or of the disk."""
        chance = self.dice.random()
        if chance < 0.02:
            self.failing = not self.failing
            if self.behind and not self.failing:
                self._carry_out(SaveWork(work_plain(self.model.work)))  # as the shell tries again
        elif chance < 0.03:
            self.send(SticksSeen(self.dice.choice(((), ("/media/A",), ("/media/A", "/media/B")))))
        elif chance < 0.2:
            self.send(KeyTyped(self.dice.choice((*NAMED_KEYS, *CHARACTERS))))
        elif chance < 0.23:
            targets = self.scene.targets
            self.send(Pressed(self.dice.choice(targets)))
            self.send(Released(self.dice.choice((None, *targets))))
        else:
            self.tap(self.likely())
        if not self.behind:
            work = as_kept(self.model.work)
            assert self.kept == replace(work, making=self.known_making())

    def known_making(self) -> Making | None:
        """The number in the log is told after the work was kept with the record."""
        making, kept = self.model.work.making, self.kept.making
        return making and kept and replace(making, stored=kept.stored)

    def likely(self) -> Target:
        """Any target, but the way on more often, or no stream would come far."""
        targets = self.scene.targets
        on = [t for t in targets if t.name in ("next", "make", "plan", "keep", "take anyway")]
        return self.dice.choice(on if on and self.dice.random() < 0.3 else targets)

    def tap(self, target: Target) -> None:
        before = self.scene
        assert before.target_at(*target.box.centre) == target, f"{target.name} is covered"
        work = self.model.work
        self.send(Pressed(target))
        commands = self.send(Released(target))
        after = self.scene
        reacted = after != before or commands or self.model.work != work
        assert reacted or self._says_why(after) or self._chosen_already(target), (
            f"{target.name} does nothing and says nothing on:\n{scene_text(after)}"
        )

    def _says_why(self, scene: Scene) -> bool:
        """A refusal given twice changes nothing; it must be there to be read."""
        text, making = scene_text(scene), self.model.work.making
        with speaking(self.model.settings.language), showing(self.model.settings.units):
            units = self.model.draft.units
            said = (in_words(self.model.refusal), came_says(making, units) if making else "")
        return any(bool(words) and words in text for words in said)

    def _chosen_already(self, target: Target) -> bool:
        work = self.model.work
        if work.screen == "shape" and work.shaping.shape is not None:
            asked = FORMS[work.shaping.shape.kind][work.shaping.field]
            same = asked.kind == "way" and target.name == f"choose {_way(work.shaping)}"
            return same or target.name == f"field {asked.key}"
        writing = work.trials if work.screen == "trial" else work.cursor
        return target.name == f"field {writing.field}" and writing.fresh


@pytest.mark.parametrize("seed", range(STREAMS))
def test_any_taps_in_any_order(seed: int) -> None:
    chance = Chance(seed)
    for _ in range(TAPS // STREAMS):
        chance.turn()


def test_the_streams_would_notice_a_dead_key(monkeypatch: pytest.MonkeyPatch) -> None:
    chance = Chance(0)
    monkeypatch.setattr("tests.panel.test_random_taps.update", lambda model, message: (model, ()))
    target = chance.scene.target("plan")
    assert target is not None
    with pytest.raises(AssertionError, match="plan does nothing and says nothing"):
        chance.tap(target)


def found(chance: Chance, name: str) -> Target:
    """A key on this page or face, or on one that the keys for that turn to."""
    for _ in range(8):
        way = chance.scene.target(toward(chance.scene, name) or "")
        if way is None:
            break
        chance.tap(way)
    target = chance.scene.target(name)
    assert target is not None, f"no {name!r} on:\n{scene_text(chance.scene)}"
    return target


def test_a_stream_that_follows_the_job_comes_to_its_end_though_the_store_fails() -> None:
    chance = Chance(0)
    for name in JOB:
        chance.failing = chance.dice.random() < 0.5
        target = found(chance, name)
        if name == "next" and chance.model.work.making is not None:
            chance.failing = False
        chance.tap(target)
    assert chance.model.work.screen == "kept" and chance.count == 1
