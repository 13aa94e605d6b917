"""Help over some screens and steps, by name."""

from collections.abc import Callable
from functools import partial

from benchcalc.panel.state.model import Model
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, SHOP, TO_FIRST_CHECK, shape, typed

Size = tuple[int, int]
MAKE = (*BENCH, *RUN, "make")
ASKED: dict[str, tuple[str, ...]] = {
    "help bench": ("help",),
    "help plan leg": (*BENCH, "help"),
    "help plan turn": (*BENCH, *RUN, "earlier", "field turn", "help", "later"),
    "help shape saddle": (*BENCH, *shape("saddle"), "help"),
    "help make mark": (*MAKE, "next", "help", "later"),
    "help make seat": (*MAKE, *TO_FIRST_CHECK[:-3], "help", "later"),
    "help make pull": (*MAKE, *TO_FIRST_CHECK[:-2], "help"),
    "help make pull again": (*MAKE, *TO_FIRST_CHECK, *typed("88", "next"), "help", "later"),
}


def asked(name: str, size: Size) -> Model:
    """Help opened, and turned to a page."""
    return Hands(Model(SHOP, size)).tap(*ASKED[name]).model


HELPED: dict[str, Callable[[Size], Model]] = {name: partial(asked, name) for name in ASKED}
