"""Hands for the panel: taps by name on the screen that is shown, commands carried out in memory."""

from dataclasses import replace
from typing import Any

from benchcalc.panel.messages import (
    AppendRun,
    KeyTyped,
    Pressed,
    Released,
    RunStored,
    SaveWork,
)
from benchcalc.panel.model import Model, Work, work_of
from benchcalc.panel.scene import Scene, scene_text
from benchcalc.panel.update import update, view
from benchcalc.shell.files import load_shop


class Hands:
    """A panel without a window. Tapping what is not shown fails the test."""

    def __init__(self, model: Model | None = None, size: tuple[int, int] = (800, 480)) -> None:
        self.model = model or Model(load_shop(None), size)
        self.saved: list[Any] = []
        self.records: list[Any] = []

    @property
    def scene(self) -> Scene:
        return view(self.model)

    @property
    def text(self) -> str:
        return scene_text(self.scene)

    @property
    def work(self) -> Work:
        return self.model.work

    def tap(self, *names: str) -> "Hands":
        for name in names:
            self.tap_one(name)
        return self

    def tap_one(self, name: str) -> None:
        target = self.scene.target(name)
        assert target is not None, f"no {name!r} on:\n{self.text}"
        x, y = target.box.centre
        hit = self.scene.target_at(x, y)
        assert hit == name, f"{name!r} is covered by {hit!r}"
        self._handle(Pressed(hit))
        self._handle(Released(hit))

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
        self.tap("set bender")
        while self.scene.target(f"choose {bender}") is None:
            self.tap("more")
        self.tap(f"choose {bender}", "set wall")
        self.type(wall, "next").tap("set material")
        while self.scene.target(f"choose {material}") is None:
            self.tap("more")
        return self.tap(f"choose {material}")

    def restart(self) -> "Hands":
        """The power went: what was saved is all that is left."""
        again = Hands(replace(Model(self.model.shop, self.model.size)))
        if self.saved:
            again.model = replace(again.model, work=work_of(self.saved[-1]))
        again.saved, again.records = self.saved, self.records
        return again

    def _handle(self, message: Any) -> None:
        self.model, commands = update(self.model, message)
        for command in commands:
            if isinstance(command, SaveWork):
                self.saved.append(command.work)
            elif isinstance(command, AppendRun):
                self.records.append(command.record)
                self.saved.append(command.work)
                self.model, _ = update(self.model, RunStored(len(self.records)))
