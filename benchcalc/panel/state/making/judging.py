"""What a measured angle decides: good, pull further, over; and what follows a bend that is done."""

from dataclasses import replace

from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.first_guess import springback_at
from benchcalc.panel.state.fields import Field, Refused, read_number
from benchcalc.panel.state.making.piece import Came
from benchcalc.panel.state.making.steps import (
    bend_in_hand,
    bent_so_far,
    happened,
    made,
    on_to_bend,
    reading_to_pull_to,
    with_made,
)
from benchcalc.panel.state.model import Making, Verdict
from benchcalc.report.told import Angle, told

MEASURED = Field("shape.field.angle", "angle", 0.0, 200.0)

DOUBT_DEG = 6.0
"""A reading this far from what the pull should have left is more likely a wrong key than a tube."""


def in_doubt(making: Making) -> bool:
    """Whether the typed reading was just doubted and waits to be taken or typed anew."""
    return making.came is not None and making.came.to == "doubted"


def measured(making: Making, sheet: Sheet, certain: bool = False) -> Making:
    """Judge the typed angle: good, pull further, or over.

    Raises Refused for a text that is no angle. A reading far from what the pull should have left is
    doubted first; ``certain``, or the same text typed once more, takes it all the same.
    """
    bend = bend_in_hand(making, sheet)
    so_far = made(making, bend.number)
    typed = read_number(MEASURED, making.typed)
    reading = max(typed - sheet.reads_over_deg, 0.0)
    pull = so_far.pulls[-1]
    expected = pull.pulled_to_deg - springback_at(pull.pulled_to_deg, sheet.live)
    again = making.typed == making.doubted and not in_doubt(making)
    if abs(reading - expected) > DOUBT_DEG and not (certain or again):
        came = Came("doubted", bend.number, reading, round(expected))
        return replace(happened(making, "doubted"), typed=making.typed,
                       doubted=making.typed, came=came)  # fmt: skip
    raw = typed if sheet.reads_over_deg else None
    pulls = (*so_far.pulls[:-1], replace(pull, released_deg=reading, by="hand", raw_deg=raw))
    read = with_made(making, replace(so_far, pulls=pulls))
    if reading < bend.angle_deg and not explained(read, sheet):
        further = Angle(reading_to_pull_to(read, sheet))
        raise Refused(told("make.unexplained", reached=Angle(pull.pulled_to_deg),
                           reading=Angle(reading), further=further))  # fmt: skip
    return judged(read, sheet, reading)


def explained(making: Making, sheet: Sheet) -> bool:
    """Whether springback can be the reason for the next pull that would be told.

    A tube that springs back by more than three times what is known of it, and a doubtful reading
    besides, was not pulled to the reading that is written down.
    """
    bend, further = bend_in_hand(making, sheet), reading_to_pull_to(making, sheet)
    return further - bend.angle_deg <= 3.0 * springback_at(further, sheet.live) + DOUBT_DEG


def judged(making: Making, sheet: Sheet, reading: float, followed: bool = False) -> Making:
    """What the last reading of the bend in hand decides: good, pull further, or over.

    ``followed``: by the sensor, that may yet see it fall on; good is final when the step is left.
    """
    bend = bend_in_hand(making, sheet)
    off = reading - bend.angle_deg
    good = abs(off) <= sheet.tolerance_deg(bend.number) + 1e-9
    if good and followed:
        return replace(happened(making, "lies good"), came=Came("good", bend.number, reading))
    if good:
        return settle(making, sheet, "good")
    if off > 0:
        making = with_made(making, replace(made(making, bend.number), verdict="over"))
        return replace(happened(making, "over"), came=Came("over", bend.number, reading, off))
    travel = sheet.job.bender.max_angle_deg
    if reading_to_pull_to(making, sheet) > travel:
        came = Came("past travel", bend.number, reading, travel)
        return replace(happened(making, "past travel"), came=came)
    return replace(happened(making, "short"), came=Came("short", bend.number, reading, -off))


def kept(making: Making, sheet: Sheet) -> Making:
    """The bend in hand stays as it came out, over or under."""
    bend = bend_in_hand(making, sheet)
    released = made(making, bend.number).pulls[-1].released_deg or 0.0
    return settle(making, sheet, "accepted over" if released > bend.angle_deg else "accepted under")


def left_good(making: Making, sheet: Sheet) -> Making:
    """The bend that the sensor followed is left as good as it lies."""
    return settle(making, sheet, "good")


def settle(making: Making, sheet: Sheet, verdict: Verdict) -> Making:
    """A bend is done, one way or the other: on to the next, or to storing the piece."""
    bend = bend_in_hand(making, sheet)
    so_far = made(making, bend.number)
    near = sheet.tolerance_deg(bend.number)
    making = with_made(making, replace(so_far, verdict=verdict, within_deg=near))
    reading = so_far.pulls[-1].released_deg if so_far.pulls else None
    came = Came(verdict, bend.number, reading)
    making = replace(making, place=making.place + 1)
    if making.place >= len(sheet.layout.bends):
        return replace(happened(making, "all bent"), came=came)
    if verdict == "good":
        return replace(on_to_bend(making, sheet), came=came)
    if _correctable(bent_so_far(making, sheet)):
        return replace(happened(making, "rest to correct"), came=came)
    return replace(on_to_bend(making, sheet), came=replace(came, uncorrectable=True))


def _correctable(bent: dict[int, float]) -> bool:
    """Whether every bend came out at an angle that the rest can be corrected for."""
    return all(0 < angle <= 180 for angle in bent.values())
