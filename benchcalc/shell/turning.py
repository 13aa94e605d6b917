"""The turn by a sensor across the tube: the panel's messages on one side, readings on the other."""

from benchcalc.panel.state.aiming.turn_news import (
    ClampTurn,
    ExpectTurn,
    TakeTurnZero,
    TurnClamped,
    TurnCommand,
    TurnLies,
    TurnNews,
    TurnSaw,
    TurnSeen,
    TurnZeroTaken,
)
from benchcalc.report.told import Told
from benchcalc.sensor.events import Reading
from benchcalc.sensor.guide import tone_hz
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.turn import Asked, TurnFollower

SHOWN_PLACES = 1


class TurnFollowing:
    """The turns of one piece after another, as the sensor sees them.

    Where it lies when a bend is clamped is what the next bend counts from. An instrument that
    measures bends as well is taken off in between: it counts from where the operator says.
    """

    def __init__(self, profile: SensorProfile) -> None:
        self._follower, self._both = TurnFollower(profile), profile.measures == "both"
        self._told = ExpectTurn()
        self._next_deg: float | None = None
        self._lay = False
        self._shown: TurnSeen | None = None

    def heard(self, reading: Reading) -> None:
        """One reading of the sensor."""
        self._follower.read(reading.value_deg, reading.at_s)

    def look(self, at_s: float, trouble: Told | None) -> list[TurnNews]:
        """What the panel is to know since the last look."""
        news: list[TurnNews] = []
        state, by_deg = self._follower.state(at_s), self._follower.turned_deg()
        shown = None if by_deg is None or not state else round(by_deg, SHOWN_PLACES)
        seen = TurnSeen(shown, state, self._both, trouble)
        if seen != self._shown:
            self._shown = seen
            news.append(TurnSaw(seen))
        if state == "turned" and not self._lay:
            level = self._follower.clamped_deg(at_s)
            if level is not None:
                self._lay = True
                news.append(TurnLies(level))
        return news

    def carry_out(self, command: TurnCommand, at_s: float) -> list[TurnNews]:
        """Do what the panel asks."""
        follower = self._follower
        if isinstance(command, TakeTurnZero):
            taken = follower.take_zero(at_s)
            self._ask(at_s)
            return [TurnZeroTaken(taken)]
        if isinstance(command, ClampTurn):
            if self._both:
                return []
            by_deg = follower.clamped_deg(at_s)
            self._next_deg = follower.lies_at(at_s)
            follower.ask(None, at_s)
            return [TurnClamped(by_deg)]
        if command.bend is not None and command.bend != self._told.bend:
            follower.zero_deg = None if command.anew or self._both else self._next_deg
            follower.slipped, self._next_deg = False, None
        self._told = command if command.bend is not None else self._told
        self._follower.ask(None, at_s)
        if command.bend is not None:
            self._ask(at_s)
        return []

    def _ask(self, at_s: float) -> None:
        self._lay = False
        self._follower.ask(Asked(self._told.wanted_deg, self._told.tolerance_deg), at_s)

    def tone_hz(self, at_s: float) -> float | None:
        """The pitch to hear: it rises as the turn comes nearer to what is asked."""
        by_deg, told = self._follower.turned_deg(), self._told
        if by_deg is None or self._follower.state(at_s) not in ("turning", "turned"):
            return None
        way = -1.0 if told.wanted_deg < 0 else 1.0
        return tone_hz(way * by_deg, abs(told.wanted_deg), told.tolerance_deg)
