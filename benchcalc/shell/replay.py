"""A recording judged as the panel would have judged it: the same watch, the times of the file."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from benchcalc.sensor.expectation import Expectation, Outcome
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settle import Doubt
from benchcalc.sensor.settling import FINAL, State, Verdict
from benchcalc.sensor.sieve import SetAside
from benchcalc.shell.port import Chunk, HandleSaid, Item, PortNews
from benchcalc.shell.recording import Followed, HandlePressed, Recorded, SaidFree
from benchcalc.shell.watch import SensorWatch, StateChanged

LOOK_S = 0.05
LONGEST_LOOKED_S = 10.0
ZERO_WITHIN_S = 2.0
"""The zero is taken from what lies still at the very beginning, as a seated tube does."""


class Change(NamedTuple):
    """Something changed: the state, or what the bend came to, angles in degrees.

    A bend has a verdict only in the states that are one; the last line's would be stored.
    """

    at_s: float
    state: State
    verdict: Verdict | None
    came_out_deg: float | None
    pulled_to_deg: float | None
    doubt: Doubt


class Played:
    """A recording in place of a port: one thing after the other."""

    def __init__(self) -> None:
        self.next: Item | None = None

    def take(self) -> list[Item]:
        """The thing that is due."""
        taken, self.next = self.next, None
        return [taken] if taken else []

    def send(self, data: bytes) -> None:
        """Nobody is asked."""


def first_zero(items: Iterable[Recorded], profile: SensorProfile) -> float | None:
    """What the sensor said while it lay still at the beginning; None when it did not.

    A recording that says at which zero its bend was followed knows better.
    """
    items = list(items)
    for item in items:
        if isinstance(item, Followed):
            return item.zero_deg
    played = Played()
    watch = SensorWatch(profile, played, 0.0)
    began_s: float | None = None
    for chunk in items:
        if not isinstance(chunk, Chunk):
            continue
        began_s = chunk.at_s if began_s is None else began_s
        if chunk.at_s - began_s > ZERO_WITHIN_S:
            return None
        played.next = chunk
        watch.look(chunk.at_s)
        zero_deg = watch.take_zero(chunk.at_s)
        if zero_deg is not None:
            return zero_deg
    return None


def judged(
    items: Iterable[Recorded],
    profile: SensorProfile,
    zero_deg: float | None = None,
    expectation: Expectation | None = None,
) -> Iterator[Change | SetAside]:
    """What the panel would have made of it, change by change, and what was set aside.

    Without an expectation the bends are followed that the recording says were.
    """
    played = Played()
    watch = SensorWatch(profile, played, 0.0)
    watch.zero_deg = zero_deg
    if expectation is not None:
        watch.expect(expectation)
    at_s = 0.0
    for item in items:
        at_s = max(at_s, item.at_s - LONGEST_LOOKED_S)
        while at_s + LOOK_S < item.at_s:  # the panel looks while nothing comes, too
            at_s += LOOK_S
            yield from _changes(watch, at_s)
        at_s = max(at_s, item.at_s)
        if isinstance(item, Chunk | HandleSaid | PortNews):
            played.next = item
            yield from _changes(watch, at_s)
        elif isinstance(item, SaidFree) and (outcome := watch.tap(item.at_s)):
            yield _change(watch, item.at_s, outcome.verdict, outcome)
        elif isinstance(item, HandlePressed):
            watch.released(item.at_s)
        elif isinstance(item, Followed) and expectation is None:
            watch.zero_deg = item.zero_deg
            watch.expect(item.expectation)


def _changes(watch: SensorWatch, at_s: float) -> Iterator[Change | SetAside]:
    news = watch.look(at_s)
    judged_s = {one.at_s for one in news if isinstance(one, Outcome)}
    for one in news:
        if isinstance(one, SetAside):
            yield one
        elif isinstance(one, Outcome):
            yield _change(watch, one.at_s, one.verdict, one)
        elif isinstance(one, StateChanged) and not (one.state in FINAL and one.at_s in judged_s):
            yield _change(watch, one.at_s, one.state, watch.outcome)


def _change(watch: SensorWatch, at_s: float, state: State, outcome: Outcome | None) -> Change:
    live = watch.live(at_s)
    if state not in FINAL or outcome is None:
        return Change(at_s, state, None, None, _tidy(live.loaded_deg), live.doubt)
    came_out_deg, pulled_deg = outcome.released_deg, outcome.loaded_deg
    return Change(at_s, state, outcome.verdict, _tidy(came_out_deg), _tidy(pulled_deg), "")


def _tidy(deg: float | None) -> float | None:
    """As the panel keeps it."""
    return None if deg is None else round(deg, 2)
