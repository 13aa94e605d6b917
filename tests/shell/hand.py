"""A finger for a loop without a window: unhurried, however quickly the test goes."""

from itertools import count

from benchcalc.panel.input.touches import Down, Look, Touch, Up
from benchcalc.shell.loop import Loop

_times_s = count(1.0, 0.6)


def touch(loop: Loop, event: Touch) -> None:
    """One event a good while after the one before."""
    at_s = next(_times_s)
    loop.take(event, Look(at_s, at_s))


def tap(loop: Loop, x: float, y: float) -> None:
    """A finger goes down and up."""
    touch(loop, Down(int(x), int(y)))
    touch(loop, Up(int(x), int(y)))
