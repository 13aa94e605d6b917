"""What a key does: the act that it carries, as a frozen value, with the values the act is told.

A key of a screen holds an action; pressing it carries the action out. So nobody compares names:
the function that a key stands for is written where the key is drawn.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Concatenate, NamedTuple, ParamSpec

from benchcalc.panel.state.fields import Refused
from benchcalc.panel.state.messages import Command
from benchcalc.panel.state.model import Model

Acted = tuple[Model, tuple[Command, ...]]
"""The model after an act, and what is to be done in the world because of it."""

P = ParamSpec("P")


class Action(NamedTuple):
    """An act of the panel and the values it is told.

    ``aside`` when it leads aside and leaves what was last said standing.
    """

    act: Callable[..., Model | Acted]
    values: tuple[object, ...] = ()
    aside: bool = False


def press(
    act: Callable[Concatenate[Model, P], Model | Acted], *values: P.args, **named: P.kwargs
) -> Action:
    """The action of a key: ``act(model, *values)``. Values must be hashable; none is named."""
    if named:
        raise TypeError(f"values of a key are given by their place: {', '.join(named)}")
    return Action(act, values)


def aside(
    act: Callable[Concatenate[Model, P], Model | Acted], *values: P.args, **named: P.kwargs
) -> Action:
    """The same for a key that leads aside: help, the machine, another page."""
    return press(act, *values, **named)._replace(aside=True)


def carried_out(action: Action, model: Model) -> Acted:
    """The model after an action, with its commands; most acts ask for none.

    An act that raises Refused leaves everything as it is, and the reason is told.
    """
    try:
        done = action.act(model, *action.values)
    except Refused as refused:
        return replace(model, refusal=refused.said), ()
    return (done, ()) if isinstance(done, Model) else done
