"""A panel at work while its sensor's line is pulled out, fouled and flooded; a finger taps on.

The sensor tells its own time: ten degrees a second, so that the angle on the panel says when it
was written.
"""

import re
import threading
import time
from collections import deque
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Self

from benchcalc.panel.input.touches import Down, Up
from benchcalc.panel.state.messages import KeyTyped
from benchcalc.panel.state.model import Model
from benchcalc.report.scene import Scene, scene_text
from benchcalc.report.settings import Settings
from benchcalc.runlog.store import Store
from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.profile import SensorProfile
from benchcalc.shell import clock
from benchcalc.shell.display.screen import QuitAsked, RawEvent
from benchcalc.shell.loop import Loop, Window
from benchcalc.shell.port import SerialPort
from benchcalc.shell.sensing import PanelSensor
from tests.shell.terminals import Terminal

USUAL_HZ = 10
FLOOD_HZ = 100 * USUAL_HZ
DEG_PER_S = 10.0
ROUNDED_DEG = 0.051
"""The panel shows tenths."""
GARBAGE = b"\xff\x00\x80garbage=\r\nX=\r\nX=99"
PROFILE = SensorProfile(
    "time", AsciiLine(b"X="), sees="encoder", zero_deg=0.0, wrap_deg=0.0, stale_s=0.5
)
_NOW = re.compile(r"Now (\d+(?:\.\d)?)°")


class Instrument:
    """Writes the time to a pseudo-terminal, under one name whichever terminal it is."""

    def __init__(self, link: Path) -> None:
        self.link, self.rate_hz = link, USUAL_HZ
        self.began_s = clock.now_s()
        self._changes_s: deque[float] = deque(maxlen=FLOOD_HZ)
        self._terminal: Terminal | None = None
        self._lock, self._stop = threading.Lock(), threading.Event()
        self._thread = threading.Thread(target=self._write)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()
        self.unplug()

    def plug_in(self) -> None:
        """A new terminal; noise comes first."""
        with self._lock:
            self._terminal = Terminal()
            self._terminal.write(GARBAGE)
            self.link.symlink_to(self._terminal.name)

    def unplug(self) -> None:
        """The line is gone."""
        with self._lock:
            if self._terminal is not None:
                self._changes_s.append(clock.now_s())
                self.link.unlink()
                self._terminal.close()
                self._terminal = None

    def _write(self) -> None:
        while not self._stop.wait(1 / self.rate_hz):
            with self._lock:
                if self._terminal is not None:
                    now_s = clock.now_s()
                    self._terminal.write(b"X=%.3f\r\n" % (DEG_PER_S * (now_s - self.began_s)))
                    self._changes_s.append(now_s)

    def behind_s(self, shown_deg: float, now_s: float) -> float:
        """How long a live angle on the screen has been older than what is known here.

        That is since the next reading was written, or since the plug was pulled.
        """
        shown_s = self.began_s + (shown_deg + ROUNDED_DEG) / DEG_PER_S
        with self._lock:
            later_s = [at_s for at_s in self._changes_s if at_s > shown_s]
        return now_s - later_s[0] if later_s else 0.0


class Finger:
    """A window with a finger on it: a key is touched and left again, at any moment.

    ``taken_s`` has the seconds from each touch, and each lifting, to the frame that answers it.
    """

    def __init__(self, window: Window, seed: int = 1) -> None:
        self.window, self.taps, self.ended = window, False, False
        self.taken_s: list[float] = []
        self.scene: Scene | None = None
        self._random, self._down = Random(seed), False
        self._due_s, self._touched_s = 0.0, -1.0

    def apply_settings(self, settings: Settings) -> None:
        """The window's own colours."""
        self.window.apply_settings(settings)

    def events(self) -> list[RawEvent]:
        """What the window has, and the finger's touch when it is due."""
        events = self.window.events()
        if self.ended:
            return [*events, QuitAsked()]
        now_s = clock.now_s()
        if not self.taps or self.scene is None:
            self._due_s = now_s
            return events
        if now_s < self._due_s:
            return events
        self._touched_s, self._down = self._due_s, not self._down
        self._due_s += self._random.uniform(0.03, 0.12)
        target = self.scene.target("step back")
        assert target is not None
        x, y = (int(side) for side in target.box.centre)
        return [*events, Down(x, y) if self._down else Up(1, 1)]  # lifted elsewhere: no act

    def paint(self, scene: Scene) -> None:
        """Show a scene."""
        self.window.paint(scene)
        self.scene = scene
        if self._touched_s >= 0:
            self.taken_s.append(clock.now_s() - self._touched_s)
            self._touched_s = -1.0


class Soak:
    """The real loop, port, store and sensor, turned by a plan of what happens to the line."""

    def __init__(
        self, window: Window, store: Store, model: Model, instrument: Instrument | None,
        first_wait_s: float,
    ) -> None:  # fmt: skip
        self.finger, self.instrument = Finger(window), instrument
        self.sensor: PanelSensor | None = None
        if instrument is not None:
            port = SerialPort(str(instrument.link), PROFILE.line, first_wait_s=first_wait_s)
            self.sensor = PanelSensor(PROFILE, port, clock.now_s())
            self.sensor.start()
        self.loop = Loop(self.finger, store, model, self.sensor)
        making = model.work.making
        while making is not None and making.step != "pull":
            self.loop.handle(KeyTyped("enter"))
            making = self.loop.model.work.making
        self.behind_s: dict[int, list[float]] = {USUAL_HZ: [], FLOOD_HZ: []}

    @property
    def shown_deg(self) -> float | None:
        """The angle that the panel calls live."""
        scene = self.finger.scene
        found = _NOW.search(scene_text(scene)) if scene is not None else None
        return float(found[1]) if found else None

    def run(self, plan: Iterator[None]) -> None:
        """Turn the loop until the plan is at its end.

        What stands on the screen is oldest just before the next turn: ``behind_s`` is taken then.
        """

        def rest(seconds: float) -> None:
            time.sleep(seconds)
            deg, of = self.shown_deg, self.instrument
            if deg is not None and of is not None:
                self.behind_s[of.rate_hz].append(of.behind_s(deg, clock.now_s()))
            if next(plan, self) is self:
                self.finger.ended = True

        self.loop.run(rest)

    def shows_live(self, most_s: float = 10.0) -> Iterator[None]:
        """Until the panel shows a live angle."""
        ends_s = clock.now_s() + most_s
        while self.shown_deg is None:
            assert clock.now_s() < ends_s, self.finger.scene and scene_text(self.finger.scene)
            yield

    def shows_none(self, most_s: float = 2.0) -> Iterator[None]:
        """Until the panel shows none."""
        ends_s = clock.now_s() + most_s
        while self.shown_deg is not None:
            assert clock.now_s() < ends_s, "an angle is shown as live and the line is gone"
            yield

    def for_(self, seconds: float) -> Iterator[None]:
        """So long."""
        ends_s = clock.now_s() + seconds
        while clock.now_s() < ends_s:
            yield

    def close(self) -> None:
        """Give the port back."""
        if self.sensor is not None:
            self.sensor.close()
