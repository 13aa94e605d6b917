"""The dark screen: when it goes dark, and what lights it."""

from benchcalc.panel.state.messages import (
    BendSettled,
    CopyDone,
    CopyFailed,
    MachineLooked,
    Message,
    SensorSaw,
    SomethingBroke,
    StoreFailed,
    Woke,
)
from benchcalc.panel.state.model import Model, StepKind
from benchcalc.report.scene import Scene

UNDER_WAY: tuple[StepKind, ...] = ("pull", "reached", "check")
"""Steps with both hands on the bender and the eyes on the screen: it stays lit."""

NEEDS_SOMEONE = (Woke, BendSettled, StoreFailed, SomethingBroke, CopyDone, CopyFailed)


def is_due(model: Model, idle_s: float) -> bool:
    """Whether a panel at which nobody has been for so long goes dark now."""
    after_min = model.settings.dark_after_min
    return bool(after_min) and idle_s >= 60.0 * after_min and may_be_dark(model)


def may_be_dark(model: Model) -> bool:
    """Not while a bend is pulled, something is wrong, or it is dark already."""
    making = model.work.making
    bending = model.work.screen == "make" and making is not None and making.step in UNDER_WAY
    return not (bending or model.trouble or model.dark)


def lights(model: Model, message: Message) -> bool:
    """Whether a message needs a person, or is one."""
    if isinstance(message, SensorSaw):
        was = model.sensor.trouble if model.sensor else None
        return bool(message.seen.trouble) and message.seen.trouble != was
    if isinstance(message, MachineLooked):
        return bool(set(message.missing) - set(model.missing))
    return isinstance(message, NEEDS_SOMEONE)


def view(model: Model) -> Scene:
    """Black, and nothing to tap."""
    return Scene(model.size, (), (), "dark")
