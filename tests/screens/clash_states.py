"""What the tube meets: screens with a clash, and the search for another order of bending."""

from collections.abc import Callable
from dataclasses import replace

from benchcalc.core.geometry.envelope import Envelope, Plane
from benchcalc.panel.state.model import Draft, Extras, Model, Row
from benchcalc.shell.order_search import searched
from tests.panel.driver import Hands
from tests.panel.journeys import demo_draft, with_draft

Size = tuple[int, int]


def over_the_bench(bench_mm: float = -90.0, shelved: bool = False) -> Draft:
    """A leg that hangs down into the bench as the second bend is pulled."""
    shelf = Plane("shelf", (0.0, 0.0, -1.0), bench_mm)  # over the die, as far as the bench under it
    around = Envelope(
        planes=(Plane("bench", (0.0, 0.0, 1.0), bench_mm), *((shelf,) if shelved else ()))
    )
    bender = demo_draft().bender
    assert bender is not None
    bender = replace(bender, envelope=around)
    legs = (("200", "90", ""), ("120", "90", "90"), ("100", "", ""))
    rows = tuple(Row(leg, bend, turn) for leg, bend, turn in legs)
    return replace(demo_draft(), bender=bender, rows=rows, extras=Extras())


def clash(draft: Draft, size: Size, *taps: str) -> Hands:
    hands = with_draft(draft, size)
    if hands.scene.target("findings") is None:
        hands.tap("look")
    return hands.tap("findings", "clash", *taps)


def order_asked(size: Size, draft: Draft, *taps: str) -> Model:
    """The search was asked for and has its answer."""
    hands = clash(draft, size, "order find")
    return hands.hear(searched(hands.searches[-1])).tap(*taps).model


def meets_itself(size: Size) -> Model:
    legs = (
        ("100", "90", ""),
        ("80", "90", ""),
        ("80", "90", "3"),
        ("120", "60", ""),
        ("60", "", ""),
    )
    rows = tuple(Row(leg, bend, turn) for leg, bend, turn in legs)
    return clash(replace(demo_draft(), rows=rows, extras=Extras()), size).model


CLASHES: dict[str, Callable[[Size], Model]] = {
    "clash itself": meets_itself,
    "clash bender": lambda size: clash(over_the_bench(), size).model,
    "clash order looking": lambda size: clash(over_the_bench(), size, "order find").model,
    "clash order found": lambda size: order_asked(size, over_the_bench()),
    "clash order none": lambda size: order_asked(size, over_the_bench(-20.0, shelved=True)),
    "clash order taken": lambda size: order_asked(size, over_the_bench(), "order take"),
}
