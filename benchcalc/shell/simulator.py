"""The simulated bench on a real pseudo-terminal: it speaks a sensor's bytes, on its own clock.

The panel opens ``simulator.port`` as it would any serial port. Simple calls move the hand:
``pull_to`` an angle, ``let_go``, ``new_bend``; others play what goes wrong on a bench.
"""

import os
import select
import threading
import time
import tty
from pathlib import Path
from random import Random
from typing import Self

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.profile import SensorProfile, framer_of
from benchcalc.shell.simulated_bench import (
    Flaws,
    Habits,
    Hand,
    Move,
    Operator,
    SimulatedSensor,
    SimulatedTube,
    Springiness,
    frame_of,
)

AWAY_DEG = 15.0
"""How far the arm falls back from a tube that was let go."""


CALM = Habits(pauses=0.0, overshoots=0.0)
"""An operator who does as told."""


class Simulator:
    """A tube, a hand and a sensor behind a pseudo-terminal, driven by a thread of its own.

    ``link`` is a path that always leads to the current terminal, as a udev rule's name would.
    """

    def __init__(
        self,
        profile: SensorProfile,
        springiness: Springiness,
        flaws: Flaws,
        rate_hz: float = 20.0,
        habits: Habits = CALM,
        seed: int = 1,
        link: Path | None = None,
    ) -> None:
        random = Random(seed)
        self.profile, self.rate_hz, self._link = profile, rate_hz, link
        self._habits = habits
        self._operator = Operator(habits, random)
        self._sensor = SimulatedSensor(flaws, profile, random)
        self._springiness = springiness
        self.tube, self._hand = SimulatedTube(springiness), Hand()
        self._question = framer_of(profile.speaks).question
        self._lock = threading.Lock()
        self._stop = threading.Event()
        self._silent_until_s, self._garbage = 0.0, b""
        self._master, self._slave = -1, -1
        self.plug_in()
        self._thread = threading.Thread(target=self._run, name="simulator", daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def port(self) -> str:
        """The name of the port to open."""
        return str(self._link) if self._link else os.ttyname(self._slave)

    @property
    def arm_deg(self) -> float:
        """Where the arm stands now."""
        with self._lock:
            return self._hand.arm_deg(time.monotonic())

    @property
    def busy(self) -> bool:
        """Whether the hand still has moves to make."""
        with self._lock:
            self._hand.arm_deg(time.monotonic())
            return self._hand.busy

    def pull_to(self, angle_deg: float, let_go: bool = True) -> None:
        """Pull the arm to an angle, hold it a moment, and let go unless told not to."""
        with self._lock:
            now_s = time.monotonic()
            arm_deg = self._hand.arm_deg(now_s)
            moves = self._operator.pull(arm_deg, angle_deg)
            loaded_deg = moves[-1].to_deg
            moves.append(Move(loaded_deg, self._habits.hold_s))
            self._hand.do(*moves, at_s=now_s, drop=True)
            if let_go:
                self._let_go(loaded_deg, now_s)

    def let_go(self) -> None:
        """Let the arm fall back; the tube keeps what was bent into it."""
        with self._lock:
            now_s = time.monotonic()
            self._let_go(self._hand.arm_deg(now_s), now_s)

    def _let_go(self, loaded_deg: float, now_s: float) -> None:
        released_deg = loaded_deg - self._springiness.release_deg(loaded_deg)
        away_deg = AWAY_DEG if self.profile.rides == "tube" else 0.0
        self._hand.do(*self._operator.let_go(loaded_deg, released_deg - away_deg), at_s=now_s)

    def move_to(self, *moves: Move) -> None:
        """Any moves, instead of those planned."""
        with self._lock:
            self._hand.do(*moves, at_s=time.monotonic(), drop=True)

    def new_bend(self) -> None:
        """A straight piece of tube, the arm at its start."""
        with self._lock:
            self.tube, self._hand = SimulatedTube(self._springiness), Hand()

    def drop_out(self, seconds: float) -> None:
        """Say nothing for a time."""
        with self._lock:
            self._silent_until_s = time.monotonic() + seconds

    def garbage(self, data: bytes) -> None:
        """Send these bytes before the next reading."""
        with self._lock:
            self._garbage += data

    def unplug(self) -> None:
        """Pull the plug: the port is gone from under whoever has it open."""
        with self._lock:
            self._hang_up()

    def plug_in(self) -> None:
        """Put the plug in again, as a new terminal, under the same link."""
        with self._lock:
            self._hang_up()
            self._master, self._slave = os.openpty()
            tty.setraw(self._slave)
            os.set_blocking(self._master, False)
            if self._link is not None:
                self._link.symlink_to(os.ttyname(self._slave))

    def _hang_up(self) -> None:
        if self._link is not None:
            self._link.unlink(missing_ok=True)
        for descriptor in (self._slave, self._master):
            if descriptor >= 0:
                os.close(descriptor)
        self._master = self._slave = -1

    def close(self) -> None:
        """End the thread and the terminal."""
        self._stop.set()
        if self._thread.is_alive():
            self._thread.join(2.0)
        self.unplug()

    def _run(self) -> None:
        due_s, heard = time.monotonic(), b""
        while not self._stop.is_set():
            if self._question:
                heard = self._answer(heard)
                continue
            due_s += 1 / self.rate_hz
            with self._lock:
                self._say(time.monotonic())
            self._stop.wait(max(due_s - time.monotonic(), 0.0))

    def _answer(self, heard: bytes) -> bytes:
        """Wait a little for the question and answer each; gives what is left of what was heard."""
        with self._lock:
            master = self._master
        if master < 0:
            self._stop.wait(0.02)
            return b""
        try:
            if not select.select([master], [], [], 0.02)[0]:
                return heard
            with self._lock:
                heard = (heard + os.read(self._master, 256))[-256:] if self._master >= 0 else b""
                while self._question in heard:
                    heard = heard.partition(self._question)[2]
                    self._say(time.monotonic())
        except (OSError, ValueError):
            self._stop.wait(0.02)  # nobody has the port open
        return heard

    def _say(self, now_s: float) -> None:
        """One reading, if the plug is in and the line is not silent; called with the lock held."""
        arm_deg = self._hand.arm_deg(now_s)
        tube_deg = self.tube.follow(arm_deg)
        seen_deg = tube_deg if self.profile.rides == "tube" else arm_deg
        raw_deg = self._sensor.raw_deg(seen_deg, now_s)
        data, self._garbage = self._garbage, b""
        if now_s >= self._silent_until_s:
            data += frame_of(self.profile.speaks, raw_deg)
        if data and self._master >= 0:
            try:
                os.write(self._master, data)
            except OSError:
                return  # nobody reads: an instrument does not wait either


def simulated_profile(rides_arm: bool = False) -> SensorProfile:
    """The sensor of the demo: plain lines, on the tube unless told otherwise."""
    return SensorProfile(
        "simulated", AsciiLine(prefix=b"A="), rides="arm" if rides_arm else "tube",
        sees="encoder", zero_deg=0.0, resolution_deg=0.01, noise_deg=0.05, lag_s=0.05,
    )  # fmt: skip


def turn_profile() -> SensorProfile:
    """The demo's sensor across the tube."""
    return SensorProfile(
        "simulated-turn", AsciiLine(prefix=b"A="), rides="arm", sees="gravity",
        resolution_deg=0.01, noise_deg=0.05, lag_s=0.05, measures="turn",
    )  # fmt: skip
