"""The one loop: events in, update, commands kept, view out; draws only when something changed."""

import sys
import time
import traceback
from collections.abc import Callable, Sequence
from typing import Protocol

from benchcalc.core.frozen import replace
from benchcalc.panel.input import dark
from benchcalc.panel.input.touches import KeyDown, Look, Touches
from benchcalc.panel.screens.copying import looks_for_sticks
from benchcalc.panel.state.aiming.turn_news import TurnCommand
from benchcalc.panel.state.messages import (
    AppendRecord,
    AppendRun,
    CancelCopy,
    Command,
    Darkened,
    ExpectBend,
    FindOrder,
    KeepSettings,
    KeyTyped,
    LookAtLog,
    LookThroughLog,
    Message,
    Outcome,
    Pressed,
    RecordingSent,
    Released,
    SaveWork,
    SayFree,
    SendRecording,
    SomethingBroke,
    SoundOutcome,
    StartCopy,
    StoreFailed,
    StoreRecovered,
    TakeZero,
    Woke,
)
from benchcalc.panel.state.model import Model, work_plain
from benchcalc.panel.update import update, view
from benchcalc.report.scene import Scene
from benchcalc.report.settings import Settings
from benchcalc.report.told import told, verbatim
from benchcalc.runlog.store import Store, StoreError
from benchcalc.shell import clock
from benchcalc.shell.copying import Copier
from benchcalc.shell.device import Device
from benchcalc.shell.display.screen import Exposed, QuitAsked, RawEvent
from benchcalc.shell.looking import Looker
from benchcalc.shell.memory import carry_out
from benchcalc.shell.order_search import OrderSearch
from benchcalc.shell.sensing import PanelSensor, SensorPair
from benchcalc.shell.service import Service
from benchcalc.shell.settings_file import SettingsFile
from benchcalc.shell.sticks import Sticks
from benchcalc.shell.taught import keep_taught
from benchcalc.words.language import speaking

BY_HAND = (Pressed, Released, KeyTyped, Woke)
"""Messages that are presses; the screen that follows one is what it asked for."""

QUICK_S = 0.002
"""Between looks at the events while someone is at the panel; a tap seldom comes alone."""

CALM_S = 0.05
"""Between looks when nobody is: 20 wake-ups a second cost a fifth of a per cent of a core."""

AWAKE_S = 3.0
RETRY_S = 2.0


class Window(Protocol):
    """What the loop needs of a screen."""

    def events(self) -> list[RawEvent]:
        """What came in since the last call."""

    def paint(self, scene: Scene) -> None:
        """Show a scene."""

    def apply_settings(self, settings: Settings) -> None:
        """Take the colours and the rotation that are set."""


def _keeps_work(command: Command) -> bool:
    """Whether the whole work in hand is on the disk once this is done."""
    keeping = isinstance(command, SaveWork | AppendRun | AppendRecord)
    return keeping and getattr(command, "work", None) is not None


def silent(hz: float | None) -> None:
    """No sound."""


def unheard(outcome: Outcome) -> None:
    """Nobody is told what a bend came to."""


class Loop:
    """A panel at work: one model, one window, one store."""

    def __init__(
        self,
        window: Window,
        store: Store,
        model: Model,
        sensor: PanelSensor | SensorPair | None = None,
        tone: Callable[[float | None], None] = silent,
        chime: Callable[[Outcome], None] = unheard,
        service: Service | None = None,
        device: Device | None = None,
        sticks: Sticks | None = None,
        settings: SettingsFile | None = None,
    ) -> None:
        self.window = window
        self.sensor = sensor
        self.tone = tone
        self.chime = chime
        self.service = service or Service("", None)
        self.device = device
        self.sticks = sticks
        self.settings = settings
        self.store = store
        self.orders = OrderSearch()
        self.looker = Looker(store)
        self.copier = Copier(store, let_go=sticks.let_go) if sticks else Copier(store)
        self.model = model
        self.scene = view(model)
        self.touches = Touches(clock.now_s())
        self._failed_at_s: float | None = None
        self._outcome_due: Outcome | None = None

    def run(self, rest: Callable[[float], None] = time.sleep) -> None:
        """Until someone asks to quit; a copy that runs then is stopped."""
        try:
            self._go_round(rest)
        finally:
            self.copier.stop()

    def _go_round(self, rest: Callable[[float], None]) -> None:
        self.window.paint(self.scene)
        self.service.ready()
        looked_s = clock.now_s()
        awake_until = looked_s + AWAKE_S
        while True:
            events = self.window.events()
            look = Look(looked_s, clock.now_s())
            looked_s = look.at_s
            if events:
                awake_until = look.at_s + AWAKE_S
            for event in events:
                if isinstance(event, QuitAsked):
                    self.service.stopping()
                    return
                self.take(event, look)
            self._mind_touches(look.at_s)
            if self.sensor is not None:
                for message in self.sensor.look(clock.now_s()):
                    self.handle(message)
                sounds = self.model.settings.sounds
                self.tone(self.sensor.tone_hz(clock.now_s()) if sounds else None)
            if self.device is not None:
                for message in self.device.look(clock.now_s()):
                    self.handle(message)
            self._mind_sticks()
            if not events:
                self._mind_log(look.at_s)
            if (found := self.orders.look()) is not None:
                self.handle(found)
            self._retry()
            self.service.alive(clock.now_s())
            awake = self.model.pressed is not None or clock.now_s() < awake_until
            awake = awake or self.copier.busy or self.orders.busy or self.looker.hurries
            rest(QUICK_S if awake else CALM_S)

    def _mind_sticks(self) -> None:
        """See which sticks there are, and carry a copy that runs one step on."""
        message: Message | None = None
        if self.copier.busy:
            with speaking(self.model.settings.language):
                message = self.copier.step()
        elif self.sticks is not None and looks_for_sticks(self.model):
            message = self.sticks.look(clock.now_s())
        if message is not None:
            self.handle(message)

    def _mind_log(self, at_s: float) -> None:
        """Look at a few more records, while nobody is at the panel or somebody waits for it."""
        message = self.looker.step(at_s, self.touches.idle_s(at_s))
        if message is not None:
            self.handle(message)

    def _mind_touches(self, at_s: float) -> None:
        """A contact that never ends, and a panel that nobody is at."""
        for message in self.touches.tick(at_s):
            self.handle(message)
        if dark.is_due(self.model, self.touches.idle_s(at_s)):
            self.handle(Darkened(at_s))

    def take(self, event: RawEvent, look: Look) -> None:
        """One event, whole: what was meant by it, update, keep, draw."""
        if isinstance(event, Exposed):
            self.window.paint(self.scene)
        elif not isinstance(event, QuitAsked):
            if isinstance(event, KeyDown) and self.sensor is not None:
                self.sensor.released(event.name, clock.now_s())
            for message in self.touches.hear(event, look, self.scene, self.model.dark):
                self.handle(message)

    def handle(self, message: Message) -> None:
        """Update with a message; what is to be kept is on the disk before the screen shows it.

        A fault of our own leaves the model as it was and says so on the screen.
        """
        self._mind_day()
        before, self._outcome_due = self.model, None
        try:
            self.model, commands = update(before, message)
            for command in commands:
                self._carry_out(command)
        except Exception:
            self._broke(before)
        if self.model is before:
            return
        if self.model.work is not before.work or self.model.dark is not before.dark:
            self.touches.roused(clock.now_s())
        if self.model.settings is not before.settings:
            self.window.apply_settings(self.model.settings)
        try:
            shown = self.scene
            self._show()
            if not isinstance(message, BY_HAND):
                self.touches.shown(shown, clock.now_s())
        except Exception:  # what was kept is kept: only the picture of it failed
            self._broke(self.model)
        if self._outcome_due is not None:  # after the picture, which need not wait for a sound
            self.chime(self._outcome_due)

    def _mind_day(self) -> None:
        """Tube without a name is another lot each day, also where a panel runs on over midnight."""
        day = clock.today()
        if day != self.model.today:
            self.model = replace(self.model, today=day)

    def _broke(self, model: Model) -> None:
        traceback.print_exc(file=sys.stderr)
        self.model, _ = update(model, SomethingBroke())

    def _show(self) -> None:
        scene = view(self.model)
        self.window.paint(scene)
        self.scene = scene

    def _carry_out(self, command: Command) -> None:
        try:
            more: list[Command] = []
            for message in self._outcome(command):
                self.model, commands = update(self.model, message)
                more += commands
            for following in more:
                self._carry_out(following)
            if isinstance(command, AppendRun | AppendRecord):
                keep_taught(self.store, self.model.taught)
        except StoreError as error:
            self._failed_at_s = clock.now_s()
            self.model, _ = update(self.model, StoreFailed(verbatim(str(error))))
            return
        if self._failed_at_s is not None and _keeps_work(command):
            self._failed_at_s = None
            self.model, _ = update(self.model, StoreRecovered())

    def _outcome(self, command: Command) -> Sequence[Message]:
        if isinstance(command, TakeZero | ExpectBend | SayFree | TurnCommand):
            return self.sensor.carry_out(command, clock.now_s()) if self.sensor else ()
        if isinstance(command, SendRecording):
            return self._send()
        if isinstance(command, SoundOutcome):
            self._outcome_due = command.outcome
            return ()
        if isinstance(command, LookThroughLog):
            self.looker.ask()
            return ()
        if isinstance(command, LookAtLog | StartCopy | CancelCopy):
            return self.copier.carry_out(command)
        if isinstance(command, KeepSettings):
            return self._keep(command)
        if isinstance(command, FindOrder):
            self.orders.begin(command)
            return ()
        return carry_out(self.store, command)

    def _send(self) -> Sequence[Message]:
        """What the sensor said of the last bend, to a stick."""
        if self.sensor is None or not self.sensor.last_bend.there:
            return ()
        sticks = self.sticks.places(clock.now_s()) if self.sticks is not None else ()
        if self.sticks is None or not sticks:
            return (RecordingSent(told("sensor.record.no-stick")),)
        return (self.sticks.put(sticks[0], f"bend-{clock.today()}", self.sensor.last_bend.text()),)

    def _keep(self, command: KeepSettings) -> Sequence[Message]:
        """A disk that refuses is said; the settings hold all the same while the panel runs."""
        try:
            if self.settings is not None:
                self.settings.keep(command.settings)
        except OSError as error:
            problem = error.strerror or str(error)
            return (StoreFailed(told("trouble.settings", problem=problem)),)
        return ()

    def _retry(self) -> None:
        """After a failure keep trying to save the work in hand; the screen says while it fails."""
        if self._failed_at_s is None or clock.now_s() - self._failed_at_s < RETRY_S:
            return
        shown = self.model
        self._carry_out(SaveWork(work_plain(self.model.work)))
        if self.model != shown:
            self._show()
