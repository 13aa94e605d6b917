"""The angle sensor as the panel sees it: what it shows now, and what a finished bend came to."""

from dataclasses import replace
from math import sqrt

from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.first_guess import Springback, springback_at, springback_variance
from benchcalc.panel.state.making.judging import judged
from benchcalc.panel.state.making.steps import (
    bend_in_hand,
    made,
    reading_to_pull_to,
    with_made,
)
from benchcalc.panel.state.messages import Command, ExpectBend, TakeZero
from benchcalc.panel.state.model import Making, Pulled, SensorSeen
from benchcalc.panel.state.seen import Settled as Settled

SHOWN_STEPS = ("seat", "pull", "reached", "check", "good", "over")
"""The steps on which the live angle is shown; elsewhere only whether there is a sensor."""

FOLLOWED = ("pull", "reached", "check", "good", "over")
"""The steps in which the sensor follows the bend."""


def expectation(making: Making, sheet: Sheet) -> ExpectBend:
    """What is to come of the pull now due."""
    bend, to, s = bend_in_hand(making, sheet), reading_to_pull_to(making, sheet), sheet.live
    release, spread = _release(to, s)
    return ExpectBend(bend.angle_deg, sheet.tolerance_deg(bend.number), release, spread, to)


def _release(loaded_deg: float, s: Springback) -> tuple[float, float]:
    """What letting go gives back, and its standard deviation."""
    variance = springback_variance(loaded_deg, s) + s.noise_deg**2
    return springback_at(loaded_deg, s), sqrt(variance)


def commands_for(before: Making, after: Making, sheet: Sheet) -> tuple[Command, ...]:
    """What to ask of the sensor when the step has changed.

    It is zeroed when the seated tube is about to be pulled, follows the bend until its step is
    left, whatever it came to meanwhile, and then rests.
    """
    following = FOLLOWED
    if after.step == "pull" and before.step == "seat":
        return (TakeZero(), expectation(after, sheet))
    if after.step == "pull" and (before.step != "pull" or before.made != after.made):
        return (expectation(after, sheet),)
    if before.step in following and after.step not in following:
        return (ExpectBend(),)
    return ()


def settled(making: Making, sheet: Sheet, by_sensor: Settled) -> Making:
    """The making after the sensor measured the bend in hand, judged like a typed angle."""
    number = bend_in_hand(making, sheet).number
    so_far = made(making, number)
    done = tuple(p for p in so_far.pulls if p.released_deg is not None)
    if by_sensor.again and done == so_far.pulls and done and done[-1].by == "sensor":
        done = done[:-1]
    pull = Pulled(
        round(by_sensor.loaded_deg, 2),
        round(by_sensor.released_deg, 2),
        "sensor",
        by_sensor.raw_deg,
        by_sensor.zero_deg,
        reading_to_pull_to(making, sheet),
    )
    making = with_made(making, replace(so_far, pulls=(*done, pull), verdict=None))
    making = replace(making, typed="", doubted="", came=None)
    return judged(making, sheet, pull.released_deg or 0.0, followed=True)


def may_settle(making: Making, sheet: Sheet) -> bool:
    """Whether the bend in hand is the sensor's to judge: not where a person's word stands."""
    if making.step in ("pull", "reached", "check"):
        return True
    pulls = made(making, bend_in_hand(making, sheet).number).pulls
    return making.step in FOLLOWED and bool(pulls) and pulls[-1].by == "sensor"


def saw_no_pull(seen: SensorSeen | None) -> bool:
    """Whether a sensor that follows the bend has seen the handle rest all the while."""
    if seen is None or seen.stale or seen.trouble or not seen.zeroed:
        return False
    return seen.state == "waiting" and seen.loaded_deg is None and not seen.gravity


def still_good(seen: SensorSeen | None) -> bool:
    """Whether a bend called good still is: the sensor sees it so, or sees nothing any more."""
    return seen is None or seen.state in ("good", "")
