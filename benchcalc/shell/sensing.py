"""The panel's angle sensor: port and watch on one side, the panel's messages on the other."""

from benchcalc.panel.state.aiming.turn_news import ExpectTurn, TurnCommand, TurnNews
from benchcalc.panel.state.making.sensing import Settled
from benchcalc.panel.state.messages import (
    BendSettled,
    ExpectBend,
    Message,
    SayFree,
    SensorSaw,
    TakeZero,
    ZeroTaken,
)
from benchcalc.panel.state.model import AsideSeen, SensorSeen
from benchcalc.report.told import Told, verbatim
from benchcalc.sensor.events import BadFrame, Reading, Silence
from benchcalc.sensor.expectation import Expectation, Outcome
from benchcalc.sensor.guide import tone_hz
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.sieve import SetAside
from benchcalc.shell.port import PortNews, SerialPort
from benchcalc.shell.recording import Followed, HandlePressed, LastBend, SaidFree, Tapped
from benchcalc.shell.simulated_bench import Move
from benchcalc.shell.simulator import Simulator
from benchcalc.shell.turning import TurnFollowing
from benchcalc.shell.watch import SensorWatch, trouble_told

SHOWN_PLACES = 1
"""The panel shows tenths of a degree; a change under that is none."""

SOUNDING = ("pulling", "holding")
"""States in which the pitch is heard: it says how far to go, and that the reading is reached."""

HAND_WAITS_S, HAND_TURNS_S = 1.0, 2.5
"""The demo's hand before it turns the tube, and while it does."""

SensorCommand = TakeZero | ExpectBend | SayFree | TurnCommand


class PanelSensor:
    """One sensor on its port, from ``start`` to ``close``."""

    def __init__(self, profile: SensorProfile, port: SerialPort, at_s: float) -> None:
        self.profile = profile
        self._port = port
        self.last_bend = LastBend()
        self._watch = SensorWatch(profile, Tapped(port, self.last_bend.keep), at_s)
        self._lost: Told | None = None
        self._unread: Told | None = None
        self._unwired: Told | None = None
        self._shown: SensorSeen | None = None
        self._told: ExpectBend | None = None
        self._aside: AsideSeen | None = None
        self._turns = TurnFollowing(profile) if profile.measures != "bend" else None

    def start(self) -> None:
        """Open the port; what is wrong with it is told as it is found out."""
        self._port.start()

    def close(self) -> None:
        """Give the port back."""
        self._port.close()

    def look(self, at_s: float) -> list[Message]:
        """What the panel is to know since the last look."""
        messages: list[Message] = []
        for news in self._watch.look(at_s):
            if isinstance(news, PortNews) and news.kind == "no line":
                self._unwired = verbatim(news.says)
            elif isinstance(news, PortNews):
                self._lost = None if news.kind == "opened" else verbatim(news.says)
            elif isinstance(news, Silence | BadFrame):
                self._unread = trouble_told(news)
            elif isinstance(news, Reading):
                self._unread = None
                if self._turns is not None:
                    self._turns.heard(news)
            elif isinstance(news, SetAside):
                count = self._aside.count if self._aside else 0
                self._aside = AsideSeen(news.why, count + 1, round(news.deg, SHOWN_PLACES))
            elif isinstance(news, Outcome):
                messages.append(self._settled(news, at_s))
        seen = self.seen(at_s)
        if self._turns is not None:
            messages += self._turns.look(at_s, seen.trouble)
        if self.profile.measures == "turn":
            return [news for news in messages if isinstance(news, TurnNews)]
        if seen != self._shown:
            self._shown = seen
            messages.append(SensorSaw(seen))
        return messages

    def seen(self, at_s: float) -> SensorSeen:
        """What may be shown at this moment; a stale angle is said to be stale.

        A port that is lost makes it stale at once; a bad frame between good ones is no trouble.
        """
        live = self._watch.live(at_s)
        angle = None if live.bend is None else round(live.bend.bend_deg, SHOWN_PLACES)
        loaded = None if live.loaded_deg is None else round(live.loaded_deg, SHOWN_PLACES)
        return SensorSeen(
            angle,
            live.stale,
            self._watch.zero_deg is not None,
            live.state or "",
            loaded,
            self.profile.sees == "gravity",
            self._lost or (self._unread if live.stale else None) or self._unwired,
            live.doubt,
            self._aside,
            self.profile.handle != "none",
            self.last_bend.there,
        )

    def tone_hz(self, at_s: float) -> float | None:
        """The pitch to hear now: only while a tube is turned or pulled and the angle is live."""
        turning = self._turns.tone_hz(at_s) if self._turns is not None else None
        if turning is not None:
            return turning
        live, told = self._watch.live(at_s), self._told
        if told is None or told.target_deg is None or live.bend is None:
            return None
        if live.stale:
            return None
        if live.state not in SOUNDING:
            return None
        return tone_hz(live.bend.bend_deg, told.pull_to_deg, told.tolerance_deg)

    def carry_out(self, command: SensorCommand, at_s: float) -> list[Message]:
        """Do what the panel asks of the sensor."""
        if isinstance(command, TurnCommand):
            return [*self._turns.carry_out(command, at_s)] if self._turns is not None else []
        if self.profile.measures == "turn":
            return []
        if isinstance(command, TakeZero):
            fixed = self.profile.zero_deg is not None
            self.last_bend.end()
            self._watch.expect(None)
            return [ZeroTaken(fixed or self._watch.take_zero(at_s) is not None)]
        if isinstance(command, SayFree):
            self.last_bend.keep(SaidFree(at_s))
            outcome = self._watch.tap(at_s)
            return [self._settled(outcome, at_s)] if outcome else [ZeroTaken(False)]
        self._told, self._aside = command, None
        expected = _expectation(command)
        anew = self._watch.expect(expected)
        if expected is None:
            self.last_bend.end()
        else:
            followed = Followed(self.profile.key, self._watch.zero_deg, expected, at_s)
            self.last_bend.begin(followed, anew)
        return []

    def released(self, key: str, at_s: float) -> None:
        """A key was pressed: perhaps the one that says that the handle was let go."""
        if key == self.profile.handle:
            self.last_bend.keep(HandlePressed(at_s))
            self._watch.released(at_s)

    def _settled(self, outcome: Outcome, at_s: float) -> BendSettled:
        raw, zero = self._watch.live(at_s).raw_deg, self._watch.zero_deg
        return BendSettled(
            Settled(
                outcome.released_deg, outcome.loaded_deg, raw or 0.0, zero or 0.0, outcome.again
            )
        )


def _expectation(command: ExpectBend) -> Expectation | None:
    if command.target_deg is None:
        return None
    return Expectation(
        command.target_deg, command.tolerance_deg, command.release_deg, command.release_spread_deg
    )


class DemoSensor(PanelSensor):
    """The demo's sensor: when the panel says what to pull to, a simulated hand pulls."""

    def __init__(self, simulator: Simulator, at_s: float) -> None:
        profile = simulator.profile
        super().__init__(profile, SerialPort(simulator.port, profile.line), at_s)
        self._simulator = simulator

    def carry_out(self, command: SensorCommand, at_s: float) -> list[Message]:
        """As any sensor; and the hand does what the panel tells the operator."""
        if isinstance(command, TakeZero):
            self._simulator.new_bend()
        done = super().carry_out(command, at_s)
        if isinstance(command, ExpectBend) and command.target_deg is not None:
            self._simulator.pull_to(command.pull_to_deg)
        return done


class SensorPair:
    """Two sensors at once, one for bends and one for turns, as one to the panel."""

    def __init__(self, bends: PanelSensor, turns: PanelSensor) -> None:
        self._both = (bends, turns)
        self.last_bend = bends.last_bend

    def released(self, key: str, at_s: float) -> None:
        """A key was pressed: perhaps the one that says that the handle was let go."""
        for sensor in self._both:
            sensor.released(key, at_s)

    def start(self) -> None:
        """Open both ports."""
        for sensor in self._both:
            sensor.start()

    def close(self) -> None:
        """Give both back."""
        for sensor in self._both:
            sensor.close()

    def look(self, at_s: float) -> list[Message]:
        """What the panel is to know of either."""
        return [message for sensor in self._both for message in sensor.look(at_s)]

    def tone_hz(self, at_s: float) -> float | None:
        """The pitch of the one that has something to say."""
        heard = (sensor.tone_hz(at_s) for sensor in self._both)
        return next((hz for hz in heard if hz is not None), None)

    def carry_out(self, command: SensorCommand, at_s: float) -> list[Message]:
        """What is asked of either; each knows what is its own."""
        return [m for sensor in self._both for m in sensor.carry_out(command, at_s)]


class DemoTurnSensor(PanelSensor):
    """The demo's sensor across the tube: a simulated hand turns as the panel tells it."""

    def __init__(self, simulator: Simulator, at_s: float) -> None:
        profile = simulator.profile
        super().__init__(profile, SerialPort(simulator.port, profile.line), at_s)
        self._simulator = simulator

    def carry_out(self, command: SensorCommand, at_s: float) -> list[Message]:
        """As any sensor; and the hand waits a little, turns, and lets the tube lie."""
        done = super().carry_out(command, at_s)
        if isinstance(command, ExpectTurn) and command.bend is not None and command.wanted_deg:
            now_deg = self._simulator.arm_deg
            to_deg = now_deg + command.wanted_deg
            self._simulator.move_to(Move(now_deg, HAND_WAITS_S), Move(to_deg, HAND_TURNS_S))
        return done
